"""Reading as a whole: total, with spans inside the text, remedies that are accepted, canonical texts that come back."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.domain.commands import LogSets, Question, Sign
from core.domain.problems import Problem, ProblemKind
from core.domain.sets import MOST_REPS, MOST_SETS, SetRead
from core.domain.units import MOST_LOAD_KG, Unit
from core.notation.canonical import canonical
from core.notation.messages import Context, read
from core.notation.words import catalogue_names
from tests.core.notation.test_readings import lines

PLAIN = Context(names=catalogue_names())

WORDS = [
    "bench",
    "squat",
    "80",
    "100",
    "5",
    "x",
    "×",
    "@",
    "kg",
    "lb",
    "rir",
    "2",
    "rpe",
    "8,5",
    ",",
    ";",
    "\n",
    "w",
    "f",
    "fix",
]


def sets(text: str, context: Context = PLAIN) -> tuple[SetRead, ...]:
    outcome = read(text, context).outcome
    assert isinstance(outcome, LogSets), outcome
    return outcome.sets


def refused(text: str) -> Problem:
    outcome = read(text, PLAIN).outcome
    assert isinstance(outcome, Problem), outcome
    return outcome


@settings(max_examples=150)
@given(st.text(max_size=80) | st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join))
@example("\ud800 bench 80x5")
@example("\0" * 40)
@example("1e309x5")
@example("'; DROP TABLE sets; --")
@example("%s%n{0}")
def test_any_text_is_read_and_a_problem_points_into_it(text: str) -> None:
    reading = read(text, PLAIN)

    outcome = reading.outcome
    if isinstance(outcome, Problem):
        assert 0 <= outcome.span.start <= outcome.span.end <= len(text)
    elif isinstance(outcome, Question):
        assert len(outcome.choices) >= 2
        assert 0 <= outcome.span.start <= outcome.span.end <= len(text)
    elif isinstance(outcome, LogSets):
        assert 1 <= len(outcome.sets) <= MOST_SETS
        for each in outcome.sets:
            assert each.reps is None or 0 <= each.reps <= MOST_REPS
            assert each.load is None or abs(each.load) <= MOST_LOAD_KG / Unit.LB.in_kg
    for sign in reading.warned:
        assert 0 <= sign.span.start < sign.span.end <= len(text)


@pytest.mark.parametrize("text", [text for text, _ in lines()])
def test_the_canonical_text_of_a_reading_reads_back_to_it(text: str) -> None:
    outcome = read(text.replace("\\n", "\n"), PLAIN).outcome

    commands = [choice.command for choice in outcome.choices] if isinstance(outcome, Question) else [outcome]
    for command in commands:
        if not isinstance(command, Problem):
            assert read(canonical(command), PLAIN).outcome == command


@pytest.mark.parametrize("text", [text for text, _ in lines() if not text.startswith("zone")])
def test_case_makes_no_difference(text: str) -> None:
    text = text.replace("\\n", "\n")
    plain, loud = read(text, PLAIN).outcome, read(text.upper(), PLAIN).outcome

    if not isinstance(plain, Problem | Question):
        assert loud == plain


@pytest.mark.parametrize(
    ("text", "kind", "word", "remedy"),
    [
        ("squat 80gk x 5", ProblemKind.NOT_A_LOAD, "80gk", "squat 80kg x 5"),
        ("bench 2000x5", ProblemKind.LOAD_TOO_LARGE, "2000", None),
        ("bench 80x300", ProblemKind.REPS_TOO_MANY, "300", None),
        ("bench 80x5.5", ProblemKind.REPS_FRACTION, "5.5", None),
        ("bench -80x5", ProblemKind.LOAD_NEGATIVE, "-80", None),
        ("bench", ProblemKind.REPS_MISSING, "bench", None),
    ],
)
def test_error_names_the_smallest_wrong_part(text: str, kind: ProblemKind, word: str, remedy: str | None) -> None:
    problem = refused(text)

    assert (problem.kind, problem.word) == (kind, word)
    if remedy is not None:
        assert problem.remedy == remedy


@settings(max_examples=120)
@given(
    st.lists(st.sampled_from([*WORDS, "80gk", "5rsp", "rirr", "benhc", "-5", "0"]), min_size=1, max_size=8).map(
        " ".join
    )
)
def test_every_remedy_is_accepted(text: str) -> None:
    outcome = read(text, PLAIN).outcome

    if isinstance(outcome, Problem) and outcome.remedy is not None:
        assert not isinstance(read(outcome.remedy, PLAIN).outcome, Problem)


def test_error_a_longer_text_is_refused_kindly() -> None:
    assert refused("bench 80x5 " * 400).kind is ProblemKind.TOO_LONG


def test_a_set_without_a_name_goes_where_the_context_says_and_keeps_no_name() -> None:
    context = Context(names=catalogue_names(), exercise="bench press")

    assert sets("80x5", context) == (SetRead(load=80.0, reps=5),)


def test_a_habit_settles_three_bare_numbers() -> None:
    asked = read("100x5x3", PLAIN).outcome
    assert isinstance(asked, Question)
    first = asked.choices[0]
    assert first.habit is not None

    learnt = Context(names=catalogue_names(), habits={first.habit.key: first.habit.value})

    assert read("100x5x3", learnt).outcome == first.command


@pytest.mark.parametrize(
    ("text", "sign"),
    [
        ("chest pain after that bench 80x5", Sign.CHEST),
        ("I fainted", Sign.FAINTING),
        ("can't breathe", Sign.BREATH),
        ("bench 80x5 shoulder hurts", Sign.PAIN),
    ],
)
def test_warning_signs_are_seen_anywhere(text: str, sign: Sign) -> None:
    assert sign in {each.sign for each in read(text, PLAIN).warned}


@pytest.mark.parametrize("text", ["chest day", "chest supported row 60x10", "face pull 20x15", "chest press 50x10"])
def test_words_of_training_are_no_warning_signs(text: str) -> None:
    assert read(text, PLAIN).warned == ()


def test_error_of_a_text_too_long_to_copy_only_the_place_is_told() -> None:
    # A line to copy is read before it is told; of a pasted week that would cost its whole time once more.
    short = read("bench 80x5 rri 2", PLAIN).outcome
    long = read("bench 80x5 rri 2 " + "(ok) " * 200, PLAIN).outcome

    assert isinstance(short, Problem)
    assert isinstance(long, Problem)
    assert (short.kind, short.word) == (long.kind, long.word)
    assert (short.remedy is None, long.remedy) == (False, None)


def test_the_head_of_a_table_is_passed_over_and_a_long_row_of_its_words_is_not() -> None:
    headed = read("set weight reps\n1 80 5\n2 80 4", PLAIN).outcome
    words = read("set weight " * 300, PLAIN).outcome

    assert canonical(headed) == "80 x 5; 80 x 4" if not isinstance(headed, (Problem, Question)) else False
    assert isinstance(words, Problem)
