"""Check-ins in texts: answers, aches, advice and charts as they are typed, and the one text of each."""

from collections.abc import Mapping, Sequence
from typing import assert_never

from core.domain.check_in_commands import (
    AnswerAdvice,
    AskReducedWeek,
    BeginCheckIn,
    ChangeAdvice,
    ChartOf,
    CheckInCommand,
    DrawChart,
    Felt,
    Hurts,
    PainFree,
    TellLoad,
    WhyAdvice,
)
from core.domain.checkins import BEST_ANSWER, WORST_ANSWER, Ache, Item, Place
from core.domain.exercises import Muscle
from core.domain.problems import ProblemKind
from core.notation.asking import Answer, Asking
from core.notation.doubts import Refused
from core.notation.tokens import Kind, Token

PHRASES: Mapping[str, CheckInCommand] = {
    **dict.fromkeys(
        ("check in", "checkin", "checkins", "check ins", "how am i", "weekly check in", "how am i doing"),
        BeginCheckIn(),
    ),
    **dict.fromkeys(
        ("check in no pain", "checkin no pain", "check in nothing hurts", "checkin nothing hurts"),
        PainFree(),
    ),
    **dict.fromkeys(("load", "session load", "training load", "monotony", "week load", "weekly load"), TellLoad()),
    **dict.fromkeys(
        ("reduced week", "reduced week please", "a reduced week", "easy week", "lighter week", "deload", "deload week"),
        AskReducedWeek(),
    ),
    **dict.fromkeys(("advice yes", "accept advice", "take advice", "accept"), AnswerAdvice(taken=True)),
    **dict.fromkeys(("advice no", "decline advice", "no advice"), AnswerAdvice(taken=False)),
    **dict.fromkeys(
        ("why advice", "why that advice", "why this advice", "advice", "the advice", "what was the advice"), WhyAdvice()
    ),
    **dict.fromkeys(("chart", "graph", "plot", "chart estimate"), DrawChart(ChartOf.ESTIMATE)),
    **dict.fromkeys(("chart week", "chart sets", "chart weeks", "chart hard sets"), DrawChart(ChartOf.WEEK)),
    **dict.fromkeys(
        ("chart check ins", "chart checkins", "chart check in", "chart checkin"), DrawChart(ChartOf.CHECK_INS)
    ),
}
"""Commands by their whole text: lower case, single blanks, no signs."""

ITEMS: Mapping[str, Item] = {
    **{item.value: item for item in Item},
    "slept": Item.SLEEP,
    "muscle": Item.MUSCLES,
    "calmness": Item.CALM,
}
"""Words for the questions, all of them such that more is better."""

ACHES: Mapping[str, Ache] = {"fades": Ache.FADES, "changes": Ache.CHANGES_LIFTING, "sharp": Ache.SHARP}
"""Words for how an ache behaves."""

_MUSCLES: Mapping[str, Muscle] = {muscle.value: muscle for muscle in Muscle}
_PLACES: Mapping[str, Place] = {place.value: place for place in Place}

MOST_SETS_TOLD = 40
"""Most weekly sets that are read. [sets] The highest ceiling that can be wished."""


def check_in_text(command: CheckInCommand) -> str:
    """The one text that stands for a command of the check-in; reading it gives the command back.

    >>> check_in_text(Felt(((Item.SLEEP, 4), (Item.MOOD, 2))))
    'sleep 4 mood 2'

    """
    match command:
        case BeginCheckIn():
            return "check-in"
        case Felt(answers=answers):
            return " ".join([f"{item} {answer}" for item, answer in answers])
        case PainFree():
            return "check-in no pain"
        case Hurts(place=place, ache=ache):
            return f"check-in {place}" if ache is None else f"check-in {place} {_word(ache)}"
        case TellLoad():
            return "load"
        case AskReducedWeek():
            return "reduced week"
        case AnswerAdvice(taken=taken):
            return "advice yes" if taken else "advice no"
        case ChangeAdvice(muscle=muscle, sets=sets):
            return f"advice {muscle}" if sets is None else f"advice {muscle} {sets}"
        case WhyAdvice():
            return "why advice"
        case DrawChart(of=ChartOf.ESTIMATE, exercise=exercise):
            return "chart" if exercise is None else f"chart {exercise}"
        case DrawChart(of=of):
            return f"chart {of}"
        case _:
            assert_never(command)


def check_in_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`check-in 4 3 5 4 4`, `check-in shoulder`, `check-in lower back fades`."""
    joined = spoken[0].text != "check"
    if not joined and (len(spoken) < 2 or spoken[1].text not in ("in", "ins")):
        return None
    rest = spoken[1:] if joined else spoken[2:]
    if any(token.kind is Kind.COLON for token in asking.tokens):
        return None  # a time of day
    if rest and all(token.kind is Kind.NUMBER for token in rest):
        if len(rest) != len(Item):
            start, end = spoken[0].start, rest[-1].end
            raise Refused(ProblemKind.COMMAND_INCOMPLETE, start, end, instead="check-in 3 3 3 3 3")
        return Felt(tuple([(item, _answer(token)) for item, token in zip(Item, rest, strict=True)]))
    words = [token.text for token in rest]
    if words and (ache := ACHES.get(words[-1])) is not None:
        place = _PLACES.get(" ".join(words[:-1]))
        return None if place is None else Hurts(place, ache)
    place = _PLACES.get(" ".join(words))
    return None if place is None else Hurts(place)


def felt_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`sleep 4`, `sleep 4 mood 2`, `sleep: 4, mood: 2`."""
    kept = [token for token in spoken if token.text not in ("is", "was", "and", "to")]
    if len(kept) == 1:
        if kept[0].text not in {item.value for item in Item} or asking.tokens[1].kind is not Kind.END:
            return None
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, kept[0].start, kept[0].end, instead=f"{kept[0].text} 3")
    if len(kept) % 2:
        return None
    answers: dict[Item, int] = {}
    for word, number in zip(kept[::2], kept[1::2], strict=True):
        item = ITEMS.get(word.text)
        if item is None or number.kind is not Kind.NUMBER or item in answers:
            return None
        answers[item] = _answer(number)
    return Felt(tuple(answers.items()))


def advice_told(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`advice chest 9`, `advice chest`."""
    rest = list(spoken[1:])
    number = rest.pop() if rest and rest[-1].kind is Kind.NUMBER else None
    muscle = _MUSCLES.get(" ".join([token.text for token in rest]))
    if muscle is None:
        return None
    if number is None:
        return ChangeAdvice(muscle)
    if not number.text.isdigit() or int(number.text) > MOST_SETS_TOLD:
        raise Refused(ProblemKind.NOT_AN_ANSWER, number.start, number.end, instead="8", detail=f"0 to {MOST_SETS_TOLD}")
    return ChangeAdvice(muscle, int(number.text))


def _answer(token: Token) -> int:
    if not token.text.isdigit() or not WORST_ANSWER <= int(token.text) <= BEST_ANSWER:
        bounds = f"{WORST_ANSWER} to {BEST_ANSWER}"
        raise Refused(ProblemKind.NOT_AN_ANSWER, token.start, token.end, instead="3", detail=bounds)
    return int(token.text)


def _word(ache: Ache) -> str:
    return next(word for word, each in ACHES.items() if each is ache)
