"""What lifters write about their days, muscles and equipment, and what must not be taken for it."""

from dataclasses import replace
from datetime import time

import pytest

from core.domain.clock_commands import UseMorning
from core.domain.commands import Command, LogSets, Question
from core.domain.equipment import Discs, Listed, Steps
from core.domain.exercises import Equipment, Muscle
from core.domain.plan_commands import (
    CheckInAt,
    ComingDay,
    Matters,
    OwnDay,
    OwnLift,
    OwnWeek,
    Pause,
    PlatesFor,
    Prefer,
    Screened,
    Taste,
    UseBars,
    UseDays,
    UseDiscs,
    UseDumbbells,
    UseEquipment,
    UseMinutes,
    UseSafety,
    UseSessions,
    UseSetsNow,
)
from core.domain.prescriptions import Safety
from core.domain.problems import Problem, ProblemKind
from core.domain.setups import SetupStep
from core.domain.units import Load, Unit
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

KG = Context(names=catalogue_names(), unit=Unit.KG)


def kg(amount: float) -> Load:
    return Load(amount, Unit.KG)


def outcome(text: str, asked: SetupStep | None = None) -> object:
    return read(text, Context(names=catalogue_names(), unit=Unit.KG, asked=asked)).outcome


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("days monday, thursday", UseDays((0, 3))),
        ("Days fri & mon", UseDays((0, 4))),
        ("days mon to fri", UseDays((0, 1, 2, 3, 4))),
        ("sessions 3 a week", UseSessions(3)),
        ("minutes 45 min", UseMinutes(45)),
        ("safety safety arms", UseSafety(Safety.ARMS)),
        ("screening none of these", Screened(applies=False)),
        ("equipment barbell and dumbbells", UseEquipment(frozenset({Equipment.BARBELL, Equipment.DUMBBELL}))),
        ("equipment full gym", UseEquipment(None)),
        ("plates 20 10 2.5 x2", UseDiscs((Discs(kg(20), 2), Discs(kg(10), 2), Discs(kg(2.5), 2)))),
        ("plates 20x2 10x1", UseDiscs((Discs(kg(20), 2), Discs(kg(10), 1)))),
        ("plates 45 25 lb", UseDiscs((Discs(Load(45, Unit.LB), 1), Discs(Load(25, Unit.LB), 1)))),
        ("plates 92.5", PlatesFor(kg(92.5))),
        ("plates for 200 lb", PlatesFor(Load(200, Unit.LB))),
        ("bars 20 15", UseBars((kg(20), kg(15)))),
        ("dumbbells 5-40 by 2.5", UseDumbbells(Steps(kg(5), kg(40), kg(2.5)))),
        ("dumbbells 12.5, 10, 15", UseDumbbells(Listed((kg(10), kg(12.5), kg(15))))),
        ("matters quads and lats", Matters((Muscle.QUADRICEPS, Muscle.LATS))),
        ("ban the legpress", Prefer("leg press", Taste.BAN)),
        ("sets 8 chest", UseSetsNow(8, Muscle.CHEST)),
        ("pause till next", None),
        ("pause until 3rd of may", Pause(ComingDay(month=5, day=3))),
        ("pause until may 3", Pause(ComingDay(month=5, day=3))),
        ("pause for two weeks", Pause(ComingDay(days=14))),
    ],
)
def test_a_wish_is_read_in_the_ways_it_is_told(text: str, command: Command | None) -> None:
    if command is None:
        assert not isinstance(outcome(text), Pause)
    else:
        assert outcome(text) == command


@pytest.mark.parametrize(
    ("step", "text", "command"),
    [
        (SetupStep.DAYS, "mon wed fri", UseDays((0, 2, 4))),
        (SetupStep.DAYS, "3 days", UseSessions(3)),
        (SetupStep.DAYS, "4x a week", UseSessions(4)),
        (SetupStep.MINUTES, "45 min", UseMinutes(45)),
        (SetupStep.MINUTES, "an hour", UseMinutes(60)),
        (SetupStep.EQUIPMENT, "dumbbells", UseEquipment(frozenset({Equipment.DUMBBELL}))),
        (SetupStep.SAFETIES, "spotter", UseSafety(Safety.SPOTTER)),
        (SetupStep.SCREENING, "none of it", Screened(applies=False)),
        (SetupStep.MATTERS, "chest", Matters((Muscle.CHEST,))),
        (SetupStep.TIMES, "at 6:30", UseMorning(time(6, 30))),
        (SetupStep.SETS_NOW, "chest 8", UseSetsNow(8, Muscle.CHEST)),
    ],
)
def test_an_answer_to_the_question_that_waits_needs_no_verb(step: SetupStep, text: str, command: Command) -> None:
    assert outcome(text, step) == command
    if text not in ("mon wed fri", "4x a week"):  # days and times a week are nothing else, asked for or not
        assert outcome(text) != command


