"""Tests of what the program does for a lifter."""
