"""Problems: what a text can have wrong, with the place and a line that would be accepted."""

from dataclasses import dataclass
from enum import StrEnum


class ProblemKind(StrEnum):
    """What is wrong with a text; the words for it are in `bot/rendering/problems.py`."""

    EMPTY = "empty"
    TOO_LONG = "too long"
    UNKNOWN = "unknown"
    UNKNOWN_EXERCISE = "unknown exercise"
    NOT_A_LOAD = "not a load"
    NOT_REPS = "not reps"
    NOT_EFFORT = "not effort"
    NOT_A_UNIT = "not a unit"
    NOT_A_TIME = "not a time"
    LOAD_TOO_LARGE = "load too large"
    LOAD_NEGATIVE = "load negative"
    LOAD_ZERO = "load zero"
    LOAD_UNDER_BAR = "load under the bar"
    REPS_TOO_MANY = "reps too many"
    REPS_MISSING = "reps missing"
    REPS_FRACTION = "reps fraction"
    TOO_MANY_SETS = "too many sets"
    EXERCISE_MISSING = "exercise missing"
    DATE_IMPOSSIBLE = "date impossible"
    DATE_AHEAD = "date ahead"
    WORD_LEFT_OVER = "word left over"
    COMMAND_INCOMPLETE = "command incomplete"
    OUT_OF_BOUNDS = "out of bounds"
    OWN_WEEK = "own week"
    NOT_AN_ANSWER = "not an answer"
    NOT_A_CODE = "not a code"


@dataclass(frozen=True, slots=True)
class Span:
    """A place in a text, in code points: from `start` up to, not with, `end`."""

    start: int
    end: int

    def __post_init__(self) -> None:
        """Refuse a place that ends before it begins."""
        if not 0 <= self.start <= self.end:
            raise ValueError(f"not a place in a text: {self.start} to {self.end}")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a text.

    Args:
        kind: What is wrong.
        text: The lifter's whole text, untouched.
        span: The smallest wrong part of it.
        remedy: A text that would be accepted in its place; None if none can be told.
        detail: A bound or a name that the message tells; empty if none.

    """

    kind: ProblemKind
    text: str
    span: Span
    remedy: str | None = None
    detail: str = ""

    @property
    def word(self) -> str:
        """The wrong part itself."""
        return self.text[self.span.start : self.span.end]
