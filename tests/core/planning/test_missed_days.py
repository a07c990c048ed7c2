from datetime import date, timedelta

import pytest

from core.domain.exercises import catalogue
from core.domain.plans import DayKind, PlannedLift, PlannedSession, Role, WeekPlan
from core.domain.prescriptions import DayState, PlannedDay
from core.planning.missed_days import (
    Dropped,
    Moved,
    TakesPlace,
    caught_up,
    missed_day,
    moved_session,
    next_in_line,
    trained_directly,
)
from core.planning.undulation import MULTI_JOINT, SCHEMES

STRENGTH, VOLUME, POWER = DayKind.STRENGTH, DayKind.VOLUME, DayKind.POWER


def pressing(day: int, kind: DayKind) -> PlannedSession:
    bench = PlannedLift(exercise="bench press", role=Role.MAIN, sets=5, scheme=SCHEMES[kind])
    return PlannedSession(day=day, kind=kind, lifts=(bench,), seconds=1800)


def legs(day: int) -> PlannedSession:
    squat = PlannedLift(exercise="squat", role=Role.MULTI_JOINT, sets=3, scheme=MULTI_JOINT)
    return PlannedSession(day=day, kind=VOLUME, lifts=(squat,), seconds=1800)


def week(*sessions: PlannedSession) -> WeekPlan:
    return WeekPlan(sessions=sessions, muscles=(), targets=())


MONDAY, WEDNESDAY, FRIDAY = pressing(0, VOLUME), pressing(2, POWER), pressing(4, STRENGTH)
THREE = week(MONDAY, WEDNESDAY, FRIDAY)


def test_a_missed_strength_day_moves_to_the_next_day_with_48_hours() -> None:
    # Saturday lies 72 h after Wednesday's work and 48 h before next Monday's.
    assert missed_day(THREE, FRIDAY, 5, catalogue(), done=[0, 2]) == Moved(FRIDAY, 5)
    # On Sunday the next Monday is a day away, and nothing later gives way.
    assert missed_day(THREE, FRIDAY, 6, catalogue(), done=[0, 2]) == Dropped(FRIDAY)


def test_a_missed_power_day_is_dropped_where_no_day_keeps_48_hours() -> None:
    # Thursday is a day before Friday, Saturday a day after, and Sunday a day before Monday.
    assert missed_day(THREE, WEDNESDAY, 3, catalogue(), done=[0]) == Dropped(WEDNESDAY)


def test_a_missed_volume_day_takes_the_place_of_power() -> None:
    # Tuesday is a day before Wednesday.
    assert missed_day(THREE, MONDAY, 1, catalogue()) == TakesPlace(MONDAY, WEDNESDAY)


def test_a_missed_strength_day_takes_the_place_of_power_before_volume() -> None:
    strength, power, volume = pressing(0, STRENGTH), pressing(2, POWER), pressing(4, VOLUME)

    assert missed_day(week(strength, power, volume), strength, 1, catalogue()) == TakesPlace(strength, power)
    only_volume = week(strength, pressing(2, VOLUME), pressing(4, VOLUME))
    found = missed_day(only_volume, strength, 1, catalogue())
    assert found == TakesPlace(strength, only_volume.sessions[1])


def test_two_pressing_days_leave_room_to_move() -> None:
    monday, thursday = pressing(0, STRENGTH), pressing(3, VOLUME)

    # Tuesday is 48 h before Thursday.
    assert missed_day(week(monday, thursday), monday, 1, catalogue()) == Moved(monday, 1)
    # Friday: 72 h before Monday.
    assert missed_day(week(monday, thursday), thursday, 4, catalogue(), done=[0]) == Moved(thursday, 4)


def test_sessions_of_other_muscles_do_not_stand_in_the_way() -> None:
    monday, tuesday = pressing(0, STRENGTH), legs(2)

    assert missed_day(week(monday, tuesday), monday, 1, catalogue()) == Moved(monday, 1)


def test_a_moved_session_changes_places_with_the_one_that_is_there() -> None:
    to_free = moved_session(THREE, FRIDAY, 5)
    to_taken = moved_session(THREE, FRIDAY, 0)

    assert [(each.day, each.kind) for each in to_free.sessions] == [(0, VOLUME), (2, POWER), (5, STRENGTH)]
    assert [(each.day, each.kind) for each in to_taken.sessions] == [(0, STRENGTH), (2, POWER), (4, VOLUME)]


@pytest.mark.parametrize(("last", "place"), [(None, 0), (0, 1), (2, 0)])
def test_the_next_session_in_line_follows_the_last_one(last: int | None, place: int) -> None:
    assert next_in_line(THREE, last) == (place, THREE.sessions[place])


def test_muscles_of_a_session_are_those_it_trains_directly() -> None:
    assert trained_directly(legs(0), catalogue()) == {"glutes", "quadriceps"}


FIRST = date(2027, 1, 4)
"""A Monday."""


def as_planned(*sessions: PlannedSession, done: int = 0) -> tuple[PlannedDay, ...]:
    return tuple(
        PlannedDay(
            plan_id=1,
            week=0,
            place=place,
            day=FIRST + timedelta(days=each.day),
            state=DayState.DONE if place < done else DayState.PLANNED,
            session=each,
            session_id=place + 1 if place < done else None,
        )
        for place, each in enumerate(sessions)
    )


def test_nothing_is_caught_up_with_before_a_day_has_passed() -> None:
    days = as_planned(MONDAY, WEDNESDAY, FRIDAY)

    assert caught_up(days, FIRST, FIRST, catalogue()) == ()


def test_what_was_missed_is_moved_and_what_gave_way_is_dropped() -> None:
    days = as_planned(MONDAY, WEDNESDAY, FRIDAY)

    [one] = caught_up(days, FIRST, FIRST + timedelta(days=1), catalogue())

    # On Tuesday volume takes the place of Wednesday's power, as `missed_day` has it.
    moved, dropped = one.changed
    assert one.missed == days[0]
    assert (moved.place, moved.day, moved.state) == (0, FIRST + timedelta(days=2), DayState.PLANNED)
    assert (dropped.place, dropped.state) == (1, DayState.DROPPED)


def test_sessions_missed_one_after_the_other_see_what_came_of_those_before() -> None:
    days = as_planned(MONDAY, WEDNESDAY, FRIDAY)

    # On Saturday nothing is left to give way, and Saturday alone lies 48 h from next Monday.
    found = caught_up(days, FIRST, FIRST + timedelta(days=5), catalogue())

    changed = [day for one in found for day in one.changed]
    assert [(each.place, each.state) for each in changed] == [
        (2, DayState.PLANNED),
        (0, DayState.DROPPED),
        (1, DayState.DROPPED),
    ]
    assert changed[0].day == FIRST + timedelta(days=5)


def test_a_session_that_was_begun_or_done_is_not_missed() -> None:
    days = as_planned(MONDAY, WEDNESDAY, FRIDAY, done=2)

    assert caught_up(days, FIRST, FIRST + timedelta(days=3), catalogue()) == ()


def test_what_was_caught_up_with_is_caught_up_with_once() -> None:
    days = as_planned(MONDAY, WEDNESDAY, FRIDAY)
    [one] = caught_up(days, FIRST, FIRST + timedelta(days=1), catalogue())
    changed = {each.place: each for each in one.changed}

    again = caught_up([changed.get(each.place, each) for each in days], FIRST, FIRST + timedelta(days=1), catalogue())

    assert again == ()
