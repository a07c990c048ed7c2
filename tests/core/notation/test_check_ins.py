"""The check-in in the spellings that people use."""

import pytest

from core.domain.check_in_commands import (
    AnswerAdvice,
    AskReducedWeek,
    BeginCheckIn,
    ChangeAdvice,
    ChartOf,
    DrawChart,
    Felt,
    Hurts,
    PainFree,
    TellLoad,
    WhyAdvice,
)
from core.domain.checkins import Ache, Item, Place
from core.domain.commands import Command, LogSets, Max
from core.domain.exercises import Muscle
from core.domain.problems import Problem, ProblemKind
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names(), exercise="bench press")


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("check-in", BeginCheckIn()),
        ("checkin", BeginCheckIn()),
        ("/checkin", BeginCheckIn()),
        ("how am I?", BeginCheckIn()),
        ("chekin", BeginCheckIn()),
        (
            "check-in 4 3 5 4 2",
            Felt(((Item.ENERGY, 4), (Item.SLEEP, 3), (Item.MUSCLES, 5), (Item.CALM, 4), (Item.MOOD, 2))),
        ),
        ("sleep 4", Felt(((Item.SLEEP, 4),))),
        ("Sleep: 4", Felt(((Item.SLEEP, 4),))),
        ("sleep was 4 and mood 2", Felt(((Item.SLEEP, 4), (Item.MOOD, 2)))),
        ("mood=1", Felt(((Item.MOOD, 1),))),
        ("check-in no pain", PainFree()),
        ("check-in lower back changes", Hurts(Place.LOWER_BACK, Ache.CHANGES_LIFTING)),
        ("load", TellLoad()),
        ("reduced week", AskReducedWeek()),
        ("advice yes", AnswerAdvice(taken=True)),
        ("advice no", AnswerAdvice(taken=False)),
        ("advice upper back 9", ChangeAdvice(Muscle.UPPER_BACK, 9)),
        ("why advice?", WhyAdvice()),
        ("chart bench", DrawChart(ChartOf.ESTIMATE, "bench press")),
        ("chart of my squat max", DrawChart(ChartOf.ESTIMATE, "squat")),
        ("chart week", DrawChart(ChartOf.WEEK)),
        ("chart check-ins", DrawChart(ChartOf.CHECK_INS)),
    ],
)
def test_a_check_in_is_read(text: str, command: Command) -> None:
    assert read(text, PLAIN).outcome == command


@pytest.mark.parametrize("text", ["load 80 x 5", "80x5", "muscle up 3x4", "5", "decline bench 60x8"])
def test_a_line_of_sets_is_no_check_in(text: str) -> None:
    assert isinstance(read(text, PLAIN).outcome, LogSets)


def test_a_maximum_is_asked_for_as_before() -> None:
    assert read("max bench", PLAIN).outcome == Max("bench press")


@pytest.mark.parametrize(
    ("text", "word", "remedy"),
    [
        ("sleep 6", "6", "sleep 3"),
        ("mood 0", "0", "mood 3"),
        ("energy 3.5", "3.5", "energy 3"),
        ("check-in 4 3 7 4 2", "7", "check-in 4 3 3 4 2"),
        ("advice chest 99", "99", "advice chest 8"),
    ],
)
def test_error_an_answer_outside_its_scale_is_pointed_at(text: str, word: str, remedy: str) -> None:
    problem = read(text, PLAIN).outcome

    assert isinstance(problem, Problem)
    assert (problem.kind, problem.word, problem.remedy) == (ProblemKind.NOT_AN_ANSWER, word, remedy)


@pytest.mark.parametrize(("text", "remedy"), [("sleep", "sleep 3"), ("check-in 4 3 5", "check-in 3 3 3 3 3")])
def test_error_half_an_answer_asks_for_the_rest(text: str, remedy: str) -> None:
    problem = read(text, PLAIN).outcome

    assert isinstance(problem, Problem)
    assert (problem.kind, problem.remedy) == (ProblemKind.COMMAND_INCOMPLETE, remedy)


@pytest.mark.parametrize("ache", list(Ache))
def test_telling_where_it_hurts_is_no_warning_sign(ache: Ache) -> None:
    # The question about it has been asked already, and a sharp pain has its own answer there.
    assert (
        read(f"check-in shoulder {dict(zip(Ache, ('fades', 'changes', 'sharp'), strict=True))[ache]}", PLAIN).warned
        == ()
    )
