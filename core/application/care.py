"""Care: warning signs before anything else."""

from collections.abc import Sequence
from dataclasses import replace

from core.application import hurts, questions
from core.application.replanning import care_changed
from core.application.turn import Turn
from core.domain.commands import Sign, Warned
from core.domain.replies import Acknowledged, Done, Emergency, Reply
from core.notation.signs import place_told

STOPPING = frozenset(
    {
        Sign.CHEST,
        Sign.FAINTING,
        Sign.BREATH,
        Sign.NUMBNESS,
        Sign.STROKE,
        Sign.HEADACHE,
        Sign.BAR_ON_NECK,
        Sign.MUSCLE_BREAKDOWN,
    }
)
"""Signs after which training suggestions stop until a clinician has looked at it."""


def answer_signs(turn: Turn, warned: Sequence[Warned]) -> list[Reply]:
    """What leads the answer to a text with warning signs in it: one emergency line, or one question."""
    sure = [each for each in warned if not each.doubtful and each.sign is not Sign.PAIN]
    if sure:
        return unwell(turn, sure[0].sign)
    text = turn.row.text or ""
    for each in warned:
        word = text[each.span.start : each.span.end]
        return [
            questions.about_pain(turn, word, place_told(text, each.span))
            if each.sign is Sign.PAIN
            else questions.about_sign(turn, each.sign, word)
        ]
    return []


def unwell(turn: Turn, sign: Sign) -> list[Reply]:
    """Say what to do now, and keep training suggestions back."""
    if sign in STOPPING:
        turn.settle(replace(turn.lifter, stopped_at=turn.now))
    if sign is Sign.FAST_CUT:
        turn.settle_setup(replace(turn.setup, cautious=True))
        care_changed(turn)
    return [Emergency(sign), *(hurts.torn(turn) if sign is Sign.TEAR else ())]


def cleared(turn: Turn) -> list[Reply]:
    """A clinician has looked at it: suggestions come back."""
    turn.settle(replace(turn.lifter, stopped_at=None))
    if turn.setup.cautious:
        turn.settle_setup(replace(turn.setup, cautious=False))
    return [Acknowledged(Done.CLEARED)]
