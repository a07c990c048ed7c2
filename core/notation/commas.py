"""Commas: whether one between two numbers parts a list or stands in a decimal."""

from collections.abc import Callable, Sequence

from core.domain.commands import Doubt
from core.domain.exercises import Exercise
from core.notation.doubts import Doubts
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import UNITS

SMALLEST_STEP = 1.25
"""Loads are multiples of the smallest usual pair of discs or half of it. [kg] Common practice, no source."""

MOST_REPS_LISTED = 30
"""Up to here a number before a comma can be repetitions in a list. [repetitions]"""

Lifted = Callable[[Sequence[Token], int], Exercise | None]
"""The lift that a number at an index belongs to, as far as what stands before it tells."""

_MASSES = frozenset({"bw", "bodyweight", "weight", "mass", "weigh", "weighed", "is"})
_EFFORTS = frozenset({"rir", "rpe"})
_COUNTS = frozenset({"reps", "rep", "r", "sets", "set"})
_CLOSING = frozenset({Kind.END, Kind.LINE, Kind.SEMICOLON})
_GOING_ON = frozenset({Kind.SLASH, Kind.DASH, Kind.COLON})


def _no_lift(tokens: Sequence[Token], at: int) -> None:
    """No lift: what a number belongs to is not known."""
    del tokens, at


def with_decimals(tokens: Sequence[Token], doubts: Doubts, lifted: Lifted = _no_lift) -> Sequence[Token]:
    """The same tokens, with the numbers that a decimal comma parts made one; a comma in a list stays.

    Args:
        tokens: The text's tokens.
        doubts: Takes what may be either.
        lifted: Asked where the lift decides: of dips `7,5` is a list, of curls as often a load.

    >>> from core.notation.tokens import folded, tokens
    >>> [token.text for token in with_decimals(tokens(folded("17,5 kg x 12,8")), Doubts({}))][:6]
    ['17.5', 'kg', 'x', '12', ',', '8']

    """
    if not any(_is_glued(tokens, at) for at in range(1, len(tokens) - 1) if tokens[at].kind is Kind.COMMA):
        return tokens
    spaced_style = any(
        token.kind is Kind.COMMA
        and at + 1 < len(tokens)
        and tokens[at + 1].spaced
        and tokens[at + 1].kind is Kind.NUMBER
        for at, token in enumerate(tokens)
    )
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        end = at
        if tokens[at].kind is Kind.NUMBER:
            while end + 2 < len(tokens) and _is_glued(tokens, end + 1):
                end += 2
        if end == at:
            kept.append(tokens[at])
            at += 1
            continue
        kept.extend(_chain(tokens, at, end, doubts, lifted, spaced_style=spaced_style))
        at = end + 1
    return kept


def _is_glued(tokens: Sequence[Token], at: int) -> bool:
    return (
        tokens[at].kind is Kind.COMMA
        and not tokens[at].spaced
        and tokens[at - 1].kind is Kind.NUMBER
        and tokens[at + 1].kind is Kind.NUMBER
        and not tokens[at + 1].spaced
    )


def _chain(
    tokens: Sequence[Token], first: int, last: int, doubts: Doubts, lifted: Lifted, *, spaced_style: bool
) -> list[Token]:
    """Numbers parted by commas without blanks: `82,5`, `10,8,8`, `5,82,5`."""
    count = (last - first) // 2 + 1
    if count == 2:
        return _pair(tokens, first, doubts, lifted, spaced_style=spaced_style)
    kept: list[Token] = []
    at = first
    while at <= last:
        if at < last and _in_chain(tokens, at, first, last):
            kept.append(_joined(tokens, at))
            at += 4
        else:
            kept.append(tokens[at])
            at += 2
        if at <= last:
            kept.append(tokens[at - 1])
    return kept


def _in_chain(tokens: Sequence[Token], at: int, first: int, last: int) -> bool:
    """Whether a decimal begins here in a longer chain: `80x5,82,5x5`, `60,62,5,65`."""
    whole, part = tokens[at].text, tokens[at + 2].text
    if not _is_step(whole, part):
        return False
    closes = at + 2 == last
    heavy = float(whole) > MOST_REPS_LISTED
    if closes and (tokens[last + 1].kind is Kind.CROSS or tokens[last + 1].text in UNITS):
        return heavy or (at == first and False)
    return heavy and float(part) <= 5


