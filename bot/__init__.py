"""What talks to the world: connectors, the words, the way of a message, the command line."""
