"""Canonical: the one text of each command; reading it gives the command back."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, time
from typing import assert_never

from core.domain.check_in_commands import CheckInCommand
from core.domain.clock_commands import ShowReminders, SkipRest, UseMorning, UseQuiet, UseRest
from core.domain.commands import (
    AllWell,
    BodyMass,
    BodyMassOff,
    Cancel,
    Cleared,
    Command,
    Consent,
    DayOfYear,
    DaysAgo,
    Done,
    Fix,
    ForgetMe,
    Help,
    History,
    LogSets,
    Max,
    NewExercise,
    Pain,
    Privacy,
    Same,
    Settings,
    Start,
    Undo,
    Unwell,
    UseBar,
    UseUnit,
    UseZone,
    Week,
)
from core.domain.exercises import catalogue
from core.domain.link_commands import LinkCommand
from core.domain.look_commands import LookCommand
from core.domain.plan_commands import PlanCommand, RecentSets
from core.domain.sets import Part, SetRead
from core.notation.canonical_plans import MONTHS, WEEKDAYS, figure, mass_text, plan_text
from core.notation.check_ins import check_in_text
from core.notation.links import link_text
from core.notation.looks import look_text
from core.notation.session_texts import session_text

PLAIN_LOAD = 20.0
"""From here a load needs no word to be told from repetitions. [kg or lb]"""

PLAIN_REPS = 15
"""Up to here repetitions behind such a load need no word. [repetitions]"""

LOWEST_EXACT_RPE = 7.0
"""A lower rating is a bound by itself."""


def canonical(command: Command) -> str:
    """The one text that stands for a command: one line, and reading it gives the command back.

    >>> canonical(Same(times=3, changes=SetRead(reps=6)))
    'same x3 6 reps'

    """
    if isinstance(command, PlanCommand):
        return plan_text(command, sets=_sets(command.sets) if isinstance(command, RecentSets) else "")
    if isinstance(command, CheckInCommand):
        return check_in_text(command)
    if isinstance(command, LinkCommand):
        return link_text(command)
    if isinstance(command, LookCommand):
        return look_text(command)
    match command:
        case LogSets(sets=sets, day=day, close=close):
            return _day(day) + _sets(sets) + ("" if close is None else f"; {canonical(close)}")
        case Fix(sets=sets):
            return f"fix {_sets(sets)}"
        case Same(times=times, changes=changes):
            repeated = "same" if times == 1 else f"same x{times}"
            return f"{repeated} {_set(changes, 1)}".strip()
        case Done(effort=effort):
            return "done" if effort is None else f"done {effort:g}"
        case Max(exercise=exercise):
            return f"max {exercise}" if exercise else "max"
        case History(exercise=exercise):
            return f"history {exercise}" if exercise else "history"
        case UseUnit(unit=unit):
            return f"units {unit}"
        case BodyMass(mass=mass):
            return "bw" if mass is None else f"bw {mass_text(mass)}"
        case UseBar(mass=mass):
            return f"bar {mass_text(mass)}"
        case UseZone(zone=zone):
            return f"zone {zone}"
        case Help(topic=topic):
            return "help" if topic is None else f"help {topic}"
        case Consent(given=given):
            return "consent on" if given else "consent off"
        case ForgetMe(confirmed=confirmed):
            return "forget me yes" if confirmed else "forget me"
        case NewExercise(name=name, muscle=muscle, equipment=equipment):
            loaded = "" if equipment is None else f" with {equipment}"
            return f"new exercise {name}: {'nowhere' if muscle is None else muscle}{loaded}"
        case Unwell(sign=sign):
            return f"unwell {sign}"
        case UseRest(rest_s=rest_s):
            return "rest off" if rest_s is None else f"rest {rest_s // 60}:{rest_s % 60:02d}"
        case UseQuiet(quiet=quiet):
            return "quiet off" if quiet is None else f"quiet {_hour(quiet.begins)}-{_hour(quiet.ends)}"
        case UseMorning(at=at):
            return "morning off" if at is None else f"morning {_hour(at)}"
        case Pain(answer=answer, place=place):
            return f"pain {answer}" if place is None else f"pain {answer} {place}"
        case (
            Undo()
            | Week()
            | BodyMassOff()
            | Settings()
            | Privacy()
            | Start()
            | Cleared()
            | AllWell()
            | ShowReminders()
            | SkipRest()
            | Cancel()
        ):
            return _PLAIN[type(command)]
        case _:
            return session_text(command)


_PLAIN: dict[type, str] = {
    Undo: "undo",
    Week: "week",
    BodyMassOff: "bw off",
    Settings: "settings",
    Privacy: "privacy",
    Start: "start",
    Cleared: "cleared",
    AllWell: "all well",
    ShowReminders: "reminders",
    SkipRest: "skip rest",
    Cancel: "never mind",
}


def _hour(at: time) -> str:
    return f"{at.hour}:{at.minute:02d}"


def _day(day: date | DaysAgo | DayOfYear | None) -> str:
    match day:
        case None:
            return ""
        case DaysAgo(days=days, weekday=None):
            return "yesterday " if days == 1 else f"{days} days ago "
        case DaysAgo(weekday=weekday):
            return f"{WEEKDAYS[weekday or 0]} "
        case DayOfYear(month=month, day=told):
            return f"{told} {MONTHS[month - 1]} "
        case date():
            return f"{day.isoformat()} "
        case _:
            assert_never(day)


def _sets(sets: Sequence[SetRead]) -> str:
    """Sets in order, equal ones together; a semicolon ends what is said about those before it."""
    groups: list[str] = []
    exercise: str | None = None
    place = 0
    while place < len(sets):
        count = _equal(sets, place)
        one = sets[place + count - 1]
        named = not place or one.exercise != exercise
        groups.append(_set(one, count, named=named))
        exercise = one.exercise
        place += count
    return "; ".join(groups)


def _equal(sets: Sequence[SetRead], place: int) -> int:
    """How many sets from here can be told as one: equal, or equal but for the effort of the last."""
    first = sets[place]
    if first.failed and first.reps:
        return 1
    end = place + 1
    while end < len(sets) and sets[end] == first:
        end += 1
    told = first.rir is not None or first.rpe is not None
    if told and not first.at_least:
        return 1
    if told and end < len(sets) and sets[end] == replace(first, at_least=False):
        low = first.rpe is not None and first.rpe < LOWEST_EXACT_RPE
        return end - place if low else end - place + 1
    return end - place


def _set(one: SetRead, count: int, *, named: bool = True) -> str:
    words = [
        one.exercise or "" if named else "",
        "w" if one.warmup else "",
        _done(one),
        f"x {count} sets" if count > 1 else "",
        *_effort(one),
        _failed(one),
        "+ help" if one.helped else "",
        "max" if one.measured else "",
        _parts(one.parts, bodyweight=one.bodyweight),
    ]
    return " ".join([word for word in words if word])


def _failed(one: SetRead) -> str:
    if not one.failed or one.reps == 0:
        return ""
    # `100 x 1 failed` alone would not tell whether the one was made.
    return "failed 2nd" if one.reps == 1 else "failed"


def _effort(one: SetRead) -> list[str]:
    words: list[str] = []
    if one.rir is not None:
        plus = "+" if one.at_least and one.rpe is None else ""
        words.append(f"rir {figure(one.rir)}{plus}")
    if one.rpe is not None:
        bound = " or less" if one.at_least and one.rpe >= LOWEST_EXACT_RPE else ""
        words.append(f"rpe {figure(one.rpe)}{bound}")
    return words


def _done(one: SetRead) -> str:
    """Load and what was done with it."""
    load = _load(one)
    side = " a side" if one.per_side else ""
    marked = one.unit is not None or one.plates or one.bodyweight or one.step or one.bar or (one.load or 0) < 0
    heavy = (one.load or 0) >= PLAIN_LOAD and not one.load_per_side
    if one.reps is None and one.seconds is None:
        return load if (marked and not one.bar) or not load else f"load {load}"
    if load and not (marked or heavy):
        load = f"load {load}"
    if one.seconds is not None:
        told = f"{figure(one.seconds)} sec{side}"
        return f"{load} x {told}" if load else told
    rests = "".join([f"+{part.reps}" for part in one.parts[: _rests(one.parts)]])
    if not load:
        return f"{one.reps}{rests} reps{side}"
    lift = catalogue().get(one.exercise) if one.exercise else None
    plain = (one.reps or 0) <= PLAIN_REPS and not side and (marked or heavy) and not (lift is not None and lift.timed)
    return f"{load} x {one.reps}{rests}" if plain else f"{load} x {one.reps}{rests} reps{side}"


def _load(one: SetRead) -> str:
    if one.load is None:
        return "bw" if one.bodyweight else "bar" if one.bar else ""
    amount = figure(abs(one.load)) + (f" {one.unit}" if one.unit is not None else "")
    if one.plates:
        amount += " plates"
    elif one.load_per_side:
        amount += " a side"
    if one.bodyweight:
        return f"bw{'-' if one.load < 0 else '+'}{amount}"
    if one.bar:
        return f"bar+{amount}"
    return f"{'-' if one.load < 0 else '+' if one.step else ''}{amount}"


def _rests(parts: Sequence[Part]) -> int:
    """How many parts after short rests stand before the first drop."""
    return next((place for place, part in enumerate(parts) if part.load is not None), len(parts))


def _parts(parts: Sequence[Part], *, bodyweight: bool) -> str:
    """Drops; what came after short rests before them stands beside the repetitions."""
    rested = _rests(parts)
    told = "rest-pause" if rested == 1 else ""
    for part in parts[rested:]:
        load = "bw" if bodyweight and part.load == 0 else figure(part.load or 0.0)
        told += f"+{part.reps}" if part.load is None else f" > {load} x {part.reps}"
    return told.strip()
