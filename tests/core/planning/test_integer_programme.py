from concurrent.futures import ThreadPoolExecutor
from itertools import product

import numpy as np
import pytest
from highspy import HighsStatus
from highspy._core import _Highs as Solver
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from core.planning.integer_programme import GAP, OPTIONS, Programme


def test_the_least_cost_is_found() -> None:
    # x + y at least 3.5 in whole numbers, y dearer than x, x at most 2: x = 2, y = 2 by hand.
    programme = Programme()
    x = programme.variable(cost=1.0, high=2.0, whole=True)
    y = programme.variable(cost=1.5, whole=True)
    programme.row({x: 1.0, y: 1.0}, low=3.5)

    assert programme.solved(nodes=10, within=0.1) == [2.0, 2.0]
    assert programme.cost([2.0, 2.0]) == 5.0


def test_rows_that_contradict_each_other_have_no_values() -> None:
    programme = Programme()
    x = programme.choice()
    programme.row({x: 1.0}, low=2.0)

    assert programme.solved(nodes=10, within=0.1) is None


def test_a_distance_costs_on_both_sides() -> None:
    programme = Programme()
    x = programme.variable(low=5.0, high=5.0)
    programme.distance({x: 1.0}, to=3.0, cost=2.0, cost_above=7.0)
    values = programme.solved(nodes=10, within=0.1)

    assert values is not None
    assert programme.cost(values) == 14.0


def test_a_fixed_variable_keeps_its_value() -> None:
    programme = Programme()
    x = programme.choice(cost=1.0)
    programme.fix(x, 1.0)

    assert programme.solved(nodes=10, within=0.1) == [1.0]


@settings(max_examples=40, deadline=None)
@given(
    costs=st.lists(st.integers(-5, 9), min_size=4, max_size=4),
    rows=st.lists(
        st.tuples(st.lists(st.integers(-3, 3), min_size=4, max_size=4), st.integers(0, 4)), min_size=1, max_size=3
    ),
)
def test_small_programmes_equal_exhaustive_search(costs: list[int], rows: list[tuple[list[int], int]]) -> None:
    # given
    programme = Programme()
    for cost in costs:
        programme.variable(cost=cost, high=3.0, whole=True)
    for factors, low in rows:
        programme.row(dict(enumerate(map(float, factors))), low=low)
    possible = [
        sum(cost * value for cost, value in zip(costs, values, strict=True))
        for values in product(range(4), repeat=4)
        if all(sum(f * v for f, v in zip(factors, values, strict=True)) >= low for factors, low in rows)
    ]

    # when
    values = programme.solved(nodes=1000, within=0.1)

    # then
    if not possible:
        assert values is None
    else:
        assert values is not None
        best, found = min(possible), programme.cost(values)
        assert best - 1e-6 <= found <= best + 0.1 + GAP * abs(found) + 1e-6


@settings(max_examples=25, deadline=None)
@given(
    costs=st.lists(st.integers(0, 9), min_size=12, max_size=12),
    rows=st.lists(
        st.tuples(st.lists(st.integers(-2, 4), min_size=12, max_size=12), st.integers(1, 30)), min_size=2, max_size=6
    ),
)
def test_the_cost_equals_that_of_a_reference_library(costs: list[int], rows: list[tuple[list[int], int]]) -> None:
    # given
    programme = Programme()
    for place, cost in enumerate(costs):
        programme.variable(cost=cost, high=5.0, whole=place % 3 > 0)
    for factors, low in rows:
        programme.row(dict(enumerate(map(float, factors))), low=low)

    # when
    values = programme.solved(nodes=1000, within=0.1)

    # then: scipy's milp, to the least cost itself
    best = milp(
        costs,
        integrality=np.array([int(place % 3 > 0) for place in range(12)]),
        bounds=Bounds(0.0, 5.0),
        constraints=LinearConstraint(np.array([factors for factors, _ in rows]), [low for _, low in rows], np.inf),
    )
    if best.x is None:
        assert values is None
    else:
        assert values is not None
        found = programme.cost(values)
        assert best.fun - 1e-6 <= found <= best.fun + 0.1 + GAP * abs(found) + 1e-6


def knapsack() -> Programme:
    """Thirty things of much the same worth in three bags: a search of many nodes."""
    programme = Programme()
    things = [[programme.choice(cost=-(20.0 + (7 * i + bag) % 11)) for bag in range(3)] for i in range(30)]
    for each in things:
        programme.row(dict.fromkeys(each, 1.0), high=1.0)
    for bag in range(3):
        programme.row({each[bag]: 9.0 + (5 * i) % 13 for i, each in enumerate(things)}, high=83.0)
    return programme


def test_the_values_are_the_same_in_threads_at_once() -> None:
    alone = knapsack().solved(nodes=60, within=0.0)

    with ThreadPoolExecutor(4) as threads:
        at_once = list(threads.map(lambda _: knapsack().solved(nodes=60, within=0.0), range(8)))

    assert alone is not None
    assert at_once == [alone] * 8


def test_values_that_are_known_are_bettered_or_kept() -> None:
    known = [0.0] * 90

    for nodes in (0, 60):
        values = knapsack().solved(nodes=nodes, within=0.0, start=known)

        assert values is not None
        assert knapsack().cost(values) <= knapsack().cost(known)


def test_solving_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    knapsack().solved(nodes=60, within=0.0)

    assert capfd.readouterr() == ("", "")


def test_the_solver_knows_every_option() -> None:
    solver = Solver()

    assert [solver.setOptionValue(name, value) for name, value in OPTIONS.items()] == [HighsStatus.kOk] * len(OPTIONS)
