"""Splitting: nothing is lost, no part is too long, and a cut falls where a reader would pause."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wcwidth import iter_graphemes

from bot.delivery.connector import Limits, Measure
from bot.delivery.splitting import WHOLE, parts, size

FAMILY = "\N{MAN}\N{ZERO WIDTH JOINER}\N{WOMAN}\N{ZERO WIDTH JOINER}\N{GIRL}"
"""One user-perceived character of five code points: 8 UTF-16 units, 18 bytes."""

BLANKS = re.compile(r"[ \n]")


def test_a_text_that_fits_is_left_alone() -> None:
    text = "  bench press 80 kg × 5  \n"

    assert parts(text, Limits(size=size(text, Measure.UTF16_UNITS))) == [text]


def test_a_text_of_4096_goes_whole_and_one_of_4097_in_two() -> None:
    # Limit of one message in UTF-16 units, as the platform documents it.
    limits = Limits(size=4096)

    assert len(parts("x" * 4096, limits)) == 1
    assert [len(part) for part in parts("x" * 4097, limits)] == [4096, 1]


def test_an_emoji_counts_as_two_utf16_units_and_four_bytes() -> None:
    assert len(parts("🏋" * 10, Limits(size=20))) == 1
    assert [len(part) for part in parts("🏋" * 11, Limits(size=20))] == [10, 1]
    assert [len(part) for part in parts("🏋" * 10, Limits(size=20, measure=Measure.BYTES))] == [5, 5]


def test_a_cut_falls_between_paragraphs_before_lines_before_words() -> None:
    paragraphs = "one two three\n\nfour five six\nseven eight nine"

    assert parts(paragraphs, Limits(size=24)) == ["one two three", "four five six", "seven eight nine"]
    assert parts("one two three\nfour five six", Limits(size=20)) == ["one two three", "four five six"]
    assert parts("one two three four", Limits(size=13)) == ["one two three", "four"]


@pytest.mark.parametrize("whole", ["`bench 80x5 rir2`", "https://example.org/a/long/way"])
def test_a_command_to_copy_and_an_address_of_the_web_stay_in_one_piece(whole: str) -> None:
    text = f"this is what you could text: {whole} and then go on"

    made = parts(text, Limits(size=len(whole) + 16))

    assert any(whole in part for part in made)


def test_a_user_perceived_character_is_not_cut() -> None:
    made = parts(FAMILY * 5, Limits(size=10))

    # 8 units each: one fits into 10.
    assert made == [FAMILY] * 5


def test_one_character_longer_than_a_message_is_cut_all_the_same() -> None:
    made = parts("e" + "\N{COMBINING ACUTE ACCENT}" * 50, Limits(size=20))

    assert [len(part) for part in made] == [20, 20, 11]


TEXTS = st.lists(st.sampled_from(["a", "é", "🏋", FAMILY, "\n", " ", "`", "\n\n", "x" * 9]), max_size=60).map("".join)


@given(text=TEXTS, most=st.integers(min_value=20, max_value=60), measure=st.sampled_from(list(Measure)))
def test_every_part_fits_and_only_blanks_at_cuts_are_gone(text: str, most: int, measure: Measure) -> None:
    made = parts(text, Limits(size=most, measure=measure))

    assert all(size(part, measure) <= most for part in made)
    assert BLANKS.sub("", "".join(made)) == BLANKS.sub("", text)


@given(text=TEXTS, most=st.integers(min_value=20, max_value=60))
def test_parts_are_made_of_the_characters_of_the_text(text: str, most: int) -> None:
    made = parts(text, Limits(size=most))

    perceived = [each for each in iter_graphemes(text) if not BLANKS.fullmatch(each)]
    assert [each for part in made for each in iter_graphemes(part) if not BLANKS.fullmatch(each)] == perceived


@given(most=st.integers(min_value=20, max_value=40), before=st.integers(min_value=0, max_value=60))
def test_no_piece_that_fits_into_a_message_is_cut(most: int, before: int) -> None:
    text = "word " * before + "`bench 80x5 rir2`" + " word" * 10

    made = parts(text, Limits(size=most))

    assert [each for part in made for each in WHOLE.findall(part)] == ["`bench 80x5 rir2`"]
