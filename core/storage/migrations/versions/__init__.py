"""Revisions, oldest first."""
