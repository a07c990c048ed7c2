"""What the store holds of a plan as one JSON object: `rackside plan --json`."""

from typing import TypedDict

from bot.rendering.whys import steps
from core.application.plan_ahead import PlanAhead, WeekAhead
from core.domain.prescriptions import DayState, PlannedDay, PrescribedLift
from core.domain.units import Load, Unit


class LoadObject(TypedDict):
    """A mass with its unit."""

    load: float
    unit: str


class SetObject(TypedDict):
    """A prescribed set; the load is None while it is still to be found."""

    load: float | None
    unit: str
    reps: int
    left: float | None
    why: list[str]


class WarmUpObject(TypedDict):
    """A warm-up set."""

    load: float
    unit: str
    reps: int


class ExerciseObject(TypedDict):
    """A lift of a session; plates are those of one side."""

    exercise: str
    sets: list[SetObject]
    warm_up: list[WarmUpObject]
    plates: list[LoadObject]


class SessionObject(TypedDict):
    """A session on its day."""

    date: str
    kind: str
    minutes: int
    state: str
    reduced: bool
    exercises: list[ExerciseObject]


class WeekObject(TypedDict):
    """A week of the block."""

    number: int
    reduced: bool
    sessions: list[SessionObject]
    muscles: dict[str, float]


class BlockObject(TypedDict):
    """The block: when the plan began, how many weeks come before the reduced one, and whether the lifter laid it out."""

    starts: str
    weeks: int
    own: bool


class PlanObject(TypedDict):
    """The plan; the block is None and there are no weeks without one."""

    block: BlockObject | None
    weeks: list[WeekObject]


def plan_object(ahead: PlanAhead | None, unit: Unit) -> PlanObject:
    """The weeks of the block that are left, this one first."""
    if ahead is None:
        return PlanObject(block=None, weeks=[])
    plan = ahead.plan
    return PlanObject(
        block=BlockObject(starts=plan.starts.isoformat(), weeks=plan.block.weeks, own=plan.own),
        weeks=[_week(week, unit) for week in ahead.weeks],
    )


def _week(week: WeekAhead, unit: Unit) -> WeekObject:
    return WeekObject(
        number=week.number,
        reduced=week.reduced,
        sessions=[_session(day, unit, reduced=week.reduced) for day in week.days if day.state is not DayState.DROPPED],
        muscles={muscle.value: sets for muscle, sets in week.muscles},
    )


def _session(day: PlannedDay, unit: Unit, *, reduced: bool) -> SessionObject:
    given = day.prescription
    seconds = day.session.seconds if given is None else given.seconds
    return SessionObject(
        date=day.day.isoformat(),
        kind=day.session.kind.value,
        minutes=-(-seconds // 60),
        state=day.state.value,
        reduced=reduced if given is None else given.reduced,
        exercises=[] if given is None else [_exercise(lift, unit) for lift in given.lifts],
    )


def _exercise(lift: PrescribedLift, unit: Unit) -> ExerciseObject:
    return ExerciseObject(
        exercise=lift.exercise,
        sets=[
            SetObject(
                load=None if each.load is None else each.load.amount,
                unit=unit.value if each.load is None else each.load.unit.value,
                reps=each.reps,
                left=each.left,
                why=steps(each.why, unit),
            )
            for each in lift.sets
        ],
        warm_up=[
            WarmUpObject(load=each.load.amount, unit=each.load.unit.value, reps=each.reps) for each in lift.warm_up
        ],
        plates=[_load(disc) for disc in lift.side],
    )


def _load(load: Load) -> LoadObject:
    return LoadObject(load=load.amount, unit=load.unit.value)
