"""Problems as a whole: the kind, the smallest wrong part, the line to copy; habits and context."""

import pytest

from core.domain.commands import Choice, Fix, Habit, LogSets, Question, Respelt
from core.domain.problems import Problem, ProblemKind, Span
from core.domain.sets import SetRead
from core.domain.units import Unit
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names())


def problem(text: str, kind: ProblemKind, part: str, remedy: str | None = None, detail: str = "") -> Problem:
    start = text.index(part)
    return Problem(kind, text, Span(start, start + len(part)), remedy, detail)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (text, problem(text, *rest))
        for text, *rest in (
            ("squat 80gk x 5", ProblemKind.NOT_A_LOAD, "80gk", "squat 80kg x 5"),
            ("80 kgg x 5", ProblemKind.NOT_A_UNIT, "kgg", "80 kg x 5"),
            ("80$ x 5", ProblemKind.NOT_A_LOAD, "80$", "80 x 5"),
            ("80x5.5", ProblemKind.REPS_FRACTION, "5.5", "80x5"),
            ("80x500", ProblemKind.REPS_TOO_MANY, "500", None, "200"),
            ("2000x5", ProblemKind.LOAD_TOO_LARGE, "2000", None, "1500 kg"),
            ("bench -80x5", ProblemKind.LOAD_NEGATIVE, "-80", "bench 80x5"),
            ("bench -80kg x5", ProblemKind.LOAD_NEGATIVE, "-80kg", "bench 80kg x5"),
            ("0x5", ProblemKind.LOAD_ZERO, "0"),
            ("bench 15kg x 5", ProblemKind.LOAD_UNDER_BAR, "15kg", None, "20 kg"),
            ("80x5x40 sets", ProblemKind.TOO_MANY_SETS, "40 sets", None, "30"),
            ("80x", ProblemKind.REPS_MISSING, "80x", "80x5"),
            ("bench 60, 80x5", ProblemKind.REPS_MISSING, "60", "bench 60x5, 80x5"),
            ("80x-5", ProblemKind.NOT_REPS, "-5", "80x5"),
            ("80x5 rpe 11", ProblemKind.NOT_EFFORT, "rpe 11", "80x5 rpe 10", "10"),
            ("80x5 rri 2", ProblemKind.NOT_EFFORT, "rri", "80x5 rir 2"),
            ("80x5 blorp 85x5", ProblemKind.WORD_LEFT_OVER, "blorp", "80x5 (blorp) 85x5"),
            ("bench 80x5 row", ProblemKind.WORD_LEFT_OVER, "row"),
            ("units", ProblemKind.COMMAND_INCOMPLETE, "units", "units kg"),
            ("max blorp", ProblemKind.UNKNOWN_EXERCISE, "blorp"),
            ("wibble", ProblemKind.UNKNOWN, "wibble", "help"),
            ("  ", ProblemKind.EMPTY, "  ", "help"),
        )
    ],
)
def test_error_names_one_problem_with_its_place_and_a_line_to_copy(text: str, expected: Problem) -> None:
    assert read(text, PLAIN).outcome == expected


def test_error_a_span_counts_code_points_of_the_typed_text() -> None:
    text = "ＳＱＵＡＴ 💪 80gk x 5"

    assert read(text, PLAIN).outcome == problem(text, ProblemKind.NOT_A_LOAD, "80gk", "ＳＱＵＡＴ 💪 80kg x 5")


def test_error_more_than_thirty_sets_are_refused() -> None:
    outcome = read("bench " + "80x5 " * 31, PLAIN).outcome

    assert isinstance(outcome, Problem)
    assert (outcome.kind, outcome.detail) == (ProblemKind.TOO_MANY_SETS, "30")


def test_thirty_sets_are_read() -> None:
    outcome = read("bench " + "80x5 " * 30, PLAIN).outcome

    assert isinstance(outcome, LogSets)
    assert len(outcome.sets) == 30


def test_a_question_has_the_likeliest_reading_first_and_teaches_a_habit() -> None:
    text = "75kg x 5 x 3"
    five = SetRead(load=75.0, unit=Unit.KG, reps=5)
    three = SetRead(load=75.0, unit=Unit.KG, reps=3)

    outcome = read(text, PLAIN).outcome

    assert isinstance(outcome, Question)
    assert outcome.span == Span(0, len(text))
    assert outcome.choices == (
        Choice(LogSets((five,) * 3), Habit("order", "load reps sets")),
        Choice(LogSets((three,) * 5), Habit("order", "load sets reps")),
    )


