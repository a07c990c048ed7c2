import pytest

from tests.core.planning.trained_lifters import Trained, TrainedLifter, trained_block
from tests.simulated_lifters import brzycki, epley, exponential, nsca, straight, wathan

CURVES = (nsca, epley, brzycki, wathan, exponential, straight)


@pytest.fixture(scope="module", params=[2, 3], ids=["two days", "three days"])
def blocks(request: pytest.FixtureRequest) -> list[Trained]:
    """Sixteen weeks of two lifters of each curve, effort told after the first and the last set."""
    days: int = request.param
    return [
        trained_block(TrainedLifter.drawn(curve, seed), pressing_days=days) for curve in CURVES for seed in (901, 902)
    ]


# The issue's own bounds: within 1.5 of each set's expected value in at least 80 % of the main lift's sets after week 2,
# missed repetitions in at most 1 %, loads that follow the true strength.
def test_repetitions_left_are_near_what_was_expected_of_each_set(blocks: list[Trained]) -> None:
    judged = sum(each.judged for each in blocks)

    assert judged > 500
    assert sum(each.near_reported for each in blocks) >= 0.80 * judged


def test_hardly_a_repetition_is_missed(blocks: list[Trained]) -> None:
    assert sum(each.missed_reps for each in blocks) <= 0.01 * sum(each.asked_reps for each in blocks)


def test_loads_follow_the_true_strength(blocks: list[Trained]) -> None:
    # The share of the true maximum that is on the bar is the same in the second half as in the first, within a step.
    for each in blocks:
        half = len(each.load_to_strength) // 2
        first = sum(each.load_to_strength[:half]) / half
        second = sum(each.load_to_strength[half:]) / (len(each.load_to_strength) - half)
        assert second / first == pytest.approx(1.0, abs=0.06)


def test_work_is_neither_easy_nor_to_failure(blocks: list[Trained]) -> None:
    # A hard set leaves at most four; the earlier of straight sets leave up to two more.
    lefts = sorted(left for each in blocks for left in each.lefts)

    assert 2.0 <= lefts[len(lefts) // 2] <= 5.0
    assert sum(left < 0.0 for left in lefts) <= 0.02 * len(lefts)
