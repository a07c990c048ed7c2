"""Other counts: numbers that count something else than a set does: rows of a table, people, minutes until, totals."""

from collections.abc import Sequence

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_REPS
from core.notation.doubts import Refused
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import COMMENTS, FILLERS, REPS, SECONDS, SETS, THINGS, UNITS

HIGHEST_ROW = 30
"""Highest number of a row in a table of sets. [rows]"""

LONGEST_ROW = 12
"""Tokens of a row at most: its number, load, repetitions and effort with their words. [tokens]"""

LABELS = frozenset("abcde")
"""Letters of the groups that lifts done in turn are put into: `A1`, `1b`. Common practice, no source."""

_PARTED = frozenset({Kind.END, Kind.COMMA, Kind.SEMICOLON, Kind.LINE})


def counted_otherwise(tokens: Sequence[Token], at: int, *, begins: bool) -> int | None:
    """Index behind a number that counts something else than a set; None if it may be of a set.

    Args:
        tokens: The text's tokens.
        at: Index of a number.
        begins: Nothing of a set stands before it on its line.

    Raises:
        Refused: it cannot be passed over either: nothing else is told, or a total whose sets are not.

    """
    behind = tokens[at + 1]
    if begins:
        if (behind.kind is Kind.NUMBER or behind.kind is Kind.SEMICOLON) and _numbers_row(tokens, at):
            return at + 1
        if (labelled := _label(tokens, at)) is not None:
            return labelled
    if behind.text in THINGS:
        if begins:
            raise Refused(ProblemKind.UNKNOWN, tokens[at].start, behind.end)
        return at + 2  # `80x5, 2 people waiting`
    if at and tokens[at - 1].text == "in" and (end := _until(tokens, at, begins=begins)) is not None:
        return end
    if behind.kind is Kind.SLASH and begins:
        _refuse_always_open(tokens, at)
    _refuse_total(tokens, at)
    return None