@pytest.mark.parametrize("step", [None, *SetupStep])
@pytest.mark.parametrize(
    "text",
    [
        "bench 80x5 3 days running",
        "sets 3x5 bench 80",
        "paused bench 80x5",
        "morning bench 80x5",
        "days off bench 80x5",
        "80x5",
        "5 reps",
    ],
)
def test_a_line_of_sets_is_never_a_wish(text: str, step: SetupStep | None) -> None:
    assert isinstance(read(text, Context(names=catalogue_names(), unit=Unit.KG, asked=step)).outcome, LogSets)


@pytest.mark.parametrize(
    ("text", "kind", "word"),
    [
        ("days", ProblemKind.COMMAND_INCOMPLETE, "days"),
        ("days sometimes", ProblemKind.COMMAND_INCOMPLETE, "days sometimes"),
        ("minutes 500", ProblemKind.OUT_OF_BOUNDS, "500"),
        ("sessions 9", ProblemKind.OUT_OF_BOUNDS, "9"),
        ("bounds 20-4", ProblemKind.OUT_OF_BOUNDS, "20-4"),
        ("ban wibble", ProblemKind.UNKNOWN_EXERCISE, "wibble"),
        ("pause until 31 june", ProblemKind.DATE_IMPOSSIBLE, "until 31 june"),
        ("my own", ProblemKind.COMMAND_INCOMPLETE, "my own"),
        ("my own mon: bench 5x", ProblemKind.OWN_WEEK, "bench 5x"),
        ("my own someday: bench 5x5", ProblemKind.OWN_WEEK, "someday: bench 5x5"),
    ],
)
def test_error_of_a_wish_points_at_its_smallest_wrong_part(text: str, kind: ProblemKind, word: str) -> None:
    problem = outcome(text)

    assert isinstance(problem, Problem)
    assert (problem.kind, problem.word) == (kind, word)
    # What it offers is accepted.
    assert problem.remedy is None or not isinstance(outcome(problem.remedy), Problem)


@pytest.mark.parametrize(
    "text",
    [
        "my own week\nMon: bench 5x5, row 3x8\nThu: squat 3x5 2 left; 3x12 curls",
        "my own mon: bench 5x5, row 3x8; thu: squat 3x5 2 left; 3x12 curls",
        "my own mon bench 5x5, row 3x8, thursday squat 3x5 2 left, curls 3x12",
        "my own thu: squat 3x5 2 left, curls 3x12. Mon: bench 5x5, row 3x8.",
    ],
)
def test_a_week_of_ones_own_is_read_day_by_day_with_sets_before_repetitions(text: str) -> None:
    assert outcome(text) == OwnWeek(
        (
            OwnDay(0, (OwnLift("bench press", 5, 5), OwnLift("barbell row", 3, 8))),
            OwnDay(3, (OwnLift("squat", 3, 5, 2.0), OwnLift("dumbbell curl", 3, 12))),
        )
    )


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("7", (7, 0)),
        ("7:30", (7, 30)),
        ("6.15 am", (6, 15)),
        ("7pm", (19, 0)),
        ("12 am", (0, 0)),
        ("at 18:00", (18, 0)),
    ],
)
def test_a_time_of_day_is_read_on_either_clock(text: str, at: tuple[int, int]) -> None:
    check_in = outcome(f"check-in sun {text}")

    assert isinstance(check_in, CheckInAt)
    assert check_in.at is not None
    assert (check_in.day, check_in.at.hour, check_in.at.minute) == (6, *at)


@pytest.mark.parametrize(
    ("step", "text", "command"),
    [
        (SetupStep.DAYS, "3", UseSessions(3)),
        (SetupStep.MINUTES, "45", UseMinutes(45)),
        (SetupStep.SETS_NOW, "8", UseSetsNow(8)),
        (SetupStep.TIMES, "7", UseMorning(time(7))),
    ],
)
def test_a_bare_number_answers_where_no_lift_goes_on_and_is_repetitions_between_sets(
    step: SetupStep, text: str, command: Command
) -> None:
    lifting = Context(names=catalogue_names(), unit=Unit.KG, exercise="bench press")

    asked = read(text, Context(names=catalogue_names(), unit=Unit.KG, asked=step)).outcome
    between = read(text, replace(lifting, asked=step)).outcome

    assert asked == command
    # Nobody does 45 repetitions at the bar, but some do 8.
    if step is SetupStep.MINUTES:
        assert isinstance(between, Question)
        assert between.choices[0].command == command
    else:
        assert between == read(text, lifting).outcome
