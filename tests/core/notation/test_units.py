"""The unit of loads without one."""

import pytest

from core.domain.commands import Doubt, LogSets, Question
from core.domain.units import Unit
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names())


def units(text: str, context: Context = PLAIN) -> list[Unit | None]:
    outcome = read(text, context).outcome
    assert isinstance(outcome, LogSets), outcome
    return [each.unit for each in outcome.sets]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("80kg x5, 85x3", [Unit.KG, Unit.KG]),
        ("80x5, 85kg x3", [Unit.KG, Unit.KG]),
        ("bench 185lb x5; row 95x10", [Unit.LB, Unit.LB]),
        ("bench 80kg x5, 185lb x3, 80x5", [Unit.KG, Unit.LB, None]),
        ("bench 80x5", [None]),
    ],
)
def test_a_unit_told_once_holds_for_the_text(text: str, expected: list[Unit | None]) -> None:
    assert units(text) == expected


def test_a_unit_told_for_one_lift_stays_there_for_a_lifter_whose_own_is_another() -> None:
    pounds = Context(names=catalogue_names(), unit=Unit.LB)

    assert units("db bench 30kg x 10; row 135x8", pounds) == [Unit.KG, None]


# Two, four, six and eight 45 lb discs on a 45 lb bar: 135, 225, 315, 405 lb (computed).
@pytest.mark.parametrize(
    "text", ["bench 135x5", "bench 225x5", "squat 315x5", "deadlift 405x1", "squat 600x1", "db curl 90x8"]
)
def test_a_figure_that_pound_discs_make_or_no_one_lifts_in_kilograms_is_asked(text: str) -> None:
    outcome = read(text, PLAIN).outcome

    assert isinstance(outcome, Question)
    assert outcome.doubt is Doubt.UNIT
    assert [choice.habit.value for choice in outcome.choices if choice.habit is not None] == ["lb", "kg"]


@pytest.mark.parametrize("text", ["bench 80x5", "squat 100x5", "deadlift 180x3", "leg press 135x10", "bench 60x5"])
def test_other_figures_are_not_asked(text: str) -> None:
    assert units(text) == [None]


def test_nothing_is_asked_of_a_lifter_who_told_their_unit() -> None:
    assert units("bench 225x5", Context(names=catalogue_names(), unit=Unit.LB)) == [None]
