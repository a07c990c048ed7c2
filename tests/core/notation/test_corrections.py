"""Texts that put the last set right in plain words."""

import pytest

from core.domain.commands import Fix
from core.domain.problems import ProblemKind
from core.notation.corrections import correction_in
from core.notation.doubts import Refused
from core.notation.messages import Context, read
from core.notation.tokens import folded, tokens
from core.notation.words import catalogue_names

NAMES = catalogue_names()


@pytest.mark.parametrize(
    "text",
    [
        *("80x5", "bench 80x5 not bad", "no squats", "wait 3 min", "sorry i'm late", "first set 80x5", "set 2: 80x5"),
        *("the last set was hard", "no spotter 80x5", "not today", "bench 80x5, not 100 percent", "was a good day"),
    ],
)
def test_what_corrects_nothing_is_no_correction(text: str) -> None:
    assert correction_in(tokens(folded(text)), NAMES) is None


@pytest.mark.parametrize(
    "text", ["fix set 2 80x5", "second set was 6", "all were rir 2", "both at 85", "fix the first to 80"]
)
def test_error_an_earlier_set_cannot_be_picked_in_words(text: str) -> None:
    with pytest.raises(Refused) as refused:
        correction_in(tokens(folded(text)), NAMES)

    assert (refused.value.kind, refused.value.instead) == (ProblemKind.UNKNOWN, "help mistakes")


@pytest.mark.parametrize(
    "text",
    ["oops 85x5", "no, 85x5", "sorry it was 85x5", "85x5 sorry", "that was 85x5, sorry", "wrong, 85x5", "make it 85x5"],
)
def test_a_slip_told_as_one_changes_the_last_set_and_adds_none(text: str) -> None:
    outcome = read(text, Context(names=NAMES)).outcome

    assert isinstance(outcome, Fix)
    assert [(each.load, each.reps) for each in outcome.sets] == [(85, 5)]
