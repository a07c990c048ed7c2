"""What can be worked out on paper, and its one store."""
