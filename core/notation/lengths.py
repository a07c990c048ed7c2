"""Lengths: how long a rest lasts, with its units or without."""

from collections.abc import Sequence

from core.notation.tokens import Kind, Token
from core.notation.vocabulary import REST, SECONDS

LONGEST_LENGTH = 6
"""Tokens that a length of time has at most: `1 h 30 min`. [tokens]"""

_LENGTH_ENDS = frozenset({Kind.END, Kind.COMMA, Kind.SEMICOLON, Kind.LINE, Kind.CLOSE, Kind.QUOTE, Kind.DOUBLE_QUOTE})


def length_at(tokens: Sequence[Token], at: int) -> int:
    """Index behind a length of time with or without its unit; the same index if there is none."""
    behind = at
    while tokens[behind].kind is Kind.NUMBER and behind < at + LONGEST_LENGTH:
        behind += 1
        if tokens[behind].kind in (Kind.COLON, Kind.DASH) and tokens[behind + 1].kind is Kind.NUMBER:
            behind += 1
            continue
        if (
            tokens[behind].text in SECONDS
            or tokens[behind].text == "m"
            or tokens[behind].kind in (Kind.QUOTE, Kind.DOUBLE_QUOTE)
        ):
            behind += 1
            if not _goes_on(tokens, behind):
                break
        else:
            break
    return behind


def _goes_on(tokens: Sequence[Token], at: int) -> bool:
    """Whether a length of time goes on behind its unit: `2 min 30`, `1 h 30 min`, and not `rest 15s 3 reps`."""
    before, behind = tokens[at - 1].text, tokens[at + 1]
    if SECONDS.get(before) == 1.0 or tokens[at].kind is not Kind.NUMBER:
        return False
    return behind.text in SECONDS or behind.kind in _LENGTH_ENDS or behind.text in REST
