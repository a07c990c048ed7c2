"""Plans: a week of the lifter's own and times away, as they tell them."""

import re
from collections.abc import Mapping, Sequence
from datetime import date

from core.domain.names import fold
from core.domain.plan_commands import ComingDay, OwnDay, OwnLift, OwnWeek, Pause
from core.domain.problems import ProblemKind
from core.notation.asking import Answer, Asking, exercise_named
from core.notation.dates import WEEKDAYS
from core.notation.doubts import Refused
from core.notation.tokens import Kind, Token
from core.notation.written_dates import MONTHS

MOST_LIFTS = 15
"""Most lifts of a day of a lifter's own week. [lifts]"""

MOST_OWN_SETS = 20
"""Most sets of a lift of a lifter's own week. [sets]"""

MOST_OWN_REPS = 100
"""Most repetitions of a set of a lifter's own week. [repetitions]"""

LONGEST_PAUSE_DAYS = 731
"""Longest pause that is told in days: two years. [d]"""

_LAST_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

_OWN = re.compile(r"\s*my own(?: week| plan)?[ :.\n]*")
_DAY = re.compile(r"([a-z]+)(?: ?[:=-] ?| )(.+)")
_LIFT = re.compile(
    r"([^\d].*?) ?:? (\d{1,3}) ?x ?(\d{1,3})(?: reps)?(?: ?(?:@ ?|, ?)?(?:rir ?(\d(?:\.5)?)|(\d(?:\.5)?) ?left))?"
)
_LIFT_LAST = re.compile(
    r"(\d{1,3}) ?x ?(\d{1,3}) (?:of )?([^\d]+?)(?: ?(?:@ ?)?(?:rir ?(\d(?:\.5)?)|(\d(?:\.5)?) ?left))?"
)
_UNTIL_DATE = re.compile(r"(\d{1,2})(?:st|nd|rd|th)? (?:of )?([a-z]+)(?:,? (20\d\d))?")
_UNTIL_MONTH = re.compile(r"([a-z]+) (\d{1,2})(?:st|nd|rd|th)?(?:,? (20\d\d))?")
_UNTIL_ISO = re.compile(r"(20\d\d)-(\d{2})-(\d{2})")
_FOR = re.compile(r"(\d{1,3}|a|one|two|three|four) (d|days?|w|wks?|weeks?|months?)")
_COUNTS: Mapping[str, int] = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4}


