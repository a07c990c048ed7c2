"""What every engine must do alike: how a lifter trains, the plan that holds, and its sessions day by day."""

from dataclasses import replace
from datetime import date

import pytest

from core.application.ports import Store
from core.domain.checkins import Ache
from core.domain.equipment import Bar, Discs, Listed, Owned, Stack, Steps
from core.domain.exercises import Equipment, Muscle
from core.domain.plans import (
    Block,
    DayKind,
    Miss,
    Plan,
    PlannedLift,
    PlannedSession,
    Role,
    Scheme,
    WeekPlan,
    Wishes,
)
from core.domain.prescriptions import (
    AtShare,
    Bound,
    Bounded,
    Care,
    Change,
    Changed,
    DayState,
    Estimated,
    Place,
    PlannedDay,
    PrescribedLift,
    PrescribedSet,
    Prescription,
    Rounded,
    Safety,
    SmallerDiscs,
    Step,
    Stepped,
    ToFind,
    WarmUpSet,
)
from core.domain.profile import Lifter
from core.domain.setups import Away, Hurting, Setup, SetupStep
from core.domain.units import Load, Unit
from tests.core.storage.rows import KIM, NOW, TODAY, done, minutes, new_lifter

BAR = Bar(Load(45.0, Unit.LB), Equipment.BARBELL, collar=Load(2.5, Unit.KG))

SETUP = Setup(
    asked=SetupStep.MINUTES,
    answered=frozenset({SetupStep.UNITS, SetupStep.DAYS}),
    skipped=frozenset({SetupStep.SCREENING}),
    wishes=Wishes(
        days=(0, 2, 4),
        minutes=75,
        most=(Muscle.CHEST, Muscle.LATS),
        left_out=frozenset({Muscle.CALVES}),
        banned=frozenset({"leg press"}),
        liked=frozenset({"barbell row"}),
        sets_now=((Muscle.CHEST, 8.0),),
        pressing_days=3,
    ),
    owned=Owned(
        unit=Unit.LB,
        has=frozenset({Equipment.BARBELL, Equipment.DUMBBELL, Equipment.CABLE}),
        bars=(BAR,),
        discs=(Discs(Load(45.0, Unit.LB), 2), Discs(Load(1.25, Unit.KG), 1)),
        stacks=(
            Stack(Listed((Load(10.0, Unit.LB), Load(25.0, Unit.LB))), Equipment.DUMBBELL),
            Stack(Steps(Load(5, Unit.KG), Load(80, Unit.KG), Load(2.5, Unit.KG)), Equipment.CABLE, "triceps pushdown"),
        ),
    ),
    care=Care(safety=Safety.ARMS, screened=False),
    screened_on=date(2027, 1, 1),
    paused_bench=True,
    check_in_day=0,
    check_in_at=None,
    spotter_on=TODAY,
    failing={"elbows": 2},
    shown={"elbows": 3, "feet": 1},
    reminded_on=TODAY,
    away=Away(date(2026, 12, 20), date(2027, 1, 2), sick=True),
    hurting=(Hurting(Place.SHOULDER, Ache.FADES, TODAY),),
    cautious=True,
    cutting=True,
)

LIFT = PlannedLift(exercise="bench press", role=Role.MAIN, sets=5, scheme=Scheme(reps=5, top=7, left=2.0))

POWER = PlannedLift(exercise="bench press", role=Role.MAIN, sets=5, scheme=Scheme(reps=3, top=3, left=None, share=0.7))

SESSION = PlannedSession(day=0, kind=DayKind.STRENGTH, lifts=(LIFT,), seconds=2400)

WEEK = WeekPlan(
    sessions=(SESSION, PlannedSession(day=3, kind=DayKind.POWER, lifts=(POWER,), seconds=1800)),
    muscles=((Muscle.CHEST, 5.0), (Muscle.TRICEPS, 2.5)),
    targets=((Muscle.CHEST, 8.0),),
    misses=(Miss(Muscle.CHEST, 8.0, 5.0),),
    without_main=(5,),
)

