"""Efforts in the ways lifters tell them."""

import pytest

from core.domain.problems import ProblemKind
from core.notation.doubts import Refused
from core.notation.efforts import effort_at
from core.notation.tokens import folded, tokens


def effort(typed: str) -> tuple[float | None, float | None, bool]:
    found = effort_at(tokens(folded(typed)), 0)
    assert found is not None
    told, _ = found
    return (told.rir, told.rpe, told.at_least)


@pytest.mark.parametrize(
    ("typed", "rir"),
    [
        ("rir2", 2.0),
        ("RIR: 2", 2.0),
        ("2 rir", 2.0),
        ("rir 1-2", 1.5),
        ("2-3 left", 2.5),
        ("2 in the tank", 2.0),
        ("1 rep shy of failure", 1.0),
        ("2 reps in reserve", 2.0),
        ("nothing left", 0.0),
        ("to failure", 0.0),
        ("amrap", 0.0),
        ("two left", 2.0),
    ],
)
def test_repetitions_left_are_read(typed: str, rir: float) -> None:
    assert effort(typed) == (rir, None, False)


@pytest.mark.parametrize("typed", ["4+ left", "rir 4+", "rir >4", "at least 4 left"])
def test_a_plus_makes_a_lower_bound(typed: str) -> None:
    assert effort(typed) == (4.0, None, True)


# A rating below 7 says only that at least 4 were left: Zourdos et al. 2016 for the scale, the bound from memory.
@pytest.mark.parametrize(
    ("typed", "rpe", "at_least"),
    [
        ("rpe 8", 8.0, False),
        ("rpe8.5", 8.5, False),
        ("@rpe 9", 9.0, False),
        ("rpe 8-9", 8.5, False),
        ("rpe 6", 6.0, True),
    ],
)
def test_a_rating_is_kept_as_told(typed: str, rpe: float, at_least: bool) -> None:
    assert effort(typed) == (None, rpe, at_least)


@pytest.mark.parametrize("typed", ["5 x 80", "2 more sets", "8 left 8 right", "left arm", "5 reps", "bench"])
def test_words_beside_a_number_that_tell_no_effort_are_none(typed: str) -> None:
    assert effort_at(tokens(folded(typed)), 0) is None


@pytest.mark.parametrize(
    ("typed", "instead"), [("rpe 11", "rpe 10"), ("rir", None), ("rir 25", None), ("rir -1", "rir 0")]
)
def test_error_an_effort_that_cannot_be_is_refused(typed: str, instead: str | None) -> None:
    with pytest.raises(Refused) as refused:
        effort_at(tokens(folded(typed)), 0)

    assert (refused.value.kind, refused.value.instead) == (ProblemKind.NOT_EFFORT, instead)
