"""Looks in words: what the estimate says of a load and of an earlier day; never a promise."""

from typing import assert_never

from bot.rendering.phone import day, estimated, figure, load
from bot.rendering.reviews import estimate
from core.domain.reviews import ConvertedTold, GoodTold, LookReply, Reach, ReachTold, ThenTold
from core.domain.units import Unit, from_kg, to_kg


def text(reply: LookReply) -> str:
    """A question about strength, answered."""
    match reply:
        case ReachTold():
            return _reach(reply)
        case ThenTold():
            return _then(reply)
        case GoodTold(exercise=exercise):
            about = "" if exercise is None else f" {exercise}"
            return f"I compare you with nobody but your own past: `max{about}` tells it, `chart{about}` draws it"
        case ConvertedTold(load=told):
            other = Unit.KG if told.unit is Unit.LB else Unit.LB
            amount = from_kg(to_kg(told.amount, told.unit), other)
            return f"{load(told)} is {figure(round(amount, 1), digits=1)} {other}"
        case _:
            assert_never(reply)


def _reach(reply: ReachTold) -> str:
    """What the estimate says of a load for a single."""
    name = reply.told.exercise
    asked = f"{'+' if reply.told.added_to_body else ''}{load(reply.load)}"
    lines = [f"{name} {asked} × 1: {_where(reply)}", estimate(reply.told, with_level=True)]
    if reply.tested:
        safely = "safety arms or a spotter first; " if reply.pressed else ""
        lines.append(f"an estimate is no promise: {safely}`test {name}` leads up to a single")
    else:
        lines.append("an estimate is no promise")
    return "\n".join(lines)


def _where(reply: ReachTold) -> str:
    match reply.reach:
        case Reach.BELOW:
            return "below all that your sets leave open, so likely on a usual day"
        case Reach.WITHIN:
            return "it may go up or not, " + ("rather yes" if reply.likelier else "rather not")
        case Reach.ABOVE:
            return "above what your sets show so far"


def _then(reply: ThenTold) -> str:
    """The estimate of an earlier day beside that of today."""
    unit, at = reply.now.unit, reply.then
    plus = "+" if reply.now.added_to_body else ""
    clause = f"est. 1RM {plus}{estimated(at.estimate_kg, unit)} {unit}"
    if at.low_kg is not None and at.high_kg is not None:
        clause += f", {estimated(at.low_kg, unit)} to {estimated(at.high_kg, unit)}"
    first = "nothing logged so far back; first, on " if reply.first else ""
    return f"{reply.now.exercise}\n{first}{day(at.day)}: {clause}\nnow: {estimate(reply.now)}"
