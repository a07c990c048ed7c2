"""Signs: words that may mean an emergency, an injury or a danger, found in any text before anything else is read."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

from rapidfuzz.distance import OSA

from core.domain.commands import Sign, Warned
from core.domain.prescriptions import Place
from core.domain.problems import Span
from core.notation.sign_rules import HARMLESS, PRESSING, RULES, SPELT
from core.notation.tokens import Text
from core.notation.vocabulary import COMMENTS, FILLERS

SHORTEST_MISSPELT = 4
"""Shortest word that is taken for a misspelt sign. [characters]"""

MOST_TRIED = 200
"""Most words of one text at which signs are tried; a text that people write has some tens."""


_DENIAL_REACH = 40
"""How far back words that deny a sign are looked for. [characters]"""


@dataclass(frozen=True, slots=True)
class Seen:
    """A sign with its place in the folded text; `doubtful` if the words may mean something harmless."""

    sign: Sign
    start: int
    end: int
    doubtful: bool

    def warned(self, text: Text) -> Warned:
        """The same with its place in the typed text."""
        return Warned(self.sign, text.span(self.start, self.end), self.doubtful)


class _Rule(NamedTuple):
    sign: Sign
    doubtful: bool
    rest: str


def place_told(typed: str, span: Span) -> Place | None:
    """The place of the body that is told in the words of a pain, or directly beside them; None for none or several.

    >>> text = "80x5, sharp pain in my left shoulder"
    >>> place_told(text, Span(6, 16))
    <Place.SHOULDER: 'shoulder'>

    """
    begun = _PLACE_BEGINS.search(typed[: span.start].lower())
    within = typed[span.start if begun is None else begun.start() : span.end].lower()
    after = _WHERE_AFTER.match(typed.lower(), span.end)
    before = _WHERE_BEFORE.search(typed[: span.start].lower())
    words = [*_PLACES_SPOKEN.findall(within), *(match[1] for match in (after, before) if match is not None)]
    found = {_PLACE_NAMES[re.sub(r"\s+", " ", word)] for word in words}
    return found.pop() if len(found) == 1 else None


def signs_in(text: Text) -> tuple[Seen, ...]:
    """Warning signs of a text, comments included, the most pressing first; one of each kind.

    Words are compared, not meanings: `no pain` and `chest day` are passed over, `chest hurts` is not. The signs are those
    of the hospital lists in the sense of the ACSM's and of CDC/NIOSH on rhabdomyolysis; the words for them are our own.
    """
    words: list[str] = []
    places: list[tuple[int, int]] = []
    headed: list[int] = []
    for match in _SPOKEN.finditer(text.folded):
        group = match.lastgroup
        if group == "word":
            word = _normal(match.group())
            if word in _BY_HEAD and len(headed) < MOST_TRIED:
                headed.append(len(words))
        else:
            word = "0" if group == "number" else "|"
        words.append(word)
        places.append(match.span())
    return _found(words, places, headed) if headed else ()


def _found(words: Sequence[str], places: Sequence[tuple[int, int]], headed: Sequence[int]) -> tuple[Seen, ...]:
    joined = " ".join(words)
    ends: list[int] = []
    at = 0
    for word in words:
        at += len(word)
        ends.append(at)
        at += 1
    found: dict[Sign, Seen] = {}
    for place in headed:
        for sign, doubtful, rest in _BY_HEAD[words[place]]:
            known = found.get(sign)
            if known is not None and (doubtful or not known.doubtful):
                continue
            match = _pattern(rest).match(joined, ends[place])
            if match is None or _denied(joined, ends[place] - len(words[place])):
                continue
            if sign in _DENIABLE and _DENIED_WITHIN.search(match.group()) is not None:
                continue  # `shoulder doesn't hurt`
            last = place + match.group().count(" ")
            found[sign] = Seen(sign, places[place][0], places[last][1], doubtful)
    ordered = sorted(found.values(), key=lambda seen: (seen.doubtful, PRESSING.index(seen.sign)))
    return tuple(_without_covered(ordered))


def _denied(joined: str, at: int) -> bool:
    return _DENIAL.search(joined, max(0, at - _DENIAL_REACH), at) is not None


def _without_covered(found: Sequence[Seen]) -> Iterator[Seen]:
    # `chest pain` is no pain question besides: a plainer sign that shares its place with a graver one is left out.
    for seen in found:
        if seen.sign in (Sign.PAIN, Sign.TEAR) and any(_covers(each, seen) for each in found):
            continue
        yield seen


def _covers(graver: Seen, seen: Seen) -> bool:
    overlap = graver.start < seen.end and seen.start < graver.end
    return overlap and PRESSING.index(graver.sign) < PRESSING.index(seen.sign)


@lru_cache(maxsize=4096)
def _normal(word: str) -> str:
    plain = word.replace("'", "")
    if len(plain) < SHORTEST_MISSPELT or plain in _KNOWN or plain in FILLERS or plain in COMMENTS or plain in HARMLESS:
        return plain
    for key in SPELT:
        if abs(len(key) - len(plain)) <= 1 and key[0] == plain[0] and OSA.distance(plain, key, score_cutoff=1) <= 1:
            return key
    return plain


@cache
def _pattern(rest: str) -> re.Pattern[str]:
    """What follows the head of a rule; made when its head is first met, for most of a hundred never are."""
    return re.compile(rf"(?:{rest})(?= |$)" if rest else r"(?= |$)")


def _by_head() -> Mapping[str, Sequence[_Rule]]:
    found: dict[str, list[_Rule]] = {}
    for sign, doubtful, heads, rest in RULES:
        rule = _Rule(sign, doubtful, rest)
        for head in heads.split():
            found.setdefault(head, []).append(rule)
    return found


_BY_HEAD = _by_head()

_KNOWN = frozenset({*_BY_HEAD, *SPELT})

_PLACE_NAMES: Mapping[str, Place] = {
    **{name: place for place in Place for name in (place.value, f"{place.value}s")},
    "delt": Place.SHOULDER,
    "delts": Place.SHOULDER,
    "rotator cuff": Place.SHOULDER,
}

_PLACE = "|".join(name.replace(" ", r"\s+") for name in sorted(_PLACE_NAMES, key=len, reverse=True))

_PLACES_SPOKEN = re.compile(rf"\b({_PLACE})\b")

_WHERE_AFTER = re.compile(
    rf"\s?(?:in|at|on|around|inside|behind)\s(?:(?:my|the|left|right|front|rear)\s){{0,3}}({_PLACE})\b"
)

_PLACE_BEGINS = re.compile(r"\b(?:lower|upper|rotator)\s{1,9}$")

_WHERE_BEFORE = re.compile(rf"\b({_PLACE})\s(?:has|feels|is|gives)\s(?:(?:me|a|an|some|really|very)\s){{0,2}}$")

_SPOKEN = re.compile(r"(?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)|(?P<number>\d+)|(?P<stop>[,;.!?\n])")

_DENIABLE = frozenset({Sign.CHEST, Sign.HEADACHE, Sign.TEAR, Sign.PAIN})

_DENIED_WITHIN = re.compile(r" (?:no|not|without|didnt|doesnt|dont|isnt|wasnt|never) ")

_DENIAL = re.compile(
    r"(?:^| )(?:no|not|without|didnt|doesnt|dont|isnt|wasnt|never|zero|nothing|wont|hasnt|havent)"
    r"(?: (?:any|feel|have|had|more|longer|a|even|my|the|really|at|all|felt|chest|shoulder|elbow|back|knee|wrist|hip|neck|ankle|lower|upper|left|right))* $"
)
