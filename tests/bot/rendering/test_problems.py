"""Problems in words: the whole drawn reply of every kind, and the page that shows them all."""

from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wcwidth import wcswidth, wcwidth

from bot.rendering.problems import WIDEST, problem
from core.domain.problems import Problem, ProblemKind, Span
from tests.bot.conftest import Expected

PAGE = Path(__file__).parents[2] / "problems.md"

HEAD = """\
# Every message that a mistake can produce

Made from the cases of `tests/bot/rendering/test_problems.py`, which compare each whole reply; `pytest tests/bot
--rewrite` writes this page anew. First what the lifter wrote, then the answer.
"""


@dataclass(frozen=True, slots=True)
class Case:
    """A text with one wrong part, and the reply to it, drawn by hand.

    Args:
        kind: What is wrong.
        text: The whole text.
        wrong: The wrong part; its first occurrence is meant.
        reply: The whole reply.
        remedy: What would be accepted.
        detail: A bound or a name that the message tells.

    """

    kind: ProblemKind
    text: str
    wrong: str
    reply: str
    remedy: str | None = None
    detail: str = ""

    @property
    def problem(self) -> Problem:
        """The problem as reading finds it."""
        start = self.text.index(self.wrong)
        return Problem(self.kind, self.text, Span(start, start + len(self.wrong)), self.remedy, self.detail)


