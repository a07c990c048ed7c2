"""Commands about the plan: setting up, wishes, equipment, the plan itself, and times away."""

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from core.domain.checkins import Tag
from core.domain.equipment import Discs, Listed, Steps
from core.domain.exercises import Equipment, Muscle
from core.domain.plans import Difference
from core.domain.prescriptions import Safety
from core.domain.sets import SetRead
from core.domain.setups import SetupStep
from core.domain.units import Load, Unit


@dataclass(frozen=True, slots=True)
class SkipStep:
    """Leave a question of setting up without an answer (canonical text `skip question` and its name)."""

    step: SetupStep


@dataclass(frozen=True, slots=True)
class Screened:
    """Say whether something on the screening list applies; what it is is never told."""

    applies: bool


@dataclass(frozen=True, slots=True)
class UseSafety:
    """Say what catches the bar when pressing heavy."""

    safety: Safety


@dataclass(frozen=True, slots=True)
class UseDays:
    """Train on these weekdays, 0 for Monday, in order."""

    days: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class UseSessions:
    """Train so many sessions a week, next in line, on no fixed days."""

    count: int


@dataclass(frozen=True, slots=True)
class UseMinutes:
    """Longest session. [min]"""

    minutes: int


@dataclass(frozen=True, slots=True)
class UseEquipment:
    """Train with these kinds of equipment, None for a usual gym; the unit of its loads where it was told too."""

    has: frozenset[Equipment] | None
    unit: Unit | None = None


@dataclass(frozen=True, slots=True)
class UseBars:
    """Own bars of these weights, the preferred one first."""

    bars: tuple[Load, ...]


@dataclass(frozen=True, slots=True)
class UseDiscs:
    """Own these discs, in pairs."""

    discs: tuple[Discs, ...]


@dataclass(frozen=True, slots=True)
class UseDumbbells:
    """Own these dumbbells."""

    loads: Steps | Listed


@dataclass(frozen=True, slots=True)
class UseMain:
    """Take this as the main lift."""

    exercise: str


@dataclass(frozen=True, slots=True)
class Matters:
    """Muscles that matter most, the first before all."""

    muscles: tuple[Muscle, ...]


@dataclass(frozen=True, slots=True)
class LeaveOut:
    """Muscles that get no sets of their own; none for nothing left out."""

    muscles: tuple[Muscle, ...]


class Taste(StrEnum):
    """What a lifter thinks of an exercise."""

    BAN = "ban"
    LIKE = "like"
    ALLOW = "allow"


@dataclass(frozen=True, slots=True)
class Prefer:
    """Never plan an exercise, prefer it, or neither."""

    exercise: str
    taste: Taste


@dataclass(frozen=True, slots=True)
class UseSetsNow:
    """Hard sets a week that the lifter does now: of some muscles, or of all where none is named. [sets]"""

    sets: int
    muscle: Muscle | None = None


@dataclass(frozen=True, slots=True)
class UseBounds:
    """Fewest and most weekly hard sets of a muscle. [sets]"""

    floor: int
    ceiling: int


@dataclass(frozen=True, slots=True)
class PausedBench:
    """Say whether the plain bench press is paused."""

    paused: bool


@dataclass(frozen=True, slots=True)
class CheckInAt:
    """When the check-in is sent: weekday, 0 for Monday, and wall clock; None for never."""

    day: int
    at: time | None


@dataclass(frozen=True, slots=True)
class RecentSets:
    """Sets of the last weeks, told so that loads need not be found: logged a week back."""

    sets: tuple[SetRead, ...]


@dataclass(frozen=True, slots=True)
class ShowPlan:
    """Tell the plan."""


@dataclass(frozen=True, slots=True)
class NewPlan:
    """Offer two plans that differ."""


@dataclass(frozen=True, slots=True)
class TakePlan:
    """Take one of the plans that were offered."""

    difference: Difference


@dataclass(frozen=True, slots=True)
class PlanOff:
    """Train without a plan."""


@dataclass(frozen=True, slots=True)
class OwnLift:
    """One lift of a lifter's own week; the repetitions left where they were told. [repetitions]"""

    exercise: str
    sets: int
    reps: int
    left: float | None = None


@dataclass(frozen=True, slots=True)
class OwnDay:
    """One day of a lifter's own week, 0 for Monday."""

    day: int
    lifts: tuple[OwnLift, ...]


@dataclass(frozen=True, slots=True)
class OwnWeek:
    """Train by the lifter's own week."""

    days: tuple[OwnDay, ...]


@dataclass(frozen=True, slots=True)
class ComingDay:
    """A day to come, told without its year: by day and month, by weekday, or by days from today.

    Args:
        month: 1 to 12, where a date was told; else 0.
        day: Of the month; else 0.
        weekday: 0 for Monday, where a weekday was told.
        days: Days from today, where told so; else 0. [d]

    """

    month: int = 0
    day: int = 0
    weekday: int | None = None
    days: int = 0


@dataclass(frozen=True, slots=True)
class Pause:
    """Stop training until a day, the first one back; None for until told."""

    until: date | ComingDay | None = None


@dataclass(frozen=True, slots=True)
class Resume:
    """Be back."""


@dataclass(frozen=True, slots=True)
class TagWeek:
    """Say what explains a dip, or that it is over."""

    tag: Tag
    on: bool = True


@dataclass(frozen=True, slots=True)
class PlatesFor:
    """Tell the plates that make a load."""

    load: Load


PlanCommand = (
    SkipStep
    | Screened
    | UseSafety
    | UseDays
    | UseSessions
    | UseMinutes
    | UseEquipment
    | UseBars
    | UseDiscs
    | UseDumbbells
    | UseMain
    | Matters
    | LeaveOut
    | Prefer
    | UseSetsNow
    | UseBounds
    | PausedBench
    | CheckInAt
    | RecentSets
    | ShowPlan
    | NewPlan
    | TakePlan
    | PlanOff
    | OwnWeek
    | Pause
    | Resume
    | TagWeek
    | PlatesFor
)
