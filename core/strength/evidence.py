"""Evidence of strength: one work set as the estimate takes it, and the lift that it was done in."""

import math
from dataclasses import dataclass
from datetime import datetime
from functools import cache

from core.domain.exercises import Exercise
from core.strength.repetition_curve import curve_of

PROOF_REPETITIONS = 3
"""Repetitions of a set that prove something by themselves: up to here lifters' curves hardly differ. [repetitions]"""


@dataclass(frozen=True, slots=True)
class Lift:
    """What the estimate must know of an exercise.

    Args:
        name: Name under which the state keeps it.
        leg_dominant: Chooses the repetition curve.
        variation_of: Name of the plain lift, for a variation.
        ratio: Usual load relative to the plain lift, both as load moved; a prior only. [1]

    Raises:
        ValueError: A ratio that is not positive and finite, or a variation of itself.

    """

    name: str
    leg_dominant: bool = False
    variation_of: str | None = None
    ratio: float | None = None

    def __post_init__(self) -> None:
        if self.ratio is not None and not 0.0 < self.ratio < math.inf:
            raise ValueError(f"{self.name}: a ratio is positive, not {self.ratio}")
        if self.variation_of == self.name:
            raise ValueError(f"{self.name}: not a variation of itself")

    @property
    def family(self) -> str:
        """Name of the plain lift; the state of a family holds it and its variations."""
        return self.variation_of or self.name

    @classmethod
    def of(cls, exercise: Exercise) -> "Lift":
        """The lift that an exercise of the catalogue, or a lifter's own, is to the estimate."""
        return cls(
            exercise.name,
            leg_dominant=exercise.lower_body,
            variation_of=exercise.variation_of,
            ratio=exercise.ratio,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One set as the estimate takes it.

    Args:
        lift: What was lifted.
        at: When. Aware.
        session: Sets with the same word share the day's form and its fatigue.
        sequence: Order among sets of equal time; only `order` reads it.
        load_kg: Load moved, with the share of body mass where the lift moves it, per hand where it is told so. [kg]
        repetitions: Repetitions done alone; 0 only for a failed first one. [repetitions]
        reported_left: Repetitions left as the lifter reports them; None where none were told. [repetitions]
        at_least: The repetitions left are a lower bound.
        failed: The repetition after the last one done was tried and missed.
        to_failure: Nothing was left. Told as "none left" this is a report like any other and often wrong, so with
            `reported_left` beside it, it is believed only where the repetitions are not those of the sets before.
        measured: A maximum that the lifter confirmed; its load is taken at its word.
        weak: The lifter was ill or in pain.
        helped: Somebody helped: no evidence, but it tires.
        warm_up: Neither evidence nor tiring.

    Raises:
        ValueError: A load, a number of repetitions or a time that no set can have.

    """

    lift: Lift
    at: datetime
    session: str
    sequence: int = 0
    load_kg: float
    repetitions: int
    reported_left: float | None = None
    at_least: bool = False
    failed: bool = False
    to_failure: bool = False
    measured: bool = False
    weak: bool = False
    helped: bool = False
    warm_up: bool = False

    def __post_init__(self) -> None:
        if self.at.utcoffset() is None:
            raise ValueError("evidence has an aware time")
        if not 0.0 < self.load_kg < math.inf:
            raise ValueError(f"evidence has a positive load in kg, not {self.load_kg}")
        if self.repetitions < (0 if self.failed else 1):
            raise ValueError(f"evidence has at least one repetition, or a failed one, not {self.repetitions}")
        if self.reported_left is not None and not 0.0 <= self.reported_left < math.inf:
            raise ValueError(f"repetitions left are 0 or more, not {self.reported_left}")
        if self.at_least and self.reported_left is None:
            raise ValueError("at least how many repetitions were left?")

    @property
    def order(self) -> tuple[datetime, int]:
        """Key by which a caller sorts the sets of a family before they are taken in."""
        return (self.at, self.sequence)

    @property
    def least(self) -> float:
        """Natural logarithm of the maximum in kg that it proves, whatever was left; minus infinity for nothing. [1]"""
        if self.helped or self.repetitions == 0:
            return -math.inf
        return math.log(self.load_kg / _proven_share(self.lift.leg_dominant, min(self.repetitions, PROOF_REPETITIONS)))


@cache
def _proven_share(leg_dominant: bool, repetitions: int) -> float:  # noqa: FBT001 - a key
    return curve_of(leg_dominant=leg_dominant).share(repetitions)


def days(at: datetime) -> float:
    """Days since the beginning of 1970 in UTC, the same number on every machine. [days]"""
    if at.utcoffset() is None:
        raise ValueError("a time without a zone says nothing")
    return (at - _EPOCH).total_seconds() / _DAY_S


_DAY_S = 86400.0

_EPOCH = datetime.fromisoformat("1970-01-01T00:00:00+00:00")
