"""Spoken numbers: numbers in words, as a phone writes down what it hears: `eighty`, `one hundred and twenty`."""

from collections.abc import Mapping, Sequence

from core.notation.tokens import Kind, Token
from core.notation.vocabulary import NUMBER_WORDS, REPS, SETS, UNREAD_NUMBERS

_LARGE: Mapping[str, int] = {**UNREAD_NUMBERS, "twenty": 20}
_HUNDRED = "hundred"
_COUNTED = REPS | SETS | {"left", "more", "plate", "plates", "kilo", "pound", _HUNDRED}
"""Words behind which `one` is a number; elsewhere it is as often a set, `the last one`."""

_HIGHEST_ONE = 9

MOST_DICTATED = 150
"""Most words, numbers and signs of a text that is dictated. [tokens] A minute of speech has about as many."""


def may_be_spoken(folded_text: str) -> bool:
    """Whether a number that is told in words only, from thirteen up, may stand in a folded text."""
    return "ty" in folded_text or "teen" in folded_text or _HUNDRED in folded_text


def with_digits(found: Sequence[Token]) -> Sequence[Token]:
    """The same tokens with numbers in words made digits, where one from thirteen up is told so.

    Who dictates does so with all numbers of a text; in others small ones stay words, which often are none.

    >>> from core.notation.tokens import folded, tokens
    >>> [token.text for token in with_digits(tokens(folded("bench eighty two point five for five")))][:4]
    ['bench', '82.5', 'for', '5']

    """
    if len(found) > MOST_DICTATED or not any(token.text in _LARGE for token in found):
        return found
    kept: list[Token] = []
    at = 0
    while found[at].kind is not Kind.END:
        told = _number(found, at)
        before = kept[-1] if kept else found[-1]
        if told is None or before.kind is Kind.NUMBER or before.text in NUMBER_WORDS:
            # `100 twenty five`, `two twenty five` may be one number or two: they stay as they are, and are refused.
            kept.append(found[at])
            at += 1
            continue
        value, behind = told
        text = f"{value:g}"
        kept.append(Token(Kind.NUMBER, text, found[at].start, found[behind - 1].end, found[at].spaced))
        at = behind
    return [*kept, *found[at:]]


def _number(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """Value of a number in words that begins at a token, and the index behind it."""
    first, second = tokens[at].text, tokens[at + 1].text
    if second == _HUNDRED and (first == "a" or 1 <= NUMBER_WORDS.get(first, 0) <= _HIGHEST_ONE):
        return _with_rest(tokens, at + 2, 100.0 * NUMBER_WORDS.get(first, 1))
    if first == _HUNDRED:
        return _with_rest(tokens, at + 1, 100.0)
    if (found := _below_hundred(tokens, at)) is not None:
        return _with_part(tokens, *found)
    value = NUMBER_WORDS.get(first)
    if value is None or (first == "one" and second not in _COUNTED) or second in _LARGE:
        return None  # `two twenty five` is two hundred and some, or a two and a twenty-five
    return _with_part(tokens, float(value), at + 1)


def _below_hundred(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    value = _LARGE.get(tokens[at].text)
    if value is None or value >= 100:
        return None
    place = at + 2 if tokens[at + 1].kind is Kind.DASH else at + 1
    ones = NUMBER_WORDS.get(tokens[place].text, 0)
    if value % 10 == 0 and 1 <= ones <= _HIGHEST_ONE:
        return float(value + ones), place + 1
    return float(value), at + 1


def _with_rest(tokens: Sequence[Token], at: int, value: float) -> tuple[float, int]:
    """Hundreds and what is told behind them: `one hundred and twenty`, `a hundred and five`."""
    place = at + 1 if tokens[at].text == "and" else at
    if (found := _below_hundred(tokens, place)) is not None:
        return _with_part(tokens, value + found[0], found[1])
    ones = NUMBER_WORDS.get(tokens[place].text, 0)
    if ones and place > at:
        return _with_part(tokens, value + ones, place + 1)
    return _with_part(tokens, value, at)


def _with_part(tokens: Sequence[Token], value: float, at: int) -> tuple[float, int]:
    """`point five` behind a whole number; a half is read where digits have one, too."""
    part = NUMBER_WORDS.get(tokens[at + 1].text, -1)
    if tokens[at].text == "point" and 0 <= part <= _HIGHEST_ONE:
        two = NUMBER_WORDS.get(tokens[at + 2].text, -1)
        if 0 <= two <= _HIGHEST_ONE:
            return value + part / 10 + two / 100, at + 3
        return value + part / 10, at + 2
    return value, at
