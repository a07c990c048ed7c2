"""Asides: numbers that are no part of a set and are passed over: rests, shares, heights, angles, counts of sets."""

from collections.abc import Sequence

from core.domain.problems import ProblemKind
from core.notation.doubts import Refused
from core.notation.efforts import effort_at
from core.notation.lengths import length_at
from core.notation.other_counts import compared, counted_otherwise, to_go
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import (
    ADDED,
    LENGTHS,
    NUMBERED,
    PAUSES,
    RATED,
    RATED_SETS,
    REST,
    SECONDS,
    SETS,
    SIZES,
    UNITS,
)

HIGHEST_SET = 30
"""Highest number of a set that a line may begin with (`3) 80x5`). [sets]"""

LOWEST_RATING, HIGHEST_RATING = 5.5, 10.0
"""Ends of a rating out of ten that is offered as one of exertion, as behind a bare `@`. [1]"""

LONGEST_PAUSE_S = 10.0
"""Longest pause or lowering within a repetition. [s]"""

TEMPO_DIGITS = 4
"""Parts of a tempo: down, pause, up, pause."""

FIRST_HOUR = 5
"""From here up hours and minutes are a time of day rather than a hold. [h] Few hold for five minutes."""

HOURS_IN_DAY, MINUTES_IN_HOUR = 24, 60
"""Hours of a day, minutes of an hour. [h, min]"""

_ORDINALS = frozenset({"st", "nd", "rd", "th"})
_NTH = frozenset({"first", "second", "third", "fourth", "fifth", "sixth", "last", "final"})

_THINGS = frozenset({"box", "platform", "step", "deficit", "blocks", "block", "boards", "board", "pins", "bench"})
_ANGLED = frozenset({"incline", "inclined", "decline", "declined", "angle"})
_ADJUSTED = frozenset({"incline", "gradient", "level", "speed", "resistance"})
"""What a machine is set to that is walked, rowed or cycled on."""

_MOVED = frozenset({"down", "lower", "lowered", "neg", "negs", "ecc"})
"""Words for the way down, whose seconds belong to a repetition."""

_MINUTES = frozenset({"min", "mins", "minute", "minutes"})
_IN_WHAT = frozenset({"the", "tank", "reserve", "me", "each", "my"})
"""Words behind an `in` that is no inch."""

_TOTALS = frozenset({"total", "volume", "tonnage"})
_OF = frozenset({"of", "1rm", "max", "e1rm", "rm", "my", "the"})


BEGIN_ASIDE = (
    REST | SETS | NUMBERED | RATED | _NTH | _TOTALS | _ADJUSTED | {"s", "week", "hr", "pulse", "rpm", "bpm", "rate"}
)
"""Words that what is passed over may begin with."""


