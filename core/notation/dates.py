"""Dates: the day that sets are told for, where one is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from core.domain.commands import DayOfYear, DaysAgo, Doubt
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.tokens import Kind, Token

Day = date | DaysAgo | DayOfYear

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

MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("jan", "january"),
            ("feb", "february"),
            ("mar", "march"),
            ("apr", "april"),
            ("may",),
            ("jun", "june"),
            ("jul", "july"),
            ("aug", "august"),
            ("sep", "sept", "september"),
            ("oct", "october"),
            ("nov", "november"),
            ("dec", "december"),
        ),
        start=1,
    )
    for name in names
}

_YESTERDAY = frozenset({"yesterday", "yday", "y'day", "ystd", "yest"})
_TOMORROW = frozenset({"tomorrow", "tmrw", "tmr"})
_LONGEST_DATE = 6
"""Tokens that a date has at most: `3rd of february, 2027`. [tokens]"""

_JOINING = frozenset({Kind.CROSS, Kind.AT, Kind.SLASH, Kind.DASH, Kind.PLUS})
_COUNTED = frozenset({"for", "by", "times", "rir", "rpe", "of", "x"})
"""Words whose number is not a day's."""

_ORDINALS = frozenset({"st", "nd", "rd", "th"})
_LONGEST_MONTH = 31
_MONTHS_IN_YEAR = 12
_LEAP_YEAR = 2028
"""Some leap year: a day without its year may be the 29th of February."""


@dataclass(frozen=True, slots=True)
class Dated:
    """A day, None for today, and the tokens that tell it: from `first` up to, not with, `behind`."""

    day: Day | None
    first: int
    behind: int


def weekday_named(word: str) -> int | None:
    """Weekday that a word names, 0 for Monday; None if it names none."""
    return WEEKDAYS.get(word)


def day_told(tokens: Sequence[Token], doubts: Doubts) -> Dated | None:
    """The day that a text begins or ends with; None if it tells none.

    Raises:
        Refused: there is no such day, or it is still to come.

    """
    if (found := _leading(tokens, doubts)) is not None:
        behind = found.behind
        while tokens[behind].kind in (Kind.COLON, Kind.COMMA, Kind.LINE, Kind.DASH, Kind.SEMICOLON) or (
            tokens[behind].text == "."
        ):
            behind += 1
        return Dated(found.day, found.first, behind)
    return _trailing(tokens)


def _leading(tokens: Sequence[Token], doubts: Doubts) -> Dated | None:
    at = 1 if tokens[0].text in ("on", "last", "from") else 0
    token = tokens[at]
    if token.kind is Kind.WORD:
        if token.text in _TOMORROW:
            raise Refused(ProblemKind.DATE_AHEAD, token.start, token.end)
        if token.text in _YESTERDAY or (token.text == "night" and tokens[0].text == "last"):
            return Dated(DaysAgo(1), 0, at + 1)
        if token.text == "today" or token.text == "tonight":
            return Dated(None, 0, at + 1)
        if token.text in WEEKDAYS:
            behind = at + 2 if tokens[at + 1].text in ("morning", "evening", "night", "afternoon") else at + 1
            return Dated(DaysAgo(weekday=WEEKDAYS[token.text]), 0, behind)
        if token.text in MONTHS and tokens[at + 1].kind is Kind.NUMBER:
            return _month_first(tokens, at)
        return None
    if token.kind is Kind.NUMBER:
        return _days_ago(tokens, at) or _day_first(tokens, at) or _numeric(tokens, at, doubts)
    return None


