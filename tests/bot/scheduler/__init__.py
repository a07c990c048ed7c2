"""Tests of the clock that wakes and of the serving process."""
