"""Check-ins in words: the week beside the lifter's own past, advice, session load, and what a chart shows."""

from collections.abc import Sequence
from typing import assert_never

from bot.rendering.advice import advice, reasoned, taken
from bot.rendering.chart_words import chart
from bot.rendering.phone import day, figure, load
from core.domain.check_in_replies import (
    AdviceReasoned,
    AdviceTaken,
    AdviceTold,
    AnswerTold,
    ChartTold,
    CheckInNothing,
    CheckInReply,
    CheckInTold,
    LoadTold,
    NoCheckIn,
)
from core.domain.checkins import Ache, Item, Pain

ENDS: dict[Item, tuple[str, str]] = {
    Item.ENERGY: ("worn out", "fresh"),
    Item.SLEEP: ("poor", "sound"),
    Item.MUSCLES: ("sore", "at ease"),
    Item.CALM: ("under strain", "calm"),
    Item.MOOD: ("low", "bright"),
}
"""What the ends of each scale mean, 1 and 5; more is better in all of them."""

SESSIONS_TOLD = 5
"""Sessions of a week that `load` tells in a line each."""


def text(reply: CheckInReply) -> str:
    """The words of a reply of the check-in."""
    match reply:
        case CheckInTold():
            return _check_in(reply)
        case AdviceTold():
            return advice(reply)
        case AdviceTaken():
            return taken(reply)
        case AdviceReasoned(given=given):
            return reasoned(given)
        case LoadTold():
            return _load(reply)
        case ChartTold():
            return chart(reply.chart)
        case CheckInNothing():
            return _nothing(reply)
        case _:
            assert_never(reply)


def question(item: Item, *, left: int) -> str:
    """One of the five questions; the first says how to answer all at once."""
    asked = _QUESTIONS[item]
    if left == len(Item):
        return f"{asked} (5 is the best; all five at once: `check-in 4 3 5 4 4`)"
    return asked


def answer(item: Item, number: int) -> str:
    """The label of one answer; the ends say what they mean."""
    worst, best = ENDS[item]
    return {1: f"1 {worst}", 5: f"5 {best}"}.get(number, str(number))


def ache(kind: Ache) -> str:
    """How an ache behaves, as a label."""
    match kind:
        case Ache.FADES:
            return "it fades as I warm up"
        case Ache.CHANGES_LIFTING:
            return "it changes how I lift"
        case Ache.SHARP:
            return "sharp, sudden or numb"
        case _:
            assert_never(kind)


_QUESTIONS: dict[Item, str] = {
    Item.ENERGY: "how was your energy this week?",
    Item.SLEEP: "how did you sleep?",
    Item.MUSCLES: "how do your muscles feel all in all?",
    Item.CALM: "how calm were your days?",
    Item.MOOD: "and your mood?",
}


def _check_in(reply: CheckInTold) -> str:
    lines = [f"check-in, week of {day(reply.week)} (5 is the best)"]
    lines += _beside(reply.answers)
    if reply.pains is not None:
        lines.append("; ".join(map(_pain, reply.pains)) or "nothing hurts")
    if reply.body_mass is not None:
        lines.append(f"body mass {load(reply.body_mass)}")
    lines.append(f"change any until {day(reply.until)}: `sleep 4`" + ("; body mass: `bw 81.5`" * reply.ask_mass))
    return "\n".join(lines)


def _beside(answers: Sequence[AnswerTold]) -> list[str]:
    told = [each for each in answers if each.usual is not None]
    if not told:
        return [", ".join(f"{each.item} {each.answer}" for each in answers)]
    lines = [
        f"{each.item} {each.answer}, usually {figure(each.usual or 0.0)}" for each in told if each.answer != each.usual
    ]
    usual = [f"{each.item} {each.answer}" for each in told if each.answer == each.usual]
    if usual:
        lines.append(", ".join(usual) + ": as usual")
    new = [f"{each.item} {each.answer}" for each in answers if each.usual is None]
    return [*lines, *([", ".join(new) + ": for the first time"] if new else [])]


def _pain(pain: Pain) -> str:
    match pain.ache:
        case Ache.FADES:
            return f"{pain.place}: fades"
        case Ache.CHANGES_LIFTING:
            return f"{pain.place}: changes lifting"
        case Ache.SHARP:
            return f"{pain.place}: sharp, sudden or numb"
        case _:
            assert_never(pain.ache)


def _load(reply: LoadTold) -> str:
    lines = [f"session load, {day(reply.first)} to {day(reply.last)}"]
    told = [each for each in reply.sessions if each.load is not None]
    each_line = [
        f"{day(s.day)}: {s.minutes} min × effort {figure(s.effort or 0.0)} = {figure(s.load or 0.0, digits=0)}"
        for s in told
    ]
    lines += each_line[-SESSIONS_TOLD:]
    if told:
        total = f"sum {figure(reply.total, digits=0)}"
        if reply.monotony is None or reply.strain is None:
            lines.append(f"{total}; all days alike, so monotony has no figure")
        else:
            strain = figure(reply.strain, digits=0)
            lines.append(f"{total}; monotony {figure(reply.monotony)} (mean day over its spread); strain {strain}")
    silent = [each for each in reply.sessions if each.effort is None]
    short = [each for each in reply.sessions if each.effort is not None and each.load is None]
    if short:
        lines.append(f"told at once, so without a length: {', '.join(day(each.day) for each in short)}")
    if silent:
        days = ", ".join(day(each.day) for each in silent)
        lines.append(f"without an effort: {days}. `done 7` tells it at the end, 0 to 10")
    return "\n".join(lines)


def _nothing(reply: CheckInNothing) -> str:
    match reply.why:
        case NoCheckIn.OPEN_ADVICE:
            return "no advice waits for an answer\ntry: check-in"
        case NoCheckIn.ADVICE:
            return "no advice was given yet: it follows a check-in\ntry: check-in"
        case NoCheckIn.LOAD:
            return "no session in the last seven days"
        case NoCheckIn.TO_DRAW:
            return "too little to draw yet: a line takes two points"
        case NoCheckIn.REDUCED_LATELY:
            return "a reduced week, or a week off, is less than three weeks ago: the next can wait"
        case NoCheckIn.REDUCED_ALREADY:
            return "next week is a reduced one already"
        case NoCheckIn.OUT_OF_BOUNDS:
            return f"{reply.about} can be taken now, within your bounds and two at a time"
        case NoCheckIn.NOT_OFFERED:
            return f"no change of {reply.about} waits for an answer\ntry: check-in"
        case _:
            assert_never(reply.why)