def _trailing(tokens: Sequence[Token]) -> Dated | None:
    last = len(tokens) - 1
    while last > 0 and tokens[last].kind in (Kind.END, Kind.LINE):
        last -= 1
    token = tokens[last]
    if token.text in _TOMORROW:
        raise Refused(ProblemKind.DATE_AHEAD, token.start, token.end)
    if token.text in _YESTERDAY:
        return Dated(DaysAgo(1), last, last + 1)
    if token.text == "night" and last > 1 and tokens[last - 1].text == "last":
        return Dated(DaysAgo(1), last - 1, last + 1)
    if token.text in WEEKDAYS and last > 1 and tokens[last - 1].text in ("on", "last"):
        return Dated(DaysAgo(weekday=WEEKDAYS[token.text]), last - 1, last + 1)
    if last > 2 and token.text == "ago" and tokens[last - 1].text in ("day", "days"):
        found = _days_ago(tokens, last - 2)
        return Dated(found.day, last - 2, last + 1) if found is not None else None
    return _trailing_date(tokens, last)


def _trailing_date(tokens: Sequence[Token], last: int) -> Dated | None:
    """`bench 80x5 3 feb`, `bench 80x5 on feb 3rd, 2027`; not `bench 80x5 feb`, where the number is of the set."""
    for at in range(last, max(last - _LONGEST_DATE, 0), -1):
        if tokens[at].text in MONTHS and tokens[at].kind is Kind.WORD:
            break
    else:
        return None
    behind = tokens[at + 1]
    found = _month_first(tokens, at) if behind.kind is Kind.NUMBER and len(behind.text) < 3 else None
    if found is None or found.behind != last + 1:
        at -= 1
        while at > 0 and (tokens[at].text in _ORDINALS or tokens[at].text in ("of", ".")):
            at -= 1
        if tokens[at].kind is not Kind.NUMBER or tokens[at - 1].kind in _JOINING or tokens[at - 1].text in _COUNTED:
            return None
        found = _day_first(tokens, at)
    if found is None or found.first < 1 or found.behind != last + 1:
        return None
    first = found.first - 1 if tokens[found.first - 1].text == "on" else found.first
    return Dated(found.day, first, found.behind) if first > 0 else None


def _days_ago(tokens: Sequence[Token], at: int) -> Dated | None:
    if tokens[at + 1].text not in ("day", "days", "d") or tokens[at + 2].text != "ago":
        return None
    days = float(tokens[at].text)
    if not days.is_integer() or days > MOST_DAYS_AGO:
        raise Refused(ProblemKind.DATE_IMPOSSIBLE, tokens[at].start, tokens[at + 2].end)
    return Dated(DaysAgo(int(days)), at, at + 3)


def _month_first(tokens: Sequence[Token], at: int) -> Dated | None:
    """`jan 3`, `january 3rd, 2027`."""
    day = tokens[at + 1]
    if not day.text.isdigit() or tokens[at + 2].kind is Kind.CROSS:
        return None
    behind = at + 2
    if tokens[behind].text in _ORDINALS and not tokens[behind].spaced:
        behind += 1
    return _calendar(tokens, at, behind, day.text, MONTHS[tokens[at].text])


def _day_first(tokens: Sequence[Token], at: int) -> Dated | None:
    """`3 jan`, `3rd of january 2027`."""
    behind = at + 1
    if tokens[behind].text in _ORDINALS and not tokens[behind].spaced:
        behind += 1
    if tokens[behind].text == "of" or tokens[behind].text == ".":
        behind += 1
    month = MONTHS.get(tokens[behind].text)
    if month is None or not tokens[at].text.isdigit() or tokens[behind].kind is not Kind.WORD:
        return None
    return _calendar(tokens, at, behind + 1, tokens[at].text, month)


def _calendar(tokens: Sequence[Token], at: int, behind: int, day: str, month: int) -> Dated:
    year = tokens[behind + 1] if tokens[behind].kind is Kind.COMMA else tokens[behind]
    if year.kind is Kind.NUMBER and len(year.text) == 4 and year.text.startswith("20"):
        behind = behind + 2 if tokens[behind].kind is Kind.COMMA else behind + 1
        return Dated(_date(tokens, at, behind, int(year.text), month, int(day)), at, behind)
    return Dated(_day_of_year(tokens, at, behind, month, int(day)), at, behind)


