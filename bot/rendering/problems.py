"""Problems in words: what is wrong, the lifter's own line with carets, a line to copy."""

from collections.abc import Sequence
from typing import assert_never

from wcwidth import wcwidth

from core.domain.problems import Problem, ProblemKind

WIDEST = 44
"""Columns of the lifter's line that are shown around a problem: what a phone shows without a break."""

_CUT = "…"


def problem(wrong: Problem) -> str:
    """The whole reply to a problem.

    What is wrong in one line; where there is a place, the line with carets under it; `try:` with what is accepted.
    """
    said = what_is_wrong(wrong)
    lines = [said]
    if wrong.span.end > wrong.span.start and wrong.kind not in _WITHOUT_PLACE:
        lines += _pointed_at(wrong)
    if wrong.remedy is not None:
        lines.append(f"try: {wrong.remedy}")
    return "\n".join(lines)


def what_is_wrong(wrong: Problem) -> str:
    """What is wrong, in one line without a full stop."""
    word = f"`{_shown(wrong.word, 24)}`"
    detail = wrong.detail
    match wrong.kind:
        case ProblemKind.EMPTY:
            return "there is nothing to read in that"
        case ProblemKind.TOO_LONG:
            return f"that is longer than I read at once ({detail or '4,000'} characters): send it in parts"
        case ProblemKind.UNKNOWN:
            return f"I can't read {word}"
        case ProblemKind.UNKNOWN_EXERCISE:
            return f"{word} is no exercise that I know"
        case ProblemKind.NOT_A_LOAD:
            return f"{word} is not a load"
        case ProblemKind.NOT_REPS:
            return f"{word} is not a number of reps"
        case ProblemKind.NOT_EFFORT:
            return f"{word} is not an effort"
        case ProblemKind.NOT_A_UNIT:
            return f"{word} is not a unit: kg or lb"
        case ProblemKind.NOT_A_TIME:
            return f"{word} is not a time"
        case ProblemKind.LOAD_TOO_LARGE:
            return f"{word} is more than any bar holds: up to {detail or '1,500 kg'}"
        case ProblemKind.LOAD_NEGATIVE:
            return f"{word} is below zero: a minus is for help on body-mass lifts"
        case ProblemKind.LOAD_ZERO:
            return f"{word} is no load"
        case ProblemKind.LOAD_UNDER_BAR:
            return f"{word} is less than the bar{' (' + detail + ')' if detail else ''}"
        case ProblemKind.REPS_TOO_MANY:
            return f"{word} is more reps than I keep: up to {detail or '200'}"
        case ProblemKind.REPS_MISSING:
            return f"how many reps with {word}"
        case ProblemKind.REPS_FRACTION:
            return f"{word} is not a whole number of reps"
        case ProblemKind.TOO_MANY_SETS:
            return f"that is more than {detail or '30'} sets in one message"
        case ProblemKind.EXERCISE_MISSING:
            return "which exercise was that"
        case ProblemKind.DATE_IMPOSSIBLE:
            return f"there is no day {word}"
        case ProblemKind.DATE_AHEAD:
            return f"{word} has not come yet"
        case ProblemKind.WORD_LEFT_OVER:
            return f"I can't place {word}"
        case ProblemKind.COMMAND_INCOMPLETE:
            return f"{word} needs a little more"
        case ProblemKind.OUT_OF_BOUNDS:
            return f"{word} is out of bounds: {detail}"
        case ProblemKind.OWN_WEEK:
            return f"I can't read {word} as part of a week"
        case ProblemKind.NOT_A_CODE:
            return f"{word} is no code: one has {detail} letters, and `link` in your other chat gives it"
        case ProblemKind.NOT_AN_ANSWER:
            return f"{word} is no answer here: {detail or '1 to 5'}"
        case _:
            assert_never(wrong.kind)


_WITHOUT_PLACE = frozenset({ProblemKind.EMPTY, ProblemKind.TOO_LONG})


def _pointed_at(wrong: Problem) -> list[str]:
    """The line of the text that the problem lies in, cut around the place, and carets below it."""
    text, start = wrong.text, wrong.span.start
    line_start = max(text.rfind(mark, 0, start) for mark in _LINE_ENDS) + 1
    ends = [found for mark in _LINE_ENDS if (found := text.find(mark, start)) >= 0]
    line = text[line_start : min(ends, default=len(text))]
    first, last = start - line_start, min(wrong.span.end - line_start, len(line))
    shown = [_visible(character) for character in line]
    left = first
    room = WIDEST - sum(map(_columns, shown[first:last]))
    while left > 0 and room > WIDEST // 3 + _columns(shown[left - 1]):
        left -= 1
        room -= _columns(shown[left])
    right = last
    while right < len(shown) and room - _columns(shown[right]) >= 0:
        room -= _columns(shown[right])
        right += 1
    marked = _widest(shown[first:last])
    cut_after = len(marked) < last - first
    before = (_CUT if left > 0 else "") + "".join(shown[left:first])
    after = _CUT if cut_after else "".join(shown[last:right]) + (_CUT if right < len(shown) else "")
    carets = " " * sum(map(_columns, before)) + "^" * max(1, sum(map(_columns, marked)))
    return ["  " + before + "".join(marked) + after, "  " + carets]


_LINE_ENDS = "\n\r\v\f\x1c\x1d\x1e\x85\u2028\u2029"


def _visible(character: str) -> str:
    """A character as it can be shown safely: one that cannot be seen, or would turn the line around, as a mark."""
    if character == "\t":
        return " "
    # Width alone does not tell: NUL counts as no column, and is no character that a chat takes.
    if character == "\0" or 0xD800 <= ord(character) <= 0xDFFF or wcwidth(character) < 0 or character in _TURNING:
        return "\N{REPLACEMENT CHARACTER}"
    return character


_TURNING = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def _columns(character: str) -> int:
    return sum(max(wcwidth(one), 0) for one in character)


def _widest(characters: Sequence[str]) -> list[str]:
    """As many characters from the first on as a line has columns for."""
    fitting: list[str] = []
    room = WIDEST
    for character in characters:
        room -= _columns(character)
        if room < 0:
            break
        fitting.append(character)
    return fitting


def _shown(word: str, widest: int) -> str:
    visible = "".join(map(_visible, " ".join(word.split()))).replace("`", "'")
    return visible if len(visible) <= widest else visible[: widest - 1] + _CUT
