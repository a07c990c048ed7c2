"""Reviews: figures told and looked back on, as values: estimates, records, the session, the week, the history."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from core.domain.exercises import Muscle
from core.domain.sets import Counted, LoggedSet
from core.domain.units import Load, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateTold:
    """An estimated maximum with its interval.

    Args:
        exercise: What it is of.
        unit: The unit to tell it in.
        estimate_kg: [kg]
        low_kg: Lower end of the interval; None where the method has none. [kg]
        high_kg: Upper end. [kg]
        level: Probability that the interval holds the maximum. [1]
        change_kg: Against four weeks ago, told only where it is beyond noise. [kg]
        added_to_body: The figures are what is added to body mass.

    """

    exercise: str
    unit: Unit
    estimate_kg: float
    low_kg: float | None = None
    high_kg: float | None = None
    level: float = 0.9
    change_kg: float | None = None
    added_to_body: bool = False


@dataclass(frozen=True, slots=True)
class RecordTold:
    """The heaviest load for so many repetitions or more that this lifter has made."""

    exercise: str
    reps: int
    load: Load
    bodyweight: bool = False


@dataclass(frozen=True, slots=True)
class MuscleWeek:
    """Hard sets of a muscle in a week, and in how many sessions."""

    muscle: Muscle
    sets: float
    sessions: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseDone:
    """What one session did on one exercise: its work sets, and how many count."""

    exercise: str
    sets: tuple[LoggedSet, ...]
    hard: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionClosed:
    """A session, closed: what was done and what it did to the week."""

    day: date
    minutes: int
    exercises: tuple[ExerciseDone, ...]
    estimates: tuple[EstimateTold, ...]
    week: tuple[MuscleWeek, ...]
    effort: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotCounted:
    """One set that does not count as a hard set, and why."""

    set: LoggedSet
    why: Counted


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekTold:
    """Hard sets of a week by muscle, and what was not counted."""

    first: date
    last: date
    muscles: tuple[MuscleWeek, ...]
    not_counted: tuple[NotCounted, ...]
    sets: int


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateAt:
    """An estimated maximum as it stood at the end of one session. [kg]"""

    at: datetime
    day: date
    estimate_kg: float
    low_kg: float | None
    high_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaxTold:
    """All about an estimated maximum.

    Args:
        told: The estimate.
        at: When the last set behind it was done.
        history: One item a session, as it was estimated at that time.
        equations: What the older equations say of one of the sets it rests on, by name. [kg]
        compared: That set.
        rests_on: The sets it rests on most: the most telling one of each of the last sessions, newest first.
        records: Heaviest load for a number of repetitions.
        weekly: Trend as a part of the maximum; None before there are sessions enough. [1/week]
        rising: Probability that the maximum rises at all. [1]

    """

    told: EstimateTold
    at: datetime
    history: tuple[EstimateAt, ...]
    equations: tuple[tuple[str, float], ...] = ()
    compared: LoggedSet | None = None
    rests_on: tuple[LoggedSet, ...] = ()
    records: tuple[RecordTold, ...] = ()
    weekly: float | None = None
    rising: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryTold:
    """The last sessions of an exercise, newest first."""

    exercise: str
    sessions: tuple[tuple[date, tuple[LoggedSet, ...]], ...]


class Reach(StrEnum):
    """Where a load lies beside the interval of an estimated maximum."""

    BELOW = "below"
    WITHIN = "within"
    ABOVE = "above"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachTold:
    """What the estimate says of a load for a single.

    Args:
        load: As asked.
        told: The estimate.
        reach: Where the load lies.
        likelier: Within the interval: it lies below the estimate itself.
        pressed: It is held over the lifter.
        tested: A test may lead up to it.

    """

    load: Load
    told: EstimateTold
    reach: Reach
    likelier: bool
    pressed: bool
    tested: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ThenTold:
    """The estimate as it stood on an earlier day, beside that of today.

    Args:
        then: As it stood after the last session up to that day, or the first of all.
        now: As it stands.
        first: There was no session before that day: it is the first of all.

    """

    then: EstimateAt
    now: EstimateTold
    first: bool


@dataclass(frozen=True, slots=True)
class GoodTold:
    """Nobody is compared with others here; how an exercise can be looked at instead (None: none was done yet)."""

    exercise: str | None


@dataclass(frozen=True, slots=True)
class ConvertedTold:
    """A load in the other unit."""

    load: Load


LookReply = ReachTold | ThenTold | GoodTold | ConvertedTold
"""What questions about strength are answered with."""

ReviewReply = SessionClosed | WeekTold | MaxTold | HistoryTold | LookReply
"""What a look back has to say."""