def _numeric(tokens: Sequence[Token], at: int, doubts: Doubts) -> Dated | None:
    """`2027-01-03`, `12/11`, `12.11.`, `12/11/2026`; only where sets follow."""
    joined = _joined_numbers(tokens, at)
    if joined is None:
        return None
    numbers, sign, behind = joined
    if not _sets_follow(tokens, behind):
        return None
    if len(numbers) == 3 and len(numbers[0]) == 4:
        year, month, day = map(int, numbers)
        return Dated(_date(tokens, at, behind, year, month, day), at, behind)
    if sign == "-" or any(len(number) > 2 for number in numbers[:2]):
        return None
    first, second = int(numbers[0]), int(numbers[1])
    start, end = tokens[at].start, tokens[behind - 1].end
    if sign == ".":
        day_first = True
    elif first > _LONGEST_MONTH or second > _LONGEST_MONTH:
        return None
    elif first <= _MONTHS_IN_YEAR and second <= _MONTHS_IN_YEAR and first != second:
        values = ["day first", "month first"]
        day_first = doubts.value(Doubt.OTHER, "date", values, start=start, end=end) == "day first"
    else:
        day_first = second <= _MONTHS_IN_YEAR
    day, month = (first, second) if day_first else (second, first)
    if len(numbers) == 3:
        year = int(numbers[2]) + (2000 if len(numbers[2]) == 2 else 0)
        return Dated(_date(tokens, at, behind, year, month, day), at, behind)
    return Dated(_day_of_year(tokens, at, behind, month, day), at, behind)


def _joined_numbers(tokens: Sequence[Token], at: int) -> tuple[list[str], str, int] | None:
    first = tokens[at].text
    if first.count(".") == 1 and all(part.isdigit() and len(part) <= 2 for part in first.split(".")):
        # `12.11.` is one number and a stop; `12.11.2026` one number, and the year behind the stop.
        behind = tokens[at + 1]
        if behind.text == "." and not behind.spaced:
            return first.split("."), ".", at + 2
        if behind.kind is Kind.NUMBER and behind.text.startswith(".") and not behind.spaced:
            return [*first.split("."), behind.text[1:]], ".", at + 2
        return None
    sign = tokens[at + 1]
    if sign.kind not in (Kind.SLASH, Kind.DASH) or not first.isdigit():
        return None
    numbers = [first]
    place = at + 1
    while (
        tokens[place].kind is sign.kind
        and not tokens[place].spaced
        and tokens[place + 1].text.isdigit()
        and not tokens[place + 1].spaced
        and len(numbers) < 4
    ):
        numbers.append(tokens[place + 1].text)
        place += 2
    year_first = len(numbers[0]) == 4
    whole = len(numbers) == 2 or (len(numbers) == 3 and (year_first or len(numbers[-1]) in (2, 4)))
    return (numbers, sign.text, place) if whole else None


def _sets_follow(tokens: Sequence[Token], at: int) -> bool:
    """Whether what follows is whole by itself: a name and a number, or two numbers joined."""
    if tokens[at].kind in (Kind.COMMA, Kind.CROSS, Kind.AT, Kind.SLASH, Kind.DASH, Kind.PLUS):
        return False
    named = tokens[at].kind is Kind.WORD
    place = at + 1 if tokens[at].kind in (Kind.COLON, Kind.LINE) else at
    seen = 0
    for token in tokens[place : place + 24]:
        if token.kind is Kind.NUMBER:
            seen += 1
            if named or seen > 1:
                return True
        elif token.kind is Kind.WORD:
            named = True
    return False


def _date(tokens: Sequence[Token], at: int, behind: int, year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise Refused(ProblemKind.DATE_IMPOSSIBLE, tokens[at].start, tokens[behind - 1].end) from None


def _day_of_year(tokens: Sequence[Token], at: int, behind: int, month: int, day: int) -> DayOfYear:
    _date(tokens, at, behind, _LEAP_YEAR, month, day)
    return DayOfYear(month=month, day=day)
