"""Misspelt: letters and signs directly behind a number that mean nothing, and the unit or sign that was meant."""

from collections.abc import Callable, Sequence

from rapidfuzz.distance import OSA

from core.domain.problems import ProblemKind
from core.notation.doubts import Refused
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import FAILED

_ORDINALS = frozenset({"st", "nd", "rd", "th"})
_NEAR_UNITS = ("kg", "lbs", "lb", "kgs", "reps", "sets", "secs", "min")


def refuse_misspelt(tokens: Sequence[Token], at: int, is_word: Callable[[str], bool]) -> None:
    """Refuse letters or signs that stand directly behind a number and mean nothing: `80gk`, `80$`."""
    number, behind = tokens[at], tokens[at + 1]
    if number.kind is not Kind.NUMBER:
        return
    if behind.text == "·":
        if not behind.spaced and tokens[at + 2].kind is Kind.NUMBER and not tokens[at + 2].spaced:
            raise Refused(ProblemKind.NOT_A_LOAD, number.start, behind.end, instead=f"{number.text}.")  # `82·5`
        return
    if behind.kind is Kind.OTHER and not behind.spaced and behind.text not in ".!?~…":
        raise Refused(ProblemKind.NOT_A_LOAD, number.start, behind.end, instead=number.text)
    if behind.kind is not Kind.WORD or behind.text in _ORDINALS or behind.text in FAILED or is_word(behind.text):
        return
    if not behind.spaced:
        if (slipped := _slipped(number.text, behind.text)) is not None and tokens[at + 2].kind is Kind.NUMBER:
            raise Refused(ProblemKind.NOT_A_LOAD, number.start, behind.end, instead=slipped)
        unit = near_unit(behind.text)
        kind = _KINDS.get(unit or "", ProblemKind.NOT_A_LOAD)
        raise Refused(kind, number.start, behind.end, instead=f"{number.text}{unit}" if unit else None)
    if tokens[at + 2].kind is Kind.CROSS and (unit := near_unit(behind.text)) is not None:
        raise Refused(ProblemKind.NOT_A_UNIT, behind.start, behind.end, instead=unit)


def _slipped(digits: str, letters: str) -> str | None:
    """`80z5`, `8ox5`: a letter beside the x, or an o for a zero, as it was meant."""
    if letters in ("z", "c", "d"):
        return f"{digits}x"
    return f"{digits}0x" if letters in ("o", "ox") else None


_KINDS = {
    "reps": ProblemKind.NOT_REPS,
    "sets": ProblemKind.NOT_REPS,
    "secs": ProblemKind.NOT_A_TIME,
    "min": ProblemKind.NOT_A_TIME,
}


def near_unit(word: str) -> str | None:
    """Word for a unit that this one is a slip away from; None if none is.

    >>> near_unit("gk")
    'kg'

    """
    if len(word) > 6:
        return None
    if len(word) < 2:
        return None
    return next((unit for unit in _NEAR_UNITS if OSA.distance(word, unit, score_cutoff=1) <= 1), None)
