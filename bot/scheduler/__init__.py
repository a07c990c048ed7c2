"""Scheduler: the clock that wakes, the nightly housekeeping, and all of a serving process together."""
