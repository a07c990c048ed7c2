"""Sessions: the sets of one visit to the rack."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

SESSION_GAP = timedelta(hours=3)
"""A session closes this long after its last set. Longer than any rest, shorter than two visits on one day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One session.

    Args:
        id: The store's number; 0 before it has one.
        lifter_id: Whose it is.
        day: The lifter's training day on which it opened.
        opened_at: When its first set was done; aware.
        last_set_at: When its last set was done; aware.
        closed_at: When `done` was said; None if it was not.
        exercise: The exercise of the last set logged, to which a set without a name belongs.
        effort: Effort of the whole session. [0 to 10]

    """

    id: int = 0
    lifter_id: int
    day: date
    opened_at: datetime
    last_set_at: datetime
    closed_at: datetime | None = None
    exercise: str | None = None
    effort: float | None = None

    def takes(self, at: datetime) -> bool:
        """Whether a set done at an instant belongs to this session."""
        if self.closed_at is not None and at >= self.closed_at:
            return False
        return self.opened_at - SESSION_GAP <= at <= self.last_set_at + SESSION_GAP
