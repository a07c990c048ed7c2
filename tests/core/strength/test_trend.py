"""The trend: which way a lift goes, how sure that is, and when two estimates differ."""

from datetime import UTC, datetime, timedelta

import pytest

from core.strength.estimate import FamilyState, advance, estimate, initial
from core.strength.evidence import Evidence, Lift
from core.strength.trend import change, deviations, trend
from tests.simulated_lifters import BENCH as SIMULATED
from tests.simulated_lifters import Effort, Family, nsca, simulated

BENCH = Lift("bench press")
BEGIN = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


def weeks(loads: list[float]) -> FamilyState:
    state = initial()
    for week, load_kg in enumerate(loads):
        for _ in range(3):
            state = advance(
                state,
                Evidence(
                    lift=BENCH,
                    at=BEGIN + timedelta(weeks=week),
                    session=str(week),
                    load_kg=load_kg,
                    repetitions=5,
                    reported_left=2.0,
                ),
            )
    return state


def test_there_is_no_trend_without_evidence() -> None:
    assert trend(initial(), BENCH, BEGIN) is None


def test_one_session_tells_of_no_trend() -> None:
    found = trend(weeks([80.0]), BENCH, BEGIN)

    assert found is not None
    assert 0.3 < found.rising < 0.7


@pytest.mark.parametrize(("step", "rises"), [(1.0, True), (-1.0, False)])
def test_loads_that_change_at_the_same_effort_are_a_trend(step: float, rises: bool) -> None:
    loads = [80.0 + step * week for week in range(12)]

    found = trend(weeks(loads), BENCH, BEGIN + timedelta(weeks=11))

    assert found is not None
    # By hand: 1 kg a week of about 86 kg is 1.2 %.
    assert abs(found.weekly) == pytest.approx(1.0 / 86.0, rel=0.5)
    assert (found.weekly > 0) is rises
    assert (found.rising if rises else 1.0 - found.rising) > 0.9


def test_the_same_set_every_week_is_no_change() -> None:
    state = weeks([80.0] * 12)
    then = estimate(weeks([80.0] * 8), BENCH, BEGIN + timedelta(weeks=7))

    assert then is not None
    assert change(state, BENCH, BEGIN + timedelta(weeks=11), then_kg=then.mean_kg, then_low_kg=then.low_kg) == 0.0


def test_a_tenth_more_in_four_weeks_at_the_same_effort_is_a_change() -> None:
    state = weeks([80.0] * 8 + [82.0, 84.0, 86.0, 88.0])
    then = estimate(weeks([80.0] * 8), BENCH, BEGIN + timedelta(weeks=7))

    assert then is not None
    moved = change(state, BENCH, BEGIN + timedelta(weeks=11), then_kg=then.mean_kg, then_low_kg=then.low_kg)
    # It follows with caution: after three sets of a day nobody knows how much of it was the day's form.
    assert 0.04 < moved < 0.12


@pytest.mark.parametrize("factor", [0.93, 0.97, 1.03, 1.07])
def test_a_change_is_what_lies_more_than_an_intervals_end_from_what_was(factor: float) -> None:
    state = weeks([80.0] * 8 + [80.0 * factor] * 4)
    then = estimate(weeks([80.0] * 8), BENCH, BEGIN + timedelta(weeks=7))

    assert then is not None
    at = BEGIN + timedelta(weeks=11)
    moved = deviations(state, BENCH, at, then_kg=then.mean_kg, then_low_kg=then.low_kg)
    told = change(state, BENCH, at, then_kg=then.mean_kg, then_low_kg=then.low_kg)
    assert moved is not None
    assert (moved > 0.0) is (factor > 1.0)
    # Limiting case: the ends of a 90 % interval lie 1.645 deviations out, and only beyond them is a change told.
    assert (told != 0.0) is (abs(moved) > 1.645)


def test_without_evidence_or_an_earlier_estimate_nothing_moved() -> None:
    assert deviations(initial(), BENCH, BEGIN, then_kg=100.0, then_low_kg=95.0) is None
    assert deviations(weeks([80.0]), BENCH, BEGIN, then_kg=0.0, then_low_kg=0.0) is None


def test_lifters_who_stand_still_are_seldom_told_of_a_change() -> None:
    # Beyond noise means outside a 90 % interval: of lifters without any gain, at most one in ten is told of one.
    still = Family("nsca table, no gain", nsca, gain=(0.0, 0.0))
    told = 0
    for seed in range(9000, 9040):
        state, then, at = initial(), None, BEGIN
        for number, session in enumerate(simulated(still, Effort.EVERY, seed=seed, weeks=12)):
            for each in session.sets:
                state = advance(state, each)
            if number == 15:
                then = estimate(state, SIMULATED, session.at)
            at = session.at
        assert then is not None
        told += change(state, SIMULATED, at, then_kg=then.mean_kg, then_low_kg=then.low_kg) != 0.0

    assert told <= 4
