"""Reading what lifters write: text to a command, a question or a problem; total, never raises, linear time."""
