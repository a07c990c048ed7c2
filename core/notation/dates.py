"""Dates: the day that sets are told for, where one is."""

from collections.abc import Sequence

from core.domain.commands import DaysAgo
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.tokens import Kind, Token
from core.notation.written_dates import (
    LONGEST_MONTH,
    MONTHS,
    MONTHS_IN_YEAR,
    ORDINALS,
    Dated,
    date_written,
    day_first,
    day_of,
    day_of_year,
    is_day_and_month,
    joined_numbers,
    month_first,
)

MOST_DAYS_AGO = 366
"""Longest way back that is told in days. [d]"""

WEEKDAYS = {
    **dict.fromkeys(("mon", "monday"), 0),
    **dict.fromkeys(("tue", "tues", "tuesday"), 1),
    **dict.fromkeys(("wed", "weds", "wednesday"), 2),
    **dict.fromkeys(("thu", "thur", "thurs", "thursday"), 3),
    **dict.fromkeys(("fri", "friday"), 4),
    **dict.fromkeys(("sat", "saturday"), 5),
    **dict.fromkeys(("sun", "sunday"), 6),
}

_YESTERDAY = frozenset(
    {
        "yesterday",
        "yday",
        "y'day",
        "ystd",
        "yest",
        "yesterday's",
        "yesterdays",
        "gestern",
        "hier",
        "ayer",
        "igår",
        "igar",
    }
)
_TITLES = frozenset({"workout", "session", "training", "log", "date"})
"""Words that a pasted session begins with, before its day."""

_COUNTED_DAYS = {"a": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0}

_BESIDE_DAY = frozenset({"on", "last", "this", "kg", "kgs", "lb", "lbs", "reps", "left"})
"""Words behind which a weekday at the end of a text is the day of its sets."""

_MOST_MONTH_WORDS = frozenset({"may", "mar", "march", "sept"})
"""Months whose names are words of a remark as well."""
_TOMORROW = frozenset({"tomorrow", "tmrw", "tmr"})
_LONGEST_DATE = 6
"""Tokens that a date has at most: `3rd of february, 2027`. [tokens]"""

_JOINING = frozenset({Kind.CROSS, Kind.AT, Kind.SLASH, Kind.DASH, Kind.PLUS})
_COUNTED = frozenset({"for", "by", "times", "rir", "rpe", "of", "x"})
"""Words whose number is not a day's."""

_DAYS_IN_WEEK = 7


def weekday_named(word: str) -> int | None:
    """Weekday that a word names, 0 for Monday; None if it names none."""
    return WEEKDAYS.get(word)


def day_told(tokens: Sequence[Token], doubts: Doubts) -> Dated | None:
    """The day that a text begins or ends with; None if it tells none.

    Raises:
        Refused: there is no such day, or it is still to come.

    """
    if (found := _leading(tokens, doubts)) is not None:
        behind = _behind_hour(tokens, found.behind)
        while tokens[behind].kind in (Kind.COLON, Kind.COMMA, Kind.LINE, Kind.DASH, Kind.SEMICOLON, Kind.CLOSE) or (
            tokens[behind].text == "."
        ):
            behind += 1
        return Dated(found.day, found.first, behind)
    return _trailing(tokens)


def _behind_hour(tokens: Sequence[Token], at: int) -> int:
    """Index behind the hour of `2027-01-03T18:05`; the same where there is none."""
    if tokens[at].text != "t" or tokens[at].spaced or tokens[at + 1].kind is not Kind.NUMBER or tokens[at + 1].spaced:
        return at
    at += 2
    while tokens[at].kind is Kind.COLON and tokens[at + 1].kind is Kind.NUMBER and not tokens[at + 1].spaced:
        at += 2
    return at + 1 if tokens[at].text == "z" and not tokens[at].spaced else at


def _leading(tokens: Sequence[Token], doubts: Doubts) -> Dated | None:
    at = _behind_title(tokens)
    token = tokens[at]
    _refuse_vague(tokens, at)
    if token.kind is Kind.WORD:
        if token.text in _TOMORROW:
            raise Refused(ProblemKind.DATE_AHEAD, token.start, token.end, instead="")
        if token.text in _YESTERDAY or (token.text == "night" and tokens[0].text == "last"):
            titled = tokens[at + 1].text in _TITLES or tokens[at + 1].text == "session"
            return Dated(DaysAgo(1), 0, at + 2 if titled else at + 1)
        if [each.text for each in tokens[at : at + 3]] == ["day", "before", "yesterday"]:
            return Dated(DaysAgo(2), 0, at + 3)
        if token.text in _COUNTED_DAYS and (found := _days_ago(tokens, at)) is not None:
            return Dated(found.day, 0, found.behind)
        if token.text == "today" or token.text == "tonight":
            return Dated(None, 0, at + 1)
        if token.text in WEEKDAYS:
            behind = at + 2 if tokens[at + 1].text in ("morning", "evening", "night", "afternoon") else at + 1
            told = behind + 1 if tokens[behind].kind is Kind.COMMA else behind
            found = date_written(tokens, told, doubts)
            return (
                Dated(found.day, 0, found.behind) if found else Dated(DaysAgo(weekday=WEEKDAYS[token.text]), 0, behind)
            )
    found = (_days_ago(tokens, at) if token.kind is Kind.NUMBER else None) or date_written(tokens, at, doubts)
    return found if found is None or at == 0 else Dated(found.day, 0, found.behind)


