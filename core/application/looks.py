"""Looks: what the estimate says of a load, of an earlier day, and of whether something is good."""

from datetime import timedelta
from typing import assert_never

from core.application import log, maximum_test, review
from core.application.turn import Turn
from core.domain.exercises import Pattern
from core.domain.guidance import MaximumRefusal, MaximumRefused
from core.domain.look_commands import CanLift, Convert, HowGood, LookCommand, MaxThen
from core.domain.replies import Guided, NothingThere, Reply
from core.domain.reviews import ConvertedTold, GoodTold, Reach, ReachTold, ThenTold
from core.domain.units import Load, to_kg

PRESSED = frozenset({Pattern.HORIZONTAL_PRESS})
"""Movements whose load hangs over the lifter."""

_NO_WARNING = frozenset({MaximumRefusal.NOT_THIS_LIFT, MaximumRefusal.NO_ESTIMATE})
"""What keeps a test away without any harm in it."""


def answer(turn: Turn, command: LookCommand) -> list[Reply]:
    """Tell what is asked about strength."""
    match command:
        case CanLift():
            return _reach(turn, command)
        case MaxThen():
            return _then(turn, command)
        case Convert(load=load):
            return [ConvertedTold(load)]
        case HowGood():
            found = review.named(turn, None)
            return [GoodTold(found if isinstance(found, str) else None)]
        case _:
            assert_never(command)


def _reach(turn: Turn, command: CanLift) -> list[Reply]:
    name = review.named(turn, command.exercise)
    if not isinstance(name, str):
        return [name]
    exercise = turn.known(name)
    refusal = maximum_test.refusal(turn, exercise)
    refused: list[Reply] = [] if refusal is None or refusal in _NO_WARNING else [Guided(MaximumRefused(name, refusal))]
    if refusal is MaximumRefusal.STOPPED:
        return refused
    told = log.estimate_told(turn, name)
    if told is None or told.low_kg is None or told.high_kg is None:
        return [NothingThere(review.no_estimate(turn, name), name)]
    load = Load(command.amount, command.unit or turn.unit)
    load_kg = to_kg(load.amount, load.unit)
    reach = Reach.BELOW if load_kg <= told.low_kg else Reach.ABOVE if load_kg > told.high_kg else Reach.WITHIN
    reply = ReachTold(
        load=load,
        told=told,
        reach=reach,
        likelier=load_kg <= told.estimate_kg,
        pressed=exercise.pattern in PRESSED and exercise.bar,
        tested=refusal is None,
    )
    return [reply, *refused]


def _then(turn: Turn, command: MaxThen) -> list[Reply]:
    name = review.named(turn, command.exercise)
    if not isinstance(name, str):
        return [name]
    told = review.max_told(turn, name)
    if told is None or not told.history:
        return [NothingThere(review.no_estimate(turn, name), name)]
    day = turn.today - timedelta(days=command.days_ago)
    before = [each for each in told.history if each.day <= day]
    return [ThenTold(then=before[-1] if before else told.history[0], now=told.told, first=not before)]
