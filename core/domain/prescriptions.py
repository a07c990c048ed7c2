"""Prescriptions: what a session says to load, why, and what a lifter said about care."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.domain.equipment import Bar
from core.domain.plans import DayKind, PlannedSession, Role
from core.domain.units import Load


class Place(StrEnum):
    """A part of the body that can hurt."""

    NECK = "neck"
    SHOULDER = "shoulder"
    ELBOW = "elbow"
    WRIST = "wrist"
    UPPER_BACK = "upper back"
    LOWER_BACK = "lower back"
    HIP = "hip"
    KNEE = "knee"
    ANKLE = "ankle"


class Safety(StrEnum):
    """What catches the bar when a lifter presses heavy."""

    ARMS = "safety arms"
    SPOTTER = "spotter"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """What a lifter said about screening and safeties; unanswered is the careful answer.

    Args:
        safety: What catches the bar; unanswered is neither.
        screened: Something on the screening list applies; unanswered is yes.
        spotter_today: A spotter is there for this session.
        cautious: Other reasons for no maximal tests and no failure, such as talk of fast cuts.

    """

    safety: Safety = Safety.NEITHER
    screened: bool = True
    spotter_today: bool = False
    cautious: bool = False


@dataclass(frozen=True, slots=True)
class Estimated:
    """Why: the estimated maximum and its interval. [kg]"""

    estimate_kg: float
    low_kg: float
    high_kg: float


@dataclass(frozen=True, slots=True)
class AtShare:
    """Why: the share of the maximum that goes with the sets.

    Args:
        share: Of the estimate. [1]
        reps: Repetitions of each set. [repetitions]
        left: Left after the last set; None where a day asks for a share. [repetitions]
        sets: How many sets.
        fatigue: Repetitions that the sets before the last one cost. [repetitions]
        load_kg: What comes out. [kg]

    """

    share: float
    reps: int
    left: float | None
    sets: int
    fatigue: float
    load_kg: float


class Step(StrEnum):
    """How a load follows the last one."""

    FIRST = "first time"
    UP = "up"
    KEPT = "kept"
    HELD = "held to one step a week"
    REPS = "reps first"
    TWO_FOR_TWO = "two for two"
    DOWN = "down"


@dataclass(frozen=True, slots=True)
class Stepped:
    """Why: how the load follows the last one of this kind of day. [kg]"""

    step: Step
    from_kg: float
    to_kg: float


class Change(StrEnum):
    """What changes a session as a whole."""

    REDUCED_WEEK = "reduced week"
    RETURN = "return"
    TIRED = "tired"
    ACHE = "ache"
    FADING_ACHE = "ache that fades"


@dataclass(frozen=True, slots=True)
class Changed:
    """Why: something that changes the load as a whole, by a factor. [1]"""

    change: Change
    factor: float


class Bound(StrEnum):
    """What keeps a load back."""

    ALONE = "alone under the bar"
    SCREENED = "screening"
    LIGHTEST = "lightest load there is"
    HEAVIEST = "heaviest load there is"
    LOW_END = "lower end of the interval"


@dataclass(frozen=True, slots=True)
class Bounded:
    """Why: a bound that applied."""

    bound: Bound


@dataclass(frozen=True, slots=True)
class Rounded:
    """Why: to what can be loaded [kg], with another number of repetitions where they make up for it; None without."""

    wanted_kg: float
    load_kg: float
    reps: int | None = None


@dataclass(frozen=True, slots=True)
class ToFind:
    """Why: nothing is known of this lift yet; its load is found by the repetitions left."""


Why = Estimated | AtShare | Stepped | Changed | Bounded | Rounded | ToFind


@dataclass(frozen=True, slots=True, kw_only=True)
class PrescribedSet:
    """One set as it is prescribed.

    Args:
        load: What to load, in each hand where it is told so; negative is assistance; None is to be found.
        reps: Repetitions. [repetitions]
        left: Repetitions to be left after the lift's last set; None asks for no effort. [repetitions]
        expected_left: Repetitions that this set is expected to leave; None without an estimate. [repetitions]
        why: How the load came about, first step first.

    """

    load: Load | None
    reps: int
    left: float | None
    expected_left: float | None
    why: tuple[Why, ...]


@dataclass(frozen=True, slots=True)
class WarmUpSet:
    """One warm-up set, with the plates of one side where a bar is loaded."""

    load: Load
    reps: int
    side: tuple[Load, ...] = ()


@dataclass(frozen=True, slots=True)
class SmallerDiscs:
    """What one pair of smaller discs would change: the load that could then be made."""

    pair: Load
    load: Load


@dataclass(frozen=True, slots=True, kw_only=True)
class PrescribedLift:
    """One lift as it is prescribed.

    Args:
        exercise: Its name.
        role: What it is to the session.
        sets: Its work sets.
        warm_up: Its warm-up sets, lightest first.
        bar: The bar it is loaded on, if any.
        side: Discs of one side (of the belt, where one hangs there), heaviest first.
        smaller: What smaller discs would change, if much.

    """

    exercise: str
    role: Role
    sets: tuple[PrescribedSet, ...]
    warm_up: tuple[WarmUpSet, ...] = ()
    bar: Bar | None = None
    side: tuple[Load, ...] = ()
    smaller: SmallerDiscs | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Prescription:
    """A session as it is prescribed; `reduced` marks one of a reduced week, whose sets stand outside trend and advice."""

    kind: DayKind
    lifts: tuple[PrescribedLift, ...]
    seconds: int
    reduced: bool = False


class DayState(StrEnum):
    """Where a planned session stands."""

    PLANNED = "planned"
    OPEN = "open"
    DONE = "done"
    SKIPPED = "skipped"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDay:
    """One session of a plan in one of its weeks, as it stands: moved, changed, given out, done.

    Args:
        plan_id: The plan.
        week: Week of the plan since it began, from 0.
        place: Place of the session among those of the week, from 0.
        day: The training day that it is on now.
        state: Where it stands.
        session: What it consists of, with all swaps and cuts of this one day.
        prescription: What was given out for it, with what the sets done so far changed; None until it is asked for.
        session_id: The session in the log that was done by it.
        adjusted: Texts of the changes that the lifter asked for, in their order, such as `short 30`.

    """

    plan_id: int
    week: int
    place: int
    day: date
    state: DayState
    session: PlannedSession
    prescription: Prescription | None = None
    session_id: int | None = None
    adjusted: tuple[str, ...] = ()
