"""From a set as read to a set as logged: which exercise, which load in kilograms, which session."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from core.application.turn import Turn
from core.domain.commands import DayOfYear, DaysAgo
from core.domain.exercises import Equipment, Exercise
from core.domain.replies import Nothing, NothingThere
from core.domain.sessions import Session
from core.domain.sets import LoggedSet, SetRead
from core.domain.units import Load, Unit, from_kg, to_kg

LARGEST_DISC = {Unit.KG: 20.0, Unit.LB: 45.0}
"""What `plate` means where a lifter counts them. Common practice, no source: the 20 kg and the 45 lb disc."""

LONGEST_AGO = timedelta(days=75 * 365)
"""Furthest back that sets can be told for: nobody who lifts today lifted earlier."""

LONGEST_UNDATED_AGO = timedelta(days=366)
"""The same for a day told without its year: 29 February of some year long gone is a slip."""

DAYS_IN_WEEK = 7

NOTHING_PLANNED: Mapping[str, Load] = {}
"""No planned set is next."""


@dataclass(frozen=True, slots=True)
class UnknownExercise:
    """Words that are no exercise yet."""

    words: str


@dataclass(frozen=True, slots=True)
class SideInDoubt:
    """A load told for one side, by a lifter whose way of telling is not known yet."""

    exercise: Exercise


Unresolved = NothingThere | UnknownExercise | SideInDoubt


def session_now(turn: Turn) -> Session | None:
    """The session that a set sent now belongs to; None if it opens a new one."""
    last = turn.last_session()
    if last is None or turn.at >= last.opened_at:
        return last if last is None or last.takes(turn.at) else None
    # A late one: as it would have found it in time, it goes on with what was open then, or what came after goes on with it.
    taking = [each for each in turn.work.sessions.near(turn.lifter.id, turn.at) if each.takes(turn.at)]
    open_then = [each for each in taking if each.opened_at <= turn.at]
    return next(iter(open_then or taking), None)


def told_day(turn: Turn, day: date | DaysAgo | DayOfYear) -> date:
    """The date that a told day is for this lifter."""
    if isinstance(day, date):
        return day
    if isinstance(day, DayOfYear):
        return _last_such_day(turn.today, day)
    if day.weekday is None:
        return turn.today - timedelta(days=day.days)
    back = (turn.today.weekday() - day.weekday - 1) % DAYS_IN_WEEK + 1
    return turn.today - timedelta(days=back)


def never_meant(turn: Turn, day: date | DaysAgo | DayOfYear) -> Nothing | None:
    """Why sets can't be told for a day; None where they can."""
    told = told_day(turn, day)
    if told > turn.today:
        return Nothing.DAY_AHEAD
    furthest = LONGEST_AGO if isinstance(day, date) else LONGEST_UNDATED_AGO
    return Nothing.DAY_LONG_GONE if told < turn.today - furthest else None


def week_around(day: date) -> tuple[date, date]:
    """Monday and Sunday of the week that a day lies in."""
    first = day - timedelta(days=day.weekday())
    return first, first + timedelta(days=DAYS_IN_WEEK - 1)


def on_day(turn: Turn, day: date) -> tuple[Session | None, datetime]:
    """The session of a day gone by that sets told later join, and the instant they count at.

    They stand at the end of that day's last session, or at this hour of that day where it had none.
    """
    sessions = turn.work.sessions.on_day(turn.lifter.id, day)
    if sessions:
        return sessions[-1], sessions[-1].last_set_at
    local = turn.lifter.local(turn.at)
    moved = local.replace(tzinfo=None) + (day - turn.lifter.day_of(turn.at))
    return None, moved.replace(tzinfo=local.tzinfo).astimezone(turn.at.tzinfo)


def resolved(
    turn: Turn,
    read: Sequence[SetRead],
    *,
    at: datetime,
    current: str | None,
    before: Sequence[LoggedSet],
    root_key: str,
    place: int = 0,
    session_id: int = 0,
    weak: bool = False,
    planned: Mapping[str, Load] = NOTHING_PLANNED,
) -> tuple[LoggedSet, ...] | Unresolved:
    """Sets ready for the log, or the one thing that keeps them out of it.

    Args:
        turn: The turn.
        read: Sets as read.
        at: When they were done.
        current: The exercise that a set without a name belongs to.
        before: Sets of the session so far, for loads that are told relative to them.
        root_key: Key of the message that told them.
        place: Place of the first of them in that message.
        session_id: Their session; 0 if it is not open yet.
        weak: The message also told of a pain: they say little about strength.
        planned: Load of the next planned set, by exercise.

    """
    done: list[LoggedSet] = []
    for number, each in enumerate(read):
        name = each.exercise or current
        if name is None:
            return NothingThere(Nothing.WHICH_EXERCISE)
        exercise = turn.exercise(name)
        if exercise is None:
            return UnknownExercise(name)
        current = exercise.name
        if each.reps is None and each.seconds is None:
            return NothingThere(Nothing.WHICH_REPS, exercise.name)
        if each.seconds is not None and each.exercise is None and not _is_held(exercise, (*before, *done)):
            # `20 min left`: a time says nothing of a lift that nobody holds.
            return NothingThere(Nothing.WHICH_EXERCISE)
        taken = _load(turn, each, exercise, before=(*before, *done), planned=planned)
        if not isinstance(taken, _Taken):
            return taken
        load_kg = _load_kg(exercise, taken.load)
        done.append(
            LoggedSet(
                session_id=session_id,
                at=at,
                root_key=root_key,
                place=place + number,
                exercise=exercise.name,
                load=None if taken.load is None else taken.load.amount,
                unit=turn.unit if taken.load is None else taken.load.unit,
                load_kg=load_kg,
                moved_kg=moved_kg(exercise, load_kg, turn.lifter.body_mass_kg),
                reps=each.reps,
                rir=each.rir,
                rpe=each.rpe,
                at_least=each.at_least,
                failed=each.failed,
                warmup=each.warmup,
                bodyweight=exercise.body_share > 0,
                bar=each.bar,
                per_side=each.per_side,
                load_per_side=each.load_per_side,
                seconds=each.seconds,
                helped=each.helped,
                measured=each.measured,
                weak=weak,
                parts=each.parts,
            )
        )
    return tuple(done)


