"""Which numbers can be a load, repetitions or sets of a lift."""

import pytest

from core.domain.exercises import catalogue
from core.domain.units import Unit
from core.notation.sense import Order, Sense

BAR_KG = 20.0  # the men's bar: IWF


def sense(name: str | None, unit: Unit | None = None) -> Sense:
    return Sense(None if name is None else catalogue().named(name), BAR_KG, unit)


def orders(name: str | None, *numbers: float) -> list[str]:
    one = sense(name)
    exact = [float(number) for number in numbers]
    found = one.pair(*exact) if len(exact) == 2 else one.triple(*exact)
    return [order.value for order in found]


def test_a_load_under_the_bar_is_no_load() -> None:
    assert not sense("bench").is_load(15)
    assert sense("bench").is_load(20)


def test_a_bar_of_45_pounds_is_one_of_20_kilograms() -> None:
    # 45 lb = 20.41165665 kg (computed from the international pound).
    assert sense("bench", Unit.LB).is_load(45)
    assert not sense("bench", Unit.LB).is_load(35)


@pytest.mark.parametrize(
    ("name", "first", "second", "expected"),
    [
        ("bench", 80, 5, ["load reps"]),
        ("bench", 5, 100, ["reps load"]),
        ("bench", 3, 8, ["sets reps"]),
        ("bench", 8, 3, ["sets reps", "reps sets"]),
        ("bench", 5, 5, ["sets reps"]),
        ("curl", 12, 10, ["load reps"]),
        ("curl", 8, 20, ["load reps", "reps load"]),
        ("curl", 3, 12, ["sets reps", "load reps"]),
        ("pull ups", 3, 8, ["sets reps"]),
        ("pull ups", 5, 8, ["sets reps", "load reps"]),
        ("dips", 20, 8, ["load reps"]),
        (None, 80, 5, ["load reps"]),
        (None, 3, 8, ["sets reps", "load reps"]),
    ],
)
def test_two_numbers_have_the_orders_that_make_sense(
    name: str | None, first: float, second: float, expected: list[str]
) -> None:
    assert orders(name, first, second) == expected


@pytest.mark.parametrize(
    ("name", "numbers", "expected"),
    [
        ("bench", (100, 5, 5), ["load reps sets"]),
        ("bench", (100, 5, 3), ["load reps sets", "load sets reps"]),
        ("bench", (60, 3, 10), ["load sets reps", "load reps sets"]),
        ("bench", (3, 8, 60), ["sets reps load"]),
        (None, (3, 5, 100), ["sets reps load"]),
    ],
)
def test_three_numbers_are_in_doubt_only_where_the_readings_differ(
    name: str | None, numbers: tuple[float, float, float], expected: list[str]
) -> None:
    assert orders(name, *numbers) == expected


def test_no_order_makes_more_sets_or_repetitions_than_anyone_does() -> None:
    assert sense("bench").pair(80.0, 250.0) == ()
    assert Order.LOAD_SETS_REPS not in sense("bench").triple(100.0, 40.0, 5.0)