def own_week_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`my own` with its days, in lines or in one: `mon: bench 5x5, row 3x8; thu: bench 3x8`; sets before repetitions.

    Raises:
        Refused: a day or a lift that cannot be read.

    """
    if len(spoken) < 2 or (spoken[0].text, spoken[1].text) != ("my", "own"):
        return None
    whole = asking.text.folded
    opening = _OWN.match(whole)
    if opening is None:
        return None
    place = opening.end()
    if not whole[place:].strip():
        raise Refused(
            ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[1].end, instead="my own mon: bench 5x5, row 3x8"
        )
    days: dict[int, list[OwnLift]] = {}
    for start, end in _parts(whole, place, len(whole), r"\n+| / "):
        lifts: list[OwnLift] | None = None
        for first, last in _parts(whole, start, end, r"[,;]|\. "):
            found = _DAY.fullmatch(whole, first, last)
            if found is not None and found[1] in WEEKDAYS:
                lifts, first = days.setdefault(WEEKDAYS[found[1]], []), found.start(2)  # noqa: PLW2901 - the lift begins there
            if lifts is None:
                raise Refused(ProblemKind.OWN_WEEK, first, last, instead="mon: bench 5x5, row 3x8")
            lifts.append(_lift(asking, whole, first, last))
            if len(lifts) > MOST_LIFTS:
                raise Refused(ProblemKind.OWN_WEEK, start, end)
    return OwnWeek(tuple(OwnDay(day, tuple(days[day])) for day in sorted(days)))


def _parts(whole: str, start: int, end: int, between: str) -> list[tuple[int, int]]:
    """Parts of a text that are not blank, by first place and place after the last."""
    found = []
    edges = [start, *(edge for match in re.finditer(between, whole[start:end]) for edge in _edges(match, start)), end]
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        text = whole[first:last]
        kept = text.strip(" .")
        if kept:
            begin = first + text.index(kept)
            found.append((begin, begin + len(kept)))
    return found


def _edges(match: re.Match[str], start: int) -> tuple[int, int]:
    return start + match.start(), start + match.end()


def _lift(asking: Asking, whole: str, start: int, end: int) -> OwnLift:
    text = " ".join(whole[start:end].split())
    named = _LIFT.fullmatch(text)
    last = None if named is not None else _LIFT_LAST.fullmatch(text)
    if named is not None:
        name, sets, reps, left = named[1], int(named[2]), int(named[3]), named[4] or named[5]
    elif last is not None:
        name, sets, reps, left = last[3], int(last[1]), int(last[2]), last[4] or last[5]
    else:
        raise Refused(ProblemKind.OWN_WEEK, start, end, instead="bench 5x5")
    if not (1 <= sets <= MOST_OWN_SETS and 1 <= reps <= MOST_OWN_REPS):
        raise Refused(ProblemKind.OWN_WEEK, start, end, instead="bench 5x5")
    exercise = asking.names.exact(fold(name))
    if exercise is None:
        first_word, last_word = name.split()[0], name.split()[-1]
        words = [token for token in asking.tokens if start <= token.start < end and token.kind is Kind.WORD]
        begin = next((place for place, token in enumerate(words) if token.text == first_word), 0)
        stop = next((place for place, token in enumerate(words) if token.text == last_word), len(words) - 1)
        if not words:
            raise Refused(ProblemKind.OWN_WEEK, start, end, instead="bench 5x5")
        exercise = exercise_named(asking, words[begin : stop + 1] or words)
    return OwnLift(exercise, sets, reps, None if left is None else float(left))


def pause_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`pause`, `pause until 3 may`, `pause until mon`, `pause 2 weeks`.

    Raises:
        Refused: there is no such day.

    """
    start = spoken[0].end
    rest = " ".join(asking.text.folded[start:].strip(" :.!\n").split())
    if rest in ("", "training", "the plan", "plan", "please"):
        return Pause()
    told = rest.removeprefix("training ").removeprefix("until ").removeprefix("till ").removeprefix("for ")
    if told in WEEKDAYS:
        return Pause(ComingDay(weekday=WEEKDAYS[told]))
    counted = _FOR.fullmatch(told)
    if counted is not None:
        number = _COUNTS.get(counted[1]) or int(counted[1])
        days = number * {"d": 1, "w": 7, "m": 30}[counted[2][0]]
        if not 1 <= days <= LONGEST_PAUSE_DAYS:
            raise _no_such_day(asking, start)
        return Pause(ComingDay(days=days))
    iso = _UNTIL_ISO.fullmatch(told)
    if iso is not None:
        return Pause(_date(asking, start, int(iso[1]), int(iso[2]), int(iso[3])))
    dated, month_first = _UNTIL_DATE.fullmatch(told), _UNTIL_MONTH.fullmatch(told)
    if dated is not None and dated[2] in MONTHS:
        return Pause(_coming(asking, start, MONTHS[dated[2]], int(dated[1]), dated[3]))
    if month_first is not None and month_first[1] in MONTHS:
        return Pause(_coming(asking, start, MONTHS[month_first[1]], int(month_first[2]), month_first[3]))
    return None


def _coming(asking: Asking, start: int, month: int, day: int, year: str | None) -> date | ComingDay:
    if year is not None:
        return _date(asking, start, int(year), month, day)
    if not 1 <= day <= _LAST_DAYS[month - 1]:
        raise _no_such_day(asking, start)
    return ComingDay(month=month, day=day)


def _date(asking: Asking, start: int, year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise _no_such_day(asking, start) from None


def _no_such_day(asking: Asking, start: int) -> Refused:
    text = asking.text.folded
    first = start + len(text[start:]) - len(text[start:].lstrip())
    return Refused(ProblemKind.DATE_IMPOSSIBLE, first, len(text.rstrip()), instead="2 weeks")
