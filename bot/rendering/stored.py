"""What the store holds as JSON objects: `rackside max --json` and `rackside week --json`."""

from datetime import datetime
from typing import TypedDict
from zoneinfo import ZoneInfo

from bot.rendering.phone import sets_by_exercise
from bot.rendering.reviews import why_not
from core.domain.reviews import MaxTold, WeekTold
from core.domain.units import Unit, from_kg

DIGITS = 4
"""Decimals of a printed estimate, in its unit: programs compare, people read `max`."""


class EstimateObject(TypedDict):
    """An estimate at the end of a session."""

    at: str
    estimate: float
    low: float | None
    high: float | None


class MaxObject(TypedDict):
    """An estimated maximum; figures None where there is no evidence."""

    exercise: str
    unit: str
    estimate: float | None
    low: float | None
    high: float | None
    level: float
    at: str | None
    history: list[EstimateObject]


class MuscleObject(TypedDict):
    """Hard sets of a muscle, and in how many sessions."""

    sets: float
    sessions: int


class NotCountedObject(TypedDict):
    """A set that does not count, and why."""

    set: str
    why: str


WeekObject = TypedDict(
    "WeekObject",
    {"from": str, "to": str, "muscles": dict[str, MuscleObject], "not_counted": list[NotCountedObject]},
)


def max_object(exercise: str, unit: Unit, told: MaxTold | None, *, zone: str) -> MaxObject:
    """An estimated maximum with its history, oldest first."""
    if told is None:
        return MaxObject(
            exercise=exercise, unit=unit.value, estimate=None, low=None, high=None, level=0.9, at=None, history=[]
        )
    return MaxObject(
        exercise=exercise,
        unit=unit.value,
        estimate=_in(told.told.estimate_kg, unit),
        low=_in_or_none(told.told.low_kg, unit),
        high=_in_or_none(told.told.high_kg, unit),
        level=told.told.level,
        at=_at(told.at, zone),
        history=[
            EstimateObject(
                at=_at(each.at, zone),
                estimate=_in(each.estimate_kg, unit),
                low=_in_or_none(each.low_kg, unit),
                high=_in_or_none(each.high_kg, unit),
            )
            for each in told.history
        ],
    )


def week_object(told: WeekTold) -> WeekObject:
    """A week's hard sets by muscle."""
    return {
        "from": told.first.isoformat(),
        "to": told.last.isoformat(),
        "muscles": {each.muscle.value: MuscleObject(sets=each.sets, sessions=each.sessions) for each in told.muscles},
        "not_counted": [
            NotCountedObject(set="; ".join(sets_by_exercise([each.set])), why=why_not(each.why))
            for each in told.not_counted
        ],
    }


def _in(mass_kg: float, unit: Unit) -> float:
    return round(from_kg(mass_kg, unit), DIGITS)


def _in_or_none(mass_kg: float | None, unit: Unit) -> float | None:
    return None if mass_kg is None else _in(mass_kg, unit)


def _at(at: datetime, zone: str) -> str:
    return at.astimezone(ZoneInfo(zone)).isoformat()
