"""Tests of what talks to the world."""
