"""Tests of what can be worked out on paper."""
