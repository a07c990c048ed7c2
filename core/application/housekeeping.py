"""Housekeeping: what is erased when its time has come, a little at a time."""

from collections.abc import Callable
from datetime import datetime, timedelta

from core.application.due import meant_anew, put_housekeeping
from core.application.ports import UnitOfWork

KEYS_KEPT = timedelta(days=7)
"""Event keys stay so long, without lifter or text: platforms deliver again within a day."""

SETTLED_KEPT = timedelta(days=60)
"""What came by the clock is remembered so long, so that it never comes twice."""

CODES_KEPT = timedelta(days=1)
"""Codes by which chats are linked, and tries at them, are counted for an hour at most."""

PAGE = 500
"""Rows looked at in one transaction. [rows]"""


def erase_old(work: UnitOfWork, now: datetime, *, text_days: int) -> None:
    """Erase raw texts, event keys and what was settled, each after its time, and have the next night come."""
    work.inbox.erase_texts_before(now - timedelta(days=text_days))
    work.inbox.forget_keys_before(now - KEYS_KEPT)
    work.due.forget_before(now - SETTLED_KEPT)
    work.outbox.end_pauses_before(now)
    work.link_codes.forget_before(now - CODES_KEPT)
    put_housekeeping(work, now)


def zones_checked(after: int) -> Callable[[UnitOfWork], int | None]:
    """A work that has a page of rows come when the time zones as they are known now say; the last number looked at."""
    return lambda work: meant_anew(work.due, after, limit=PAGE)
