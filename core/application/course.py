"""The course of a planned session: what was given out for it, and how far its sets have come."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from core.application import replay, resolve
from core.application.session_plan import given, gym, lifts_of
from core.application.strength_now import StrengthNow
from core.application.training_day import SETTLED, in_line, planned_for, week_days
from core.application.turn import Turn
from core.domain.equipment import NG_PER_KG, mass_ng
from core.domain.exercises import Exercise
from core.domain.guidance import LiftTold, Move, Reason
from core.domain.plans import Role
from core.domain.prescriptions import DayState, PlannedDay, PrescribedLift
from core.domain.sessions import Session
from core.domain.sets import LoggedSet, SetRead
from core.domain.units import Load, Unit
from core.planning.calendar import first_day, week_of
from core.planning.care import LEFT_ALONE, alone
from core.planning.lift_walk import LiftNow, SetDone, walked
from core.planning.loading import MOST_RAISE, loads


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftOn:
    """One lift of a planned session with the sets that it took."""

    lift: PrescribedLift
    exercise: Exercise
    now: LiftNow
    taken: tuple[LoggedSet, ...]

    @property
    def told(self) -> LiftTold:
        """The lift as it is told: what is left of it with the load that its sets so far have led to."""
        now, lift = self.now, self.lift
        unit = Unit.KG if lift.sets[0].load is None else lift.sets[0].load.unit
        if now.finding:
            started = bool(now.ways_up)
            return lift_told(lift, self.exercise, finding_at=now.load.told_in(unit) if started else None)
        if now.done and not now.over:
            coming = tuple(replace(each, load=now.load.told_in(unit)) for each in lift.sets[now.done :])
            lift = replace(lift, sets=(*lift.sets[: now.done], *coming), side=now.load.side)
        return lift_told(lift, self.exercise, done=now.done)


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A planned session, the session of the log that it is done in, and where each lift stands."""

    day: PlannedDay
    session: Session | None
    lifts: tuple[LiftOn, ...]

    @property
    def left(self) -> tuple[LiftOn, ...]:
        """Lifts that are not over, the next one first."""
        going_on = self.going_on
        rest = [each for each in self.lifts if not each.now.over and each is not going_on]
        return tuple(rest) if going_on is None else (going_on, *rest)

    @property
    def going_on(self) -> LiftOn | None:
        """The lift to which a set without a name belongs; None where that is no planned one."""
        name = None if self.session is None else self.session.exercise
        mine = [each for each in self.lifts if each.exercise.name == name]
        if name is not None and not mine:
            return None
        open_ones = [each for each in mine if not each.now.over] or [each for each in self.lifts if not each.now.over]
        return open_ones[0] if open_ones else None

    def of(self, name: str) -> LiftOn | None:
        """The lift of an exercise: one that is not over before one that is."""
        mine = [each for each in self.lifts if each.exercise.name == name]
        return next((each for each in mine if not each.now.over), mine[-1] if mine else None)

    def took(self, one: LoggedSet) -> LiftOn | None:
        """The lift that took a set."""
        return next((each for each in self.lifts if any(taken.id == one.id for taken in each.taken)), None)

    def next_loads(self, unit: Unit) -> dict[str, Load]:
        """Load of the next set of each lift that is not over, by exercise."""
        return {each.exercise.name: each.now.load.told_in(unit) for each in reversed(self.lifts) if not each.now.over}


def course(turn: Turn) -> Course | None:
    """The planned session that a set sent now belongs to; None without one, or while suggestions are stopped.

    What was not given out yet is worked out, but not written.
    """
    if turn.lifter.stopped_at is not None:
        return None
    session = resolve.session_now(turn)
    day = None if session is None else turn.work.plans.of_session(turn.lifter.id, session.id)
    if day is None:
        day = planned_for(turn, turn.today)
        if day is None or day.state in SETTLED:
            return None
    sets = () if session is None else turn.work.sets.of_session(session.id)
    return course_of(turn, day, session, sets)


def course_of(turn: Turn, day: PlannedDay, session: Session | None, sets: Sequence[LoggedSet]) -> Course:
    """A planned session with these sets of the log."""
    if day.prescription is None:
        day = given(turn, day)
    prescription = day.prescription
    if prescription is None:
        raise LookupError("a session that is given out has a prescription")
    strength = StrengthNow(turn, before=None if session is None else session.id)
    care = turn.setup.care_on(turn.today)
    known = lifts_of(turn, day.session)
    waiting = [each for each in sets if each.reps is not None]
    lifts: list[LiftOn] = []
    for lift in prescription.lifts:
        exercise = known.get(lift.exercise)
        if exercise is None or not lift.sets:
            continue
        mine = [each for each in waiting if each.exercise == lift.exercise]
        now = walked(
            lift,
            exercise,
            loads(exercise, gym(turn)),
            [_set_done(each) for each in mine],
            care=care,
            expectation=strength,
            body_kg=exercise.body_share * (turn.lifter.body_mass_kg or 0.0),
        )
        if alone(exercise, care):
            now = _kept_safe(turn, exercise, now)
        taken = tuple(mine[: len(now.ways_up)])
        waiting = [each for each in waiting if each not in taken]
        lifts.append(LiftOn(lift=lift, exercise=exercise, now=now, taken=taken))
    return Course(day=day, session=session, lifts=tuple(lifts))


