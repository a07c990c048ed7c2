"""A text of sets may end with the word that the session is over."""

import pytest

from core.domain.commands import Done, LogSets
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names())


def closed(text: str) -> Done | None:
    outcome = read(text, PLAIN).outcome
    assert isinstance(outcome, LogSets)
    return outcome.close


@pytest.mark.parametrize(
    "text",
    ["bench 80x5, done", "bench 80x5. that's it", "80x5\ndone for today!", "80x5 and i'm done", "80x5; finished"],
)
def test_a_word_behind_the_sets_closes_the_session(text: str) -> None:
    assert closed(text) == Done()


@pytest.mark.parametrize(("text", "effort"), [("80x5, done 7", 7.0), ("80x5, done 8/10", 8.0), ("80x5, done 0", 0.0)])
def test_the_effort_of_the_session_may_stand_behind_it(text: str, effort: float) -> None:
    assert closed(text) == Done(effort)


@pytest.mark.parametrize("text", ["bench 80x5 done", "80x5, 3 sets done", "warm up done, 80x5", "done 80x5"])
def test_a_set_that_is_done_closes_nothing(text: str) -> None:
    assert closed(text) is None


def test_sets_of_another_day_close_nothing() -> None:
    assert closed("yesterday bench 80x5, done") is None
