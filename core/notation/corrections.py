"""Corrections: texts that put the last set right in plain words: `oops 85`, `85 not 80`, `it was 6`, `that was row`."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.domain.problems import ProblemKind
from core.notation.dates import WEEKDAYS
from core.notation.doubts import Refused
from core.notation.tokens import Kind, Token
from core.notation.variations import variations_in
from core.notation.vocabulary import FAILED, REPS, SECONDS, UNITS, WARM_UP
from core.notation.walk import fold_word
from core.notation.words import Names


@dataclass(frozen=True, slots=True)
class Correction:
    """What the last set is now.

    Args:
        tokens: They tell it, ENDs behind them.
        certain: Nothing else can be meant; else it may as well be a further set.
        start: First place of the text in its folded form.
        end: Place after the last.

    """

    tokens: Sequence[Token]
    certain: bool
    start: int
    end: int


def correction_in(found: Sequence[Token], names: Names) -> Correction | None:
    """The correction that a text is; None if it is none.

    Raises:
        Refused: it corrects what cannot be picked in words, as an earlier set.

    """
    size = next(place for place, token in enumerate(found) if token.kind is Kind.END)
    if size == 0 or size > _LONGEST:
        return None
    spoken, ends = found[:size], found[size:]
    _refuse_picked(spoken)
    told = _instead(spoken, names) or _ended(spoken, names) or _led(spoken, names)
    if told is None:
        return None
    kept, certain = told
    return Correction([*kept, *ends], certain, spoken[0].start, spoken[-1].end)


_LONGEST = 24
"""Most tokens of a correction: a longer text tells a session. [tokens]"""

_CERTAIN = frozenset(
    {
        *(
            "meant",
            "mean",
            "actually",
            "sorry",
            "typo",
            "oops",
            "ooops",
            "whoops",
            "wait",
            "wrong",
            "mistake",
            "no",
            "nope",
            "nah",
        ),
        *("scratch", "strike", "should"),
    }
)
_DENIED = frozenset({"no", "nope", "nah", "wait"})
"""Words that correct a number, but no lift: `no squats` is a wish."""

_LEADS = frozenset(
    """i it was were that that's thats this those these to be is its it's should have been rather weight load reps exercise
    one set last the a an ah damn my bad only just""".split()
)
_SAID = frozenset({"was", "were", "is"})
_IT = frozenset({"it", "that", "this", "those", "these", "one", "set", "last"})
_LIGHT = frozenset({"a", "an", "the", "just", "only", "in", "with", "my"})
_MAKE = frozenset({"it", "that", "the", "last"})
_NTH = frozenset({"first", "second", "third", "fourth", "fifth", "sixth", "previous"})
_FIXES = frozenset({"fix", "correct", "change", "edit"})
_STOPS = frozenset({Kind.COMMA, Kind.COLON, Kind.DASH, Kind.OTHER, Kind.LINE, Kind.SEMICOLON})


def _refuse_picked(spoken: Sequence[Token]) -> None:
    """Refuse what corrects an earlier set, or several: only the last one can be told in words."""
    words = [token.text for token in spoken]
    fixing = words[0] in _FIXES
    at = 1 if fixing else 0
    at += at < len(words) and words[at] == "the"
    rest = words[at:]
    if len(rest) < 2:
        return
    numbered = rest[0] == "set" and rest[1].isdigit()
    ordinal = rest[0] in _NTH or (rest[0].isdigit() and rest[1] in ("st", "nd", "rd", "th"))
    several = rest[0] in ("all", "both") and (fixing or rest[1] == "at" or any(word in _SAID for word in rest[1:4]))
    size = 2 if rest[0] in _NTH else 3
    said = fixing or any(word in _SAID for word in rest[1 : size + 1])
    if ((numbered or ordinal) and said) or several:
        raise Refused(ProblemKind.UNKNOWN, spoken[0].start, spoken[-1].end, instead="help mistakes")


def _told(tokens: Sequence[Token]) -> bool:
    """Whether these are numbers and their units, and nothing else."""
    numbers = any(token.kind is Kind.NUMBER for token in tokens)
    return numbers and all(
        token.kind in (Kind.NUMBER, Kind.CROSS, Kind.POUNDS) or token.text in UNITS or token.text in REPS
        for token in tokens
    )


def _instead(spoken: Sequence[Token], names: Names) -> tuple[Sequence[Token], bool] | None:
    """`85 not 80`, `bench 85x5 instead of 80x5`, `that was squat not bench`, `not bench, row`."""
    if spoken[0].text == "not":
        comma = next((place for place, token in enumerate(spoken) if token.kind is Kind.COMMA), None)
        kept = spoken[comma + 1 :] if comma is not None else ()
        if comma is None or not kept:
            return None
        both = _named(spoken[1:comma], names) and _named(kept, names)
        return (kept, True) if both or (_told(spoken[1:comma]) and _told(kept)) else None
    for at in range(len(spoken) - 2, 0, -1):
        pair = (spoken[at].text, spoken[at + 1].text)
        behind = at + 1 if pair[0] == "not" else at + 2 if pair in (("instead", "of"), ("rather", "than")) else None
        if behind is None:
            continue
        kept, before = spoken[:at], spoken[behind:]
        if before and kept[-1].text in UNITS and all(token.text in UNITS for token in before):
            unit = kept[-1].text
            raise Refused(
                ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[-1].end, instead=_fixed_unit(unit)
            )  # `it was kg not lb`
        if kept[-1].kind is Kind.COMMA:
            kept = kept[:-1]
        led = _led(kept, names) if kept else None
        if _told(before) and (led is not None or _told(kept)):
            return (led[0] if led is not None else kept), True
        if _told(before) and any(token.kind is Kind.CROSS for token in kept):
            return kept, False
        return (led[0], True) if led is not None and _named(before, names) else None
    return None


def _ended(spoken: Sequence[Token], names: Names) -> tuple[Sequence[Token], bool] | None:
    """`85 sorry`, `that was 85, sorry`, `85*`."""
    kept = spoken[:-1]
    if kept and kept[-1].kind is Kind.COMMA:
        kept = kept[:-1]
    sorry = spoken[-1].text in ("sorry", "typo", "oops", "whoops")
    if not _told(kept):
        led = _led(kept, names) if sorry else None
        return None if led is None else (led[0], True)
    if sorry:
        return kept, True
    starred = spoken[-1].text == "*" and not spoken[-1].spaced
    return (kept, False) if starred else None


def _led(spoken: Sequence[Token], names: Names) -> tuple[Sequence[Token], bool] | None:
    """`oops, 85`, `no it was 6`, `make it 85`, `it was 6`, `that was row`, `that was a warm-up`."""
    at, certain, said, strong = 0, False, False, False
    while at < len(spoken):
        word = spoken[at].text
        made = word == "make" and at + 1 < len(spoken) and spoken[at + 1].text in _MAKE
        made = made or (word == "bad" and at > 0 and spoken[at - 1].text == "my")
        if not (word in _CERTAIN or word in _LEADS or made or (at and spoken[at].kind in _STOPS)):
            break
        certain = certain or word in _CERTAIN or made
        strong = strong or (word in _CERTAIN and word not in _DENIED)
        said = said or (word in _SAID and (word != "is" if at == 0 else spoken[at - 1].text in _IT))
        at += 1
    kept = spoken[at:]
    if not kept or not (certain or said):
        return None
    if kept[0].kind is Kind.NUMBER:
        timed = len(kept) > 1 and kept[1].text in SECONDS and kept[1].text != "s"
        return None if timed else (kept, certain)
    return _called(spoken, kept, names) if said or strong else None


def _called(spoken: Sequence[Token], kept: Sequence[Token], names: Names) -> tuple[Sequence[Token], bool] | None:
    """What the last set is called now: another lift, a warm-up, a failure."""
    while len(kept) > 1 and kept[0].text in _LIGHT:
        kept = kept[1:]
    words = [token.text for token in kept]
    start, end = spoken[0].start, spoken[-1].end
    if _named(kept, names):
        return kept, True
    if words[0] in WARM_UP and all(word in WARM_UP or word in ("up", "-", "set") for word in words):
        return kept[:1] if words[0] != "warm" or len(words) == 1 else kept[:3], True
    if words[0] in FAILED and len(words) == 1:
        return kept, True
    if len(words) == 1 and words[0] in UNITS:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, start, end, instead=_fixed_unit(words[0]))
    if words[-1] in WEEKDAYS or words == ["yesterday"]:
        raise Refused(ProblemKind.UNKNOWN, start, end, instead="undo")
    told, rest = variations_in([fold_word(word) for word in words])
    return (kept, True) if told and not rest else None


def _fixed_unit(word: str) -> str:
    """A line that gives the last set its unit; which load it was has to be told with it."""
    return "fix 185 lb" if word[0] in "lp" else "fix 80 kg"


def _named(tokens: Sequence[Token], names: Names) -> bool:
    words = [fold_word(token.text) for token in tokens if token.kind is Kind.WORD]
    return bool(words) and len(words) == len(tokens) and names.exact(" ".join(words)) is not None
