"""Figures and sets as they are written on a phone: loads, dates, and a line that repeats a reading."""

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import groupby

from core.domain.sets import LoggedSet
from core.domain.units import Load, Unit, from_kg

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

LOWEST_EXACT_RPE = 7.0
"""Lowest rating that stands for a number of reps left. Zourdos et al. 2016."""

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def figure(number: float, *, digits: int = 2) -> str:
    """A number without needless zeros.

    >>> figure(82.5), figure(100.0), figure(1234.0)
    ('82.5', '100', '1234')

    """
    text = f"{number:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def load(amount: Load) -> str:
    """A load with its unit."""
    return f"{figure(amount.amount)} {amount.unit}"


def estimated(mass_kg: float, unit: Unit) -> str:
    """An estimated mass to what it is worth: half a kilogram or one pound.

    >>> estimated(98.13, Unit.KG), estimated(98.13, Unit.LB)
    ('98', '216')

    """
    amount = from_kg(mass_kg, unit)
    return figure(round(amount * 2) / 2, digits=1) if unit is Unit.KG else str(round(amount))


def day(when: date) -> str:
    """A date as a lifter says it: weekday, day, month."""
    return f"{WEEKDAYS[when.weekday()]} {when.day} {MONTHS[when.month - 1]}"


def count(number: float, noun: str) -> str:
    """A number with its noun, in the plural where it is not one.

    >>> count(1, "hard set"), count(2.5, "hard set")
    ('1 hard set', '2.5 hard sets')

    """
    return f"{figure(number)} {noun}" + ("" if number == 1 else "s")


def sets_by_exercise(sets: Iterable[LoggedSet]) -> list[str]:
    """One line an exercise that repeats what was read."""
    return [f"{name} {sets_in_short(tuple(each))}" for name, each in groupby(sets, key=lambda one: one.exercise)]


def sets_in_short(sets: Sequence[LoggedSet]) -> str:
    """Sets of one exercise in short: one load, then the repetitions made with it.

    Each effort stands behind its own repetitions, or once behind all where it is the same.
    """
    parts: list[str] = []
    for (warmup, weight), each in groupby(sets, key=lambda one: (one.warmup, _weight(one))):
        together = tuple(each)
        efforts = {_effort(one) for one in together}
        if len(efforts) == 1:
            done = _times(together) + efforts.pop()
        else:
            done = ", ".join(
                _done(one) + _effort(one).replace(", ", " (", 1) + (")" * bool(_effort(one))) for one in together
            )
        parts.append(("warm-up " if warmup else "") + (f"{weight} × {done}" if weight else done))
    return "; ".join(parts)


def _times(sets: Sequence[LoggedSet]) -> str:
    done = [_done(one) for one in sets]
    if len(done) > 2 and len(set(done)) == 1:
        return f"{done[0]} ({len(done)} sets)"
    return ", ".join(done)


def _weight(one: LoggedSet) -> str:
    if one.load is None:
        return "body mass" if one.bodyweight and one.seconds is None else ""
    amount = load(Load(abs(one.load), one.unit))
    if one.bodyweight:
        return f"{amount} of help" if one.load_kg < 0 else f"body mass + {amount}"
    return f"bar ({amount})" if one.bar else amount


def _done(one: LoggedSet) -> str:
    reps = str(one.reps) if one.seconds is None else figure(one.seconds) + " s"
    if one.per_side:
        reps += " a side"
    if one.failed:
        reps += " + a miss"
    for part in one.parts:
        reps += (
            f", then {part.reps}" if part.load is None else f", then {load(Load(part.load, one.unit))} × {part.reps}"
        )
    if one.helped:
        reps += " with help"
    return reps


def _effort(one: LoggedSet) -> str:
    if one.rpe is not None:
        # More reps left is a lower rating; one below 7 says no more than "at least 4 left" anyway.
        return f", RPE {figure(one.rpe)}" + (" or less" if one.at_least and one.rpe >= LOWEST_EXACT_RPE else "")
    if one.rir is not None:
        return f", {figure(one.rir)}{' or more' if one.at_least else ''} left"
    return ""
