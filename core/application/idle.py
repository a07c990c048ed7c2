"""Idle: who has not written for a year is warned once, and erased."""

from collections.abc import Callable
from datetime import datetime, time, timedelta

from core.application.ports import UnitOfWork
from core.application.turn import Turn
from core.domain.profile import Lifter
from core.domain.reminded import IdleWarned
from core.domain.reminders import IDLE_DAYS, IDLE_WARNED_DAYS, Due, Kind, instant_of, wished_at
from core.domain.replies import Reply

PAGE = 500
"""Lifters looked at in one transaction. [lifters]"""

IDLE = timedelta(days=IDLE_DAYS)

WARNED = timedelta(days=IDLE_WARNED_DAYS)

NOON = time(12)
"""When the warning comes, by the lifter's wall clock."""


def looked_through(after: int, now: datetime) -> Callable[[UnitOfWork], int | None]:
    """A work that warns and erases the idle ones of a page of lifters; the last number looked at, None at the end.

    Nobody is erased within thirty days of the warning. Whom nothing reaches is erased all the same.
    """

    def work(unit: UnitOfWork) -> int | None:
        page = unit.lifters.written_after(after, limit=PAGE)
        for lifter_id, wrote in page:
            if now - wrote >= IDLE - WARNED:
                _looked_at(unit, lifter_id, wrote, now)
        return page[-1][0] if page else None

    return work


def warned(turn: Turn, row: Due) -> list[Reply]:
    """Tell when everything goes, unless the lifter has written meanwhile."""
    wrote = turn.work.lifters.wrote_at(turn.lifter.id) or turn.lifter.created_at
    if wrote.isoformat() != row.occasion:
        return []
    goes = max(wrote + IDLE, turn.now + WARNED)
    return [IdleWarned(turn.lifter.local(goes).date())]


def _looked_at(unit: UnitOfWork, lifter_id: int, wrote: datetime, now: datetime) -> None:
    lifter = unit.lifters.by_id(lifter_id)
    if lifter is None or (unit.lifters.wrote_at(lifter_id) or lifter.created_at) != wrote:
        # They wrote while this page was read.
        return
    told_at = unit.due.settled_at(lifter_id, Kind.IDLE, wrote.isoformat())
    if told_at is None:
        _warn(unit, lifter, wrote, now)
    elif now - wrote >= IDLE and now - told_at >= WARNED:
        unit.lifters.erase(lifter_id)


def _warn(unit: UnitOfWork, lifter: Lifter, wrote: datetime, now: datetime) -> None:
    if any(row.kind is Kind.IDLE for row in unit.due.of_lifter(lifter.id, limit=1)):
        return
    wish = wished_at(lifter.local(now).date(), NOON)
    if instant_of(wish, lifter.zone) <= now:
        wish += timedelta(days=1)
    unit.due.withdraw(lifter.id, Kind.IDLE)
    unit.due.put(
        Due(
            lifter_id=lifter.id,
            kind=Kind.IDLE,
            occasion=wrote.isoformat(),
            at=instant_of(wish, lifter.zone),
            wish=wish,
            zone=lifter.zone,
        )
    )
