"""Session requests: texts about the day's session that have something behind their verb."""

from collections.abc import Callable, Mapping, Sequence

from core.domain.plans import LONGEST_SESSION_MIN
from core.domain.problems import ProblemKind
from core.domain.session_commands import (
    AddSet,
    Cue,
    FindMaximum,
    MaximumAttempt,
    MoveSession,
    RepeatSession,
    Short,
    Skip,
    Swap,
    TellCue,
    Train,
)
from core.domain.units import Load, Unit
from core.notation.asking import Answer, Asking, exercise_named
from core.notation.dates import weekday_named
from core.notation.doubts import Refused
from core.notation.tokens import Kind, Token

SHORTEST_MIN = 5
"""Shortest session that is asked for. [min]"""

_FILLERS = frozenset({"the", "my", "a", "to", "on", "it", "session", "todays", "today", "workout", "this", "training"})

_MINUTES = frozenset(
    {
        "min",
        "mins",
        "minute",
        "minutes",
        "m",
        "only",
        "on",
        "time",
        "of",
        "today",
        "session",
        "just",
        "have",
        "ive",
        "got",
        "about",
        "left",
        "for",
    }
)


def _without_numbers(spoken: Sequence[Token]) -> bool:
    return all(token.kind is Kind.WORD for token in spoken)


def _swap(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`swap row`, `swap row for dumbbell row`."""
    rest = [token for token in spoken[1:] if token.text not in ("the", "my", "out")]
    if not _without_numbers(spoken):
        return None
    if not rest:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[0].end, instead="swap barbell row")
    parting = next((place for place, token in enumerate(rest) if token.text in ("for", "with", "to")), None)
    if parting is None:
        return Swap(exercise_named(asking, rest))
    if not 0 < parting < len(rest) - 1:
        return None
    return Swap(exercise_named(asking, rest[:parting]), exercise_named(asking, rest[parting + 1 :]))


def _skip(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`skip row`."""
    rest = [token for token in spoken[1:] if token.text not in _FILLERS]
    return Skip(exercise_named(asking, rest)) if rest and _without_numbers(spoken) else None


def _move(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`move thu`, `move session to thursday`."""
    rest = [token for token in spoken[1:] if token.text not in _FILLERS]
    if not rest and len(spoken) == 1:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[0].end, instead="move thu")
    weekday = weekday_named(rest[0].text) if len(rest) == 1 else None
    return None if weekday is None else MoveSession(weekday)


def _train(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`train thu`: what is planned for Thursday, today."""
    weekday = weekday_named(spoken[1].text) if len(spoken) == 2 else None
    return None if weekday is None else Train(weekday)


def short_told(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`short 30`, `short on time, 30 min`, `only 30 min`, `i only have 30 min`."""
    numbers = [token for token in spoken[1:] if token.kind is Kind.NUMBER]
    words = [token for token in spoken[1:] if token.kind is not Kind.NUMBER]
    if any(token.text.replace("'", "") not in _MINUTES for token in words):
        return None
    timed = any(token.text.startswith("m") for token in words)
    if not numbers:
        if spoken[0].text != "short":
            return None
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[-1].end, instead="short 30")
    if len(numbers) > 1 or (spoken[0].text != "short" and not timed):
        return None
    minutes = float(numbers[0].text)
    if not SHORTEST_MIN <= minutes <= LONGEST_SESSION_MIN:
        raise Refused(ProblemKind.NOT_A_TIME, numbers[0].start, numbers[0].end, instead="30")
    return Short(int(minutes))


def _add(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`add set row`, `add one set of row`."""
    rest = [
        token for token in spoken[1:] if token.text not in ("a", "one", "of", "more", "another", "to", "the", "for")
    ]
    if not rest or rest[0].text not in ("set", "sets") or not _without_numbers(spoken):
        return None
    return AddSet(exercise_named(asking, rest[1:]) if rest[1:] else None)


def _repeat(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`repeat last monday`."""
    rest = [
        token
        for token in spoken[1:]
        if token.text not in ("last", "session", "workout", "from", "of", "on", "s", "the")
    ]
    weekday = weekday_named(rest[0].text.removesuffix("'s")) if len(rest) == 1 else None
    return None if weekday is None else RepeatSession(weekday)


def _cue(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`cue elbows`."""
    rest = [token for token in spoken[1:] if token.text not in ("the", "my", "fails", "failing", "fail")]
    if len(rest) != 1:
        return None
    cue = _CUES.get(rest[0].text)
    if cue is None:
        raise Refused(ProblemKind.UNKNOWN, rest[0].start, rest[0].end, instead="elbows")
    return TellCue(cue)


_CUES: Mapping[str, Cue] = {
    **{cue.name.lower(): cue for cue in Cue},
    **dict.fromkeys(("blade", "shoulder", "shoulders", "scapula", "scapulae", "scaps"), Cue.BLADES),
    **dict.fromkeys(("foot", "legs", "leg"), Cue.FEET),
    **dict.fromkeys(("hands", "hand"), Cue.GRIP),
    "elbow": Cue.ELBOWS,
    "wrist": Cue.WRISTS,
    **dict.fromkeys(("bar", "barpath"), Cue.PATH),
}


def _test(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`test bench`, `test my bench max`."""
    rest = [token for token in spoken[1:] if token.text not in ("my", "the", "max", "1rm", "for", "maximum")]
    return FindMaximum(exercise_named(asking, rest)) if rest and _without_numbers(spoken) else None


def _attempt(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`attempt 2 bench press 102.5 kg made`: the text that a choice sends."""
    made = {"made": True, "missed": False}.get(spoken[-1].text)
    told = spoken[1:] if made is None else spoken[1:-1]
    if len(told) < 4 or told[0].kind is not Kind.NUMBER or told[-2].kind is not Kind.NUMBER:
        return None
    if told[-1].text not in set(Unit) or not _without_numbers(told[1:-2]) or not told[0].text.isdigit():
        return None
    load = Load(float(told[-2].text), Unit(told[-1].text))
    return MaximumAttempt(exercise_named(asking, told[1:-2]), int(told[0].text), load, made)


SESSION_VERBS: Mapping[str, Callable[[Asking, Sequence[Token]], Answer]] = {
    "swap": _swap,
    "skip": _skip,
    "move": _move,
    "train": _train,
    **dict.fromkeys(("short", "only", "just", "have", "got", "ive", "i've"), short_told),
    "add": _add,
    "repeat": _repeat,
    **dict.fromkeys(("cue", "cues"), _cue),
    "test": _test,
    "attempt": _attempt,
}
"""Commands about the session by the word that they begin with."""
