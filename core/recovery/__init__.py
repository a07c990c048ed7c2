"""How recovery goes: the week's answers beside the lifter's own past, and what to do about sets."""
