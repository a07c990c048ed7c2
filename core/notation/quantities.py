"""Quantities: a number with the words that say what it counts."""

from collections.abc import Callable, Sequence

from core.domain.problems import ProblemKind
from core.domain.units import Unit, to_kg
from core.notation.doubts import Refused
from core.notation.misspelt import refuse_misspelt
from core.notation.pieces import Number, Role, Side
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import (
    NUMBER_WORDS,
    PARTIAL,
    PLATES,
    REPS,
    SECONDS,
    SETS,
    SIDES,
    UNITS,
)

MOST_DECIMALS = 3
"""Decimals that are kept: the smallest discs are 0.125 of a unit."""

LARGEST_NUMBER = 100_000.0
"""Largest number that is looked at; no quantity of a set comes near it."""

MOST_APART = 0.03
"""Most that the same weight in kilograms and in pounds differ: both are told in whole ones. [1]"""

SECONDS_IN_MINUTE = 60
"""Seconds in a minute. [s/min]"""

MOST_LETTERED = 12.0
"""Up to here `3s` beside `5r` is sets. [sets]"""

LONGEST_CLOCK = 3
"""Parts of a length of time with colons: hours, minutes, seconds."""

_CLOSING = frozenset({Kind.END, Kind.COMMA, Kind.SEMICOLON, Kind.LINE, Kind.CLOSE})
_HUNG = frozenset({"added", "plate", "vest", "belt", "disc", "dumbbell", "dumbbells", "dbs"})
"""What a load is told to be, where its weight is told."""

_LIMBS = frozenset({"arm", "arms", "leg", "legs", "foot"})


def number_at(
    tokens: Sequence[Token], at: int, *, is_word: Callable[[str], bool], labelled: bool = False
) -> tuple[Number, int]:
    """Number that begins at a token, with its unit and what else is said about it, and the index behind it.

    Args:
        tokens: The text's tokens.
        at: Index of a number, or of a word for one.
        is_word: Whether a word has a meaning of its own, so that it is no misspelt unit.
        labelled: What it counts was told before it, so that `reps` behind it belongs to the next number.

    Raises:
        Refused: the number is too large, or what stands directly behind it means nothing.

    """
    token = tokens[at]
    value = float(token.text) if token.kind is Kind.NUMBER else float(NUMBER_WORDS[token.text])
    if value > LARGEST_NUMBER:
        raise Refused(ProblemKind.LOAD_TOO_LARGE, token.start, token.end, detail="1500 kg")
    if token.text.endswith(".000"):
        raise Refused(ProblemKind.NOT_A_LOAD, token.start, token.end)  # `1.000 x 5`: thousands, or a decimal of nothing
    number = Number(round(value, MOST_DECIMALS), token.start, token.end)
    label = labelled and tokens[at + 1].text in REPS | SETS
    behind = at + 1 if label else _counted(tokens, at, number)
    if behind == at + 1:
        refuse_misspelt(tokens, at, is_word)
    behind = _shared_out(tokens, behind, number)
    if number.role is Role.BARE and tokens[behind].text in UNITS and tokens[behind].text != "k":
        number.role, number.unit = Role.LOAD, UNITS[tokens[behind].text]
        behind += 1
    if number.side is Side.SIDE and tokens[behind].text in ("plus", "and", "+"):
        bar = behind + 2 if tokens[behind + 1].text == "the" else behind + 1
        behind = bar + 1 if tokens[bar].text == "bar" else behind  # `60 a side plus the bar`, which it is anyway
    if number.unit is not None:
        behind += tokens[behind].text in _HUNG  # `with 10kg plate`, `10kg added`
        behind = _told_twice(tokens, behind, number)
    if tokens[behind].text == "total" and number.role in (Role.BARE, Role.LOAD) and tokens[behind + 1].text not in REPS:
        number.shared = True
        behind += 1
    behind = _added(tokens, behind, number)
    if number.more and number.side is Side.BOTH:
        behind = _shared_out(tokens, behind, number)
    number.end = tokens[behind - 1].end
    return number, behind


