"""Tests of core.notation."""