def setting_at(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind what a machine is set to: `treadmill 30 min incline 5`; None for what else a word may say."""
    told = tokens[at].text in _ADJUSTED and tokens[at + 1].kind is Kind.NUMBER and tokens[at + 2].kind is not Kind.CROSS
    return at + 2 if told and at > 0 and tokens[at - 1].text in _MINUTES else None


def aside_at(tokens: Sequence[Token], at: int, *, begins: bool, named: bool) -> int | None:
    """Index behind what is passed over at a token; None if nothing is.

    Args:
        tokens: The text's tokens.
        at: Index of a number or a word.
        begins: Nothing of a set stands before it on its line.
        named: An exercise was named before it, so that `45° incline` says nothing new.

    """
    if tokens[at].kind is Kind.NUMBER:
        return _after_number(tokens, at, begins=begins, named=named)
    return _after_word(tokens, at, begins=begins)


def _after_number(tokens: Sequence[Token], at: int, *, begins: bool, named: bool) -> int | None:
    behind = at + 1
    token = tokens[behind]
    if token.kind in _SIMPLE and not (at and tokens[at - 1].text == "in"):
        return None
    if (end := counted_otherwise(tokens, at, begins=begins)) is not None:
        return end
    word = token.text
    if token.kind is Kind.DASH and tokens[behind + 1].kind is Kind.NUMBER and tokens[behind + 2].kind is Kind.PERCENT:
        behind += 2
        token = tokens[behind]
    if token.kind is Kind.PERCENT and tokens[behind + 1].text in ("more", "less", "heavier", "lighter"):
        raise Refused(ProblemKind.NOT_A_LOAD, tokens[at].start, tokens[behind + 1].end)  # `5% more than last time`
    if token.kind in (Kind.PERCENT, Kind.DEGREES) or word in ("percent", "pct", "deg", "degs", "degree", "degrees"):
        return _thing(tokens, behind + 1, named=named)
    if token.kind is Kind.DOUBLE_QUOTE and not token.spaced and not _joined_before(tokens, at):
        return _thing(tokens, behind + 1, named=named)
    if token.kind is Kind.DASH and (tokens[behind + 1].text in SIZES or tokens[behind + 1].text in LENGTHS):
        token = tokens[behind + 1]
        word = token.text
        behind += 1
    if word in SIZES and not (word == "in" and (_joined_before(tokens, at) or tokens[behind + 1].text in _IN_WHAT)):
        return _thing(tokens, behind + 1, named=named)
    if word in LENGTHS and (word != "m" or not _is_minutes(tokens, behind)):
        return behind + 1
    if word in ("am", "pm"):
        return behind + 1
    if (end := _time_of_day(tokens, at, begins=begins)) is not None:
        return end
    if word in _ORDINALS and not token.spaced:
        return behind + 2 if tokens[behind + 1].text in SETS | {"rep"} else behind + 1
    if not (_joined_before(tokens, at) and word in REST) and (end := _rest_after(tokens, at)) is not None:
        return end
    if not _joined_before(tokens, at) and (end := compared(tokens, at) or to_go(tokens, at)) is not None:
        return end
    if (end := added_behind(tokens, at)) is not None or (end := _within_reps(tokens, at)) is not None:
        return end
    if begins and (end := _ordinal(tokens, at)) is not None:
        return end
    return None


_SIMPLE = frozenset({Kind.CROSS, Kind.COMMA, Kind.LINE, Kind.END, Kind.AT})
"""Signs behind a number that is nothing but a number of a set."""


def _joined_before(tokens: Sequence[Token], at: int) -> bool:
    """Whether a cross stands directly before a number: it counts repetitions, whatever word follows."""
    return at > 0 and tokens[at - 1].kind is Kind.CROSS


def _time_of_day(tokens: Sequence[Token], at: int, *, begins: bool) -> int | None:
    """Index behind `6:30pm`, `at 18:30`, `@ 6:30`, or `18:30` before what was done then."""
    minutes = tokens[at + 2]
    if tokens[at + 1].kind is not Kind.COLON or tokens[at + 1].spaced or minutes.spaced or len(minutes.text) != 2:
        return None
    hour, behind = float(tokens[at].text), tokens[at + 3]
    if minutes.kind is not Kind.NUMBER or float(minutes.text) >= MINUTES_IN_HOUR or behind.kind is Kind.COLON:
        return None
    if behind.text in ("am", "pm"):
        return at + 4
    before = tokens[at - 1] if at else None
    whole = behind.kind is Kind.END and at == 0  # `18:30`: when, and not how long
    leads = begins and (whole or (behind.kind is Kind.WORD and behind.text not in SECONDS))
    told = leads or (before is not None and (before.kind is Kind.AT or before.text == "at"))
    told = told or (before is not None and before.kind is Kind.OPEN and behind.kind is Kind.CLOSE)
    return at + 3 if told and FIRST_HOUR <= hour < HOURS_IN_DAY else None


def added_behind(tokens: Sequence[Token], at: int) -> int | None:
    """Index of `chains` or `bands` behind the weight that is told for them; it is not counted in the load."""
    place = at + 2 if tokens[at + 1].text in UNITS else at + 1
    if tokens[place].text == "of":
        place += 1
    return place if tokens[place].text in ADDED else None


def _within_reps(tokens: Sequence[Token], at: int) -> int | None:
    """Index of `pause` behind the seconds of one: `2s pause`, `3 sec eccentric`, `3 count pause`."""
    if tokens[at + 1].text not in SECONDS and tokens[at + 1].text not in ("count", "ct", "cnt"):
        return None
    place = at + 3 if tokens[at + 2].kind is Kind.DASH else at + 2
    if tokens[place].text in _MOVED and float(tokens[at].text) <= LONGEST_PAUSE_S:
        return place + 1  # `60x8 3s down`
    if at and tokens[at - 1].text in PAUSES and float(tokens[at].text) <= LONGEST_PAUSE_S:
        return at + 2  # `paused 3 count`
    if tokens[place].text not in PAUSES or float(tokens[at].text) > LONGEST_PAUSE_S:
        return None
    return place


def tempo_behind(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind a tempo: `3010`, `3-1-1`, `3-1-1-0`, `31x1`; only looked for where the word stands in the text."""
    if len(tokens[at].text) == TEMPO_DIGITS and tokens[at].text.isdigit() and tokens[at + 1].kind is not Kind.CROSS:
        return at + 1
    if len(tokens[at].text) == 2 and tokens[at + 1].kind is Kind.CROSS and len(tokens[at + 2].text) == 1:
        near = at > 0 and tokens[at - 1].text == "tempo" and not tokens[at + 1].spaced
        quick = "10" <= tokens[at].text <= "53" and tokens[at].text[1] <= "3" and tokens[at + 2].text <= "2"
        return at + 3 if near and quick else None
    place = at
    while len(tokens[place].text) == 1 and tokens[place + 1].kind is Kind.DASH and place < at + 2 * TEMPO_DIGITS:
        place += 2
    return place + 1 if place > at + 2 and tokens[place].kind is Kind.NUMBER else None


def _is_minutes(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at + 1].kind is Kind.NUMBER and not tokens[at + 1].spaced


def _thing(tokens: Sequence[Token], at: int, *, named: bool) -> int:
    """Index behind the thing that has this size: `box`; an angle names the bench only where nothing else is named."""
    while tokens[at].text in _OF or (tokens[at].text == "1" and tokens[at + 1].text == "rm"):
        at += 1
    if tokens[at].text in _THINGS and tokens[at].text != "bench":
        return at + 1
    if tokens[at].text in _ANGLED and named and tokens[at + 1].kind is not Kind.WORD:
        return at + 1
    return at


def _rest_after(tokens: Sequence[Token], at: int) -> int | None:
    """`90s rest`, `2 min between sets`, `3' rest`, `90 rest`, `10 min warm-up then`."""
    behind = length_at(tokens, at)
    if behind > at + 1 and tokens[behind].text in _BEFORE_LIFTING and tokens[behind + 1].kind is not Kind.END:
        behind += 2 if tokens[behind + 1].kind is Kind.DASH else 1
        return behind + 1 if tokens[behind].text in ("up", "ups") else behind
    if tokens[behind].text == "of" and tokens[behind + 1].text in REST:
        behind += 1
    if tokens[behind].text in REST:
        if behind == at + 1 and tokens[behind + 1].kind is Kind.NUMBER:
            return None  # `8 rest 15s 3 rest 15s 2`: the length of the rest stands behind it
        pause = tokens[behind + 2] if tokens[behind + 1].kind is Kind.DASH else tokens[behind + 1]
        return None if pause.text in PAUSES else behind + 1
    if tokens[behind].text in ("between", "apart"):
        return behind + 2 if tokens[behind + 1].text in SETS else behind + 1
    return None


_BEFORE_LIFTING = frozenset({"warm", "warmup", "bike", "biking", "cardio", "stretching", "stretch", "mobility"})


def _ordinal(tokens: Sequence[Token], at: int) -> int | None:
    """`1) 80x5`, `1. 80x5`, `1: 80x5` at the start of a line."""
    sign = tokens[at + 1]
    marked = sign.kind in (Kind.CLOSE, Kind.COLON) or sign.text == "."
    if not marked or sign.spaced or not tokens[at].text.isdigit() or float(tokens[at].text) > HIGHEST_SET:
        return None
    if tokens[at + 2].kind is Kind.END or (sign.kind is Kind.COLON and not tokens[at + 2].spaced):
        return None
    return at + 2


def _after_word(tokens: Sequence[Token], at: int, *, begins: bool) -> int | None:
    word = tokens[at].text
    following = tokens[at + 1]
    if word in REST:
        pause = tokens[at + 2] if following.kind is Kind.DASH else following
        if pause.text in PAUSES:
            return None  # `rest-pause`
        place = at + 1
        while tokens[place].kind is Kind.COLON or tokens[place].text in ("of", "for", "about", "time", "was"):
            place += 1
        behind = length_at(tokens, place)
        return at + 1 if behind == place or tokens[behind].kind is Kind.CROSS else behind
    if word in _NTH and following.text in SETS:
        return at + 2  # `second set 80x4`
    if word in SETS or word == "s":
        return _counted_set(tokens, at, begins=begins)
    if word in NUMBERED and following.kind is Kind.NUMBER and tokens[at + 2].kind is not Kind.CROSS:
        return _numbered(tokens, at)
    if word == "week" and following.kind is Kind.NUMBER and tokens[at + 2].kind is not Kind.CROSS:
        return _numbered(tokens, at)
    if word in RATED:
        place = at + 1
        while tokens[place].kind is Kind.COLON or tokens[place].text in ("like", "was", "a", "an", "about"):
            place += 1
        if tokens[place].kind is not Kind.NUMBER:
            return None
        if effort_at(tokens, place) is not None:
            return place  # `felt like 2 left`
        if tokens[place + 1].kind is Kind.SLASH and tokens[place + 2].text == "10":
            return place + 3
        if word in RATED_SETS:
            _refuse_rating(tokens, at, place)
        return None
    if word in _TOTALS:
        place = at + 2 if following.kind in (Kind.COLON, Kind.EQUALS) else at + 1
        return _amount(tokens, place)
    if word in ("hr", "pulse", "rpm", "bpm", "rate") and following.kind is Kind.NUMBER:
        return at + 2
    return None


def _refuse_rating(tokens: Sequence[Token], at: int, place: int) -> None:
    """Refuse `felt like 8`, `effort 8`: a rating most likely, but nobody said so; `felt 80x5` is a set."""
    number, behind = tokens[place], tokens[place + 1]
    joined = behind.kind in (Kind.CROSS, Kind.AT, Kind.DASH, Kind.SLASH, Kind.COLON)
    if joined or behind.text in UNITS or float(number.text) > HIGHEST_RATING:
        return
    instead = f"@{number.text}" if float(number.text) >= LOWEST_RATING else None
    raise Refused(ProblemKind.NOT_EFFORT, tokens[at].start, number.end, instead=instead)


def _numbered(tokens: Sequence[Token], at: int) -> int:
    behind = at + 3 if tokens[at + 2].text in SECONDS else at + 2  # `emom 10 min`
    return behind + 1 if tokens[behind].kind in (Kind.COLON, Kind.COMMA) or tokens[behind].text == "." else behind


def _counted_set(tokens: Sequence[Token], at: int, *, begins: bool) -> int | None:
    """`Set 2: 80x5`, `set 1 80x5`, `s1: 80x5`; never `sets 3 reps 8`."""
    number = tokens[at + 1]
    if number.kind is not Kind.NUMBER or not number.text.isdigit() or tokens[at].text in ("sets", "rounds"):
        return None
    behind = tokens[at + 2]
    if tokens[at].text == "set" and (behind.kind is Kind.SLASH or behind.text == "of"):
        return at + 4 if tokens[at + 3].kind is Kind.NUMBER else None  # `80x5 set 3 of 3`
    signed = behind.kind in (Kind.COLON, Kind.DASH, Kind.EQUALS, Kind.CLOSE) or behind.text == "."
    if signed and (tokens[at].text == "set" or not number.spaced):
        return at + 3
    if behind.kind is not Kind.NUMBER:
        return None
    # Without a sign, a number must follow: `set 1 80x5`; further on in a line a whole set: `80x5 set 2 80x4`.
    whole = tokens[at + 3].kind is Kind.CROSS or tokens[at + 3].text in UNITS
    told = tokens[at].text == "set" or (not number.spaced and whole)
    return at + 2 if told and (begins or whole) else None


def _amount(tokens: Sequence[Token], at: int) -> int:
    if tokens[at].kind is not Kind.NUMBER:
        return at
    behind = at + 1
    while tokens[behind].kind is Kind.COMMA and not tokens[behind].spaced and tokens[behind + 1].kind is Kind.NUMBER:
        behind += 2
    return behind + 1 if tokens[behind].text in ("kg", "kgs", "lb", "lbs", "k") else behind


def total_behind(tokens: Sequence[Token], at: int) -> int:
    """Index behind the total that follows an equals sign at this index: `= 2000 kg total`."""
    behind = _amount(tokens, at + 1)
    while tokens[behind].text in _TOTALS:
        behind += 1
    return behind
