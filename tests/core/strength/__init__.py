"""Tests of core.strength."""
