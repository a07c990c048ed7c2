"""Connectors: what each chat platform gives and takes."""
