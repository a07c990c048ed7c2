"""Sets: as they were read from a text, and as they stand in the log."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite

from core.domain.units import MOST_LOAD_KG, Unit

MOST_REPS = 200
"""Most repetitions of one set that are stored. [repetitions] More is a slip or a joke."""

MOST_SETS = 30
"""Most sets that one message may hold. [sets] A long session has about 30 work sets."""

MOST_SECONDS = 3600.0
"""Longest timed hold that is stored. [s]"""

MOST_LEFT = 20.0
"""Most repetitions left that are stored. [repetitions] Nobody can tell more apart."""


@dataclass(frozen=True, slots=True)
class Part:
    """A further part of one set: the drop after a drop set, the bout after a short rest.

    Args:
        load: As typed, in the unit of the set; None is the load of the part before.
        reps: Repetitions done. [repetitions]

    """

    load: float | None
    reps: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SetRead:
    """One set as it was read: values as typed, never converted, None where nothing was told.

    Args:
        exercise: Catalogue name, or the words as typed if no lift is known by them; None if none was named.
        load: As typed; negative is assistance (with `bodyweight`).
        unit: As typed, None if none was typed.
        reps: Repetitions done. [repetitions]
        rir: Repetitions left in reserve, as told. [repetitions]
        rpe: Rating of perceived exertion, as told.
        at_least: `rir` (or the reps left that `rpe` stands for) is a lower bound.
        failed: A repetition was tried and missed; `reps` counts the ones made.
        warmup: Marked as a warm-up.
        bodyweight: `load` is added to (or, negative, taken from) body mass; None adds nothing.
        bar: The load is the empty bar.
        per_side: Repetitions are for each side.
        load_per_side: `load` lies on each side of the bar, which is not in it.
        seconds: Length of a timed hold. [s]
        step: `load` is a change against the last load of this lift (`+2.5x5`).
        plates: `load` counts pairs of the largest disc (`2 plates`), a number a side.
        helped: A spotter helped; `reps` are those done alone, None if that was not told.
        measured: Marked as a maximum (`110x1 max`).
        parts: Further parts of the same set, in order.

    """

    exercise: str | None = None
    load: float | None = None
    unit: Unit | None = None
    reps: int | None = None
    rir: float | None = None
    rpe: float | None = None
    at_least: bool = False
    failed: bool = False
    warmup: bool = False
    bodyweight: bool = False
    bar: bool = False
    per_side: bool = False
    load_per_side: bool = False
    seconds: float | None = None
    step: bool = False
    plates: bool = False
    helped: bool = False
    measured: bool = False
    parts: tuple[Part, ...] = ()

    def __post_init__(self) -> None:
        """Refuse values that no set has."""
        if self.load is not None and not (isfinite(self.load) and abs(self.load) <= MOST_LOAD_KG / Unit.LB.in_kg):
            raise ValueError(f"not a load: {self.load}")
        if self.reps is not None and not 0 <= self.reps <= MOST_REPS:
            raise ValueError(f"not a number of repetitions: {self.reps}")
        if self.rir is not None and not 0 <= self.rir <= MOST_LEFT:
            raise ValueError(f"not a number of repetitions left: {self.rir}")
        if self.rpe is not None and not 0 <= self.rpe <= 10:
            raise ValueError(f"not a rating of exertion: {self.rpe}")
        if self.seconds is not None and not 0 < self.seconds <= MOST_SECONDS:
            raise ValueError(f"not a length of time: {self.seconds}")


class Counted(StrEnum):
    """Whether a set counts as a hard set, or why it does not."""

    HARD = "hard"
    WARM_UP = "warm-up"
    RAMP = "on the way up"
    TOO_EASY = "more left than counts"
    TOO_LIGHT = "too light to count"
    TOO_MANY = "over 30 reps"
    STRENGTH = "1 or 2 reps: strength practice"
    POWER = "power set"
    TIMED = "timed"
    NOTHING_DONE = "no rep made"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedSet:
    """One set in the log: resolved to an exercise, a time and a load in kilograms.

    Args:
        id: The store's number of the set; 0 before it has one.
        session_id: The session it belongs to.
        at: When it was done; aware.
        root_key: Key of the message that first told it; sets of one message share it.
        place: Its place in that message, from 0.
        exercise: Catalogue name or the lifter's own exercise.
        load: As typed (what `SetRead.load` said, steps and plates worked out); None for body mass alone.
        unit: The unit the load was taken in.
        load_kg: The load on the bar, stack, or in each hand; body mass not in it; negative for assistance. [kg]
        moved_kg: What the muscles moved: `load_kg` plus the share of body mass; None if that is unknown. [kg]
        counted: Whether it counts as a hard set, or why not.
        implied_left: Repetitions left that the estimate from before the set implies; None without one. [repetitions]

    """

    id: int = 0
    session_id: int = 0
    at: datetime
    root_key: str
    place: int
    exercise: str
    load: float | None
    unit: Unit
    load_kg: float
    moved_kg: float | None
    reps: int | None
    rir: float | None = None
    rpe: float | None = None
    at_least: bool = False
    failed: bool = False
    warmup: bool = False
    bodyweight: bool = False
    bar: bool = False
    per_side: bool = False
    load_per_side: bool = False
    seconds: float | None = None
    helped: bool = False
    measured: bool = False
    weak: bool = False
    parts: tuple[Part, ...] = ()
    counted: Counted = Counted.HARD
    implied_left: float | None = None

    def __post_init__(self) -> None:
        """Refuse a time without zone and loads that no bar holds."""
        if self.at.tzinfo is None:
            raise ValueError("a set needs an aware time")
        if not (isfinite(self.load_kg) and abs(self.load_kg) <= MOST_LOAD_KG):
            raise ValueError(f"not a load: {self.load_kg} kg")

    @property
    def position(self) -> tuple[datetime, str, int]:
        """Key that puts sets in the order they were done, whatever order they arrived in."""
        return (self.at, self.root_key, self.place)
