"""Written dates: a day of the calendar as it stands in a text: `3 jan`, `12.11.`, `2027-01-03`."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from core.domain.commands import DayOfYear, DaysAgo, Doubt
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.tokens import Kind, Token

Day = date | DaysAgo | DayOfYear

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

ORDINALS = frozenset({"st", "nd", "rd", "th"})
LONGEST_MONTH = 31
MONTHS_IN_YEAR = 12
_LEAP_YEAR = 2028
"""Some leap year: a day without its year may be the 29th of February."""


@dataclass(frozen=True, slots=True)
class Dated:
    """A day, None for today, and the tokens that tell it: from `first` up to, not with, `behind`."""

    day: Day | None
    first: int
    behind: int


def date_written(tokens: Sequence[Token], at: int, doubts: Doubts) -> Dated | None:
    """A date that begins at a token: `3 jan`, `jan 3`, `12.11.`, `2027-01-03`."""
    if tokens[at].kind is Kind.NUMBER:
        return day_first(tokens, at) or _numeric(tokens, at, doubts)
    if tokens[at].text in MONTHS and tokens[at + 1].kind is Kind.NUMBER:
        return month_first(tokens, at)
    return None


def is_day_and_month(token: Token) -> bool:
    """Whether `24.11` can be a day and a month: no load has a tenth of 11, or of 02."""
    day, stop, month = token.text.partition(".")
    if not stop or len(day) > 2 or len(month) != 2 or not day.isdigit():
        return False
    return 1 <= int(day) <= LONGEST_MONTH and 1 <= int(month) <= MONTHS_IN_YEAR


def month_first(tokens: Sequence[Token], at: int) -> Dated | None:
    """`jan 3`, `january 3rd, 2027`."""
    day = tokens[at + 1]
    if not day.text.isdigit() or tokens[at + 2].kind is Kind.CROSS:
        return None
    behind = at + 2
    if tokens[behind].text in ORDINALS and not tokens[behind].spaced:
        behind += 1
    return _calendar(tokens, at, behind, day.text, MONTHS[tokens[at].text])


def day_first(tokens: Sequence[Token], at: int) -> Dated | None:
    """`3 jan`, `3rd of january 2027`."""
    behind = at + 1
    if tokens[behind].text in ORDINALS and not tokens[behind].spaced:
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
        return Dated(day_of(tokens, at, behind, int(year.text), month, int(day)), at, behind)
    return Dated(day_of_year(tokens, at, behind, month, int(day)), at, behind)


def _numeric(tokens: Sequence[Token], at: int, doubts: Doubts) -> Dated | None:
    """`2027-01-03`, `12/11`, `12.11.`, `12/11/2026`; only where sets follow."""
    joined = joined_numbers(tokens, at)
    if joined is None:
        return None
    numbers, sign, behind = joined
    if not _sets_follow(tokens, behind):
        return None
    if len(numbers) == 3 and len(numbers[0]) == 4:
        year, month, day = map(int, numbers)
        return Dated(day_of(tokens, at, behind, year, month, day), at, behind)
    if sign == "-" or any(len(number) > 2 for number in numbers[:2]):
        return None
    first, second = int(numbers[0]), int(numbers[1])
    start, end = tokens[at].start, tokens[behind - 1].end
    if sign == ".":
        day_first = True
    elif first > LONGEST_MONTH or second > LONGEST_MONTH:
        return None
    elif first <= MONTHS_IN_YEAR and second <= MONTHS_IN_YEAR and first != second:
        values = ["day first", "month first"]
        day_first = doubts.value(Doubt.OTHER, "date", values, start=start, end=end) == "day first"
    else:
        day_first = second <= MONTHS_IN_YEAR
    day, month = (first, second) if day_first else (second, first)
    if len(numbers) == 3:
        year = int(numbers[2]) + (2000 if len(numbers[2]) == 2 else 0)
        return Dated(day_of(tokens, at, behind, year, month, day), at, behind)
    return Dated(day_of_year(tokens, at, behind, month, day), at, behind)


def joined_numbers(tokens: Sequence[Token], at: int) -> tuple[list[str], str, int] | None:
    """Numbers of a date that begins at a token, the sign between them, and the index behind; None if none are joined."""
    first = tokens[at].text
    if first.count(".") == 1 and all(part.isdigit() and len(part) <= 2 for part in first.split(".")):
        # `12.11.` is one number and a stop; `12.11.2026` one number, and the year behind the stop.
        behind = tokens[at + 1]
        if behind.text == "." and not behind.spaced:
            return first.split("."), ".", at + 2
        if behind.kind in (Kind.WORD, Kind.LINE) and is_day_and_month(tokens[at]):
            return first.split("."), ".", at + 1
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
    if tokens[at].kind in (Kind.CROSS, Kind.AT, Kind.SLASH, Kind.DASH, Kind.PLUS):
        return False
    if tokens[at].kind is Kind.COMMA:
        at += 1  # `2027-01-03,bench,80,5`
        if tokens[at].kind is not Kind.WORD:
            return False
    named = tokens[at].kind is Kind.WORD
    place = at + 1 if tokens[at].kind in (Kind.COLON, Kind.LINE, Kind.CLOSE) else at
    seen = 0
    for token in tokens[place : place + 24]:
        if token.kind is Kind.NUMBER:
            seen += 1
            if named or seen > 1:
                return True
        elif token.kind is Kind.WORD:
            named = True
    return False


def day_of(tokens: Sequence[Token], at: int, behind: int, year: int, month: int, day: int) -> date:
    """The day that these tokens tell.

    Raises:
        Refused: there is none.

    """
    try:
        return date(year, month, day)
    except ValueError:
        raise Refused(ProblemKind.DATE_IMPOSSIBLE, tokens[at].start, tokens[behind - 1].end) from None


def day_of_year(tokens: Sequence[Token], at: int, behind: int, month: int, day: int) -> DayOfYear:
    """The day that these tokens tell without its year.

    Raises:
        Refused: no year has it.

    """
    day_of(tokens, at, behind, _LEAP_YEAR, month, day)
    return DayOfYear(month=month, day=day)
