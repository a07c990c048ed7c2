"""Tests of the one store."""
