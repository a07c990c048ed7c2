"""Looks: questions about a load, about strength on an earlier day, and whether something is good."""

import re
from collections.abc import Mapping, Sequence
from typing import assert_never

from core.domain.commands import Max
from core.domain.look_commands import CanLift, Convert, HowGood, LookCommand, MaxThen
from core.domain.units import MOST_LOAD_KG, Load, Unit, to_kg
from core.notation.asking import Answer, Asking, exercise_named
from core.notation.canonical_plans import mass_text
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import NUMBER_WORDS, UNITS
from core.notation.walk import fold_word

LEAST_ASKED = 30.0
"""Up to here a number without a unit may be repetitions. [kg or lb]"""

LONGEST_AGO = 3650
"""Longest time ago that is asked for. [d]"""

_CAN = re.compile(
    r"(?:(?:can|could|should|shall|will|would|may) i|do you think i (?:can|could)|am i|i (?:want to|wanna)|my goal is to) "
    r"(?:really |now |already |even |safely |try to |be able to |go and )*"
    r"(ready for|strong enough for|go for|do|lift|press|hit|make|get|try|handle|attempt|take|manage|bench|squat|deadlift) "
)
_POSSIBLE = re.compile(r"(?:is|would) (?:be )?(?=.*\b(?:possible|realistic|doable|in me)$)")
_AROUND = frozenset(
    """on for a the my single rep once now today yet already safely with of one at in be possible realistic
    doable me me? up just even""".split()
)
_UNIT = "|".join(sorted(UNITS, key=len, reverse=True))
_CONVERTED = re.compile(
    rf"(?:what is |whats |how much is |convert )?(\d+(?:\.\d+)?) ({_UNIT}) (?:in|to|into|as) (?:{_UNIT})"
    rf"|how (?:many|much) (?:{_UNIT}) (?:is|are) (\d+(?:\.\d+)?) ({_UNIT})"
)
_AGO = re.compile(r"(a|an|one|two|three|four|five|six|\d{1,3}) (day|week|month|year)s? ago")
_THEN: Mapping[str, int] = {
    **dict.fromkeys(("last week", "the last week"), 7),
    **dict.fromkeys(("last month", "the last month", "before"), 30),
    "last year": 365,
    "yesterday": 1,
}
_DAYS: Mapping[str, int] = {"day": 1, "week": 7, "month": 30, "year": 365}
_WAS = re.compile(
    r"(?:how strong was|what was|whats|how good was|how heavy was|what did you think was) (?:i|my|the)"
    r"(?: (?:max|1rm|estimate|estimated max))?(?: (?:on|of|for|in))?( .*)?"
)
_GOOD = frozenset(
    " ".join(each.split())
    for each in """is that good | is this good | is it good | is that ok | is that strong | is that a lot | is that bad |
    is that normal | is that weak | am i strong | am i weak | was that good | was it good | is that good enough | how good is
    that | is that any good | am i good | is my bench good | is my squat good | good or bad | hows that | is that decent |
    is that heavy | am i doing ok | am i doing well | how am i doing | is that average | am i average""".split("|")
)


def look_told(asking: Asking, spoken: Sequence[Token], plain: str) -> Answer:
    """The question about strength that a plain text is; None if it is none.

    Args:
        asking: The text.
        spoken: Its words and numbers.
        plain: The same as one line, without apostrophes.

    """
    if plain in _GOOD:
        return HowGood()
    if (can := _CAN.match(plain) or _POSSIBLE.match(plain)) is not None:
        verb = can[1] if can.re is _CAN else ""
        return _reach(asking, spoken[len(can.group().split()) :], verb)
    if (converted := _CONVERTED.fullmatch(plain)) is not None:
        amount, unit = converted[1] or converted[3], UNITS[converted[2] or converted[4]]
        return Convert(Load(float(amount), unit)) if to_kg(float(amount), unit) <= MOST_LOAD_KG else None
    return _then(asking, plain)


def _reach(asking: Asking, rest: Sequence[Token], verb: str) -> Answer:
    """`110`, `100 kg on bench`, `140 for a single`; with repetitions the maximum is told, and nothing about one of it."""
    at = next((place for place, token in enumerate(rest) if token.kind is Kind.NUMBER), None)
    if at is None:
        return None
    number = rest[at]
    unit = UNITS.get(rest[at + 1].text) if at + 1 < len(rest) else None
    others = [token for place, token in enumerate(rest) if place != at and token.text not in UNITS]
    counted = any(token.kind in (Kind.NUMBER, Kind.CROSS) or NUMBER_WORDS.get(token.text, 0) > 1 for token in others)
    named = [token for token in others if token.kind is Kind.WORD and token.text not in _AROUND]
    named = [token for token in named if token.text not in NUMBER_WORDS and token.text not in ("rep", "reps")]
    exercise = verb if verb in ("bench", "squat", "deadlift") else None
    if named:
        folded = " ".join(fold_word(token.text) for token in named)
        if asking.names.exact(folded) is None:
            return None
        return _asked(asking, number, exercise_named(asking, named), counted=counted)
    name = None if exercise is None else asking.names.exact(exercise)
    if unit is None and float(number.text) <= LEAST_ASKED:
        return None
    return _asked(asking, number, name, counted=counted)


def _asked(asking: Asking, number: Token, exercise: str | None, *, counted: bool) -> Answer:
    if counted:
        return Max(exercise)
    at = asking.tokens.index(number)
    unit = UNITS.get(asking.tokens[at + 1].text)
    amount = float(number.text)
    reachable = amount > 0 and (unit is None or to_kg(amount, unit) <= MOST_LOAD_KG)
    return CanLift(amount, unit, exercise) if reachable and amount <= 2.5 * MOST_LOAD_KG else None


def _then(asking: Asking, plain: str) -> Answer:
    when = next((phrase for phrase in _THEN if plain.endswith(f" {phrase}")), None)
    if when is not None:
        days, head = _THEN[when], plain[: -len(when) - 1]
    elif (ago := _AGO.search(plain)) is not None:
        many = int(ago[1]) if ago[1].isdigit() else NUMBER_WORDS.get(ago[1], 1)
        days, head = many * _DAYS[ago[2]], f"{plain[: ago.start()].strip()} {plain[ago.end() :].strip()}".strip()
    else:
        return None
    was = _WAS.fullmatch(head)
    if was is None or not 0 < days <= LONGEST_AGO:
        return None
    words = [word for word in (was[1] or "").split() if word not in ("my", "the", "max", "1rm", "estimate")]
    if not words:
        return MaxThen(days)
    name = asking.names.exact(" ".join(fold_word(word) for word in words))
    return None if name is None else MaxThen(days, name)


def look_text(command: LookCommand) -> str:
    """The one text of a question about strength."""
    match command:
        case CanLift(amount=amount, unit=unit, exercise=exercise):
            told = f"{amount:g}" if unit is None else f"{amount:g} {unit}"
            return f"can i lift {told}" + ("" if exercise is None else f" {exercise}")
        case MaxThen(days_ago=days, exercise=exercise):
            return f"how strong was {'i' if exercise is None else f'my {exercise}'} {days} days ago"
        case HowGood():
            return "is that good"
        case Convert(load=load):
            return f"how much is {mass_text(load)} in {'kg' if load.unit is Unit.LB else 'lb'}"
        case _:
            assert_never(command)
