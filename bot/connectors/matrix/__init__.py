"""Matrix: the chat of a bot on a homeserver, in plain and encrypted rooms."""