def label_at(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind `A1`, `A1:`, `b2)` before what is done in turn; None if a word is no such label."""
    number = tokens[at + 1]
    if number.kind is not Kind.NUMBER or number.spaced or len(number.text) > 1 or tokens[at].text not in LABELS:
        return None
    return _behind_sign(tokens, at + 2)


HEADINGS = frozenset({"note", "notes", "exercise", "set", "sets", "weight", "load", "lift", "#", "movement"})
"""Words that a line of remarks or the head of a table begins with."""

_COLUMNS = HEADINGS | REPS | UNITS.keys() | {"rir", "rpe", "rest", "effort", "date", "name"}


def behind_heading(tokens: Sequence[Token], at: int, *, begins: bool) -> int | None:
    """Index behind `notes: slept badly`, or behind the head of a table, `set weight reps`; None if a word begins neither."""
    if not begins:
        return None
    end = at + 1
    if tokens[at].text.startswith("note"):
        if tokens[end].kind is not Kind.COLON:
            return None
        while tokens[end].kind not in (Kind.LINE, Kind.END):
            end += 1
        return end
    columns = 1
    while end < at + LONGEST_HEAD and (tokens[end].text in _COLUMNS or tokens[end].kind in _BETWEEN_COLUMNS):
        columns += tokens[end].kind is Kind.WORD
        end += 1
    if columns < 2 or tokens[end].kind is not Kind.LINE:
        return None
    if all(token.kind in _RULED for token in tokens[end + 1 : end + 8]):
        while tokens[end + 1].kind in _RULED and end < at + LONGEST_RULE:
            end += 1  # `|---|---|---|`
    return end


LONGEST_HEAD = 24
"""Names of columns and signs between them that the head of a table has at most. [tokens]"""

LONGEST_RULE = 80
"""Signs that the line under the head of a table has at most. [tokens]"""

_BETWEEN_COLUMNS = frozenset({Kind.COMMA, Kind.SEMICOLON, Kind.SLASH, Kind.OPEN, Kind.CLOSE, Kind.DASH})
_RULED = frozenset({Kind.DASH, Kind.SEMICOLON, Kind.COLON, Kind.PLUS})


def to_go(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind `2 sets to go`, `3/3 sets`: how far a session has come, and no set of it."""
    place = at + 1
    while tokens[place].text in SETS or tokens[place].text in ("more", "rep", "reps"):
        place += 1
    if tokens[place].text == "to" and tokens[place + 1].text == "go":
        return place + 2
    parted = tokens[at + 1].kind is Kind.SLASH and tokens[at + 2].kind is Kind.NUMBER and tokens[at + 3].text in SETS
    return at + 4 if parted and float(tokens[at].text) <= float(tokens[at + 2].text) else None


def compared(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind `2.5kg more than last time`, `up 2.5 from last week`: how a set compares, and no further one."""
    place = at + 2 if tokens[at + 1].text in UNITS or tokens[at + 1].text in REPS else at + 1
    more = tokens[place].text in _MORE and tokens[place + 1].text == "than"
    if at and (tokens[at - 1].text in _BESIDE or (tokens[at - 1].text == "was" and tokens[at - 2].kind is Kind.OPEN)):
        while tokens[place].kind in (Kind.WORD, Kind.NUMBER, Kind.CROSS):
            place += 1
        return place  # `80x5 vs 77.5 last week`, `80x5 (was 85)`
    up = at > 0 and tokens[at - 1].text in ("up", "down") and tokens[place].text in ("from", "since", "on")
    if not (more or up):
        return None
    while tokens[place].kind in (Kind.WORD, Kind.NUMBER):
        place += 1
    return place


_BESIDE = frozenset({"vs", "versus", "than"})
_MORE = frozenset({"more", "less", "heavier", "lighter"})


def _label(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind `1a.`, `1b`."""
    letter = tokens[at + 1]
    if letter.text not in LABELS or letter.spaced or len(tokens[at].text) > 1:
        return None
    return _behind_sign(tokens, at + 2)


def _behind_sign(tokens: Sequence[Token], at: int) -> int | None:
    signed = tokens[at].kind in (Kind.COLON, Kind.CLOSE, Kind.DASH) or tokens[at].text == "."
    if signed and not tokens[at].spaced:
        return at + 1
    return at if tokens[at].kind is Kind.WORD and tokens[at].spaced else None


def _numbers_row(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number at the start of a line is the row's: the lines around it count on, and two numbers follow."""
    if not tokens[at].text.isdigit() or float(tokens[at].text) > HIGHEST_ROW:
        return False
    row = int(tokens[at].text)
    end = at + 1
    numbers = 0
    while tokens[end].kind not in (Kind.LINE, Kind.END) and end < at + LONGEST_ROW:
        numbers += tokens[end].kind is Kind.NUMBER
        end += 1
    if numbers < 2:
        return False
    if row == 1:
        return tokens[end].kind is Kind.LINE and tokens[end + 1].text == "2"
    if at < 2 or tokens[at - 1].kind is not Kind.LINE:
        return False
    first = at - 1
    while first and tokens[first - 1].kind is not Kind.LINE and first > at - LONGEST_ROW:
        first -= 1
    while tokens[first].kind is Kind.WORD:
        first += 1
    return tokens[first].text == str(row - 1)


def _until(tokens: Sequence[Token], at: int, *, begins: bool) -> int | None:
    """Index behind `in 10`, `in 25 min`: how long it took, or takes."""
    behind = tokens[at + 1]
    if behind.text in SECONDS:
        return at + 2
    if behind.kind not in _PARTED or (at > 1 and tokens[at - 2].kind in (Kind.NUMBER, Kind.CROSS)):
        return None
    if begins and behind.kind is Kind.END:
        raise Refused(ProblemKind.UNKNOWN, tokens[at - 1].start, tokens[at].end)
    return at + 1


def _refuse_always_open(tokens: Sequence[Token], at: int) -> None:
    """Refuse `gym 24/7`, where no lift is named."""
    if tokens[at].text != "24" or tokens[at + 2].text != "7" or tokens[at + 3].kind is not Kind.END:
        return
    before = tokens[at - 1].text if at else "gym"
    if before in FILLERS or before in COMMENTS or before == "open":
        raise Refused(ProblemKind.UNKNOWN, tokens[at].start, tokens[at + 2].end)


def _refuse_total(tokens: Sequence[Token], at: int) -> None:
    """Refuse `30 total`, `50 in 3 sets`: how many in each set was not told."""
    place = at + 2 if tokens[at + 1].text in REPS else at + 1
    word = tokens[place].text
    if word not in ("in", "total"):
        return
    number = tokens[at]
    count = tokens[place + 1]
    if (
        word == "in"
        and count.kind is Kind.NUMBER
        and tokens[place + 2].text in SETS
        and 1 < float(count.text) <= HIGHEST_ROW
    ):
        each = max(round(float(number.text) / float(count.text)), 1)
        instead = f"{count.text} sets of {each}"
        raise Refused(ProblemKind.NOT_REPS, number.start, tokens[place + 2].end, instead=instead)
    end = place + 1 if word == "in" else place
    if tokens[end].text != "total" or tokens[end + 1].kind not in _PARTED or tokens[at - 1].text in UNITS:
        return
    if end == at + 1:
        return  # whether it is repetitions depends on the lift
    total = float(number.text)
    if total <= MOST_REPS and at and tokens[at - 1].kind is not Kind.EQUALS:
        counted = next((place for place in range(at - 1, max(at - 4, 0), -1) if tokens[place].text in SETS), 0)
        sets = float(tokens[counted - 1].text) if counted and tokens[counted - 1].kind is Kind.NUMBER else 0.0
        each = max(round(total / (sets or 3)), 1)
        instead = f"{each} reps" if sets else f"{each}, {each}, {each}"
        raise Refused(ProblemKind.NOT_REPS, number.start, tokens[end].end, instead=instead)
