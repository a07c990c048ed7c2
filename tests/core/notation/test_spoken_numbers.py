"""Numbers in words: each with its value, by counting."""

import pytest

from core.notation.spoken_numbers import MOST_DICTATED, may_be_spoken, with_digits
from core.notation.tokens import Kind, folded, tokens


def digits(text: str) -> list[str]:
    ready = folded(text)
    return [token.text for token in with_digits(tokens(ready)) if token.kind is not Kind.END]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("thirteen", ["13"]),
        ("twenty", ["20"]),
        ("eighty", ["80"]),
        ("eighty five", ["85"]),
        ("eighty-five", ["85"]),
        ("hundred", ["100"]),
        ("a hundred", ["100"]),
        ("one hundred", ["100"]),
        ("two hundred and twenty five", ["225"]),
        ("one hundred five for three", ["100", "five", "for", "3"]),  # 105, or five of 100: it is refused
        ("one hundred and five", ["105"]),
        ("eighty two point five", ["82.5"]),
        ("eighty two point two five", ["82.25"]),
        ("eighty for five", ["80", "for", "5"]),
        ("the last one at eighty", ["the", "last", "one", "at", "80"]),
        ("one set of five at eighty", ["1", "set", "of", "5", "at", "80"]),
    ],
)
def test_a_number_in_words_is_its_digits(text: str, told: list[str]) -> None:
    assert digits(text) == told


@pytest.mark.parametrize("text", ["100 twenty five", "two twenty five", "five by five", "last one"])
def test_what_may_be_one_number_or_two_and_small_ones_alone_stay_words(text: str) -> None:
    assert digits(text) == text.split()


def test_a_number_keeps_its_place_in_the_text() -> None:
    ready = folded("bench eighty five x 5")

    number = with_digits(tokens(ready))[1]

    assert ready.folded[number.start : number.end] == "eighty five"


def test_a_longer_text_than_anybody_dictates_stays_as_it_is() -> None:
    found = tokens(folded("eighty " * (MOST_DICTATED + 1)))

    assert with_digits(found) is found


@pytest.mark.parametrize(("text", "may"), [("bench eighty x 5", True), ("a hundred", True), ("bench 80x5", False)])
def test_only_a_text_with_such_a_word_is_looked_through(text: str, may: bool) -> None:
    assert may_be_spoken(text) is may
