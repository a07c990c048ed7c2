"""Efforts: repetitions left and ratings of exertion, in all the ways they are told."""

from collections.abc import Sequence
from typing import NamedTuple

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_LEFT
from core.notation.doubts import Refused
from core.notation.pieces import Effort
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import ALL_OUT, NUMBER_WORDS, REPS, SECONDS, SIDES, TO_FAILURE, UNITS

HIGHEST_RPE = 10.0
"""End of the scale. Zourdos et al. 2016."""

LOWEST_EXACT_RPE = 7.0
"""A lower rating says only that at least 4 repetitions were left. Zourdos et al. 2016; the bound from memory."""

_RIR = "rir"
_RPE = "rpe"
_FROM = frozenset({"from", "off", "before"})
_COULD = frozenset({"could", "had", "have", "done", "do", "got", "maybe", "managed", "was", "prob", "probably"})
_NOTHING = frozenset({"none", "nothing", "zero", "empty"})
_A_FEW = frozenset({"few", "some", "several"})
_SOME = _A_FEW | {"couple", "lots", "plenty", "loads", "many", "heaps", "tons"}
_UNTIL = frozenset({"to", "till", "til", "until", "at"})
_NEARLY = frozenset({"near", "nearly", "almost", "close", "not", "nearing"})


BEGIN_EFFORT = (
    ALL_OUT
    | TO_FAILURE
    | _UNTIL
    | _NOTHING
    | _SOME
    | NUMBER_WORDS.keys()
    | {_RIR, _RPE, "left", "max", "all", "maxed", "no", "tank"}
)
"""Words that an effort may begin with."""


class Amount(NamedTuple):
    """A number or a range of them.

    Args:
        low: The number, or the lower end.
        high: The upper end; the same where no range was told.
        at_least: A plus behind it, or "at least" before.
        next: Index of the token behind it.

    """

    low: float
    high: float
    at_least: bool
    next: int

    @property
    def middle(self) -> float:
        """What stands for a range. [as the ends]"""
        return (self.low + self.high) / 2


