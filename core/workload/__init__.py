"""What training amounts to: hard sets by muscle and week, and the load of sessions."""