BLOCK = Block(week=WEEK, weeks=5, reduced=replace(WEEK, muscles=(), targets=(), misses=(), without_main=()))

WHY = (
    Estimated(104.0, 98.0, 109.0),
    AtShare(0.83, 5, 2.0, 5, 1.5, 86.3),
    Stepped(Step.TWO_FOR_TWO, 85.0, 87.5),
    Changed(Change.FADING_ACHE, 1.0),
    Bounded(Bound.ALONE),
    Rounded(86.3, 87.5),
    ToFind(),
)
"""One of each, so that none can be read back as another."""

GIVEN = Prescription(
    kind=DayKind.STRENGTH,
    lifts=(
        PrescribedLift(
            exercise="bench press",
            role=Role.MAIN,
            sets=(
                PrescribedSet(load=Load(87.5, Unit.KG), reps=5, left=2.0, expected_left=3.5, why=WHY),
                PrescribedSet(load=None, reps=5, left=None, expected_left=None, why=(ToFind(),)),
            ),
            warm_up=(WarmUpSet(Load(20.0, Unit.KG), 8), WarmUpSet(Load(60.0, Unit.KG), 3, (Load(20.0, Unit.KG),))),
            bar=BAR,
            side=(Load(25.0, Unit.KG), Load(1.25, Unit.KG)),
            smaller=SmallerDiscs(Load(0.5, Unit.KG), Load(86.0, Unit.KG)),
        ),
    ),
    seconds=2400,
)


def plan(store: Store, lifter: Lifter) -> Plan:
    made = Plan(lifter_id=lifter.id, starts=TODAY, made_at=NOW, block=BLOCK, wishes=SETUP.wishes)
    return done(store, lambda work: work.plans.add(made))


def day(made: Plan, *, week: int = 0, place: int = 0, state: DayState = DayState.PLANNED) -> PlannedDay:
    return PlannedDay(plan_id=made.id, week=week, place=place, day=TODAY, state=state, session=SESSION)


def test_every_field_of_a_set_up_is_kept(store: Store) -> None:
    lifter = new_lifter(store)

    done(store, lambda work: work.setups.save(lifter.id, SETUP))

    assert done(store, lambda work: work.setups.get(lifter.id)) == SETUP


def test_a_set_up_is_changed_in_its_place_and_is_nobody_else_s(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM, name="Kim")
    done(store, lambda work: work.setups.save(lifter.id, SETUP))

    done(store, lambda work: work.setups.save(lifter.id, replace(SETUP, asked=None)))

    assert done(store, lambda work: work.setups.get(lifter.id)) == replace(SETUP, asked=None)
    assert done(store, lambda work: work.setups.get(other.id)) is None


def test_every_field_of_a_plan_is_kept(store: Store) -> None:
    lifter = new_lifter(store)

    made = plan(store, lifter)

    kept = done(store, lambda work: work.plans.current(lifter.id))
    assert kept == made
    assert kept is not None
    assert kept.block == BLOCK
    assert kept.wishes == SETUP.wishes


def test_a_new_plan_ends_the_one_that_held(store: Store) -> None:
    lifter = new_lifter(store)
    plan(store, lifter)
    later = Plan(lifter_id=lifter.id, starts=date(2027, 2, 1), made_at=minutes(1), block=BLOCK, wishes=SETUP.wishes)

    made = done(store, lambda work: work.plans.add(later))

    assert done(store, lambda work: work.plans.current(lifter.id)) == made


def test_without_a_plan_that_holds_the_last_one_is_still_there(store: Store) -> None:
    lifter = new_lifter(store)
    made = plan(store, lifter)

    done(store, lambda work: work.plans.end(lifter.id, date(2027, 1, 10)))

    assert done(store, lambda work: work.plans.current(lifter.id)) is None
    assert done(store, lambda work: work.plans.last(lifter.id)) == replace(made, ended_on=date(2027, 1, 10))