def _kept_safe(turn: Turn, exercise: Exercise, now: LiftNow) -> LiftNow:
    """Alone under the bar: no load for the next set that leaves less than may be left, by all that is known now."""
    if now.over or now.finding or not now.done:
        return now
    able = StrengthNow(turn).load_kg(exercise, reps=now.reps, left=LEFT_ALONE, sets=now.done + 1)
    if able is None or now.load.kg <= able * (1.0 + float(MOST_RAISE)):
        return now
    on_bar = loads(exercise, gym(turn)).on(now.load.bar)
    lower = on_bar.at_most(round(able * NG_PER_KG)) or on_bar.lightest
    if lower.ng >= now.load.ng:
        return now
    since = (*now.since, (Move.DOWN, Reason.KEPT_BACK, lower))
    return replace(now, load=lower, move=Move.DOWN, reason=Reason.KEPT_BACK, changed=True, since=since)


def lift_told(lift: PrescribedLift, exercise: Exercise, *, done: int = 0, finding_at: Load | None = None) -> LiftTold:
    """A lift with the way its load is told."""
    return LiftTold(
        lift=lift, done=done, finding_at=finding_at, per_hand=exercise.per_hand, body_mass=exercise.body_share > 0
    )


def begun(turn: Turn, planned: Course, session: Session, sets: Sequence[LoggedSet]) -> None:
    """Write that a planned session is done by a session of the log, once one of its lifts was logged."""
    names = {each.exercise.name for each in planned.lifts}
    if not any(each.exercise in names for each in sets):
        return
    day = replace(planned.day, state=DayState.DONE, session_id=session.id)
    if day != planned.day or planned.session is None:
        turn.work.plans.keep_day(day)


def told_late(turn: Turn, session: Session, sets: Sequence[LoggedSet]) -> None:
    """Write that sets of a day gone by were that day's planned session; one that had to give way to it comes back."""
    plan = turn.plan
    if plan is None or in_line(plan):
        return
    week, names = week_of(plan, session.day), {each.exercise for each in sets}
    days = week_days(turn, plan, week)
    open_ones = [each for each in days if each.session_id is None and each.state is not DayState.DONE]
    for each in open_ones:
        laid_out_on = first_day(plan, week) + timedelta(days=each.session.day)
        if session.day not in (each.day, laid_out_on) or not names & {lift.exercise for lift in each.session.lifts}:
            continue
        turn.work.plans.keep_day(replace(each, day=session.day, state=DayState.DONE, session_id=session.id))
        for other in open_ones:
            if other.state is DayState.DROPPED and other.day == each.day >= turn.today and other is not each:
                turn.work.plans.keep_day(replace(other, state=DayState.PLANNED))
        return


def begun_no_more(turn: Turn, session_id: int) -> None:
    """Write that a planned session is open again: the session of the log that it was done by has no sets left."""
    day = turn.work.plans.of_session(turn.lifter.id, session_id)
    if day is not None:
        turn.work.plans.keep_day(replace(day, state=DayState.OPEN, session_id=None))


def with_ways_up(
    turn: Turn, planned: Course, sets: Sequence[LoggedSet], before: Sequence[LoggedSet]
) -> tuple[LoggedSet, ...]:
    """New sets, those marked as warm-ups that are steps on the way to a load that is still to be found."""
    there = [(place, each) for place, each in enumerate(sets)]
    found = list(sets)
    for lift in planned.lifts:
        if lift.lift.sets[0].load is not None:
            continue
        old = [each for each in before if each.exercise == lift.exercise.name and each.reps is not None]
        new = [(place, each) for place, each in there if each.exercise == lift.exercise.name and each.reps is not None]
        now = walked(
            lift.lift,
            lift.exercise,
            loads(lift.exercise, gym(turn)),
            [_set_done(each) for each in (*old, *(each for _, each in new))],
            care=turn.setup.care_on(turn.today),
            expectation=StrengthNow(turn),
            body_kg=lift.exercise.body_share * (turn.lifter.body_mass_kg or 0.0),
        )
        for (place, _), up in zip(new, now.ways_up[len(old) :], strict=False):
            found[place] = replace(found[place], warmup=up)
    return tuple(found)


def planned_read(turn: Turn, on: LiftOn, *, reps: int, failed: bool = False, left: float | None = None) -> SetRead:
    """The next set of a lift as the text that logs it is read."""
    load = on.now.load.told_in(turn.unit)
    body = on.exercise.body_share > 0
    bare = load.amount == 0 and body
    return SetRead(
        exercise=on.exercise.name,
        load=None if bare else abs(load.amount),
        unit=None if bare else load.unit,
        bodyweight=body and not on.exercise.assisted,
        reps=reps,
        failed=failed,
        rir=left,
        at_least=left is not None and left >= MOST_LEFT_TOLD,
    )


MOST_LEFT_TOLD = 4.0
"""Repetitions left that are told as "so many or more". [repetitions]"""


def is_main(on: LiftOn) -> bool:
    """Whether a lift is the main one of its session."""
    return on.lift.role is Role.MAIN


def _set_done(one: LoggedSet) -> SetDone:
    left, at_least = replay.told_left(one)
    ng = 0 if one.load is None else mass_ng(Load(abs(one.load), one.unit))
    return SetDone(
        ng=-ng if one.load_kg < 0 else ng,
        reps=one.reps or 0,
        failed=one.failed,
        left=left,
        at_least=at_least,
        warm_up=one.warmup,
    )
