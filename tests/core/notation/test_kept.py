"""A long text is asked about as a short one is, though only what its doubt decides is read again."""

import pytest

from core.domain.commands import Question, Reading
from core.notation.canonical import canonical
from core.notation.messages import LONG_TEXT, Context, read
from core.notation.tokens import folded, tokens
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names())
PROSE = " (slept well and the gym was quiet today)" * (LONG_TEXT // 8)


def choices(reading: Reading) -> list[str]:
    assert isinstance(reading.outcome, Question)
    return [canonical(choice.command) for choice in reading.outcome.choices]


@pytest.mark.parametrize(
    "text",
    [
        "bench 100x5x3",
        "bench 100x5x3; row 60x10; squat 120x5x3 rir 2",
        "squat 140x3; 100,5x3; row 60x10 @8",
        "pull ups 5x8; bench 80x5",
        "row 60x10; bench 3x5 80 drop 60x10; curl 20x8",
        "bench 225x5; row 60x10",
    ],
)
def test_a_long_text_offers_the_readings_of_a_short_one(text: str) -> None:
    long = text + PROSE

    assert len(tokens(folded(long))) > LONG_TEXT
    # A long text is asked about its first doubt alone; each of these has one.
    assert choices(read(long, PLAIN)) == choices(read(text, PLAIN))


def test_a_habit_settles_every_place_of_a_long_text() -> None:
    text = "bench 100x5x3; squat 120x5x3" + PROSE

    asked = read(text, PLAIN).outcome

    assert isinstance(asked, Question)
    for choice in asked.choices:
        habit = choice.habit
        assert habit is not None
        settled = read(text, Context(names=catalogue_names(), habits={habit.key: habit.value})).outcome
        assert settled == choice.command
