"""Measurements: ratios taken in one run, never asserted in tests."""
