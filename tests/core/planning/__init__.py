"""Tests of the week, the session and the next set."""
