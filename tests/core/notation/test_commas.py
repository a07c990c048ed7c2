"""A comma between two numbers is a decimal's or a list's."""

import pytest

from core.domain.exercises import catalogue
from core.notation.commas import with_decimals
from core.notation.doubts import Doubts
from core.notation.tokens import Kind, folded, tokens


def texts(typed: str) -> list[str]:
    found = with_decimals(tokens(folded(typed)), Doubts({}))
    return [token.text for token in found if token.kind is not Kind.END]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("82,5x5", ["82.5", "x", "5"]),
        ("17,5 kg x 12, 8", ["17.5", "kg", "x", "12", ",", "8"]),
        ("80x5,82,5x5", ["80", "x", "5", ",", "82.5", "x", "5"]),
        ("bw 81,5", ["bw", "81.5"]),
        ("rir 1,5", ["rir", "1.5"]),
        ("@8,5", ["@", "8.5"]),
        ("+2,5x5", ["+", "2.5", "x", "5"]),
    ],
)
def test_a_decimal_comma_is_read(typed: str, expected: list[str]) -> None:
    assert texts(typed) == expected


@pytest.mark.parametrize(
    "typed",
    ["9,7,5", "60x10,8,8", "60x10,8", "5x100,105,110", "100,105", "80x5, 82", "squat 140x3@8,140x3@9"],
)
def test_a_comma_in_a_list_parts_it(typed: str) -> None:
    assert "," in texts(typed)
    assert not any("." in text for text in texts(typed))


def test_a_comma_that_may_be_either_is_in_doubt() -> None:
    doubts = Doubts({})

    with_decimals(tokens(folded("100,5x3")), doubts)

    assert [(each.start, each.end) for each in doubts.noted] == [(0, 5)]


@pytest.mark.parametrize(("lift", "doubtful"), [("dumbbell curl", True), ("pull-up", False), ("plank", False)])
def test_the_lift_tells_whether_a_light_load_may_stand_alone(lift: str, doubtful: bool) -> None:
    doubts = Doubts({})
    exercise = catalogue().get(lift)

    with_decimals(tokens(folded("12,5")), doubts, lambda _found, _at: exercise)

    assert bool(doubts.noted) is doubtful
