"""Repetitions left as lifters report them: told too few on average, learned from sets that reach their end."""

from datetime import UTC, datetime, timedelta

import pytest

from core.strength.assumptions import ASSUMPTIONS
from core.strength.belief import BIAS
from core.strength.estimate import FamilyState, advance, estimate, initial
from core.strength.evidence import Evidence, Lift
from core.strength.reading import bias_share
from core.strength.repetition_curve import BENCH_PRESS

BENCH = Lift("bench press")
BEGIN = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

MAXIMUM_KG = 100.0
WEEKS = 16


def test_a_lifter_of_whom_nothing_is_known_is_taken_to_tell_too_few_and_less_wrongly_near_the_end() -> None:
    told_far, told_near = (ASSUMPTIONS.bias * bias_share(left, ASSUMPTIONS) for left in (4.0, 0.0))

    # Halperin et al. 2022: too few by 0.95 on average, confidence interval 0.17 to 1.73, less near failure.
    assert 0.17 < told_far < 1.73
    assert 0.0 < told_near < told_far


def reporting(bias: float) -> FamilyState:
    """State after weeks of a lifter who tells `bias` repetitions fewer than are left, and ends a set a week at a miss."""
    state = initial()
    possible = BENCH_PRESS.repetitions(0.8)
    for week in range(WEEKS):
        at = BEGIN + timedelta(weeks=week)
        for number, done in enumerate((4, 5)):
            state = advance(
                state,
                Evidence(
                    lift=BENCH,
                    at=at + timedelta(minutes=4 * number),
                    session=str(week),
                    load_kg=0.8 * MAXIMUM_KG,
                    repetitions=done,
                    # Each set before takes as much as the estimate assumes to begin with.
                    reported_left=max(possible - done - ASSUMPTIONS.fatigue * number - bias, 0.0),
                ),
            )
        state = advance(
            state,
            Evidence(
                lift=BENCH,
                at=at + timedelta(minutes=10),
                session=str(week),
                load_kg=0.8 * MAXIMUM_KG,
                repetitions=int(possible - 2.0 * ASSUMPTIONS.fatigue),
                failed=True,
            ),
        )
    return state


def test_how_far_a_lifter_tells_too_few_is_learned_from_sets_that_end_in_a_miss() -> None:
    learned = {bias: reporting(bias).tracks[0].belief.mean[BIAS] for bias in (0.0, 0.95, 1.9)}

    assert learned[0.0] < learned[0.95] < learned[1.9]
    for bias in (0.0, 1.9):
        assert abs(learned[bias] - bias) < abs(ASSUMPTIONS.bias - bias)


@pytest.mark.parametrize("bias", [0.0, 0.95, 1.9])
def test_the_maximum_is_found_however_a_lifter_tells_what_is_left(bias: float) -> None:
    found = estimate(reporting(bias), BENCH, BEGIN + timedelta(weeks=WEEKS - 1))

    # The lifter's maximum by construction, on the published curve; one repetition is 3 % of it there.
    assert found is not None
    assert found.mean_kg == pytest.approx(MAXIMUM_KG, rel=0.03)
    assert found.low_kg < MAXIMUM_KG < found.high_kg


def telling(left: float) -> float:
    """What is believed of the reports of a lifter who tells the same after each of eight weeks' sets, and never fails."""
    state = initial()
    for week in range(8):
        for number in range(3):
            state = advance(
                state,
                Evidence(
                    lift=BENCH,
                    at=BEGIN + timedelta(weeks=week, minutes=4 * number),
                    session=str(week),
                    load_kg=80.0,
                    repetitions=5,
                    reported_left=left,
                ),
            )
    return state.tracks[0].belief.mean[BIAS]


def test_who_tells_fewer_left_than_is_usual_at_a_chosen_load_is_likelier_to_tell_too_few() -> None:
    few, usual, many = telling(1.0), telling(ASSUMPTIONS.untold - ASSUMPTIONS.bias), telling(3.0)

    # Nothing else tells these lifters apart, for any maximum goes with either report.
    assert few > usual > many
    assert few > ASSUMPTIONS.bias > many


def test_an_easy_set_says_nothing_of_how_its_lifter_reports() -> None:
    told = telling(6.0)

    assert told == pytest.approx(ASSUMPTIONS.bias, abs=0.05)
