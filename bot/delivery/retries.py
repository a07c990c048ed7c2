"""Retries: how long a message waits before it is tried again, and when it is given up."""

from datetime import datetime, timedelta

from core.application.rows import OutboxRow

FIRST_WAIT_S = 1.0
"""Wait after the first try. [s]"""

LONGEST_WAIT_S = 300.0
"""No wait is longer: a platform that was away for an hour is found again within five minutes. [s]"""

MOST_TRIES = 8
"""Tries of one message while others get through: then the fault is its own, and it holds up its chat no longer."""

LIVE_KEPT = timedelta(days=2)
"""An answer later than this is about a session that is long over; what was logged is safe all the same."""


def wait_before_next_s(tries: int, *, luck: float) -> float:
    """Wait before the next try: twice as long each time, and never the same for all chats at once. [s]

    Args:
        tries: Tries so far; 1 or more.
        luck: A random number from 0 to 1.

    >>> wait_before_next_s(1, luck=1.0), wait_before_next_s(3, luck=1.0), wait_before_next_s(99, luck=1.0)
    (1.0, 4.0, 300.0)

    """
    longest_s = LONGEST_WAIT_S if tries > 20 else min(LONGEST_WAIT_S, FIRST_WAIT_S * 2.0 ** (tries - 1))
    return longest_s * (0.5 + 0.5 * luck)


def is_too_late(row: OutboxRow, now: datetime) -> bool:
    """Whether a message would come too late to be of use."""
    until = row.created_at + LIVE_KEPT if row.expires_at is None else row.expires_at
    return until <= now
