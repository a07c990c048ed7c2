"""The estimate: limiting cases, robustness, and a state that survives the store bit for bit."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.strength.equations import EQUATIONS
from core.strength.estimate import FamilyState, advance, estimate, expected_left, initial, state_from
from core.strength.evidence import Evidence, Lift

BENCH = Lift("bench press")
PAUSED = Lift("paused bench press", variation_of="bench press", ratio=0.95)
BEGIN = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


def done(load_kg: float, repetitions: int, *, day: int = 0, left: float | None = None, lift: Lift = BENCH) -> Evidence:
    return Evidence(
        lift=lift,
        at=BEGIN + timedelta(days=day),
        session=str(day),
        load_kg=load_kg,
        repetitions=repetitions,
        reported_left=left,
    )


def after(sets: list[Evidence]) -> FamilyState:
    state = initial()
    for each in sets:
        state = advance(state, each)
    return state


def trained(weeks: int) -> list[Evidence]:
    return [done(80.0, 5, day=7 * week, left=2.0) for week in range(weeks)]


def test_there_is_no_estimate_without_evidence() -> None:
    assert estimate(initial(), BENCH, BEGIN) is None


def test_one_set_gives_an_estimate_among_the_older_equations_inside_its_interval() -> None:
    # 80 kg x 5 with 2 left is r = 7; the seven equations spread from 94.0 to 99.2 kg. People under-predict the
    # repetitions left by about one (Halperin et al. 2022), so the estimate may lie somewhat above them.
    found = estimate(after([done(80.0, 5, left=2.0)]), BENCH, BEGIN)

    answers = [equation(80.0, 7.0) for equation in EQUATIONS.values()]
    assert found is not None
    assert min(answers) < found.mean_kg < 1.05 * max(answers)
    assert found.low_kg < min(answers)
    assert found.high_kg > max(answers)


def test_the_interval_narrows_with_evidence_and_widens_while_nothing_is_logged() -> None:
    one, many = after(trained(1)), after(trained(12))

    first = estimate(one, BENCH, BEGIN)
    last = estimate(many, BENCH, BEGIN + timedelta(days=77))
    later = estimate(many, BENCH, BEGIN + timedelta(days=77 + 180))

    assert first is not None
    assert last is not None
    assert later is not None
    assert last.log_sd < first.log_sd
    assert later.log_sd > last.log_sd


@pytest.mark.parametrize("factor", [1.3, 0.7])
def test_one_wild_set_moves_the_estimate_less_than_two_percent(factor: float) -> None:
    state = after(trained(12))
    at = BEGIN + timedelta(days=84)

    before = estimate(state, BENCH, at)
    moved = estimate(advance(state, done(80.0 * factor, 5, day=84, left=2.0)), BENCH, at)

    assert before is not None
    assert moved is not None
    assert abs(moved.mean_kg / before.mean_kg - 1) < 0.02


def test_a_confirmed_single_pulls_further_than_the_same_single_told_in_passing() -> None:
    state = after(trained(12))
    at = BEGIN + timedelta(days=84)
    single = done(115.0, 1, day=84, left=0.0)

    before = estimate(state, BENCH, at)
    passing = estimate(advance(state, single), BENCH, at)
    confirmed = estimate(advance(state, replace(single, measured=True)), BENCH, at)

    assert before is not None
    assert passing is not None
    assert confirmed is not None
    assert before.mean_kg < passing.mean_kg < confirmed.mean_kg <= 115.0


def test_a_failed_repetition_lowers_what_an_untold_effort_leaves_open() -> None:
    at = BEGIN

    untold = estimate(after([done(80.0, 5)]), BENCH, at)
    failed = estimate(after([replace(done(80.0, 5), failed=True)]), BENCH, at)

    assert untold is not None
    assert failed is not None
    assert failed.log_sd < untold.log_sd
    assert failed.mean_kg < untold.mean_kg


def test_sets_with_help_and_warm_ups_say_nothing() -> None:
    plain = done(120.0, 5)

    assert estimate(after([replace(plain, helped=True)]), BENCH, BEGIN) is None
    assert after([replace(plain, warm_up=True)]) == initial()


def test_a_variation_is_no_evidence_for_the_plain_lift_but_is_told_by_it() -> None:
    state = after(trained(6))
    at = BEGIN + timedelta(days=42)

    with_paused = advance(state, done(90.0, 5, day=42, left=2.0, lift=PAUSED))

    plain_before, plain_after = estimate(state, BENCH, at), estimate(with_paused, BENCH, at)
    guessed = estimate(state, PAUSED, at)
    assert plain_before is not None
    assert plain_after is not None
    assert guessed is not None
    assert plain_after.mean_kg == pytest.approx(plain_before.mean_kg, rel=1e-9)
    # The prior of the ratio: paused about 0.95 of the plain lift (common practice, no source).
    assert guessed.mean_kg == pytest.approx(0.95 * plain_before.mean_kg, rel=0.02)


def test_fewer_repetitions_with_a_load_leave_more() -> None:
    state = after(trained(6))
    at = BEGIN + timedelta(days=42)

    left = [expected_left(state, BENCH, at, load_kg=80.0, repetitions=reps) for reps in (3, 5, 7)]

    assert None not in left
    assert left == sorted(left, key=lambda each: -(each or 0.0))


_evidence = st.builds(
    done,
    load_kg=st.floats(0.5, 1500.0),
    repetitions=st.integers(1, 200),
    day=st.integers(0, 700),
    left=st.none() | st.floats(0.0, 20.0),
    lift=st.sampled_from([BENCH, PAUSED]),
)


@settings(deadline=None, max_examples=60)
@given(st.lists(_evidence, max_size=15))
def test_no_evidence_breaks_it_and_the_state_survives_the_store_bit_for_bit(sets: list[Evidence]) -> None:
    ordered = sorted(sets, key=lambda each: each.order)
    whole = after(ordered)

    stored = initial()
    for each in ordered:
        stored = advance(state_from(stored.text()), each)

    assert stored == whole
    for lift in (BENCH, PAUSED):
        found = estimate(whole, lift, BEGIN + timedelta(days=701))
        assert found is None or (math.isfinite(found.high_kg) and 0 < found.low_kg <= found.mean_kg <= found.high_kg)