def test_a_block_is_changed_in_its_place(store: Store) -> None:
    lifter = new_lifter(store)
    made = plan(store, lifter)
    block, wishes = replace(BLOCK, weeks=4), replace(SETUP.wishes, minutes=60)

    done(store, lambda work: work.plans.change_block(made.id, block, wishes))

    assert done(store, lambda work: work.plans.current(lifter.id)) == replace(made, block=block, wishes=wishes)


@pytest.mark.parametrize("state", list(DayState))
def test_every_field_of_a_planned_day_is_kept(store: Store, state: DayState) -> None:
    made = plan(store, new_lifter(store))
    told = replace(
        day(made, week=3, place=1, state=state), prescription=GIVEN, session_id=9, adjusted=("short 30", "skip")
    )

    done(store, lambda work: work.plans.keep_day(told))

    assert done(store, lambda work: work.plans.days(made.id, first=3, last=3)) == [told]


def test_planned_days_come_by_week_and_place(store: Store) -> None:
    made = plan(store, new_lifter(store))
    days = [day(made, week=week, place=place) for week in (0, 1, 2) for place in (0, 1)]
    for each in reversed(days):
        done(store, lambda work, each=each: work.plans.keep_day(each))  # type: ignore[misc]  # mypy reads no default of a lambda

    found = done(store, lambda work: work.plans.days(made.id, first=1, last=2))

    assert found == days[2:]


def test_the_latest_settled_session_is_the_last_one_by_week_and_place(store: Store) -> None:
    made = plan(store, new_lifter(store))
    assert done(store, lambda work: work.plans.last_settled(made.id)) is None
    days = [
        day(made, week=0, place=1, state=DayState.DONE),
        day(made, week=1, place=0, state=DayState.SKIPPED),
        day(made, week=1, place=1, state=DayState.OPEN),
        day(made, week=2, place=0, state=DayState.PLANNED),
    ]
    for each in days:
        done(store, lambda work, each=each: work.plans.keep_day(each))  # type: ignore[misc]  # as above

    assert done(store, lambda work: work.plans.last_settled(made.id)) == days[1]


def test_the_planned_day_of_a_session_is_found_by_its_lifter_alone(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM, name="Kim")
    made = plan(store, lifter)
    told = replace(day(made, state=DayState.DONE), session_id=9)
    done(store, lambda work: work.plans.keep_day(told))

    assert done(store, lambda work: work.plans.of_session(lifter.id, 9)) == told
    assert done(store, lambda work: work.plans.of_session(lifter.id, 8)) is None
    assert done(store, lambda work: work.plans.of_session(other.id, 9)) is None


def test_what_is_open_or_done_stays_when_the_rest_is_forgotten(store: Store) -> None:
    made = plan(store, new_lifter(store))
    for place, state in enumerate(DayState):
        kept = day(made, week=1, place=place, state=state)
        done(store, lambda work, kept=kept: work.plans.keep_day(kept))  # type: ignore[misc]  # as above

    done(store, lambda work: work.plans.forget_days(made.id, first=1))

    left = done(store, lambda work: work.plans.days(made.id, first=0, last=9))
    assert [each.state for each in left] == [DayState.OPEN, DayState.DONE]


def test_a_forgotten_lifter_s_plans_go_with_them(store: Store) -> None:
    lifter = new_lifter(store)
    made = plan(store, lifter)
    done(store, lambda work: work.setups.save(lifter.id, SETUP))
    done(store, lambda work: work.plans.keep_day(day(made)))

    done(store, lambda work: work.lifters.erase(lifter.id))

    assert done(store, lambda work: work.setups.get(lifter.id)) is None
    assert done(store, lambda work: work.plans.last(lifter.id)) is None
    assert done(store, lambda work: work.plans.days(made.id, first=0, last=9)) == []
