"""Replanning: a session with other lifts or sets, written and told, while what was done of it stays."""

from collections.abc import Iterable
from dataclasses import replace

from core.application import next_set, today
from core.application.course import Course, LiftOn, course, course_of
from core.application.session_plan import planned_again, with_lifts
from core.application.turn import Turn
from core.domain.guidance import DayChange, NoSession, NoSessionTold
from core.domain.plans import PlannedLift
from core.domain.replies import Guided, Reply


def lift_meant(turn: Turn, planned: Course, name: str) -> LiftOn | None:
    """The lift of the session that a name means: itself, or the only one of the same movement that is left."""
    on = planned.of(name)
    exercise = turn.exercise(name)
    if on is not None or exercise is None:
        return on
    alike = [each for each in planned.left if each.exercise.pattern is exercise.pattern]
    return alike[0] if len(alike) == 1 else None


def without(planned: Course, gone: Iterable[LiftOn]) -> list[PlannedLift]:
    """The lifts of a session without what is still to be done of some of them."""
    lifts = []
    for each in planned.day.session.lifts:
        on = next((on for on in gone if is_of(each, on)), None)
        if on is None:
            lifts.append(each)
        elif on.now.done:
            lifts.append(replace(each, sets=on.now.done))
    return lifts


def replanned(
    turn: Turn, planned: Course, lifts: Iterable[PlannedLift], change: DayChange, about: str, *texts: str
) -> list[Reply]:
    """Write a session with other lifts, keeping what was given out for those under way, and tell what is left."""
    session = with_lifts(turn, planned.day.session, lifts)
    day = planned_again(turn, planned, session, texts)
    turn.work.plans.keep_day(day)
    sets = () if planned.session is None else turn.work.sets.of_session(planned.session.id)
    after = course_of(turn, day, planned.session, sets)
    if not after.left:
        return [Guided(NoSessionTold(why=NoSession.EMPTY))]
    return [today.told(turn, after, change, about)]


def care_changed(turn: Turn) -> bool:
    """Work out again what was given out of the day's session, for what may be prescribed has changed; whether it is another."""
    planned = course(turn)
    if planned is None or not planned.left:
        return False
    week = planned.day.week
    written = turn.work.plans.days(planned.day.plan_id, first=week, last=week)
    if not any(each.place == planned.day.place and each.prescription is not None for each in written):
        return False
    day = planned_again(turn, planned, planned.day.session, ())
    if day == planned.day:
        return False
    # What the taps of the set before would log is not what is planned any more.
    next_set.withdraw(turn)
    turn.work.plans.keep_day(day)
    return True


def session_anew(turn: Turn) -> list[Reply]:
    """What is left of the day's session, where a change of care made it another one."""
    planned = course(turn) if care_changed(turn) else None
    return [] if planned is None or not planned.left else [today.told(turn, planned)]


def is_of(lift: PlannedLift, on: LiftOn) -> bool:
    """Whether a lift of the plan is the one that is under way."""
    return (lift.exercise, lift.role) == (on.exercise.name, on.lift.role)


def is_out(planned: Course, name: str) -> bool:
    """Whether a lift is left out of the session because something hurts: no more of it is given out."""
    return f"out {name}" in planned.day.adjusted