def _pair(tokens: Sequence[Token], at: int, doubts: Doubts, lifted: Lifted, *, spaced_style: bool) -> list[Token]:
    whole, part = tokens[at].text, tokens[at + 2].text
    plain = [tokens[at], tokens[at + 1], tokens[at + 2]]
    joined = [_joined(tokens, at)]
    if "." in whole or "." in part:
        return plain
    before, behind = tokens[at - 1] if at else None, tokens[at + 3]
    left = before is not None and before.kind in (Kind.CROSS, Kind.DASH, Kind.SLASH)
    left = left or (before is not None and before.text in ("for", "by", "times"))
    crossed = behind.kind is Kind.CROSS or behind.text in ("by", "times", "for")
    if len(part) == 3 and len(whole) == 1:
        # `1,000 lb`: thousands.
        thousands = part == "000" or behind.text in UNITS
        return [tokens[at]._replace(text=whole + part, end=tokens[at + 2].end)] if thousands else plain
    if len(part) > 2:
        return plain
    if before is not None and before.kind in (Kind.COLON, Kind.EQUALS) and at > 1:
        before = tokens[at - 2] if tokens[at - 2].text in _EFFORTS else before
    if before is not None and before.text in _EFFORTS | {"@"}:
        return joined if part in ("5", "25", "75") else plain
    if behind.text in UNITS or behind.kind is Kind.POUNDS:
        listed = len(part) == 2 and not _is_step(whole, part)
        return plain if listed else joined
    if behind.text in _COUNTS:
        return plain
    if before is not None and (before.kind is Kind.PLUS or before.text in _MASSES):
        return joined if before.kind is Kind.PLUS or float(whole) > MOST_REPS_LISTED else plain
    step = _is_step(whole, part)
    heavy = float(whole) > MOST_REPS_LISTED
    if left and not crossed:
        return _behind_cross(tokens, at, doubts, plain, joined, step=step, heavy=heavy)
    if crossed:
        if step or (heavy and part in ("25", "75")):
            return joined
        return _doubted(tokens, at, doubts, plain, joined) if len(part) == 1 and float(part) <= 10 else plain
    if heavy and step:
        return joined
    if spaced_style and step and not heavy and behind.kind is not Kind.COMMA and behind.kind not in _GOING_ON:
        return _doubted(tokens, at, doubts, joined, plain)
    if step and behind.kind is Kind.NUMBER and behind.spaced:
        return joined  # `17,5 12 10 8`: blanks part the list, so the comma does not
    return _light(tokens, at, doubts, lifted, plain, joined) if step else plain


def _light(
    tokens: Sequence[Token], at: int, doubts: Doubts, lifted: Lifted, plain: list[Token], joined: list[Token]
) -> list[Token]:
    """`curl 12,5`, `curl 12,5/10`, `curl 12,5, 10`: a light load that discs make, or two sets of a list."""
    behind = tokens[at + 3]
    mixed = behind.kind is Kind.COMMA and tokens[at + 4].spaced and tokens[at + 4].kind is Kind.NUMBER
    if not (mixed or behind.kind in _CLOSING or behind.kind in _GOING_ON):
        return plain
    lift = lifted(tokens, at)
    if lift is not None and (lift.body_share > 0 or lift.timed):
        return plain
    if behind.kind in _GOING_ON:
        return joined
    if lift is not None and (mixed or tokens[at - 1].kind is Kind.WORD):
        return _doubted(tokens, at, doubts, joined, plain)
    return _doubted(tokens, at, doubts, plain, joined)


def _behind_cross(
    tokens: Sequence[Token],
    at: int,
    doubts: Doubts,
    plain: list[Token],
    joined: list[Token],
    *,
    step: bool,
    heavy: bool,
) -> list[Token]:
    """`60x10,8`, `5x82,5`, `8x17,5`."""
    if not step:
        return plain
    if heavy:
        return joined
    whole = float(tokens[at].text)
    before = tokens[at - 2] if at > 1 else None
    few = before is not None and before.kind is Kind.NUMBER and float(before.text) <= MOST_REPS_LISTED / 2
    if few and whole > 5 and tokens[at + 2].text == "5":
        return _doubted(tokens, at, doubts, joined, plain)
    return plain


def _doubted(tokens: Sequence[Token], at: int, doubts: Doubts, first: list[Token], second: list[Token]) -> list[Token]:
    start, end = tokens[at].start, tokens[at + 2].end
    values = ["first", "second"]
    value = doubts.value(Doubt.OTHER, f"comma {start}", values, start=start, end=end, taught=False)
    return first if value == "first" else second


def _joined(tokens: Sequence[Token], at: int) -> Token:
    return tokens[at]._replace(text=f"{tokens[at].text}.{tokens[at + 2].text}", end=tokens[at + 2].end)


def _is_step(whole: str, part: str) -> bool:
    """Whether the decimal is a load that discs make."""
    if not (whole.isdigit() and part.isdigit()) or len(part) > 2 or len(whole) > 4:
        return False
    return float(f"{whole}.{part}") % SMALLEST_STEP == 0
