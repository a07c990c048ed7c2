"""Tokens: words, numbers and signs of a text, each with its place in the text as it was typed."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum, auto
from functools import lru_cache
from typing import NamedTuple

from core.domain.problems import Span
from core.notation.vocabulary import GLUED

LONGEST_TEXT = 4000
"""Longest text that is read. [characters] A whole week pasted in is about 2,000; beyond it nobody typed."""

MOST_TOKENS = 800
"""Most words, numbers and signs of a text that is read: 4,000 characters of prose have about 750."""

LONGEST_GLUED = 16
"""Longest word that is taken apart beside a number. [characters] `kgxamrap` is the longest seen, doubled."""


LOOK_AHEAD = 8
"""ENDs behind the last token, so that a look ahead needs no bounds. [tokens]"""


class Kind(IntEnum):
    """What a token is; whole numbers, since they are looked up often and hash fastest."""

    NUMBER = auto()
    WORD = auto()
    CROSS = auto()
    COMMA = auto()
    SEMICOLON = auto()
    LINE = auto()
    AND = auto()
    PLUS = auto()
    DASH = auto()
    SLASH = auto()
    AT = auto()
    EQUALS = auto()
    OPEN = auto()
    CLOSE = auto()
    POUNDS = auto()
    COLON = auto()
    PERCENT = auto()
    DOUBLE_QUOTE = auto()
    QUOTE = auto()
    DEGREES = auto()
    MORE = auto()
    OTHER = auto()
    END = auto()


class Token(NamedTuple):
    """One word, number or sign. A plain tuple, since a text has many and they are made on the path of every message.

    Args:
        kind: What it is.
        text: Lower case, width and signs folded.
        start: First place in the folded text.
        end: Place after the last.
        spaced: A blank or the text's start stands before it.

    """

    kind: Kind
    text: str
    start: int
    end: int
    spaced: bool


@dataclass(frozen=True, slots=True)
class Text:
    """A text as typed and as folded for reading: case, width, signs and invisible marks make no difference.

    Args:
        typed: The lifter's text, untouched.
        folded: The same, folded; every folded character comes from one typed one.
        places: Place in `typed` of each folded character; None where both are the same.

    """

    typed: str
    folded: str
    places: Sequence[int] | None

    def span(self, start: int, end: int) -> Span:
        """Place in the typed text of a part of the folded one."""
        if self.places is None:
            return Span(start, max(start, end))
        size = len(self.typed)
        first = self.places[start] if start < len(self.places) else size
        last = self.places[end] if end < len(self.places) else size
        return Span(first, max(first, last))

    def typed_part(self, start: int, end: int) -> str:
        """Typed text of a part of the folded one."""
        span = self.span(start, end)
        return self.typed[span.start : span.end]


def folded(typed: str) -> Text:
    """Text made ready for reading.

    >>> folded("ＢＥＮＣＨ 82½ × 5").folded
    'bench 82.5 x 5'

    """
    if typed.isascii():
        return Text(typed, typed.lower().translate(_ASCII), None)
    characters: list[str] = []
    places: list[int] = []
    for place, character in enumerate(typed):
        for each in _folded_character(character):
            characters.append(each)
            places.append(place)
    return Text(typed, "".join(characters), places)


def tokens(text: Text) -> list[Token]:
    """Tokens of a text, the comments after `#` left out; behind the last one stand `LOOK_AHEAD` ENDs.

    A text with more than `MOST_TOKENS` is not taken apart any further: nobody reads it.

    >>> [token.text for token in tokens(folded("80kgx5 # easy"))][:4]
    ['80', 'kg', 'x', '5']

    """
    found: list[Token] = []
    spaced = True
    before = Kind.LINE
    commented = False
    pounds: Token | None = None
    behind = 0
    # Blanks at the end would be tried anew from each of them.
    for match in _LEXEME.finditer(text.folded, 0, len(text.folded.rstrip(" "))):
        group = match.lastindex or 0
        lexeme = match[group]
        start, end = match.span(group)
        spaced = spaced or start > behind
        behind = end
        if group == NUMBER:
            kind = Kind.NUMBER
        elif group == WORD:
            kind = Kind.CROSS if lexeme == "x" else Kind.WORD
        else:
            kind = _SIGNS.get(lexeme, Kind.OTHER)
        if commented and kind is not Kind.LINE:
            # `185 # x 5`: the cross after it shows that the sign meant pounds.
            if pounds is None or kind is not Kind.CROSS:
                pounds = None
                continue
            found.append(pounds)
            spaced = True
        commented, pounds = False, None
        if kind is Kind.POUNDS and (spaced or before is not Kind.NUMBER):
            commented = True
            pounds = Token(kind, lexeme, start, end, spaced) if before is Kind.NUMBER else None
            continue
        if lexeme == "ish" and not spaced and before is Kind.NUMBER:
            continue  # `80ish x 5`
        if kind is Kind.WORD and len(lexeme) > 1 and lexeme not in GLUED and _beside_number(text.folded, start, end):
            found.extend(_taken_apart(lexeme, start, spaced=spaced))
        else:
            found.append(Token(kind, lexeme, start, end, spaced))
        if len(found) > MOST_TOKENS:
            break
        before = kind
        spaced = False
    size = len(text.folded)
    found.extend([Token(Kind.END, "", size, size, spaced=True)] * LOOK_AHEAD)
    return found


def _beside_number(folded_text: str, start: int, end: int) -> bool:
    return (start > 0 and folded_text[start - 1].isdigit()) or (end < len(folded_text) and folded_text[end].isdigit())


def _taken_apart(word: str, start: int, *, spaced: bool) -> list[Token]:
    parts = _parts(word) if len(word) <= LONGEST_GLUED else (word,)
    found: list[Token] = []
    for part in parts:
        kind = Kind.CROSS if part == "x" else Kind.WORD
        found.append(Token(kind, part, start, start + len(part), spaced))
        start += len(part)
        spaced = False
    return found


@lru_cache(maxsize=1024)
def _parts(word: str) -> tuple[str, ...]:
    # Fewest parts that cover the whole word, each of them a known short word; the word itself if there are none.
    best: list[tuple[str, ...] | None] = [()]
    for end in range(1, len(word) + 1):
        ways = [
            (*head, word[start:end])
            for start in range(end)
            if (head := best[start]) is not None and word[start:end] in GLUED
        ]
        best.append(min(ways, key=len) if ways else None)
    parts = best[-1] or (word,)
    # `fs80x5` is a front squat, not a failure and a second: single letters stand together only around a cross.
    return parts if "x" in parts or any(len(part) > 1 for part in parts) else (word,)


@lru_cache(maxsize=4096)
def _folded_character(character: str) -> str:
    if (known := _UNICODE.get(character)) is not None:
        return known
    if character.isascii():
        return character.lower().translate(_ASCII)
    category = unicodedata.category(character)
    if category == "Nd" or (category == "No" and unicodedata.digit(character, None) is not None):
        return str(unicodedata.digit(character))  # the second, raised or in a circle
    if category in {"Mn", "Mc", "Me", "Cf"}:
        return ""
    if category[0] == "L":
        plain = unicodedata.normalize("NFKD", character).lower()
        letters = "".join(each for each in plain if unicodedata.category(each)[0] == "L")
        return letters[:LONGEST_EXPANSION]
    if category[0] in "PS" and unicodedata.decomposition(character).startswith(("<wide>", "<narrow>", "<small>")):
        return _folded_character(unicodedata.normalize("NFKD", character)[0])
    if category in {"Zl", "Zp"}:
        return "\n"
    if category == "Pd":
        return "-"
    # Pictures, controls, lone surrogates and what has no meaning here part words as a blank does.
    return " "


LONGEST_EXPANSION = 4
"""Most letters that one character stands for: ligatures and squared units have up to four. [characters]"""

_UNICODE = {
    **dict.fromkeys("×✕✖⨯хХ", "x"),  # the last two are Cyrillic and look the same
    **dict.fromkeys("❌✗✘", "fail"),  # a picture of a miss
    **dict.fromkeys("−", "-"),
    **dict.fromkeys("∗✱", "*"),
    **dict.fromkeys("→➜⇒➔➡↓⬇↘", ">"),
    **dict.fromkeys("€£¥", "$"),
    **dict.fromkeys("∕⁄÷", "/"),
    **dict.fromkeys("٫", "."),
    **dict.fromkeys("،、，", ","),
    **dict.fromkeys("；", ";"),
    **dict.fromkeys("″“”„", '"'),
    **dict.fromkeys("′’‘ʼ´", "'"),
    **dict.fromkeys("°º˚", "°"),
    **dict.fromkeys("·⋅∙‧", "·"),  # a point in the middle: `82·5`
    "½": ".5",
    "¼": ".25",
    "¾": ".75",
    "⅛": ".125",
    "⅓": ".333",
    "⅔": ".667",
    "㎏": "kg",
    "ß": "ss",
    "\u0085": "\n",
}

_ASCII = str.maketrans(
    {
        "\t": " ",
        "\v": "\n",
        "\f": "\n",
        "\r": "\n",
        "`": " ",
        "_": " ",
        "|": ";",
        **{chr(code): " " for code in (*range(9), *range(14, 32), 127)},
    }
)

_LEXEME = re.compile(r" *(?:(\d+(?:\.\d+)?|\.\d+)|([^\W\d_]+(?:'[^\W\d_]+)*)|([^ ]))", re.DOTALL)

NUMBER, WORD = 1, 2
"""Groups of a lexeme; the third is a sign."""

_SIGNS = {
    "*": Kind.CROSS,
    ",": Kind.COMMA,
    ";": Kind.SEMICOLON,
    "\n": Kind.LINE,
    "&": Kind.AND,
    "+": Kind.PLUS,
    "-": Kind.DASH,
    "/": Kind.SLASH,
    "\\": Kind.SLASH,
    "@": Kind.AT,
    "=": Kind.EQUALS,
    "(": Kind.OPEN,
    "[": Kind.OPEN,
    "{": Kind.OPEN,
    ")": Kind.CLOSE,
    "]": Kind.CLOSE,
    "}": Kind.CLOSE,
    "#": Kind.POUNDS,
    ":": Kind.COLON,
    "%": Kind.PERCENT,
    '"': Kind.DOUBLE_QUOTE,
    "'": Kind.QUOTE,
    "°": Kind.DEGREES,
    ">": Kind.MORE,
}
