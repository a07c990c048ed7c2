import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.domain.equipment import NG_PER_KG
from core.domain.guidance import MaximumEnd
from core.domain.prescriptions import Bound, Care, Safety
from core.planning.loading import loads
from core.planning.ports import Known
from core.planning.tested_maximum import Attempt, MaximumTest, maximum_test, next_attempt
from tests.core.planning.gyms import GYM, HOME, lift

BENCH = lift("bench press")
FINE = loads(BENCH, GYM)
ARMS = Care(safety=Safety.ARMS, screened=False)


def known(estimate: float, low: float) -> Known:
    return Known(estimate_kg=estimate, low_kg=low, high_kg=2 * estimate - low)


def attempt(kg: float, number: int = 1) -> Attempt:
    found = FINE.exactly(round(kg * NG_PER_KG))
    assert found is not None
    return Attempt(found, number)


def test_the_steps_lead_up_to_the_lower_end_of_the_interval() -> None:
    found = maximum_test(BENCH, known(100, 96), FINE, ARMS)

    # 50 % x 5, 70 % x 3, 80 % x 2, 90 % x 1: NSCA's test protocol and a college one. 96 rounded down is 95.
    assert isinstance(found, MaximumTest)
    assert [(step.load.kg, step.reps) for step in found.steps] == [(50, 5), (70, 3), (80, 2), (90, 1)]
    assert (found.first.load.kg, found.first.number) == (95.0, 1)
    # NSCA: two to four minutes before attempts; three to five here.
    assert found.steps[-1].rest_s >= 180


def test_steps_that_reach_the_first_attempt_are_left_out() -> None:
    found = maximum_test(BENCH, known(100, 85), FINE, ARMS)

    assert isinstance(found, MaximumTest)
    assert [step.load.kg for step in found.steps] == [50, 70, 80]


def test_safeties_and_screening_stand_against_a_test() -> None:
    assert maximum_test(BENCH, known(100, 95), FINE, Care()) is Bound.SCREENED
    assert maximum_test(BENCH, known(100, 95), FINE, Care(screened=False)) is Bound.ALONE
    cautious = Care(safety=Safety.SPOTTER, screened=False, cautious=True)
    assert maximum_test(BENCH, known(100, 95), FINE, cautious) is Bound.SCREENED


def test_an_attempt_goes_up_by_two_to_four_percent() -> None:
    # 2 % of 100 is 102, the next load 102.5; 4 % is 104, the last one below it 102.5.
    assert next_attempt([(attempt(100), True)], FINE) == attempt(102.5, 2)
    # Of 150: 153 to 156, that is 155 at most and at least.
    assert next_attempt([(attempt(150), True)], FINE, left=2.0) == attempt(155, 2)
    # Of 50: 51 to 52 holds no load, the smallest step is 52.5.
    assert next_attempt([(attempt(50), True)], FINE) == attempt(52.5, 2)


def test_one_miss_or_three_attempts_end_the_test() -> None:
    one, two, three = attempt(100), attempt(102.5, 2), attempt(105, 3)

    assert next_attempt([(one, False)], FINE) is MaximumEnd.MISSED
    assert next_attempt([(one, True), (two, True)], FINE) == attempt(105, 3)
    assert next_attempt([(one, True), (two, True), (three, True)], FINE) is MaximumEnd.ATTEMPTS


def test_nothing_heavier_ends_the_test() -> None:
    available = loads(BENCH, HOME)

    assert next_attempt([(Attempt(available.heaviest, 1), True)], available) is MaximumEnd.HEAVIEST


@given(
    estimate=st.floats(30, 250),
    spread=st.floats(0.0, 0.2),
    care=st.builds(
        Care,
        safety=st.sampled_from(Safety),
        screened=st.booleans(),
        spotter_today=st.booleans(),
        cautious=st.booleans(),
    ),
)
def test_a_test_is_offered_only_where_it_is_allowed_and_its_steps_rise(
    estimate: float, spread: float, care: Care
) -> None:
    found = maximum_test(BENCH, known(estimate, estimate * (1 - spread)), FINE, care)

    caught = care.safety is not Safety.NEITHER or care.spotter_today
    if isinstance(found, MaximumTest):
        assert caught
        assert not care.screened
        assert not care.cautious
        masses = [step.load.ng for step in found.steps]
        assert masses == sorted(set(masses))
        assert all(mass < found.first.load.ng for mass in masses)
        assert found.first.load.kg <= max(estimate * (1 - spread), 20.0) + 1e-9
    else:
        assert care.screened or care.cautious or not caught


@pytest.mark.parametrize("low", [10.0, 19.0])
def test_a_maximum_under_the_bar_is_tried_with_the_bar(low: float) -> None:
    found = maximum_test(BENCH, known(20, low), FINE, ARMS)

    assert isinstance(found, MaximumTest)
    assert found.steps == ()
    assert found.first.load.kg == 20.0