def _counted(tokens: Sequence[Token], at: int, number: Number) -> int:
    """Take the word behind a number that says what it counts; returns the index behind it."""
    behind = at + 1
    token = tokens[behind]
    word = token.text
    if token.kind is Kind.POUNDS:
        number.role, number.unit = Role.LOAD, Unit.LB
        return behind + 1
    if token.kind is Kind.COLON:
        return _clock(tokens, at, number)
    if token.kind is Kind.QUOTE and not token.spaced:
        if tokens[behind + 1].text == "s" and not tokens[behind + 1].spaced:
            number.role = Role.PAIR  # `25's`
            return behind + 2
        return _minutes_and_seconds(tokens, at, number)
    if token.kind is not Kind.WORD:
        return behind
    if word in UNITS and (word != "k" or not token.spaced):
        number.role, number.unit = Role.LOAD, UNITS[word]
        return behind + 1
    if word in REPS and (word != "r" or not token.spaced):
        rated = tokens[behind + 1]
        if word == "r" and rated.kind is Kind.NUMBER and not rated.spaced:
            # `80x5r2`: repetitions left, most likely; nobody said so.
            raise Refused(ProblemKind.NOT_EFFORT, token.start, rated.end, instead=f" rir {rated.text}")
        number.role = Role.REPS
        return behind + 1
    if word in SETS:
        if at and tokens[at - 1].kind is Kind.CROSS and _is_further_set(tokens, behind):
            return behind
        number.role = Role.SETS
        return behind + 1
    if word == "more" and tokens[behind + 1].text in SETS:
        number.role, number.signed = Role.SETS, "+"
        return behind + 2
    if word in PLATES:
        return _plates(tokens, behind, number)
    if word == "second" and tokens[behind + 1].text in SETS:
        return behind  # `first set 80x5 second set 80x4`
    if word in SECONDS and (len(word) > 1 or not token.spaced):
        return _time(tokens, behind, number)
    if word == "m" and not token.spaced and tokens[behind + 1].kind is Kind.NUMBER and not tokens[behind + 1].spaced:
        return _time(tokens, behind, number)
    if word in ("and", "point"):
        return _spoken_part(tokens, behind, number)
    return behind


def _spoken_part(tokens: Sequence[Token], at: int, number: Number) -> int:
    """`82 and a half`, `82 point 5`: a part of one, as it is said; returns the index behind it."""
    if [token.text for token in tokens[at : at + 3]] == ["and", "a", "half"]:
        number.value += 0.5
        return at + 3
    part = tokens[at + 1].text
    if tokens[at].text == "point" and part.isdigit() and number.whole:
        number.value = round(float(f"{number.value:.0f}.{part}"), MOST_DECIMALS)
        return at + 2
    return at


def _told_twice(tokens: Sequence[Token], at: int, number: Number) -> int:
    """Take the same weight in the other unit: `80kg/176lb`, `80 kg (176 lb)`, `80 kg = 176 lb`.

    Raises:
        Refused: the two are no one weight.

    """
    bracketed = tokens[at].kind is Kind.OPEN
    if not (bracketed or tokens[at].kind in (Kind.SLASH, Kind.EQUALS)) or tokens[at + 1].kind is not Kind.NUMBER:
        return at
    behind = at + 2
    unit = Unit.LB if tokens[behind].kind is Kind.POUNDS else UNITS.get(tokens[behind].text)
    if unit is None or unit is number.unit or (bracketed and tokens[behind + 1].kind is not Kind.CLOSE):
        return at
    one, other = to_kg(number.value, number.unit or unit), to_kg(float(tokens[at + 1].text), unit)
    if abs(one - other) > MOST_APART * max(one, other):
        raise Refused(ProblemKind.NOT_A_LOAD, tokens[at].start, tokens[behind].end, instead="")
    return behind + 2 if bracketed else behind + 1


def _is_further_set(tokens: Sequence[Token], at: int) -> bool:
    """`80x5 set 2 80x4`, `80x5 set 2: 80x4`: the word begins the next set and does not count the one before."""
    numbered = tokens[at].text == "set" and tokens[at + 1].kind is Kind.NUMBER
    behind = tokens[at + 2]
    return numbered and (behind.kind in (Kind.NUMBER, Kind.COLON, Kind.CLOSE, Kind.SLASH) or behind.text == "of")


def _plates(tokens: Sequence[Token], at: int, number: Number) -> int:
    number.role, number.plates, number.side = Role.LOAD, True, Side.SIDE
    behind = at + 1
    if [token.text for token in tokens[behind : behind + 3]] == ["and", "a", "half"]:
        number.value += 0.5
        behind += 3
    elif [token.text for token in tokens[behind : behind + 3]] == ["and", "a", "quarter"]:
        number.value += 0.25
        behind += 3
    elif (tokens[behind].text == "and" or tokens[behind].kind is Kind.PLUS) and tokens[behind + 1].kind is Kind.NUMBER:
        # `2 plates and 10`: a load of two kinds of discs cannot be told.
        raise Refused(ProblemKind.NOT_A_LOAD, number.start, tokens[behind + 1].end)
    return behind


def _time(tokens: Sequence[Token], at: int, number: Number) -> int:
    """`40s`, `60 sec`, `2 min`, `1 min 30`, `1m30s`."""
    word = tokens[at].text
    if word == "s":
        slipped = tokens[at + 1]
        if slipped.kind is Kind.NUMBER and not slipped.spaced and not tokens[at].spaced:
            raise Refused(ProblemKind.NOT_A_LOAD, number.start, tokens[at].end, instead=f"{number.value:g}x")  # `80s5`
        # `80kg 5r 3s`: repetitions and sets, by the letter.
        lettered = tokens[at - 2].text == "r" or (tokens[at + 2].text == "r" and not tokens[at + 2].spaced)
        number.role = Role.SETS if lettered and at > 1 and number.value <= MOST_LETTERED else Role.PAIR
        return at + 1
    number.role = Role.SECONDS
    per = 60.0 if word == "m" else SECONDS[word]
    number.value *= per
    behind = at + 1
    rest = tokens[behind]
    if per == SECONDS_IN_MINUTE and rest.kind is Kind.NUMBER and float(rest.text) < SECONDS_IN_MINUTE:
        named = tokens[behind + 1].text in SECONDS and SECONDS[tokens[behind + 1].text] == 1.0
        if named or not rest.spaced or tokens[behind + 1].kind in _CLOSING:
            number.value += float(rest.text)
            behind += 2 if named else 1
    return behind


