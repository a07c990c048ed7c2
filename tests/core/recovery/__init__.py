"""Tests of core/recovery."""
