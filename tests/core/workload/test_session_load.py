"""Session load, monotony and strain against Foster's definitions."""

from datetime import date
from math import inf, nan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.workload.session_load import daily_loads, session_load, week_load

MONDAY = date(2027, 1, 4)


def test_the_load_of_a_session_is_effort_times_minutes() -> None:
    # Foster et al. 2001: session load = session RPE (0-10) x minutes.
    assert session_load(7, minutes=60) == 420.0
    assert session_load(0, minutes=90) == 0.0
    assert session_load(10, minutes=49) == 490.0


@pytest.mark.parametrize(("effort", "minutes"), [(-0.5, 60), (10.5, 60), (nan, 60), (5, -1), (5, inf), (5, nan)])
def test_impossible_efforts_and_lengths_are_refused(effort: float, minutes: float) -> None:
    with pytest.raises(ValueError, match=r"session"):
        session_load(effort, minutes=minutes)


def test_a_week_of_four_sessions_has_the_worked_monotony_and_strain() -> None:
    # Foster 1998, MSSE 30:1164-1168; computed with the sample SD: sum 1570, monotony 1.0310, strain 1618.6.
    week = week_load([420, 0, 360, 0, 490, 300, 0])

    assert week.total == 1570.0
    assert week.monotony == pytest.approx(1.0310, abs=5e-5)
    assert week.strain == pytest.approx(1618.6, abs=0.05)


def test_one_session_in_a_week_gives_the_hand_calculation() -> None:
    # One day of x: mean x/7, sample variance (x^2 - x^2/7) / 6 = x^2/7, so monotony = (x/7) / (x/sqrt 7) = 1/sqrt 7.
    week = week_load([0, 0, 350, 0, 0, 0, 0])

    assert week.monotony == pytest.approx(1 / sqrt(7))
    assert week.strain == pytest.approx(350 / sqrt(7))


@pytest.mark.parametrize("load", [0.0, 300.0, 0.1 + 0.2])
def test_equal_days_have_no_monotony(load: float) -> None:
    week = week_load([load] * 7)

    assert week.total == pytest.approx(7 * load)
    assert (week.monotony, week.strain) == (None, None)


def test_days_that_differ_only_by_rounding_are_equal() -> None:
    assert week_load([0.3, 0.1 + 0.2, 0.3, 0.3, 0.3, 0.3, 0.3]).monotony is None


@pytest.mark.parametrize("daily", [[], [1.0] * 6, [1.0] * 8, [1, 2, 3, 4, 5, 6, -1], [1, 2, 3, 4, 5, 6, nan]])
def test_anything_but_seven_possible_days_is_refused(daily: list[float]) -> None:
    with pytest.raises(ValueError, match=r"day"):
        week_load(daily)


@given(st.lists(st.integers(0, 900), min_size=7, max_size=7).filter(lambda days: len(set(days)) > 1))
def test_any_week_agrees_with_a_reference_library(daily: list[int]) -> None:
    # Foster 1998 with NumPy's mean and sample standard deviation.
    monotony = float(np.mean(daily) / np.std(daily, ddof=1))

    week = week_load(daily)

    assert week.monotony == pytest.approx(monotony)
    assert week.strain == pytest.approx(sum(daily) * monotony)


def test_sessions_are_summed_by_day_and_other_days_left_out() -> None:
    sessions = [
        (date(2027, 1, 3), 999.0),
        (MONDAY, 200.0),
        (MONDAY, 100.0),
        (date(2027, 1, 10), 50.0),
        (date(2027, 1, 11), 999.0),
    ]

    assert daily_loads(sessions, first=MONDAY) == (300.0, 0.0, 0.0, 0.0, 0.0, 0.0, 50.0)