def _behind_title(tokens: Sequence[Token]) -> int:
    """Index behind what may lead up to a day: `on`, `last`, `the`, `Workout:`, `session of`."""
    if tokens[0].text in _TITLES:
        at = 1
        while tokens[at].text in ("of", "on", "from", "for") or tokens[at].kind in (Kind.COLON, Kind.DASH, Kind.COMMA):
            at += 1
        return at
    at = 1 if tokens[0].text in ("on", "last", "from") or _is_dated_bracket(tokens) else 0
    return at + 1 if tokens[at].text == "the" and tokens[at + 1].text == "day" else at


def _is_dated_bracket(tokens: Sequence[Token]) -> bool:
    """Whether a text begins with a date in brackets: `[2027-01-03] bench 80x5`."""
    if tokens[0].kind is not Kind.OPEN:
        return False
    joined = joined_numbers(tokens, 1)
    return joined is not None and len(joined[0]) == 3 and tokens[joined[2]].kind is Kind.CLOSE


def _refuse_vague(tokens: Sequence[Token], at: int) -> None:
    """Refuse `the other day bench 80x5` and `24th bench 80x5`: a day is meant, and nobody can tell which."""
    place = at + 1 if tokens[at].text == "the" else at
    token, behind = tokens[place], tokens[place + 1]
    start = tokens[at].start
    if token.text == "other" and behind.text == "day":
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, start, behind.end, instead="2 days ago")
    if (
        token.text.isdigit()
        and behind.text in ORDINALS
        and not behind.spaced
        and 1 <= float(token.text) <= LONGEST_MONTH
    ):
        following = tokens[place + 2]
        named = following.kind is Kind.WORD and following.text not in _OF_ORDINALS and following.text not in MONTHS
        if named and (place > 0 or behind.text == "th"):
            raise Refused(ProblemKind.COMMAND_INCOMPLETE, start, behind.end, instead=f"{token.text} jan")


_OF_ORDINALS = frozenset({"set", "sets", "rep", "reps", "of", "exercise", "lift", "time", "attempt", "session", "week"})


def refuse_second_day(tokens: Sequence[Token], *, dated: bool) -> None:
    """Refuse a text that tells sets of two days: `mon bench 80x5, wed bench 80x3`.

    Raises:
        Refused: it does; the remedy is what stands before the second one.

    """
    numbers = [place for place, token in enumerate(tokens) if token.kind is Kind.NUMBER]
    if len(numbers) < 2:
        return
    for at in range(numbers[0] + 1, numbers[-1]):
        word = tokens[at].text
        if not (word in WEEKDAYS or word in _YESTERDAY or (dated and word == "today")) or tokens[at + 1].text == "down":
            continue
        first = at - 1 if tokens[at - 1].text in ("on", "last") else at
        before, behind = tokens[first - 1], tokens[at + 1]
        parted = before.kind in _PARTING or before.text in ("then", "and")
        if parted or (before.kind is Kind.NUMBER and behind.kind in (Kind.NUMBER, Kind.COLON)):
            raise Refused(ProblemKind.WORD_LEFT_OVER, tokens[first].start, tokens[numbers[-1]].end, instead="")


_PARTING = frozenset({Kind.COMMA, Kind.LINE, Kind.SEMICOLON})


def _trailing(tokens: Sequence[Token]) -> Dated | None:
    last = len(tokens) - 1
    while last > 0 and tokens[last].kind in (Kind.END, Kind.LINE):
        last -= 1
    token = tokens[last]
    if token.kind is Kind.CLOSE:
        return _in_bracket(tokens, last)
    if token.text in _TOMORROW:
        raise Refused(ProblemKind.DATE_AHEAD, token.start, token.end, instead="")
    if [each.text for each in tokens[last - 2 : last + 1]] == ["day", "before", "yesterday"]:
        return Dated(DaysAgo(2), last - 3 if tokens[last - 3].text == "the" else last - 2, last + 1)
    if token.text in _YESTERDAY:
        return Dated(DaysAgo(1), last, last + 1)
    if token.text == "night" and last > 1 and tokens[last - 1].text == "last":
        return Dated(DaysAgo(1), last - 1, last + 1)
    before = tokens[last - 1]
    if token.text in WEEKDAYS and last > 1 and (before.kind is not Kind.WORD or before.text in _BESIDE_DAY):
        first = last - 1 if before.text in ("on", "last", "this") else last
        return Dated(DaysAgo(weekday=WEEKDAYS[token.text]), first, last + 1)
    if last > 2 and token.text == "ago":
        found = _days_ago(tokens, last - 2)
        return Dated(found.day, last - 2, last + 1) if found is not None else None
    found = _trailing_date(tokens, last) or _trailing_numbers(tokens, last)
    if found is None and token.text in MONTHS and token.text not in _MOST_MONTH_WORDS:
        _refuse_month(tokens, last)
    return found


