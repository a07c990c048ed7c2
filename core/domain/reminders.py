"""Reminders: what is due to whom, at which local time, how late it may still come, and when nobody wants to be woken."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

DAY_KEPT_HOUR = 4
"""Local hour until which a day's message may come late. [h] A lifter's day begins at four."""

LONGEST_REST_S = 3600
"""No rest between sets is longer. [s]"""

SHORTEST_REST_S = 10
"""A shorter rest needs no word. [s]"""

UNANSWERED_MORNINGS = 3
"""After so many days' sessions without a word from the lifter one line follows, then silence. Common practice."""

UNANSWERED_WEEKS = 3
"""After so many weeks without a word the same holds for check-ins, where no day's session comes. [weeks]"""

IDLE_DAYS = 365
"""So long after a lifter last wrote all that is kept of them is erased. [d] Twelve months."""

IDLE_WARNED_DAYS = 30
"""So long before that they are told. [d]"""


class Kind(StrEnum):
    """What is due."""

    SESSION = "session"
    REST = "rest"
    CHECK_IN = "check-in"
    CHECK_IN_AGAIN = "check-in again"
    SESSION_OPEN = "session open"
    RETURN = "return"
    IDLE = "idle"
    HOUSEKEEPING = "housekeeping"


class DueState(StrEnum):
    """Where something due stands."""

    WAITING = "waiting"
    SENT = "sent"
    DROPPED = "dropped"


URGENT = frozenset({Kind.REST})
"""Kinds that wait for nothing: the lifter stands at the bar, awake."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing that is due, once.

    Args:
        id: The store's number; 0 before it has one.
        lifter_id: Whose it is; None for the house's own.
        kind: What.
        occasion: What for: a local date, a set, a session; the same kind and occasion again is the same thing.
        at: The instant; aware, UTC.
        wish: The local wall time that was meant, without a zone; None where only the instant matters.
        zone: IANA name of the zone that it was meant in.
        data: Something that the kind keeps, as text.
        state: Where it stands.

    """

    id: int = 0
    lifter_id: int | None
    kind: Kind
    occasion: str
    at: datetime
    wish: datetime | None = None
    zone: str | None = None
    data: str = ""
    state: DueState = DueState.WAITING

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("an instant has a zone")
        if self.wish is not None and (self.wish.tzinfo is not None or self.zone is None):
            raise ValueError("a wish is a wall time with its zone beside it")

    @property
    def meant_at(self) -> datetime:
        """The instant by the time zones as they are known now."""
        return self.at if self.wish is None or self.zone is None else instant_of(self.wish, self.zone)


def instant_of(wish: datetime, zone: str) -> datetime:
    """The instant of a local wall time. [UTC]

    A time that a clock change leaves out is taken with the offset from before it; one that comes twice is the first.

    Source:
        RFC 5545, section 3.3.5.

    >>> instant_of(datetime(2027, 3, 28, 2, 30), "Europe/Oslo")
    datetime.datetime(2027, 3, 28, 1, 30, tzinfo=datetime.timezone.utc)

    """
    return wish.replace(tzinfo=ZoneInfo(zone), fold=0).astimezone(UTC)


@dataclass(frozen=True, slots=True)
class Quiet:
    """Hours in which nothing but what is urgent is sent; over midnight where the end is the earlier one."""

    begins: time
    ends: time

    def ends_after(self, local: datetime) -> datetime | None:
        """When the quiet hours end that a wall time lies in; None where it lies in none."""
        now = local.time()
        if self.begins == self.ends:
            return None
        if self.begins < self.ends:
            return datetime.combine(local.date(), self.ends) if self.begins <= now < self.ends else None
        if now >= self.begins:
            return datetime.combine(local.date() + timedelta(days=1), self.ends)
        return datetime.combine(local.date(), self.ends) if now < self.ends else None


NIGHT = Quiet(time(22), time(7))
"""Quiet hours unless a lifter says otherwise."""

MORNING = time(7)
"""When the day's session comes unless a lifter says otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminders:
    """What a lifter settled about messages that come by themselves.

    Args:
        quiet: Quiet hours; None for none.
        morning: Local time of the day's session; None for no such message.
        rest_s: Rest after a logged set until a word that it is over; None for no such word. [s]
        unanswered: Days' sessions sent since the lifter last wrote.
        last_morning: When the last of them was sent.

    """

    quiet: Quiet | None = NIGHT
    morning: time | None = MORNING
    rest_s: int | None = None
    unanswered: int = 0
    last_morning: datetime | None = None


def latest(due: Due, *, zone: str) -> datetime:
    """Until when something due may still be sent; later it is dropped. [UTC]

    After a downtime the day's session comes late on the same day, as does the word on a session left open; a check-in
    within two days, as does the word on the way back from a break; the word that a rest is over not at all; the warning
    that everything goes as long as it is one.
    """
    if due.kind is Kind.REST:
        return due.at + timedelta(seconds=60)
    if due.kind in {Kind.CHECK_IN, Kind.RETURN}:
        return due.at + timedelta(days=2)
    if due.kind is Kind.IDLE:
        return due.at + timedelta(days=IDLE_WARNED_DAYS)
    if due.kind is Kind.HOUSEKEEPING:
        return due.at + timedelta(days=3650)
    local = (due.wish or due.at.astimezone(ZoneInfo(zone)).replace(tzinfo=None)) - timedelta(hours=DAY_KEPT_HOUR)
    ends = datetime.combine(local.date() + timedelta(days=1), time(DAY_KEPT_HOUR))
    return instant_of(ends, zone)


def wished_at(day: date, at: time) -> datetime:
    """A wish: a wall time on a local date, without a zone."""
    return datetime.combine(day, at)
