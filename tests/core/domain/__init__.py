"""Tests of the nouns of training."""
