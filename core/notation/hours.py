"""Hours: rests between sets, quiet hours and the time of the morning, as lifters tell them."""

import re
from collections.abc import Sequence
from datetime import time

from core.domain.clock_commands import UseMorning, UseQuiet, UseRest
from core.domain.problems import ProblemKind
from core.domain.reminders import LONGEST_REST_S, SHORTEST_REST_S, Quiet
from core.notation.asking import Answer, Asking
from core.notation.doubts import Refused
from core.notation.tokens import Token

MOST_BARE_MINUTES = 9
"""Up to here a rest without a unit is minutes; from `LEAST_BARE_SECONDS` on it is seconds; between them it is asked."""

LEAST_BARE_SECONDS = 30
"""See above. Between the two both are sensible."""

_OFF = re.compile(r"(off|none|no|stop|never)")
_REST = re.compile(r"(?:is |of |for )?(?:(\d{1,2}):([0-5]\d)|(\d{1,4})\s*(s|secs?|seconds?|m|mins?|minutes?)?)")
_QUIET = re.compile(r"(?:hours |from )?(\d{1,2})(?::([0-5]\d))?\s*(?:-|to|till|until)\s*(\d{1,2})(?::([0-5]\d))?")
_MORNING = re.compile(r"(?:at )?(\d{1,2})(?::([0-5]\d))?")


def rest_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`rest 3:00`, `rest 90s`, `rest 2 min`, `rest off`."""
    told = _behind(asking, spoken)
    if _OFF.fullmatch(told):
        return UseRest(None)
    if not told:
        raise _incomplete(spoken, "rest 3:00")
    found = _REST.fullmatch(told)
    if found is None:
        return None
    minutes, seconds, number, unit = found.groups()
    if minutes is not None:
        rest_s = int(minutes) * 60 + int(seconds)
    elif unit is not None:
        rest_s = int(number) * (1 if unit.startswith("s") else 60)
    elif int(number) <= MOST_BARE_MINUTES:
        rest_s = int(number) * 60
    elif int(number) >= LEAST_BARE_SECONDS:
        rest_s = int(number)
    else:
        raise _incomplete(spoken, f"rest {number}:00")
    if not SHORTEST_REST_S <= rest_s <= LONGEST_REST_S:
        raise _incomplete(spoken, "rest 3:00")
    return UseRest(rest_s)


def quiet_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`quiet 22-7`, `quiet 22:30-6:45`, `quiet off`."""
    told = _behind(asking, spoken)
    if _OFF.fullmatch(told):
        return UseQuiet(None)
    found = _QUIET.fullmatch(told)
    if found is None:
        if told and not any(each.isdigit() for each in told):
            return None
        raise _incomplete(spoken, "quiet 22-7")
    begins, ends = _hour(found[1], found[2]), _hour(found[3], found[4])
    if begins is None or ends is None or begins == ends:
        raise _incomplete(spoken, "quiet 22-7")
    return UseQuiet(Quiet(begins, ends))


def morning_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`morning 6:30`, `morning off`."""
    told = _behind(asking, spoken)
    if _OFF.fullmatch(told):
        return UseMorning(None)
    found = _MORNING.fullmatch(told)
    if found is None:
        return None
    at = _hour(found[1], found[2])
    if at is None:
        raise _incomplete(spoken, "morning 7:00")
    return UseMorning(at)


def _behind(asking: Asking, spoken: Sequence[Token]) -> str:
    return " ".join(asking.text.folded[spoken[0].end :].split("#")[0].split()).strip(" .!")


def _hour(hour: str, minute: str | None) -> time | None:
    return time(int(hour), int(minute or 0)) if int(hour) <= 23 else None


def _incomplete(spoken: Sequence[Token], instead: str) -> Refused:
    return Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[-1].end, instead=instead)
