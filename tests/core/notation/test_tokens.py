"""Tokens keep their place in the text as it was typed, whatever its width, case and marks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.notation.tokens import LOOK_AHEAD, MOST_TOKENS, Kind, folded, tokens


def texts(typed: str) -> list[str]:
    return [token.text for token in tokens(folded(typed)) if token.kind is not Kind.END]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("80x5", ["80", "x", "5"]),
        ("80kgx5", ["80", "kg", "x", "5"]),
        ("BENCH80X5", ["bench", "80", "x", "5"]),
        ("fs80x5", ["fs", "80", "x", "5"]),
        ("3setsx8reps", ["3", "sets", "x", "8", "reps"]),
        ("８０×５", ["80", "x", "5"]),
        ("82½x5", ["82.5", "x", "5"]),
        ("٨٠x٥", ["80", "x", "5"]),
        ("80\u200bx\u200e5", ["80", "x", "5"]),
        ("80–5", ["80", "-", "5"]),
        ("80\ud8005", ["80", "5"]),
        ("80\x005", ["80", "5"]),
    ],
)
def test_a_text_is_taken_apart_whatever_its_signs(typed: str, expected: list[str]) -> None:
    assert texts(typed) == expected


def test_a_number_sign_begins_a_comment_unless_it_means_pounds() -> None:
    assert texts("80x5 # 100x3\n60x5") == ["80", "x", "5", "\n", "60", "x", "5"]
    assert texts("185#x5") == ["185", "#", "x", "5"]
    assert texts("185 # x 5") == ["185", "#", "x", "5"]


def test_a_span_points_into_the_typed_text_where_characters_were_dropped_or_widened() -> None:
    text = folded("b\u200bench ½x5")
    half = tokens(text)[1]

    span = text.span(half.start, half.end)

    assert text.typed[span.start : span.end] == "½"


def test_ends_stand_behind_the_last_token_so_that_a_look_ahead_needs_no_bounds() -> None:
    found = tokens(folded("80x5"))

    assert [token.kind for token in found[3:]] == [Kind.END] * LOOK_AHEAD


def test_a_text_of_more_signs_than_anyone_types_is_not_taken_apart_to_its_end() -> None:
    assert len(tokens(folded("(" * 4000))) == MOST_TOKENS + 1 + LOOK_AHEAD


@given(st.text(max_size=60))
def test_every_span_lies_in_the_text(typed: str) -> None:
    text = folded(typed)

    for token in tokens(text):
        span = text.span(token.start, token.end)
        assert 0 <= span.start <= span.end <= len(typed)
