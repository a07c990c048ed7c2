"""Tests of Rackside; they mirror the source."""