@pytest.mark.parametrize(
    ("habits", "text", "expected"),
    [
        ({"order": "load sets reps"}, "100x5x3", (SetRead(load=100.0, reps=3),) * 5),
        ({"at": "rir"}, "80x5 @2", (SetRead(load=80.0, reps=5, rir=2.0),)),
        ({"at": "rpe"}, "80x5 @5", (SetRead(load=80.0, reps=5, rpe=5.0, at_least=True),)),
        ({"pair": "reps load"}, "8x20", (SetRead(load=20.0, reps=8),)),
        ({"scheme": "reps sets"}, "10x3 @ 60kg", (SetRead(load=60.0, unit=Unit.KG, reps=10),) * 3),
    ],
)
def test_a_habit_settles_what_would_be_asked(habits: dict[str, str], text: str, expected: tuple[SetRead, ...]) -> None:
    assert read(text, Context(names=catalogue_names(), habits=habits)).outcome == LogSets(expected)


def test_a_habit_that_makes_no_sense_for_the_lift_is_not_followed() -> None:
    context = Context(names=catalogue_names(), habits={"order": "sets reps load"})

    assert isinstance(read("100x5x3", context).outcome, Question)


def test_a_planned_load_lets_a_number_after_at_be_an_effort() -> None:
    planned = Context(names=catalogue_names(), exercise="dumbbell curl", planned_load=True)

    assert read("12@8", planned).outcome == LogSets((SetRead(reps=12, rpe=8.0),))
    assert isinstance(read("12@8", Context(names=catalogue_names(), exercise="dumbbell curl")).outcome, Question)


def test_a_lighter_bar_is_minded() -> None:
    light = Context(names=catalogue_names(), bar_kg=15.0)

    assert read("bench 15kg x 5", light).outcome == LogSets(
        (SetRead(exercise="bench press", load=15.0, unit=Unit.KG, reps=5),)
    )


def test_a_close_spelling_is_shown() -> None:
    assert read("benhc 80x5", PLAIN).respelt == (Respelt("benhc", "bench press"),)


def test_effort_alone_is_said_of_the_last_set() -> None:
    assert read("rir 2", PLAIN).outcome == Fix((SetRead(rir=2.0),))


# Coaching practice of the trade: told once behind several sets, it is exact for the last and a bound for the others.
def test_effort_told_once_is_exact_for_the_last_set_and_a_bound_for_the_earlier_ones() -> None:
    bound = SetRead(load=80.0, reps=5, rir=2.0, at_least=True)

    assert read("80x5, 5, 5 rir2", PLAIN).outcome == LogSets((bound, bound, SetRead(load=80.0, reps=5, rir=2.0)))


def test_a_warm_up_has_no_effort_of_the_sets_behind_it() -> None:
    outcome = read("40x10 w, 80x5 rir 2", PLAIN).outcome

    assert outcome == LogSets((SetRead(load=40.0, reps=10, warmup=True), SetRead(load=80.0, reps=5, rir=2.0)))


def test_a_text_of_nothing_but_a_sign_is_a_problem_with_the_sign() -> None:
    reading = read("chest pain", PLAIN)

    assert isinstance(reading.outcome, Problem)
    assert [warned.span for warned in reading.warned] == [Span(0, 10)]


@pytest.mark.parametrize(
    ("current", "exercises"),
    [
        (None, ["close-grip bench press"]),
        ("bench press", ["close-grip bench press"]),
        # Both are lifts, and both are sensible after an incline press: asked.
        ("incline bench press", ["close-grip bench press", "close-grip incline bench press"]),
        # Nobody squats with a close grip.
        ("squat", ["close-grip bench press"]),
    ],
)
def test_a_grip_alone_is_of_the_bench_press_or_of_the_lift_just_done(current: str | None, exercises: list[str]) -> None:
    outcome = read("close grip 70 kg x 6", Context(names=catalogue_names(), exercise=current)).outcome

    readings = [each.command for each in outcome.choices] if isinstance(outcome, Question) else [outcome]
    assert [each.sets[0].exercise for each in readings if isinstance(each, LogSets)] == exercises
