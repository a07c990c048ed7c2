"""Wishes: days, minutes, muscles, equipment and the times of messages, as a lifter tells them."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import time

from core.domain.exercises import Muscle
from core.domain.plan_commands import (
    CheckInAt,
    LeaveOut,
    Matters,
    Prefer,
    Screened,
    Taste,
    UseBounds,
    UseDays,
    UseMain,
    UseMinutes,
    UseSafety,
    UseSessions,
    UseSetsNow,
)
from core.domain.plans import DAYS, LONGEST_SESSION_MIN, MOST_WEEKLY_SETS, SHORTEST_SESSION_MIN
from core.domain.prescriptions import Safety
from core.domain.problems import ProblemKind
from core.notation.asking import Answer, Asking, beyond, exercise_named
from core.notation.dates import WEEKDAYS
from core.notation.doubts import Refused
from core.notation.gear import bars_in, dumbbells_in, equipment_in, plates_in
from core.notation.muscles import muscles_named
from core.notation.tokens import Token

_DAY_SPLIT = re.compile(r"[ ,/&+;]+|\band\b")
_CLOCK = re.compile(r"(?:at )?(\d{1,2})(?:[:.h](\d{2}))? ?(am|pm|h|o'?clock)?")
_BOUNDS = re.compile(r"(\d{1,3}) ?(?:-|to|and| ) ?(\d{1,3})")
_MINUTES = re.compile(r"(\d{1,3})(?: ?(?:m|min|mins|minutes?))?(?: (?:a|per) session)?")
TYPED_MINUTES = re.compile(
    r"(?:about |up to |max )?(?:(\d{1,3}) ?(?:m|min|mins|minutes?)|(1|one|an|2|two|1\.5) ?(?:h|hrs?|hours?))"
)
_SESSIONS = re.compile(r"(\d|one|two|three|four|five|six|seven)(?: ?x| times| sessions| days)?(?: (?:a|per) week)?")
_COUNTED = {
    word: number for number, word in enumerate(("one", "two", "three", "four", "five", "six", "seven"), start=1)
}


# Verbs


def wish_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """The wish or setting that a text with one of the verbs tells; None if it is something else.

    Raises:
        Refused: it is one, but incomplete or with an impossible value.

    """
    verb = spoken[0].text
    size = 1
    if len(spoken) > 1 and f"{verb} {spoken[1].text}" in _TWO_WORDS:
        verb, size = f"{verb} {spoken[1].text}", 2
    reader = _READERS.get(verb)
    if reader is None:
        return None
    start = spoken[size - 1].end
    rest = " ".join(asking.text.folded[start:].strip(" :=\n.!").split())
    if not rest:
        if verb in _ALONE:
            return None
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, start, instead=EXAMPLES[verb])
    if (command := reader(asking, rest)) is not None:
        return command
    if verb in _STRICT and not any(letter.isdigit() for letter in rest):
        end = len(asking.text.folded.rstrip())
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, end, instead=EXAMPLES[verb])
    return None


def days_in(_asking: Asking, rest: str) -> Answer:
    """`mon wed fri`, `monday, thursday`, `mon to fri`; or a number of sessions."""
    span = re.fullmatch(r"([a-z]+) ?(?:-|to) ?([a-z]+)", rest)
    if span is not None and span[1] in WEEKDAYS and span[2] in WEEKDAYS and WEEKDAYS[span[1]] < WEEKDAYS[span[2]]:
        return UseDays(tuple(range(WEEKDAYS[span[1]], WEEKDAYS[span[2]] + 1)))
    if rest in ("every day", "daily", "all"):
        return UseDays(tuple(range(DAYS)))
    words = [word for word in _DAY_SPLIT.split(rest) if word and word not in ("on", "and", "every")]
    if not words or not all(word.rstrip("s") in WEEKDAYS or word in WEEKDAYS for word in words):
        return None
    return UseDays(tuple(sorted({WEEKDAYS.get(word, WEEKDAYS.get(word.rstrip("s"), 0)) for word in words})))


def sessions_in(asking: Asking, rest: str) -> Answer:
    """`3`, `3 a week`."""
    found = _SESSIONS.fullmatch(rest)
    return None if found is None else sessions_of(asking, found[1])


def sessions_of(asking: Asking, told: str) -> UseSessions:
    """So many sessions a week.

    Raises:
        Refused: a week has fewer days.

    """
    count = _COUNTED.get(told) or int(told)
    if not 1 <= count <= DAYS:
        raise beyond(asking, told, f"1 to {DAYS} sessions a week", instead="3")
    return UseSessions(count)


def minutes_in(asking: Asking, rest: str) -> Answer:
    """`60`, `45 min`."""
    found = _MINUTES.fullmatch(rest) or TYPED_MINUTES.fullmatch(rest)
    return None if found is None else minutes_of(asking, found)


def minutes_of(asking: Asking, found: re.Match[str]) -> UseMinutes:
    """Sessions of so many minutes.

    Raises:
        Refused: they are too short, or too long.

    """
    hours = found[2] if found.re is TYPED_MINUTES else None
    minutes = int(found[1]) if hours is None else {"1.5": 90, "2": 120, "two": 120}.get(hours, 60)
    if not SHORTEST_SESSION_MIN <= minutes <= LONGEST_SESSION_MIN:
        told = found[1] or found[2]
        raise beyond(
            asking, told, f"a session of {SHORTEST_SESSION_MIN} to {LONGEST_SESSION_MIN} minutes", instead="60"
        )
    return UseMinutes(minutes)


def safety_in(_asking: Asking, rest: str) -> Answer:
    """`arms`, `spotter`, `neither`."""
    words = rest.removeprefix("i have ").removeprefix("i use ").removeprefix("with ").removeprefix("a ")
    safety = _SAFETIES.get(words)
    return None if safety is None else UseSafety(safety)


_SAFETIES = {
    **dict.fromkeys(
        ("arms", "safety arms", "safeties", "pins", "safety pins", "rack", "arms just under chest height"), Safety.ARMS
    ),
    **dict.fromkeys(("spotter", "spot", "partner"), Safety.SPOTTER),
    **dict.fromkeys(("neither", "none", "nothing", "no", "alone"), Safety.NEITHER),
}


def screening_in(_asking: Asking, rest: str) -> Answer:
    """`applies`, `clear`: one answer for the whole list."""
    if rest in (
        "applies",
        "yes",
        "something applies",
        "one of these",
        "some",
        "some of these",
        "yes something applies",
    ):
        return Screened(applies=True)
    if rest in ("clear", "no", "none", "none of these", "none of it", "nothing", "nothing applies", "none applies"):
        return Screened(applies=False)
    return None


def matters_in(_asking: Asking, rest: str) -> Answer:
    """`chest back`: what is raised first."""
    muscles = muscles_named(rest)
    return None if muscles is None else Matters(muscles)


def _leave_out(_asking: Asking, rest: str) -> Answer:
    if rest in ("nothing", "none"):
        return LeaveOut(())
    muscles = muscles_named(rest)
    return None if muscles is None else LeaveOut(tuple(muscle for muscle in Muscle if muscle in muscles))


def sets_now_in(_asking: Asking, rest: str) -> Answer:
    """`chest 8`, `8 chest`, `all 8`."""
    found = re.fullmatch(r"([a-z ]+?) ?(?:at |to )?(\d{1,2})(?: sets)?(?: (?:a|per) week)?", rest) or re.fullmatch(
        r"()(\d{1,2}) (?:sets )?(?:of |for )?[a-z ]+", rest
    )
    if found is None:
        return None
    name = found[1] or rest[len(found[2]) :].strip().removeprefix("sets ").removeprefix("of ").removeprefix("for ")
    sets = int(found[2])
    if sets > MOST_WEEKLY_SETS:
        return None
    if name in ("all", "each", "everything", "each muscle", "a muscle"):
        return UseSetsNow(sets)
    muscles = muscles_named(name)
    return UseSetsNow(sets, muscles[0]) if muscles is not None and len(muscles) == 1 else None


def _bounds(asking: Asking, rest: str) -> Answer:
    found = _BOUNDS.fullmatch(rest)
    if found is None:
        return None
    floor, ceiling = int(found[1]), int(found[2])
    if not floor <= ceiling <= MOST_WEEKLY_SETS:
        raise beyond(asking, rest, f"fewest and most sets a week, up to {MOST_WEEKLY_SETS}", instead="4-16")
    return UseBounds(floor, ceiling)


def clock_in(rest: str) -> time | None:
    """Wall clock of `7:00`, `at 7`, `6.30 pm`; None if it is none."""
    found = _CLOCK.fullmatch(rest)
    if found is None:
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), found[3] or ""
    if half == "pm" and hour < 12:
        hour += 12
    elif half == "am" and hour == 12:
        hour = 0
    return time(hour, minute) if hour < 24 and minute < 60 else None


def _check_in(_asking: Asking, rest: str) -> Answer:
    if rest in ("off", "never"):
        return CheckInAt(6, None)
    day, _, when = rest.removeprefix("on ").partition(" ")
    at = clock_in(when.strip())
    return CheckInAt(WEEKDAYS[day], at) if day in WEEKDAYS and at is not None else None


def _tasted(taste: Taste) -> Callable[[Asking, str], Answer]:
    def told(asking: Asking, rest: str) -> Answer:
        name = _named(asking, rest)
        return None if name is None else Prefer(name, taste)

    return told


def _main(asking: Asking, rest: str) -> Answer:
    name = _named(asking, rest)
    return None if name is None else UseMain(name)


def _named(asking: Asking, rest: str) -> str | None:
    if any(letter.isdigit() for letter in rest):
        return None
    words = [token for token in asking.tokens if token.text.strip()]
    behind = asking.text.folded.rfind(rest.removeprefix("the ").partition(" ")[0])
    return exercise_named(asking, [token for token in words if token.start >= behind])


EXAMPLES: Mapping[str, str] = {
    "days": "days mon thu",
    "sessions": "sessions 3",
    "minutes": "minutes 60",
    "safety": "safety arms",
    "screening": "screening clear",
    "equipment": "equipment barbell dumbbells",
    "plates": "plates 20 10 5 2.5 1.25 x2",
    "bars": "bars 20 kg",
    "dumbbells": "dumbbells 5-40 by 2.5",
    "matters": "matters chest lats",
    "leave out": "leave out calves",
    "ban": "ban leg press",
    "like": "like barbell row",
    "allow": "allow leg press",
    "main lift": "main lift bench press",
    "bounds": "bounds 4-16",
}

_READERS: Mapping[str, Callable[[Asking, str], Answer]] = {
    "days": days_in,
    "sessions": sessions_in,
    "minutes": minutes_in,
    "safety": safety_in,
    "screening": screening_in,
    "equipment": equipment_in,
    "plates": plates_in,
    "bars": bars_in,
    "dumbbells": dumbbells_in,
    "matters": matters_in,
    "leave out": _leave_out,
    "ban": _tasted(Taste.BAN),
    "like": _tasted(Taste.LIKE),
    "allow": _tasted(Taste.ALLOW),
    "main lift": _main,
    "sets": sets_now_in,
    "bounds": _bounds,
    "checkin": _check_in,
    "check in": _check_in,
}

_TWO_WORDS = frozenset({"leave out", "main lift", "check in"})
_ALONE = frozenset({"checkin", "check in", "sets", "like"})
_STRICT = frozenset(
    {"days", "sessions", "minutes", "safety", "screening", "equipment", "matters", "leave out", "bounds"}
)

WISH_VERBS = frozenset({*(verb.partition(" ")[0] for verb in _READERS), "check"})
"""Words that a text about a wish begins with."""
