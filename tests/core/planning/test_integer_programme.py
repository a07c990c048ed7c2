from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from core.planning.integer_programme import GAP, Programme


def test_the_least_cost_is_found() -> None:
    # x + y at least 3.5 in whole numbers, y dearer than x, x at most 2: x = 2, y = 2 by hand.
    programme = Programme()
    x = programme.variable(cost=1.0, high=2.0, whole=True)
    y = programme.variable(cost=1.5, whole=True)
    programme.row({x: 1.0, y: 1.0}, low=3.5)

    assert programme.solved(nodes=10, within=0.1) == [2.0, 2.0]
    assert programme.cost([2.0, 2.0]) == 5.0
    assert programme.size == (2, 1)


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
