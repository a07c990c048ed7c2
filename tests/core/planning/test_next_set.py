from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.domain.equipment import NG_PER_KG
from core.domain.guidance import Move, Reason
from core.domain.prescriptions import Care, Safety
from core.planning.loading import Loadable, loads
from core.planning.next_set import DoneSet, NextSet, SessionSoFar, next_set
from tests.core.planning.gyms import GYM, HOME, lift

BENCH = lift("bench press")
FINE = loads(BENCH, GYM)
ARMS = Care(safety=Safety.ARMS, screened=False)
ALONE = Care()


def load(kg: float) -> Loadable:
    found = FINE.exactly(round(kg * NG_PER_KG))
    assert found is not None
    return found


DONE = DoneSet(number=1, load=load(100), planned_reps=5, reps=5, left=3.0, expected_left=3.0)


def after(done: DoneSet, so_far: SessionSoFar | None = None, care: Care = ARMS) -> NextSet:
    return next_set(done, so_far or SessionSoFar(), FINE, BENCH, care)


def told(decision: NextSet) -> tuple[Move, float, Reason]:
    return decision.move, decision.load.kg, decision.reason


@pytest.mark.parametrize("left", [2.0, 2.5, 3.0, 4.0])
def test_within_one_of_what_was_expected_nothing_changes(left: float) -> None:
    assert told(after(replace(DONE, left=left))) == (Move.SAME, 100.0, Reason.AS_EXPECTED)


@pytest.mark.parametrize("left", [1.5, 4.5])
def test_between_one_and_two_is_not_clear_enough(left: float) -> None:
    assert told(after(replace(DONE, left=left))) == (Move.SAME, 100.0, Reason.NOT_CLEAR)


def test_unknown_effort_with_all_repetitions_made_keeps_the_load() -> None:
    assert told(after(replace(DONE, left=None))) == (Move.SAME, 100.0, Reason.UNTOLD)
    assert told(after(replace(DONE, expected_left=None, left=6.0))) == (Move.SAME, 100.0, Reason.UNTOLD)


def test_clearly_easier_goes_up_the_smallest_step_once_and_early() -> None:
    easy = replace(DONE, left=5.0)

    assert told(after(easy)) == (Move.UP, 102.5, Reason.EASIER)
    assert told(after(replace(easy, number=2))) == (Move.UP, 102.5, Reason.EASIER)
    assert told(after(replace(easy, number=3))) == (Move.SAME, 100.0, Reason.LATE)
    assert told(after(easy, SessionSoFar(raised=True))) == (Move.SAME, 100.0, Reason.RAISED_ONCE)
    assert told(after(replace(easy, at_least=True))) == (Move.UP, 102.5, Reason.EASIER)


def test_a_step_of_more_than_five_percent_is_too_large() -> None:
    # 2.5 kg of 50 are 5 %, of 47.5 they are 5.3 %.
    assert after(replace(DONE, left=5.0, load=load(50))).load.kg == 52.5
    assert told(after(replace(DONE, left=5.0, load=load(47.5)))) == (Move.SAME, 47.5, Reason.STEP_TOO_LARGE)


def test_alone_under_the_bar_little_left_does_not_raise() -> None:
    easier = replace(DONE, left=2.5, expected_left=0.5)

    assert told(after(easier, care=ALONE)) == (Move.SAME, 100.0, Reason.KEPT_BACK)
    assert after(easier, care=ARMS).move is Move.UP
    assert after(easier, care=replace(ALONE, spotter_today=True, screened=False)).move is Move.UP


def test_harder_than_expected_or_one_missed_goes_down_a_little() -> None:
    # 2.5 to 5 % of 100: 95 to 97.5, the heavier of the two.
    assert told(after(replace(DONE, left=1.0))) == (Move.DOWN, 97.5, Reason.HARDER)
    assert told(after(replace(DONE, reps=4, left=0.0, expected_left=1.0))) == (Move.DOWN, 97.5, Reason.ONE_MISSED)
    # At least 1 left is no proof that no more were.
    assert after(replace(DONE, left=1.0, at_least=True)).move is Move.SAME


def test_a_failed_repetition_or_two_missed_go_down_a_tenth() -> None:
    assert told(after(replace(DONE, reps=4, failed=True, left=0.0))) == (Move.DOWN, 90.0, Reason.FAILED)
    assert told(after(replace(DONE, reps=3, left=None))) == (Move.DOWN, 90.0, Reason.FAILED)