def _clock(tokens: Sequence[Token], at: int, number: Number) -> int:
    """`1:30` and `1:00:00`; only minutes of two digits written together."""
    behind = at + 1
    parts = [tokens[at].text]
    while (
        len(parts) < LONGEST_CLOCK
        and tokens[behind].kind is Kind.COLON
        and not tokens[behind].spaced
        and tokens[behind + 1].kind is Kind.NUMBER
        and not tokens[behind + 1].spaced
        and len(tokens[behind + 1].text) == 2
        and float(tokens[behind + 1].text) < SECONDS_IN_MINUTE
    ):
        parts.append(tokens[behind + 1].text)
        behind += 2
    if len(parts) == 1 or "." in parts[0]:
        return at + 1
    total = 0.0
    for part in parts:
        total = total * SECONDS_IN_MINUTE + float(part)
    number.role, number.value = Role.SECONDS, total
    return behind + 1 if tokens[behind].text in ("min", "mins", "minutes", "s", "sec") else behind


def _minutes_and_seconds(tokens: Sequence[Token], at: int, number: Number) -> int:
    """`1'30`, `1'30"`, `2'`."""
    behind = at + 2
    number.role = Role.SECONDS
    number.value *= SECONDS_IN_MINUTE
    if tokens[behind].kind is Kind.NUMBER and not tokens[behind].spaced:
        number.value += float(tokens[behind].text)
        behind += 1
        if tokens[behind].kind is Kind.DOUBLE_QUOTE:
            behind += 1
    return behind


def _shared_out(tokens: Sequence[Token], at: int, number: Number) -> int:
    """Take the words that say a number is told for one side, arm, leg or hand."""
    token = tokens[at]
    word = token.text
    if token.kind is Kind.SLASH and tokens[at + 1].text in SIDES:
        return _sided(tokens, at + 1, number)
    if token.kind is not Kind.WORD:
        return at
    if word in ("e", "p") and tokens[at + 1].kind is Kind.SLASH and tokens[at + 2].text == "s":
        number.side = Side.SIDE
        return at + 3
    if word in ("a", "per", "each", "every", "on", "in") and not (
        word in ("on", "in") and tokens[at + 1].text != "each"
    ):
        place = at + 2 if word in ("on", "in") else at + 1
        if tokens[place].text in SIDES or (word == "each" and tokens[place].text == "way"):
            return _sided(tokens, place, number)
        if word == "each" or place == at + 2:
            number.side = Side.HAND
            return place
    if word in ("ea", "each"):
        number.side = Side.HAND
        return at + 1
    return at


def _sided(tokens: Sequence[Token], at: int, number: Number) -> int:
    word = tokens[at].text
    if word == "hand":
        number.side = Side.HAND
    else:
        number.side = Side.LIMB if word in _LIMBS else Side.SIDE
    return at + 1


def _added(tokens: Sequence[Token], at: int, number: Number) -> int:
    """Take `+3+2` behind repetitions, or a lone `+`."""
    more: list[int] = []
    while tokens[at].kind is Kind.PLUS:
        added = tokens[at + 1]
        if tokens[at].spaced and not added.spaced and added.kind is Kind.NUMBER and _is_no_rest(added, number):
            break  # `pull ups 5x5 +10`: more than before a short rest, so a load
        if added.kind is not Kind.NUMBER or (added.spaced and not tokens[at].spaced):
            if not more and not tokens[at].spaced and number.role in (Role.BARE, Role.REPS):
                number.at_least = True
                return at + 1
            break
        if not added.text.isdigit() or len(added.text) > 2 or _begins_set(tokens, at + 2):
            break
        if tokens[at + 2].text in PARTIAL:
            at += 4 if tokens[at + 3].text in REPS else 3  # `80x8 + 2 partials`: no whole repetitions
            continue
        more.append(int(added.text))
        at += 2
    number.more = tuple(more)
    if more and tokens[at].text in REPS:
        at += 1
    return at


def _is_no_rest(added: Token, number: Number) -> bool:
    """Whether what a plus adds is no less than the repetitions before it: after a short rest nobody does as many."""
    return number.role in (Role.BARE, Role.REPS) and float(added.text) >= number.value


def _begins_set(tokens: Sequence[Token], at: int) -> bool:
    # A cross, or a unit and a cross: the number before it is a load of its own.
    token = tokens[at]
    if token.kind is Kind.CROSS and tokens[at + 2].text in SETS:
        return False  # `80 x 8+3+2 x 3 sets`
    return token.kind is Kind.CROSS or token.text in UNITS or token.text in ("for", "by")
