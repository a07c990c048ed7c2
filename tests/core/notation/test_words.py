"""Names of exercises: exact, close, and never one into another."""

import pytest

from core.domain.exercises import Equipment, Exercise, Pattern
from core.domain.names import fold
from core.notation.words import Spelling, catalogue_names, names_with

TYRE_FLIP = Exercise(
    name="tyre flip",
    equipment=Equipment.BODYWEIGHT,
    pattern=Pattern.WHOLE_BODY,
    direct=frozenset(),
    multi_joint=True,
    lower_body=True,
)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("BP", "bench press"),
        ("Pull-Ups", "pull-up"),
        ("ohp", "overhead press"),
        ("incline db press", "incline dumbbell bench press"),
    ],
)
def test_a_name_is_found_in_any_case_and_with_any_blanks(typed: str, name: str) -> None:
    found = catalogue_names().named(typed)

    assert found is not None
    assert found.name == name


@pytest.mark.parametrize(
    ("typed", "name"),
    [("benhc", "bench press"), ("sqaut", "squat"), ("dedlift", "deadlift"), ("leg pess", "leg press")],
)
def test_a_close_spelling_is_found_and_marked(typed: str, name: str) -> None:
    assert catalogue_names().close(fold(typed)) == (Spelling(name, respelt=True),)


# Both are lifts of their own; a word of the trade is never taken for a slip.
@pytest.mark.parametrize("typed", ["bent press", "chest pain", "ring bench", "row press"])
def test_a_word_of_the_trade_is_never_changed_into_another(typed: str) -> None:
    assert not [each for each in catalogue_names().close(fold(typed)) if each.respelt]


@pytest.mark.parametrize("typed", ["abc", "x", "", "hello there", "q" * 200])
def test_words_that_are_close_to_nothing_are_no_name(typed: str) -> None:
    assert catalogue_names().close(fold(typed)) == ()


def test_a_missing_blank_is_no_slip() -> None:
    assert catalogue_names().close("latpull down") == (Spelling("lat pulldown"),)


def test_a_lifters_own_exercise_is_found_exactly_and_by_close_spelling() -> None:
    names = names_with([TYRE_FLIP])

    assert names.exact("tyre flip") == "tyre flip"
    assert names.close("tyre flpi") == (Spelling("tyre flip", respelt=True),)
    assert names.known("tyre flip") is TYRE_FLIP


def test_a_lifter_without_exercises_of_their_own_shares_the_catalogues_names() -> None:
    assert names_with([]) is catalogue_names()


def test_a_variation_of_a_lift_is_found_by_its_name() -> None:
    assert catalogue_names().varied("bench press", ("paused",)) == "paused bench press"
    assert catalogue_names().varied("bench press", ("neutral grip", "deficit")) is None