def _is_held(exercise: Exercise, before: Sequence[LoggedSet]) -> bool:
    last = _last_of(before, exercise.name)
    return exercise.timed or (last is not None and last.seconds is not None)


def moved_kg(exercise: Exercise, load_kg: float, body_mass_kg: float | None) -> float | None:
    """What the muscles move: the load and the share of body mass; None where body mass is needed and unknown. [kg]"""
    if exercise.body_share == 0.0:
        return load_kg if load_kg > 0 else None
    if body_mass_kg is None:
        return None
    moved = load_kg + exercise.body_share * body_mass_kg
    return moved if moved > 0 else None


def _last_such_day(today: date, day: DayOfYear) -> date:
    # 29 February comes every four years, once in a while every eight.
    for year in range(today.year, today.year - 9, -1):
        try:
            found = date(year, day.month, day.day)
        except ValueError:
            continue
        if found <= today:
            return found
    return today


def _load_kg(exercise: Exercise, load: Load | None) -> float:
    if load is None:
        return 0.0
    return -load.kg if exercise.assisted and load.kg > 0 else load.kg


@dataclass(frozen=True, slots=True)
class _Taken:
    load: Load | None


def _load(
    turn: Turn, read: SetRead, exercise: Exercise, *, before: Sequence[LoggedSet], planned: Mapping[str, Load]
) -> _Taken | Unresolved:
    unit = read.unit or turn.unit
    bar = turn.lifter.bar
    if read.load is None:
        return _untold_load(read, exercise, bar, before, planned.get(exercise.name))
    if read.plates:
        side = Load(read.load * LARGEST_DISC[unit], unit)
        return _both_sides(turn, exercise, side, bar)
    if read.load_per_side:
        return _both_sides(turn, exercise, Load(read.load, unit), bar)
    if read.bar:
        return _Taken(_sum(bar, Load(read.load, unit)))
    if read.step and exercise.body_share == 0:
        last = _last_of(before, exercise.name) or _last_logged(turn, exercise.name)
        if last is None or last.load is None:
            return NothingThere(Nothing.LAST_LOAD, exercise.name)
        return _Taken(_sum(Load(last.load, last.unit), Load(read.load, unit)))
    return _Taken(Load(read.load, unit))


def _untold_load(
    read: SetRead, exercise: Exercise, bar: Load, before: Sequence[LoggedSet], planned: Load | None
) -> _Taken | Unresolved:
    if read.bar:
        return _Taken(bar)
    if read.bodyweight or exercise.timed:
        return _Taken(None)
    if planned is not None and not read.warmup:
        return _Taken(None if planned.amount == 0 else Load(abs(planned.amount), planned.unit))
    last = _last_of(before, exercise.name)
    if last is not None:
        return _Taken(None if last.load is None else Load(last.load, last.unit))
    if exercise.body_share > 0 or exercise.equipment in {Equipment.BODYWEIGHT, Equipment.BAND, Equipment.WHEEL}:
        return _Taken(None)
    return NothingThere(Nothing.WHICH_LOAD, exercise.name)


def _both_sides(turn: Turn, exercise: Exercise, side: Load, bar: Load) -> _Taken | SideInDoubt:
    both = Load(2 * side.amount, side.unit)
    if not exercise.bar:
        return _Taken(side if exercise.per_hand else both)
    habit = turn.lifter.habits.get("side")
    if habit is None:
        return SideInDoubt(exercise)
    return _Taken(_sum(bar, both) if habit == "bar" else both)


def _sum(first: Load, second: Load) -> Load:
    if first.unit is second.unit:
        return Load(first.amount + second.amount, second.unit)
    return Load(round(from_kg(to_kg(first.amount, first.unit), second.unit) + second.amount, 2), second.unit)


def _last_of(before: Sequence[LoggedSet], exercise: str) -> LoggedSet | None:
    return next((each for each in reversed(before) if each.exercise == exercise), None)


def _last_logged(turn: Turn, exercise: str) -> LoggedSet | None:
    recent = turn.work.sets.recent_sessions(turn.lifter.id, exercise, limit=1)
    return recent[0][1][-1] if recent else None


def with_sides_summed(turn: Turn, read: Sequence[SetRead], *, bar: bool) -> tuple[SetRead, ...]:
    """The same sets with loads told for one side written out for both, with or without the bar."""
    done: list[SetRead] = []
    for each in read:
        if each.load is None or not (each.load_per_side or each.plates):
            done.append(each)
            continue
        unit = each.unit or turn.unit
        side = each.load * LARGEST_DISC[unit] if each.plates else each.load
        total = Load(2 * side, unit)
        if bar:
            total = _sum(turn.lifter.bar, total)
        done.append(replace(each, load=total.amount, unit=total.unit, load_per_side=False, plates=False))
    return tuple(done)