def effort_at(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    """Effort that begins at a token, and the index behind it; None if none does.

    Raises:
        Refused: it is an effort, but none that can be: `rpe 11`.

    """
    token = tokens[at]
    if token.kind is Kind.WORD:
        if token.text in (_RIR, _RPE):
            return _after_name(tokens, at)
        if token.text == "left":
            return _after_left(tokens, at)
        return _all_out(tokens, at) or _nothing_left(tokens, at) or _counted(tokens, at)
    if token.kind is Kind.NUMBER:
        return _counted(tokens, at)
    if token.kind is Kind.AT:
        return _after_at(tokens, at)
    if token.kind is Kind.MORE or token.text == "≥":
        skip = 2 if tokens[at + 1].kind is Kind.EQUALS else 1
        if (found := _counted(tokens, at + skip)) is not None:
            effort, behind = found
            return Effort(token.start, effort.end, effort.rir, effort.rpe, at_least=True), behind
    return None


def amount_at(tokens: Sequence[Token], at: int) -> Amount | None:
    """Number or range that begins at a token: `2`, `1-2`, `1 to 2`, `4+`, `two`."""
    low = _number(tokens[at])
    if low is None:
        return None
    behind = at + 1
    high = low
    joined = tokens[behind]
    if joined.kind is Kind.DASH or (joined.kind is Kind.WORD and joined.text in ("to", "or")):
        end = _number(tokens[behind + 1])
        if end is not None and low < end <= MOST_LEFT:
            high = end
            behind += 2
    at_least = tokens[behind].kind is Kind.PLUS and not tokens[behind].spaced
    if at_least and _number(tokens[behind + 1]) is not None and not tokens[behind + 1].spaced:
        at_least = False
    return Amount(low, high, at_least, behind + at_least)


def _number(token: Token) -> float | None:
    if token.kind is Kind.NUMBER:
        return float(token.text)
    return NUMBER_WORDS.get(token.text) if token.kind is Kind.WORD else None


def _after_name(tokens: Sequence[Token], at: int) -> tuple[Effort, int]:
    name = tokens[at]
    behind = at + 1
    at_least = False
    while tokens[behind].kind in (Kind.COLON, Kind.EQUALS, Kind.AT, Kind.MORE, Kind.OTHER) or (
        tokens[behind].text in ("of", "was", "about", "around", "approx")
    ):
        if tokens[behind].kind is Kind.MORE:
            at_least = True
        behind += 1
    if tokens[behind].kind is Kind.DASH and tokens[behind + 1].kind is Kind.NUMBER:
        if not tokens[behind + 1].spaced and tokens[behind].spaced:
            end = tokens[behind + 1].end
            raise Refused(ProblemKind.NOT_EFFORT, name.start, end, instead=f"{name.text} 0")
        behind += 1
    if name.text == _RIR and tokens[behind].text in TO_FAILURE | _NOTHING:
        return Effort(name.start, tokens[behind].end, rir=0.0), behind + 1
    amount = amount_at(tokens, behind)
    if amount is None or (amount.low > MOST_LEFT and tokens[amount.next].kind is Kind.CROSS):
        raise Refused(ProblemKind.NOT_EFFORT, name.start, name.end)
    if tokens[amount.next].text == "or" and tokens[amount.next + 1].text in ("less", "lower", "under", "below"):
        # `rpe 8 or less`: a bound on the rating bounds the repetitions left from below.
        amount = amount._replace(next=amount.next + 2)
        told = _told(name.text, tokens, at, amount)
        return Effort(told.start, told.end, told.rir, told.rpe, at_least=name.text == _RPE), amount.next
    told = _told(name.text, tokens, at, amount, at_least=at_least)
    further: list[float] = []
    behind = amount.next
    while (
        tokens[behind].kind is Kind.SLASH
        and (each := amount_at(tokens, behind + 1)) is not None
        and tokens[each.next].kind is not Kind.CROSS  # `rir 3 / 80x5`
        and tokens[each.next].text not in UNITS
    ):
        further.append(_value(_told(name.text, tokens, at, each)))
        behind = each.next
    told.further = tuple(further)
    told.end = tokens[behind - 1].end
    return told, behind


def _value(effort: Effort) -> float:
    return effort.rir if effort.rir is not None else effort.rpe or 0.0


def _told(name: str, tokens: Sequence[Token], at: int, amount: Amount, *, at_least: bool = False) -> Effort:
    start = tokens[at].start
    end = tokens[amount.next - 1].end
    if name == _RIR:
        if amount.high > MOST_LEFT:
            raise Refused(ProblemKind.NOT_EFFORT, start, end, detail=f"{MOST_LEFT:g}")
        return Effort(start, end, rir=amount.middle, at_least=at_least or amount.at_least)
    if amount.high > HIGHEST_RPE:
        raise Refused(ProblemKind.NOT_EFFORT, start, end, instead=f"rpe {HIGHEST_RPE:g}", detail=f"{HIGHEST_RPE:g}")
    if amount.at_least or at_least:
        raise Refused(ProblemKind.NOT_EFFORT, start, end, instead=f"rpe {amount.low:g}")
    return Effort(start, end, rpe=amount.middle, at_least=amount.middle < LOWEST_EXACT_RPE)


def _after_left(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    # `left 2`: the answer to the question "left?"; `left 8 right 8` are two sides.
    amount = amount_at(tokens, at + 1)
    if amount is None or amount.high > HIGHEST_RPE or tokens[amount.next].kind is Kind.CROSS:
        return None
    behind = tokens[amount.next]
    if behind.text == "right" or tokens[amount.next + 1].text == "right" or behind.text in UNITS:
        return None
    return _told(_RIR, tokens, at, amount), amount.next


def _after_at(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    if tokens[at + 1].text in (_RIR, _RPE):
        effort, behind = _after_name(tokens, at + 1)
    elif (found := _counted(tokens, at + 1)) is not None:
        effort, behind = found
    else:
        return None
    return Effort(tokens[at].start, effort.end, effort.rir, effort.rpe, at_least=effort.at_least), behind


def _all_out(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    word = tokens[at].text
    following = tokens[at + 1].text
    end = at
    if word in ALL_OUT or word in TO_FAILURE:
        end = at + 1
    elif (
        word in _UNTIL and (following in TO_FAILURE or (word in ("to", "till", "til", "until") and following == "fail"))
    ) or (word, following) in {("max", "effort"), ("max", "reps"), ("all", "out"), ("maxed", "out")}:
        end = at + 2
    if end == at:
        return None
    before = tokens[at - 1] if at else None
    if before is not None and before.text in _NEARLY and word not in ALL_OUT:
        # `close to failure`: some were left, and nobody told how many.
        raise Refused(ProblemKind.NOT_EFFORT, before.start, tokens[end - 1].end)
    return Effort(tokens[at].start, tokens[end - 1].end, rir=0.0, alone=True), end


def _nothing_left(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    word = tokens[at].text
    if word in _SOME:
        return _some_left(tokens, at)
    if word == "tank" and tokens[at + 1].text in ("empty", "emptied"):
        return Effort(tokens[at].start, tokens[at + 1].end, rir=0.0), at + 2
    if word not in _NOTHING and word != "no":
        return None
    behind = at + 1
    if word == "no":
        if not (tokens[behind].text in REPS or tokens[behind].text == "more"):
            return None
        behind += 1
    if tokens[behind].text == "tank":
        return Effort(tokens[at].start, tokens[behind].end, rir=0.0), behind + 1
    if (end := _kept_back(tokens, behind)) is None:
        return None
    return Effort(tokens[at].start, tokens[end - 1].end, rir=0.0), end


def _some_left(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    """`a couple left` is two; `a few left`, `plenty left in the tank` say no number.

    Raises:
        Refused: nobody told how many.

    """
    behind = at + 1
    while tokens[behind].text in REPS or tokens[behind].text in ("of", "more", "good"):
        behind += 1
    if (end := _kept_back(tokens, behind)) is None:
        return None
    if tokens[at].text == "couple":
        return Effort(tokens[at].start, tokens[end - 1].end, rir=2.0), end
    instead = "2-3 left" if tokens[at].text in _A_FEW else "4+ left"
    start = tokens[at - 1].start if at and tokens[at - 1].text == "a" else tokens[at].start
    raise Refused(ProblemKind.NOT_EFFORT, start, tokens[end - 1].end, instead=instead)


def _counted(tokens: Sequence[Token], at: int) -> tuple[Effort, int] | None:
    start = at
    bounded = False
    if tokens[at].text == "at" and tokens[at + 1].text == "least":
        bounded = True
        at += 2
    amount = amount_at(tokens, at)
    if amount is None:
        return None
    behind = amount.next
    word = tokens[behind].text
    if word in (_RIR, _RPE):
        # `5 rir 2`: the word belongs to the number behind it, unless that one begins a set.
        following = amount_at(tokens, behind + 1)
        timed = following is not None and (tokens[following.next].text in SECONDS or tokens[following.next].text == "m")
        if (
            following is not None
            and following.high <= HIGHEST_RPE
            and tokens[following.next].kind is not Kind.CROSS
            and not timed  # `2 rir 3 min rest`
        ):
            return None
        told = _told(word, tokens, start, amount._replace(next=behind + 1), at_least=bounded)
        return told, behind + 1
    _refuse_halved(tokens, at, behind)
    if tokens[behind].text == "or" and tokens[behind + 1].text == "more":
        bounded = True
        behind += 2
    more = False
    while tokens[behind].text in REPS or tokens[behind].text in ("more", "good", "clean", "extra"):
        more = more or tokens[behind].text in ("more", "extra")
        behind += 1
    end = _kept_back(tokens, behind)
    if end is None and more and start > 0 and tokens[start - 1].text in _COULD and tokens[behind].kind is not Kind.WORD:
        end = behind
    if end is None or (end == behind and not more):
        return None
    return _told(_RIR, tokens, start, amount._replace(next=end), at_least=bounded), end


def _refuse_halved(tokens: Sequence[Token], at: int, behind: int) -> None:
    """Refuse `1/2 left`: one or two, or half of one."""
    second = tokens[behind + 1]
    if tokens[behind].kind is not Kind.SLASH or tokens[behind].spaced or second.kind is not Kind.NUMBER:
        return
    low, high = _number(tokens[at]), float(second.text)
    told = tokens[behind + 2].text in (_RIR, _RPE) or _kept_back(tokens, behind + 2) is not None
    if low is not None and low < high <= MOST_LEFT and told:
        instead = f"{low:g}-{high:g}"
        raise Refused(ProblemKind.NOT_EFFORT, tokens[at].start, second.end, instead=instead)


def _kept_back(tokens: Sequence[Token], at: int) -> int | None:
    """Index behind words that say a number was left undone: `left`, `in the tank`, `short of failure`."""
    word = tokens[at].text
    following = tokens[at + 1].text
    if word == "left":
        sided = following in SIDES or "right" in (following, tokens[at + 2].text, tokens[at + 3].text)
        if sided:
            return None
        return _kept_back(tokens, at + 1) or at + 1
    if word in ("remaining", "spare"):
        return at + 1
    if word == "in":
        place = at + 2 if following in ("the", "my") else at + 1
        return place + 1 if tokens[place].text in ("tank", "reserve", "me") else None
    if word == "to" and following == "spare":
        return at + 2
    if word in ("shy", "short", "away"):
        if following in ("of", "from") and tokens[at + 2].text in TO_FAILURE:
            return at + 3
        return at + 1 if word == "shy" else None
    if word in _FROM and following in TO_FAILURE:
        return at + 2
    return None
