"""Tests of the connectors."""
