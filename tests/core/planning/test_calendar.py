from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from core.domain.plans import DayKind, Plan, PlannedLift, PlannedSession, Role, WeekPlan, Wishes
from core.domain.prescriptions import DayState, PlannedDay
from core.planning.calendar import first_day, is_reduced, planned_days, sessions_of, week_of
from core.planning.undulation import STRENGTH, block

MONDAY = date(2027, 1, 4)


def session(day: int, sets: int = 5) -> PlannedSession:
    lift = PlannedLift(exercise="bench press", role=Role.MAIN, sets=sets, scheme=STRENGTH)
    return PlannedSession(day=day, kind=DayKind.STRENGTH, lifts=(lift,), seconds=2400)


PLAN = Plan(
    id=1,
    lifter_id=1,
    starts=MONDAY,
    made_at=datetime(2027, 1, 3, 18, tzinfo=UTC),
    block=block(WeekPlan(sessions=(session(0), session(3)), muscles=(), targets=())),
    wishes=Wishes(days=(0, 3)),
)


@pytest.mark.parametrize(
    ("day", "week"),
    [(date(2027, 1, 3), -1), (MONDAY, 0), (date(2027, 1, 10), 0), (date(2027, 1, 11), 1), (date(2027, 2, 15), 6)],
)
def test_weeks_are_counted_from_the_day_on_which_a_plan_begins(day: date, week: int) -> None:
    assert week_of(PLAN, day) == week
    assert first_day(PLAN, week) <= day


def test_five_weeks_are_followed_by_a_reduced_one_and_the_block_begins_again() -> None:
    # Coaching rules, section 6: five weeks and a reduced week.
    assert [is_reduced(PLAN, week) for week in range(8)] == [False] * 5 + [True, False, False]


def test_a_reduced_week_has_half_the_sets_rounded_up() -> None:
    # Coaching rules, section 6: half of five, rounded up, is three.
    assert [each.lifts[0].sets for each in sessions_of(PLAN, 5)] == [3, 3]


def test_a_week_of_the_lifter_s_own_is_never_reduced() -> None:
    assert not any(is_reduced(replace(PLAN, own=True), week) for week in range(12))


def test_sessions_stand_on_their_weekdays_until_something_happens_to_them() -> None:
    days = planned_days(PLAN, 1, [])

    assert [(each.day, each.state) for each in days] == [
        (date(2027, 1, 11), DayState.PLANNED),
        (date(2027, 1, 14), DayState.PLANNED),
    ]


def test_a_session_that_was_written_stands_in_place_of_the_one_laid_out() -> None:
    moved = PlannedDay(
        plan_id=1, week=0, place=0, day=date(2027, 1, 9), state=DayState.PLANNED, session=session(0, sets=3)
    )

    days = planned_days(PLAN, 0, [moved])

    assert [each.day for each in days] == [date(2027, 1, 7), date(2027, 1, 9)]
    assert days[1] == moved


def test_what_was_written_of_another_week_or_plan_says_nothing() -> None:
    elsewhere = PlannedDay(plan_id=1, week=2, place=0, day=MONDAY, state=DayState.DONE, session=session(0))

    days = planned_days(PLAN, 0, [elsewhere, replace(elsewhere, plan_id=2, week=0)])

    assert [each.state for each in days] == [DayState.PLANNED, DayState.PLANNED]


def test_a_week_reduced_ahead_begins_the_block_anew() -> None:
    # Coaching rules, section 6: five weeks and a reduced week, earlier on advice: reduced in week 2, then in 2 + 6.
    ahead = replace(PLAN, relieved=(2,))

    assert [week for week in range(16) if is_reduced(ahead, week)] == [2, 8, 14]


def test_a_week_of_the_lifter_s_own_can_be_reduced_on_request() -> None:
    assert [week for week in range(9) if is_reduced(replace(PLAN, own=True, relieved=(3,)), week)] == [3]
