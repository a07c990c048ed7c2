"""Answers of setting up: what a text without a verb answers to the question that waits."""

import re
from collections.abc import Callable, Mapping

from core.domain.clock_commands import UseMorning
from core.domain.commands import Doubt
from core.domain.setups import SetupStep
from core.notation.asking import Answer, Asking
from core.notation.doubts import Refused
from core.notation.gear import equipment_in
from core.notation.wishes import (
    TYPED_MINUTES,
    clock_in,
    days_in,
    matters_in,
    minutes_of,
    safety_in,
    screening_in,
    sessions_of,
    sets_now_in,
)

_TYPED_SESSIONS = re.compile(
    r"(\d|one|two|three|four|five|six|seven) ?(?:x|times|sessions|days|workouts)(?: (?:a|per) week)?(?:,? next in line)?"
)
_TYPED_SETS = re.compile(
    r"(?=.*[a-z~])(?:about |around |roughly |maybe |~ ?)?(\d{1,2})(?:ish)?(?: (?:hard )?sets)?(?: each)?(?: (?:a|per) week)?"
)


def answered(asking: Asking, step: SetupStep) -> Answer:
    """What a text without a verb answers to a question of setting up; None if it is no answer to it."""
    rest = " ".join(asking.text.folded.strip(" \n.!").split())
    if not rest or len(rest) > _LONGEST_ANSWER:
        return None
    reader = _ANSWERS.get(step)
    if reader is None:
        return None
    if rest.isdigit() and (written := _NUMBERED.get(step)) is not None:
        return _answered_number(asking, reader, written.format(rest))
    return reader(asking, rest)


def _answered_number(asking: Asking, reader: Callable[[Asking, str], Answer], written: str) -> Answer:
    """A bare number: the answer where no lift goes on, for then it can be no repetitions.

    Between sets it is repetitions; asked where nobody does as many.
    """
    if asking.lifting and int(asking.text.folded.strip(" \n.!")) <= MOST_BETWEEN_SETS:
        return None
    try:
        answer = reader(asking, written)
    except Refused:
        return None
    if not asking.lifting or answer is None:
        return answer
    end = len(asking.text.folded)
    way = asking.doubts.value(Doubt.OTHER, "answered", ["answer", "set"], start=0, end=end, taught=False)
    return answer if way == "answer" else None


MOST_BETWEEN_SETS = 29
"""Repetitions that a bare number between two sets may well be. [1] From 30 on it is as likely the minutes of a session."""

_NUMBERED: Mapping[SetupStep, str] = {
    SetupStep.DAYS: "{} days",
    SetupStep.MINUTES: "{} min",
    SetupStep.SETS_NOW: "about {}",
    SetupStep.TIMES: "{}:00",
}
"""What a bare number is as the answer to a question of setting up."""


def _answered_days(asking: Asking, rest: str) -> Answer:
    sessions = _TYPED_SESSIONS.fullmatch(rest)
    return days_in(asking, rest) if sessions is None else sessions_of(asking, sessions[1])


def _answered_minutes(asking: Asking, rest: str) -> Answer:
    found = TYPED_MINUTES.fullmatch(rest)
    return None if found is None else minutes_of(asking, found)


def _answered_sets(asking: Asking, rest: str) -> Answer:
    found = _TYPED_SETS.fullmatch(rest)
    return sets_now_in(asking, rest if found is None else f"all {found[1]}")


def _answered_times(_asking: Asking, rest: str) -> Answer:
    if rest in ("off", "never", "no", "none", "no message"):
        return UseMorning(None)
    # A bare number is always repetitions.
    at = None if rest.isdigit() else clock_in(rest)
    return None if at is None else UseMorning(at)


_ANSWERS: Mapping[SetupStep, Callable[[Asking, str], Answer]] = {
    SetupStep.SCREENING: screening_in,
    SetupStep.SAFETIES: safety_in,
    SetupStep.DAYS: _answered_days,
    SetupStep.MINUTES: _answered_minutes,
    SetupStep.EQUIPMENT: equipment_in,
    SetupStep.MATTERS: matters_in,
    SetupStep.SETS_NOW: _answered_sets,
    SetupStep.TIMES: _answered_times,
}

_LONGEST_ANSWER = 120
