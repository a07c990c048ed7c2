import pytest

from core.domain.equipment import NG_PER_KG
from core.planning.loading import Loadable, loads
from core.planning.ramp import ramp_start, ramp_step
from tests.core.planning.gyms import GYM, HOME, lift

BENCH, SQUAT = lift("bench press"), lift("squat")
ON_BENCH, ON_SQUAT = loads(BENCH, GYM), loads(SQUAT, GYM)


def load(kg: float, name: str = "bench press") -> Loadable:
    found = loads(lift(name), GYM).exactly(round(kg * NG_PER_KG))
    assert found is not None
    return found


def test_a_ramp_begins_with_the_lightest_there_is() -> None:
    assert ramp_start(ON_BENCH).load.kg == 20.0
    assert ramp_start(loads(lift("pull-up"), HOME)).load.kg == 0.0
    assert ramp_start(loads(BENCH, HOME)).load.kg == 10.0


@pytest.mark.parametrize(
    ("told", "kg", "found"),
    [
        # Upper body: at least 5 to 10 % while clearly easy (NSCA's test): 66 rounded down.
        (4.0, 65.0, False),
        # Six over the target at 3 % each, 70.8 rounded down.
        (8.0, 70.0, False),
        # 3 % for one over is less than the smallest step, 4.2 %.
        (3.0, 60.0, True),
        (2.0, 60.0, True),
        # One fewer than the target is within what the next sets tell.
        (1.0, 60.0, True),
        # Two fewer at 3 % each: 56.4 rounded down.
        (0.0, 55.0, True),
        (None, 60.0, False),
    ],
)
def test_a_ramp_goes_up_while_clearly_more_are_left(told: float | None, kg: float, found: bool) -> None:
    step = ramp_step(load(60), ON_BENCH, BENCH, told_left=told, target_left=2.0)

    assert (step.load.kg, step.found) == (kg, found)


def test_a_ramp_goes_down_by_a_tenth_at_most() -> None:
    # Five fewer than a target of five at 3 % each are 15 %; a tenth is 54, rounded down.
    step = ramp_step(load(60), ON_BENCH, BENCH, told_left=0.0, target_left=5.0)

    assert (step.load.kg, step.found) == (52.5, True)


def test_legs_go_up_in_larger_steps() -> None:
    # 10 to 20 % for lower-body lifts (NSCA's test): 72 rounded down.
    step = ramp_step(load(60, "squat"), ON_SQUAT, SQUAT, told_left=4.0, target_left=2.0)

    assert step.load.kg == 70.0


def test_a_miss_goes_down_and_ends_the_ramp() -> None:
    step = ramp_step(load(60), ON_BENCH, BENCH, told_left=None, target_left=2.0, missed=True)

    # 54 rounded down.
    assert (step.load.kg, step.found) == (52.5, True)


def test_a_coarse_step_is_taken_only_when_the_set_was_clearly_easy() -> None:
    # Each disc once: from 20 on the first bar the next load is 25, a quarter more.
    available = loads(BENCH, HOME)
    twenty = available.exactly(20 * NG_PER_KG)
    assert twenty is not None

    easy = ramp_step(twenty, available, BENCH, told_left=4.0, target_left=2.0)
    less_easy = ramp_step(twenty, available, BENCH, told_left=3.5, target_left=2.0)

    assert (easy.load.kg, easy.found) == (25.0, False)
    assert (less_easy.load.kg, less_easy.found) == (20.0, True)
