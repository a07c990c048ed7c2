import pytest

from core.domain.exercises import Muscle, Pattern, catalogue
from core.domain.plans import Wishes
from core.planning.targets import MUSCLES, allowed, candidates, counted, credit, targets
from tests.core.planning.gyms import GYM, HOME, lift

CHEST, BACK, TRICEPS = Muscle.CHEST, Muscle.UPPER_BACK, Muscle.TRICEPS


def aims(wishes: Wishes) -> dict[Muscle, float]:
    return {each.muscle: each.sets for each in targets(wishes)}


def test_a_start_lies_between_five_and_ten_weekly_sets() -> None:
    # Common practice, no source: start at 5 to 10 weekly sets and build up.
    found = aims(Wishes(days=(0, 3)))

    assert set(found) == set(MUSCLES)
    assert found[CHEST] == 8.0
    assert all(5.0 <= sets <= 10.0 for sets in found.values())


def test_what_the_lifter_does_now_is_kept_between_floor_and_ceiling() -> None:
    wishes = Wishes(days=(0, 3), sets_now=((CHEST, 12.0), (TRICEPS, 30.0), (Muscle.GLUTES, 1.0)))

    found = aims(wishes)

    assert (found[CHEST], found[TRICEPS], found[Muscle.GLUTES]) == (12.0, 16.0, 4.0)


def test_pulls_aim_at_no_less_than_presses() -> None:
    found = aims(Wishes(days=(0, 3), sets_now=((CHEST, 12.0), (BACK, 4.0))))

    assert found[BACK] == 12.0
    # A press counts half for the shoulders and the triceps (Pelland et al. 2024).
    assert found[Muscle.FRONT_SHOULDERS] == 6.0
    assert found[Muscle.REAR_SHOULDERS] == 6.0


def test_what_matters_most_comes_first_and_what_is_left_out_is_not_aimed_at() -> None:
    wishes = Wishes(days=(0, 3), most=(Muscle.CALVES, CHEST), left_out=frozenset({Muscle.GLUTES}))

    found = targets(wishes)

    assert [each.muscle for each in found[:2]] == [Muscle.CALVES, CHEST]
    assert found[0].weight > found[1].weight > found[2].weight
    assert Muscle.GLUTES not in aims(wishes)


def test_direct_sets_count_one_and_indirect_ones_a_half() -> None:
    # Pelland et al. 2024.
    bench = lift("bench press")

    assert [credit(bench, each) for each in (CHEST, TRICEPS, Muscle.CALVES)] == [1.0, 0.5, 0.0]
    # Five of bench and four of close grip: 9 for the chest, 2.5 + 4 for the triceps.
    found = counted({"bench press": 5, "close-grip bench press": 4, "nothing known": 9}, catalogue())
    assert (found[CHEST], found[TRICEPS], found[Muscle.FRONT_SHOULDERS]) == (9.0, 6.5, 4.5)


def test_no_more_than_four_exercises_are_considered_for_a_muscle() -> None:
    wishes = Wishes(days=(0, 3))

    for owned in (GYM, HOME):
        found = candidates(targets(wishes), wishes, owned, catalogue())
        assert all(len(each) <= 4 for each in found.values())
        assert all(muscle in exercise.direct for muscle, each in found.items() for exercise in each)
        assert all(allowed(exercise, wishes, owned) for each in found.values() for exercise in each)
        assert any(exercise.pattern is Pattern.HORIZONTAL_PULL for exercise in found[BACK])


def test_liked_exercises_come_before_all_and_those_of_the_week_before_come_next() -> None:
    wishes = Wishes(days=(0, 3), liked=frozenset({"pull-up"}))

    found = candidates(targets(wishes), wishes, GYM, catalogue(), keep=["straight-arm pulldown"])

    assert [each.name for each in found[Muscle.LATS]][:2] == ["pull-up", "straight-arm pulldown"]


@pytest.mark.parametrize(
    ("name", "wishes", "may"),
    [
        ("bench press", Wishes(days=(0,)), True),
        ("barbell row", Wishes(days=(0,), banned=frozenset({"barbell row"})), False),
        ("plank", Wishes(days=(0,)), False),
        ("squat", Wishes(days=(0,), left_out=frozenset({Muscle.GLUTES})), False),
        # Presses ask for pulls: a row stays while one of its muscles does.
        ("barbell row", Wishes(days=(0,), left_out=frozenset({Muscle.LATS})), True),
        ("barbell row", Wishes(days=(0,), left_out=frozenset({Muscle.LATS, BACK})), False),
        ("lat pulldown", Wishes(days=(0,)), False),
    ],
)
def test_an_exercise_needs_its_equipment_and_no_ban(name: str, wishes: Wishes, may: bool) -> None:
    assert allowed(lift(name), wishes, HOME) is may
