"""Tests of the Matrix front end, against a real homeserver on loopback."""
