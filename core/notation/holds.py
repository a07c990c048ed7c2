"""Holds: the numbers of a lift that is held for seconds: `plank 60`, `3x40`, `60x3`, `20 x 40`."""

from collections.abc import Sequence

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.pieces import Number
from core.notation.sense import Sense
from core.notation.shape import Shape, listed

SHORTEST_HOLD_S = 10.0
"""Shortest time that a number without a unit means; below it minutes are as likely. [s]"""


def place_hold(shape: Shape, bare: Sequence[Number], sense: Sense, doubts: Doubts) -> None:
    """Say what numbers without a word count in a hold.

    Raises:
        Refused: they are no time.

    """
    told = bool(shape.loads) or shape.sets is not None
    if len(bare) == 1:
        shape.seconds = _seconds(bare[0])
    elif len(bare) == 2 and not told:
        _two(shape, bare[0], bare[1], sense, doubts)
    elif len(bare) == 2 and shape.loads and shape.sets is None:
        shape.sets, shape.seconds = bare[0], _seconds(bare[1])
    elif len(bare) == 3 and not told:
        shape.sets, shape.loads, shape.seconds = bare[0], [bare[1]], _seconds(bare[2])
    else:
        raise Refused(ProblemKind.NOT_A_TIME, bare[-1].start, bare[-1].end)


def _two(shape: Shape, first: Number, second: Number, sense: Sense, doubts: Doubts) -> None:
    values: list[str] = []
    if sense.is_sets(first.value) and second.value >= SHORTEST_HOLD_S:
        values.append("sets seconds")
    elif first.value >= SHORTEST_HOLD_S and sense.is_sets(second.value):
        values.append("seconds sets")
    if first.value > SHORTEST_HOLD_S and second.value >= SHORTEST_HOLD_S:
        values.append("load seconds")
    order = doubts.value(Doubt.PAIR, "hold", values or ["sets seconds"], start=first.start, end=second.end)
    if order == "load seconds":
        shape.loads, shape.seconds = [first], _seconds(second)
    elif order == "sets seconds":
        shape.sets, shape.seconds = first, _seconds(second)
    else:
        shape.sets, shape.seconds = second, _seconds(first)


def _seconds(number: Number) -> list[Number]:
    if number.value < SHORTEST_HOLD_S:
        instead = f"{number.value:g} min" if number.value > 0 else None
        raise Refused(ProblemKind.NOT_A_TIME, number.start, number.end, instead=instead)
    return listed(number)
