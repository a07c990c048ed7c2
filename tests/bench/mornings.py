"""What a measured morning is: how many lifters, when, and how much is asked meanwhile."""

from datetime import UTC, datetime

LIFTERS = 100_000

SEVEN = datetime(2027, 1, 5, 7, 0, tzinfo=UTC)

LIVE_MESSAGES = 120

RESTS = 30
"""Rests that end while the morning goes out, one a second."""

CLAIMED = 1000
