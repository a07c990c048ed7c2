"""What lifters ask and say in their own words."""

import pytest

from core.domain.commands import LogSets
from core.domain.problems import Problem
from core.notation.messages import Context, read
from core.notation.plain_phrases import PLAIN_PHRASES
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names())


@pytest.mark.parametrize("text", [text.strip() for _, texts in PLAIN_PHRASES for text in texts.split("|")])
def test_a_plain_phrase_is_a_command_and_no_set(text: str) -> None:
    outcome = read(" ".join(text.split()), PLAIN).outcome

    assert not isinstance(outcome, Problem | LogSets)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "too heavy",
            "too light",
            "rack busy",
            "leaving early",
            "start timer",
            "change days",
            "away next week",
        ),
        *("warm up", "2.5 more", "can i go heavier", "i hate squats", "no dips", "that was in pounds", "stop"),
    ],
)
def test_error_what_lacks_something_is_answered_with_a_line_that_is_accepted(text: str) -> None:
    outcome = read(text, PLAIN).outcome

    assert isinstance(outcome, Problem)
    assert outcome.remedy is not None
    assert not isinstance(read(outcome.remedy, PLAIN).outcome, Problem)


@pytest.mark.parametrize(
    "text",
    [
        *("how much can i lift for 5", "should i do 5", "is it ok to do 5", "can i do 80x5?", "what if i do 3"),
        *("when do i get to 100", "am i strong at 80", "do i need 5", "4 days", "i'm 40", "how many sets of 5"),
    ],
)
def test_a_question_is_never_logged(text: str) -> None:
    assert not isinstance(read(text, PLAIN).outcome, LogSets)


@pytest.mark.parametrize("text", ["did 5 reps with 80", "do 80x5", "is 80x5", "what a set 80x5", "done 80x5"])
def test_a_set_that_sounds_like_a_question_is_logged(text: str) -> None:
    assert isinstance(read(text, PLAIN).outcome, LogSets)