def test_who_stops_early_with_some_left_misses_none_of_them() -> None:
    """Three of five done with two left: all five could have been done, and four left were expected after three."""
    stopped = replace(DONE, reps=3, left=2.0, expected_left=4.0)

    assert told(after(stopped)) == (Move.DOWN, 97.5, Reason.HARDER)
    assert told(after(replace(stopped, left=4.0))) == (Move.SAME, 100.0, Reason.AS_EXPECTED)
    assert after(replace(stopped, left=4.0), SessionSoFar(failed_sets=1)).move is Move.SAME
    # One left after three of five: one of them could not be done.
    assert told(after(replace(stopped, left=1.0))) == (Move.DOWN, 97.5, Reason.ONE_MISSED)
    # A failed repetition is failed, whatever was left of others.
    assert told(after(replace(stopped, failed=True))) == (Move.DOWN, 90.0, Reason.FAILED)


def test_a_second_failed_set_ends_the_lift() -> None:
    assert told(after(replace(DONE, reps=4, failed=True), SessionSoFar(failed_sets=1))) == (
        Move.END,
        100.0,
        Reason.FAILED_TWICE,
    )


def test_coarse_plates_go_down_to_the_next_load_there_is() -> None:
    # The home plates make 40, 45 and 50 on the first bar, each step more than 5 %.
    available = loads(BENCH, HOME)
    forty = available.exactly(40 * NG_PER_KG)
    assert forty is not None

    found = next_set(replace(DONE, load=forty, left=1.0), SessionSoFar(), available, BENCH, ARMS)

    assert (found.move, found.load.kg) == (Move.DOWN, 35.0)


def test_nothing_lighter_than_the_bar_keeps_the_bar() -> None:
    assert told(after(replace(DONE, load=load(20), left=1.0))) == (Move.SAME, 20.0, Reason.LIGHTEST)


def test_far_below_expectation_asks_about_pain_first() -> None:
    assert after(replace(DONE, left=0.0)).ask_pain
    assert not after(replace(DONE, left=1.0)).ask_pain
    assert after(replace(DONE, reps=2, left=None)).ask_pain
    # 8 % below 120 kg is 110.4.
    assert after(DONE, SessionSoFar(day_kg=110.0, low_kg=120.0)).ask_pain
    assert not after(DONE, SessionSoFar(day_kg=111.0, low_kg=120.0)).ask_pain


def test_a_lift_of_body_mass_counts_what_moves() -> None:
    # 1.25 + 1.25 kg on the belt of 80 kg: 2.5 kg are 2.8 % of the 90 kg that move.
    pull_up = lift("pull-up")
    available = loads(pull_up, GYM)
    ten = available.exactly(10 * NG_PER_KG)
    assert ten is not None

    found = next_set(replace(DONE, load=ten, left=5.0, body_kg=80.0), SessionSoFar(), available, pull_up, ARMS)

    assert (found.move, found.load.kg) == (Move.UP, 11.25)


@given(
    kg=st.integers(8, 100).map(lambda each: 2.5 * each),
    number=st.integers(1, 6),
    planned=st.integers(1, 12),
    short=st.integers(0, 6),
    failed=st.booleans(),
    left=st.none() | st.floats(0, 10),
    expected=st.none() | st.floats(-3, 10),
    so_far=st.builds(SessionSoFar, raised=st.booleans(), failed_sets=st.integers(0, 2)),
    care=st.builds(Care, safety=st.sampled_from(Safety), screened=st.booleans(), spotter_today=st.booleans()),
)
def test_the_next_load_keeps_its_bounds_whatever_happened(
    kg: float,
    number: int,
    planned: int,
    short: int,
    failed: bool,
    left: float | None,
    expected: float | None,
    so_far: SessionSoFar,
    care: Care,
) -> None:
    # given
    done = DoneSet(
        number=number,
        load=load(kg),
        planned_reps=planned,
        reps=max(0, planned - short),
        failed=failed,
        left=left,
        expected_left=expected,
    )

    # when
    found = after(done, so_far, care)

    # then
    assert FINE.exactly(found.load.ng) is not None
    assert found.load.kg <= kg * 1.05 + 1e-9
    if found.move is Move.UP:
        assert left is not None
        assert expected is not None
        assert left >= expected + 2.0
        assert not so_far.raised
        assert number <= 2
        if care.safety is Safety.NEITHER and not care.spotter_today:
            assert left >= 3.0
    if found.move is Move.SAME:
        assert found.load == done.load
