"""Reminded: what is said by the clock, and about it."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from core.domain.reminders import Kind, Reminders


@dataclass(frozen=True, slots=True)
class RestOver:
    """The rest is over, after so long. [s]"""

    rest_s: int


@dataclass(frozen=True, slots=True)
class RestSkipped:
    """Nothing is said when the rest that ran is over; `ran`: one did."""

    ran: bool


@dataclass(frozen=True, slots=True)
class SessionLeftOpen:
    """A session of a day was not closed."""

    day: date


@dataclass(frozen=True, slots=True)
class GoneQuiet:
    """Three days' sessions had no answer, or three weeks no word: nothing more comes until the lifter writes."""

    weeks: bool = False


@dataclass(frozen=True, slots=True)
class IdleWarned:
    """Nothing was written for eleven months; on which day all that is kept is erased."""

    erased_on: date


class ClockSet(StrEnum):
    """What about the clock was set."""

    REST = "rest"
    QUIET = "quiet"
    MORNING = "morning"


@dataclass(frozen=True, slots=True)
class ClockChanged:
    """Something about the clock was set; how it stands now. `running`: a rest runs already."""

    what: ClockSet
    settled: Reminders
    running: bool = False


@dataclass(frozen=True, slots=True)
class RemindersTold:
    """What comes next, as wall times of the lifter, and what is settled."""

    coming: tuple[tuple[Kind, datetime], ...]
    settled: Reminders
    today: date


Reminded = RestOver | RestSkipped | SessionLeftOpen | GoneQuiet | IdleWarned | ClockChanged | RemindersTold
