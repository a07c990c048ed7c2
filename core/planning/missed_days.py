"""Missed days: where a session goes that was not done on its day, and which one is next in line."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.domain.exercises import Catalogue, Muscle
from core.domain.plans import DAYS, DayKind, PlannedSession, WeekPlan
from core.domain.prescriptions import DayState, PlannedDay

DAYS_BETWEEN = 2
"""Days from one session of a muscle to the next: 48 hours. [d]"""

DROPPED_FIRST = (DayKind.POWER, DayKind.VOLUME)
"""Kinds in the order in which their sessions are dropped; strength never is."""


@dataclass(frozen=True, slots=True)
class Moved:
    """The session goes to another day of the week, 0 for Monday."""

    session: PlannedSession
    day: int


@dataclass(frozen=True, slots=True)
class TakesPlace:
    """The session goes to the day of another one, which is dropped."""

    session: PlannedSession
    dropped: PlannedSession


@dataclass(frozen=True, slots=True)
class Dropped:
    """The session is left out this week."""

    session: PlannedSession


@dataclass(frozen=True, slots=True)
class CaughtUp:
    """A session that was missed, and the sessions as they stand after that: itself, and one that gave way to it."""

    missed: PlannedDay
    changed: tuple[PlannedDay, ...]


def missed_day(
    week: WeekPlan, missed: PlannedSession, today: int, catalogue: Catalogue, *, done: Sequence[int] = ()
) -> Moved | TakesPlace | Dropped:
    """What becomes of a session that was not done on its day.

    It moves to the next day, from today to the end of the week, on which no session is planned or done and that keeps
    48 hours for its muscles, the first session of the next week included. Where there is none, something is dropped:
    power first, then volume; a strength session takes the day of another one, and is dropped only where no later one
    is left to give way.

    Args:
        week: The week as planned.
        missed: The session.
        today: Weekday of today, 0 for Monday.
        catalogue: Tells the muscles of the lifts.
        done: Weekdays on which a session was done already, as planned.

    """
    others = [each for each in week.sessions if each is not missed and (each.day in done or each.day >= today)]
    taken = {each.day for each in others}
    for day in range(max(today, 0), DAYS):
        if day not in taken and _keeps_apart(missed, day, others, week, catalogue):
            return Moved(missed, day)
    later = [each for each in others if each.day not in done]
    for kind in DROPPED_FIRST:
        if missed.kind is kind:
            return Dropped(missed)
        for each in later:
            if each.kind is kind:
                rest = [other for other in others if other is not each]
                if _keeps_apart(missed, each.day, rest, week, catalogue):
                    return TakesPlace(missed, each)
    return Dropped(missed)


def moved_session(week: WeekPlan, session: PlannedSession, to_day: int) -> WeekPlan:
    """The week with one session on another day; one that is there changes places with it."""
    found = []
    for each in week.sessions:
        if each is session:
            found.append(replace(each, day=to_day))
        elif each.day == to_day:
            found.append(replace(each, day=session.day))
        else:
            found.append(each)
    return replace(week, sessions=tuple(sorted(found, key=lambda each: each.day)))


def next_in_line(week: WeekPlan, last: int | None) -> tuple[int, PlannedSession]:
    """The session that follows the last one done, and its place, from 0; the first one where none was done."""
    place = 0 if last is None else (last + 1) % len(week.sessions)
    return place, week.sessions[place]


def trained_directly(session: PlannedSession, catalogue: Catalogue) -> frozenset[Muscle]:
    """Muscles that a session trains directly."""
    found: set[Muscle] = set()
    for lift in session.lifts:
        exercise = catalogue.get(lift.exercise)
        if exercise is not None:
            found |= exercise.direct
    return frozenset(found)


def _keeps_apart(
    session: PlannedSession, day: int, others: Sequence[PlannedSession], week: WeekPlan, catalogue: Catalogue
) -> bool:
    muscles = trained_directly(session, catalogue)
    neighbours = [(each.day, each) for each in others]
    # The next week begins as this one did, unless its first session is the one that moves.
    neighbours += [(each.day + DAYS, each) for each in week.sessions]
    return not any(
        abs(when - day) < DAYS_BETWEEN and muscles & trained_directly(each, catalogue) for when, each in neighbours
    )


def caught_up(days: Sequence[PlannedDay], monday: date, today: date, catalogue: Catalogue) -> tuple[CaughtUp, ...]:
    """What becomes of the sessions of a week whose day has passed; each sees what came of those before.

    Strength finds its place first and power last, the older before the newer.
    A session that was begun is none of them: what was done of it stands.

    Args:
        days: The week's sessions as they stand.
        monday: Its first day.
        today: The training day.
        catalogue: Tells the muscles of the lifts.

    """
    standing = {(each.week, each.place): each for each in days}
    found = []
    for each in sorted(days, key=lambda one: (_LOST_LAST.index(one.session.kind), one.day, one.place)):
        now = standing[each.week, each.place]
        if now.day >= today or now.session_id is not None or now.state not in (DayState.PLANNED, DayState.OPEN):
            continue
        there = [one for one in standing.values() if one.state in _COUNTS]
        at_days = {one.place: replace(one.session, day=(one.day - monday).days) for one in there}
        done = [at_days[one.place].day for one in there if one.state is DayState.DONE or one.session_id is not None]
        week = WeekPlan(
            sessions=tuple(sorted(at_days.values(), key=lambda session: session.day)), muscles=(), targets=()
        )
        what = missed_day(week, at_days[now.place], (today - monday).days, catalogue, done=done)
        changed: list[PlannedDay] = []
        match what:
            case Moved(day=day):
                changed = [replace(now, day=monday + timedelta(days=day), state=DayState.PLANNED, prescription=None)]
            case TakesPlace(dropped=dropped):
                other = next(one for one in there if at_days[one.place] is dropped)
                changed = [
                    replace(now, day=other.day, state=DayState.PLANNED, prescription=None),
                    replace(other, state=DayState.DROPPED),
                ]
            case Dropped():
                changed = [replace(now, state=DayState.DROPPED)]
        standing.update({(one.week, one.place): one for one in changed})
        found.append(CaughtUp(now, tuple(changed)))
    return tuple(found)


_LOST_LAST = (DayKind.STRENGTH, DayKind.VOLUME, DayKind.POWER)

_COUNTS = frozenset({DayState.PLANNED, DayState.OPEN, DayState.DONE})
