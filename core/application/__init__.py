"""What the program does for a lifter: one function a command, inside an open unit of work."""