def _in_bracket(tokens: Sequence[Token], last: int) -> Dated | None:
    """`bench 80x5 (24 dec)`: a day alone in a bracket."""
    for at in range(last - 1, max(last - _LONGEST_DATE - 2, 0), -1):
        if tokens[at].kind is Kind.OPEN:
            found = _trailing([*tokens[:last], *tokens[last + 1 :]])
            return Dated(found.day, at, last + 1) if found is not None and found.first == at + 1 else None
    return None


def _refuse_month(tokens: Sequence[Token], last: int) -> None:
    """Refuse `bench 80x5 feb`: the number before it is of the set, so that the day is missing."""
    before = tokens[last - 1]
    if before.kind not in (Kind.WORD, Kind.OPEN) or before.text == "in":
        first = last - 1 if before.text == "in" else last
        start, end = tokens[first].start, tokens[last].end
        raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead=f"({tokens[last].text})")


def _trailing_numbers(tokens: Sequence[Token], last: int) -> Dated | None:
    """`bench 80x5 24.12.`, `bench 80x5 24/12/2026`, `bench 80x5 2026-12-24`."""
    for at in range(max(last - _LONGEST_DATE, 1), last + 1):
        token, before = tokens[at], tokens[at - 1]
        if token.kind is not Kind.NUMBER or not token.spaced or before.kind in _JOINING or before.text in _COUNTED:
            continue
        if at == last and is_day_and_month(token):
            told = token.text.split(".")
            return Dated(day_of_year(tokens, at, at + 1, int(told[1]), int(told[0])), at, at + 1)
        joined = joined_numbers(tokens, at)
        if joined is None or joined[2] != last + 1:
            continue
        numbers, sign, behind = joined
        if len(numbers) == 3 and len(numbers[0]) == 4:
            return Dated(day_of(tokens, at, behind, *map(int, numbers)), at, behind)
        if len(numbers) == 3 and (sign == "." or int(numbers[0]) > MONTHS_IN_YEAR) and len(numbers[2]) == 4:
            day, month, year = map(int, numbers)
            return Dated(day_of(tokens, at, behind, year, month, day), at, behind)
        if len(numbers) == 2 and sign == "." and is_day_and_month(token):
            return Dated(day_of_year(tokens, at, behind, int(numbers[1]), int(numbers[0])), at, behind)
    return None


def _trailing_date(tokens: Sequence[Token], last: int) -> Dated | None:
    """`bench 80x5 3 feb`, `bench 80x5 on feb 3rd, 2027`; not `bench 80x5 feb`, where the number is of the set."""
    for at in range(last, max(last - _LONGEST_DATE, 0), -1):
        if tokens[at].text in MONTHS and tokens[at].kind is Kind.WORD:
            break
    else:
        return None
    behind = tokens[at + 1]
    found = month_first(tokens, at) if behind.kind is Kind.NUMBER and len(behind.text) < 3 else None
    if found is None or found.behind != last + 1:
        at -= 1
        while at > 0 and (tokens[at].text in ORDINALS or tokens[at].text in ("of", ".")):
            at -= 1
        if tokens[at].kind is not Kind.NUMBER or tokens[at - 1].kind in _JOINING or tokens[at - 1].text in _COUNTED:
            return None
        found = day_first(tokens, at)
    if found is None or found.first < 1 or found.behind != last + 1:
        return None
    first = found.first - 1 if tokens[found.first - 1].text == "on" else found.first
    return Dated(found.day, first, found.behind) if first > 0 else None


def _days_ago(tokens: Sequence[Token], at: int) -> Dated | None:
    unit, counted = tokens[at + 1].text, tokens[at].text
    number = tokens[at].kind is Kind.NUMBER or counted in _COUNTED_DAYS
    if not number or unit not in ("day", "days", "d", "week", "weeks") or tokens[at + 2].text != "ago":
        return None
    days = _COUNTED_DAYS[counted] if counted in _COUNTED_DAYS else float(counted)
    if unit.startswith("week"):
        days *= _DAYS_IN_WEEK
    if not days.is_integer() or days > MOST_DAYS_AGO:
        raise Refused(ProblemKind.DATE_IMPOSSIBLE, tokens[at].start, tokens[at + 2].end)
    return Dated(DaysAgo(int(days)), at, at + 3)
