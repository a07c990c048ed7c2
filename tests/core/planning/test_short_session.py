import pytest

from core.domain.exercises import Muscle, catalogue
from core.domain.plans import DayKind, PlannedLift, PlannedSession, Role
from core.planning.minutes import session_s
from core.planning.short_session import short_session
from core.planning.undulation import MULTI_JOINT, SINGLE_JOINT, STRENGTH
from tests.core.planning.gyms import lift

LIFTS = (
    PlannedLift(exercise="bench press", role=Role.MAIN, sets=5, scheme=STRENGTH),
    PlannedLift(exercise="barbell row", role=Role.ROW, sets=5, scheme=MULTI_JOINT),
    PlannedLift(exercise="triceps pushdown", role=Role.SINGLE_JOINT, sets=3, scheme=SINGLE_JOINT),
    PlannedLift(exercise="dumbbell curl", role=Role.SINGLE_JOINT, sets=3, scheme=SINGLE_JOINT),
)
SESSION = PlannedSession(
    day=0,
    kind=DayKind.STRENGTH,
    lifts=LIFTS,
    seconds=session_s([(each, lift(each.exercise)) for each in LIFTS]),
)


def shortened(minutes: int, *most: Muscle) -> dict[str, int]:
    found = short_session(SESSION, minutes, catalogue(), most=most)
    assert found.seconds <= minutes * 60
    return {each.exercise: each.sets for each in found.lifts}


def test_enough_time_changes_nothing() -> None:
    assert short_session(SESSION, 120, catalogue()) == SESSION


def test_the_main_lift_comes_first() -> None:
    # The warm-up takes 376 s, a set of up to seven 28 s, a rest 180 s: five sets end after 1236 s.
    assert shortened(15) == {"bench press": 3}
    assert shortened(30)["bench press"] == 5


def test_lifts_stay_in_their_order_and_lose_their_last_sets() -> None:
    found = short_session(SESSION, 40, catalogue())

    names = [each.exercise for each in found.lifts]
    assert names == [each.exercise for each in LIFTS if each.exercise in names]
    planned = {each.exercise: each.sets for each in LIFTS}
    assert all(1 <= each.sets <= planned[each.exercise] for each in found.lifts)


def test_muscles_that_matter_most_keep_their_sets() -> None:
    plain, arms = shortened(45), shortened(45, Muscle.TRICEPS)

    assert arms.get("triceps pushdown", 0) > plain.get("triceps pushdown", 0)


@pytest.mark.parametrize("minutes", [0, 1, 5])
def test_no_time_leaves_no_lift(minutes: int) -> None:
    assert "bench press" not in shortened(minutes)


def test_back_off_sets_need_the_main_lift() -> None:
    back_off = PlannedLift(exercise="bench press", role=Role.BACK_OFF, sets=2, scheme=MULTI_JOINT)
    session = PlannedSession(day=0, kind=DayKind.STRENGTH, lifts=(LIFTS[0], back_off), seconds=3000)

    for minutes in range(0, 40, 4):
        roles = [each.role for each in short_session(session, minutes, catalogue()).lifts]
        assert roles in ([], [Role.MAIN], [Role.MAIN, Role.BACK_OFF])


@pytest.mark.parametrize("minutes", range(15, 61, 3))
def test_a_lift_whose_load_is_still_to_be_found_has_more_than_one_set_or_none(minutes: int) -> None:
    # One set would be spent on finding the load (common practice, no source).
    finding = {(each.exercise, each.role) for each in LIFTS if each.role is not Role.MAIN}

    found = short_session(SESSION, minutes, catalogue(), finding=finding)

    assert all(each.sets > 1 for each in found.lifts if (each.exercise, each.role) in finding)
    assert found.seconds <= minutes * 60


def test_the_time_of_a_lift_that_would_have_one_set_goes_to_others() -> None:
    alone = next(
        minutes
        for minutes in range(15, 61)
        if 1 in (each.sets for each in short_session(SESSION, minutes, catalogue()).lifts)
    )
    plain = short_session(SESSION, alone, catalogue())
    finding = {(each.exercise, each.role) for each in plain.lifts if each.sets == 1}

    found = short_session(SESSION, alone, catalogue(), finding=finding)

    kept = {each.exercise: each.sets for each in plain.lifts if each.sets > 1}
    assert all({each.exercise: each.sets for each in found.lifts}.get(name, 0) >= sets for name, sets in kept.items())