CASES = (
    Case(ProblemKind.EMPTY, "   ", "", "there is nothing to read in that\ntry: bench 80x5", "bench 80x5"),
    Case(
        ProblemKind.TOO_LONG,
        "bench 80x5 " * 400,
        "",
        "that is longer than I read at once (4,000 characters): send it in parts",
    ),
    Case(
        ProblemKind.UNKNOWN,
        "wibble wobble",
        "wibble wobble",
        "I can't read `wibble wobble`\n  wibble wobble\n  ^^^^^^^^^^^^^\ntry: help",
        "help",
    ),
    Case(
        ProblemKind.UNKNOWN_EXERCISE,
        "max wibble",
        "wibble",
        "`wibble` is no exercise that I know\n  max wibble\n      ^^^^^^\ntry: max bench press",
        "max bench press",
    ),
    Case(
        ProblemKind.NOT_A_LOAD,
        "squat 80gk x 5",
        "80gk",
        "`80gk` is not a load\n  squat 80gk x 5\n        ^^^^\ntry: squat 80kg x 5",
        "squat 80kg x 5",
    ),
    Case(
        ProblemKind.NOT_REPS,
        "squat 80 x five5",
        "five5",
        "`five5` is not a number of reps\n  squat 80 x five5\n             ^^^^^\ntry: squat 80 x 5",
        "squat 80 x 5",
    ),
    Case(
        ProblemKind.NOT_EFFORT,
        "bench 80x5 rpe 12",
        "12",
        "`12` is not an effort\n  bench 80x5 rpe 12\n                 ^^\ntry: bench 80x5 rpe 10",
        "bench 80x5 rpe 10",
    ),
    Case(
        ProblemKind.NOT_A_UNIT,
        "units stone",
        "stone",
        "`stone` is not a unit: kg or lb\n  units stone\n        ^^^^^\ntry: units kg",
        "units kg",
    ),
    Case(
        ProblemKind.NOT_A_TIME,
        "plank 2 x 0 s",
        "0 s",
        "`0 s` is not a time\n  plank 2 x 0 s\n            ^^^\ntry: plank 2 x 40 s",
        "plank 2 x 40 s",
    ),
    Case(
        ProblemKind.LOAD_TOO_LARGE,
        "bench 8000x5",
        "8000",
        "`8000` is more than any bar holds: up to 1,500 kg\n  bench 8000x5\n        ^^^^\ntry: bench 80x5",
        "bench 80x5",
    ),
    Case(
        ProblemKind.LOAD_NEGATIVE,
        "bench -80x5",
        "-80",
        "`-80` is below zero: a minus is for help on body-mass lifts\n  bench -80x5\n        ^^^\ntry: bench 80x5",
        "bench 80x5",
    ),
    Case(
        ProblemKind.LOAD_ZERO,
        "bench 0x5",
        "0",
        "`0` is no load\n  bench 0x5\n        ^\ntry: bench bar x 5",
        "bench bar x 5",
    ),
    Case(
        ProblemKind.LOAD_UNDER_BAR,
        "bench 12x5",
        "12",
        "`12` is less than the bar (20 kg)\n  bench 12x5\n        ^^\ntry: bench bar x 5",
        "bench bar x 5",
        "20 kg",
    ),
    Case(
        ProblemKind.REPS_TOO_MANY,
        "bench 80x500",
        "500",
        "`500` is more reps than I keep: up to 200\n  bench 80x500\n           ^^^\ntry: bench 80x50",
        "bench 80x50",
    ),
    Case(
        ProblemKind.REPS_MISSING,
        "bench 80kg",
        "80kg",
        "how many reps with `80kg`\n  bench 80kg\n        ^^^^\ntry: bench 80kg x 5",
        "bench 80kg x 5",
    ),
    Case(
        ProblemKind.REPS_FRACTION,
        "bench 80x5.5",
        "5.5",
        "`5.5` is not a whole number of reps\n  bench 80x5.5\n           ^^^\ntry: bench 80x5",
        "bench 80x5",
    ),
    Case(
        ProblemKind.TOO_MANY_SETS,
        "bench 31x3x60",
        "31",
        "that is more than 30 sets in one message\n  bench 31x3x60\n        ^^\ntry: bench 30x3x60",
        "bench 30x3x60",
    ),
    Case(
        ProblemKind.EXERCISE_MISSING,
        "80x5",
        "80x5",
        "which exercise was that\n  80x5\n  ^^^^\ntry: bench press 80x5",
        "bench press 80x5",
    ),
    Case(
        ProblemKind.DATE_IMPOSSIBLE,
        "2027-02-31 bench 80x5",
        "2027-02-31",
        "there is no day `2027-02-31`\n  2027-02-31 bench 80x5\n  ^^^^^^^^^^\ntry: yesterday bench 80x5",
        "yesterday bench 80x5",
    ),
    Case(
        ProblemKind.DATE_AHEAD,
        "tomorrow bench 80x5",
        "tomorrow",
        "`tomorrow` has not come yet\n  tomorrow bench 80x5\n  ^^^^^^^^\ntry: bench 80x5",
        "bench 80x5",
    ),
    Case(
        ProblemKind.WORD_LEFT_OVER,
        "bench 80x5 zorp",
        "zorp",
        "I can't place `zorp`\n  bench 80x5 zorp\n             ^^^^\ntry: bench 80x5 (zorp)",
        "bench 80x5 (zorp)",
    ),
    Case(
        ProblemKind.COMMAND_INCOMPLETE,
        "fix",
        "fix",
        "`fix` needs a little more\n  fix\n  ^^^\ntry: fix 80x5",
        "fix 80x5",
    ),
    Case(
        ProblemKind.OUT_OF_BOUNDS,
        "minutes 500",
        "500",
        "`500` is out of bounds: a session of 15 to 180 minutes\n  minutes 500\n          ^^^\ntry: minutes 60",
        "minutes 60",
        "a session of 15 to 180 minutes",
    ),
    Case(
        ProblemKind.OWN_WEEK,
        "my own mon: bench 5x",
        "bench 5x",
        "I can't read `bench 5x` as part of a week\n  my own mon: bench 5x\n              ^^^^^^^^\n"
        "try: my own mon: bench 5x5",
        "my own mon: bench 5x5",
    ),
    Case(
        ProblemKind.NOT_A_CODE,
        "link bcdg-hjkl",
        "bcdg-hjkl",
        "`bcdg-hjkl` is no code: one has 12 letters, and `link` in your other chat gives it\n"
        "  link bcdg-hjkl\n"
        "       ^^^^^^^^^",
        detail="12",
    ),
    Case(
        ProblemKind.NOT_AN_ANSWER,
        "sleep 7",
        "7",
        "`7` is no answer here: 1 to 5\n  sleep 7\n        ^\ntry: sleep 3",
        "sleep 3",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.kind.name.lower())
def test_error_reply_is_drawn_whole(case: Case) -> None:
    assert problem(case.problem) == case.reply


def test_error_of_every_kind_has_a_case() -> None:
    assert {case.kind for case in CASES} == set(ProblemKind)


def test_the_page_of_problems_shows_every_case(expected: Expected) -> None:
    parts = [HEAD]
    for case in CASES:
        text = case.text if len(case.text) <= 60 else case.text[:40] + "…"
        parts.append(f"\n## {case.kind}\n\n```\n{text.rstrip() or '(blanks)'}\n\n{problem(case.problem)}\n```\n")

    expected(PAGE, "".join(parts))


def test_error_carets_count_wide_characters_as_two_columns() -> None:
    # UAX #11: katakana are wide, two columns each; "ベンチ " takes 3 x 2 + 1 = 7 columns.
    wide = Case(ProblemKind.NOT_A_LOAD, "ベンチ 80gk x 5", "80gk", "")

    drawn = problem(wide.problem)

    assert drawn == "`80gk` is not a load\n  ベンチ 80gk x 5\n" + "  " + 7 * " " + "^^^^"


def test_error_carets_lie_under_the_whole_of_a_wide_word() -> None:
    # Full-width digits and letters (UAX #11, class F) take two columns each: four of them take eight.
    wide = Case(ProblemKind.NOT_A_LOAD, "squat ８０ｇｋ x 5", "８０ｇｋ", "")

    drawn = problem(wide.problem)

    assert drawn == "`８０ｇｋ` is not a load\n  squat ８０ｇｋ x 5\n        ^^^^^^^^"


def test_error_carets_count_a_combining_mark_as_no_column() -> None:
    # UAX #11: a combining mark adds no column.
    accented = Case(ProblemKind.NOT_A_LOAD, "cafe\u0301 80gk", "80gk", "")

    drawn = problem(accented.problem)

    assert drawn.splitlines()[2] == "  " + 5 * " " + "^^^^"


def test_error_line_is_the_one_that_is_wrong() -> None:
    second = Case(ProblemKind.NOT_A_LOAD, "bench 80x5\nsquat 80gk x 5\nrow 60x10", "80gk", "")

    drawn = problem(second.problem)

    assert drawn == "`80gk` is not a load\n  squat 80gk x 5\n        ^^^^"


def test_error_line_that_is_long_is_cut_around_the_wrong_part() -> None:
    text = "a" * 100 + " 80gk " + "b" * 100
    case = Case(ProblemKind.NOT_A_LOAD, text, "80gk", "")

    said, line, carets = problem(case.problem).splitlines()

    assert said == "`80gk` is not a load"
    assert wcswidth(line) <= 2 + WIDEST + 2
    assert line.startswith("  …a")
    assert line.endswith("b…")
    assert [line[place] for place, mark in enumerate(carets) if mark == "^"] == list("80gk")


def test_error_word_that_is_long_is_cut_in_the_sentence_and_in_the_line() -> None:
    case = Case(ProblemKind.NOT_A_LOAD, "9" * 10_000, "9" * 10_000, "")

    said, line, carets = problem(case.problem).splitlines()

    assert said == f"`{'9' * 23}…` is not a load"
    assert line == "  " + "9" * WIDEST + "…"
    assert carets == "  " + "^" * WIDEST


@pytest.mark.parametrize("mark", ["\u202e", "\u2066", "\u200f", "\ud800", "\x00", "\x1b", "\x07"])
def test_error_line_shows_what_could_turn_it_around_or_break_it_as_a_mark(mark: str) -> None:
    case = Case(ProblemKind.NOT_A_LOAD, f"squat {mark}80gk x 5", f"{mark}80gk", "")

    drawn = problem(case.problem)

    assert drawn == "`\ufffd80gk` is not a load\n  squat \ufffd80gk x 5\n        ^^^^^"


def test_error_word_with_backticks_stays_inside_its_quotes() -> None:
    case = Case(ProblemKind.UNKNOWN, "a `b` c", "`b`", "")

    assert problem(case.problem).splitlines()[0] == "I can't read `'b'`"


@settings(max_examples=50)
@given(text=st.text(st.characters(), min_size=1, max_size=80), data=st.data())
def test_error_of_any_text_is_short_and_safe_to_send(text: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(text) - 1))
    end = data.draw(st.integers(start + 1, len(text)))
    wrong = Problem(ProblemKind.UNKNOWN, text, Span(start, end))

    lines = problem(wrong).split("\n")

    assert len(lines) == 3
    assert all(wcwidth(character) >= 0 for line in lines for character in line)
    assert all(wcswidth(line) <= 2 + WIDEST + 2 for line in lines)
    assert lines[2].strip(" ") == "^" * lines[2].count("^")
    assert "\n".join(lines).encode()
