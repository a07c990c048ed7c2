"""Ratings: a bare number after @: a load, repetitions, repetitions left, or a rating of exertion."""

from collections.abc import Sequence

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.efforts import HIGHEST_RPE, LOWEST_EXACT_RPE
from core.notation.pieces import Effort, Link, Number, Role
from core.notation.sense import Sense, Style
from core.notation.shape import Shape

LOWEST_BARE_RPE = 5.5
"""From here on a bare number after @ is a rating; below it, it may as well be repetitions left."""

LIKELIEST_RIR = 4.0
"""Up to here repetitions left are the likelier meaning. [repetitions]"""


def settle_ratings(
    numbers: Sequence[Number], links: Sequence[Link | None], shape: Shape, sense: Sense, doubts: Doubts, *, loaded: bool
) -> tuple[list[Number], list[Link | None]]:
    """Numbers of a cell without those after @ that are efforts; those go to the shape.

    Args:
        numbers: In the order in which they stand.
        links: What stands before each.
        shape: Takes the efforts.
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        loaded: A load stands already, planned or told before, so that the number need not be one.

    """
    kept: list[Number] = []
    kept_links: list[Link | None] = []
    others = [number for number, link in zip(numbers, links, strict=True) if link not in (Link.AT, Link.WITH)]
    for number, link in zip(numbers, links, strict=True):
        if link is Link.WITH and number.role is Role.BARE and sense.is_load(number.value):
            number.role = Role.LOAD
        elif link is Link.AT and number.role is Role.BARE:
            way = _way(number, others, sense, doubts, loaded=loaded)
            if way in ("rir", "rpe"):
                shape.efforts.extend(_efforts(number, way))
                continue
            if way == "load":
                number.role = Role.LOAD
                others.append(number)
        kept.append(number)
        kept_links.append(Link.CROSS if link in (Link.AT, Link.WITH) else link)
    return kept, kept_links


def _way(number: Number, others: Sequence[Number], sense: Sense, doubts: Doubts, *, loaded: bool) -> str:
    """What a bare number after @ is: `load`, `reps`, `rir` or `rpe`."""
    lone = others[0] if len(others) == 1 else None
    loaded = loaded or not others  # `@8` alone is said of the set before
    is_load = lone is not None and (
        lone.role is Role.LOAD or (lone.role is Role.BARE and not sense.is_reps(lone.value))
    )
    if max((number.value, *number.also)) > HIGHEST_RPE:
        # `80kg @ 12` has its load before it; else a number above 10 is one.
        if is_load and number.whole:
            return "reps"
        bare = [other.value for other in others if other.role is Role.BARE]
        told = any(other.role is Role.LOAD for other in others)
        if told or (len(bare) == 2 and all("load" in order.value for order in sense.pair(*bare))):
            raise Refused(ProblemKind.NOT_EFFORT, number.start, number.end, detail=f"{HIGHEST_RPE:g}")
        return "load"
    efforts = ["rpe", "rir"] if number.value > LIKELIEST_RIR else ["rir", "rpe"]
    if number.value >= LOWEST_BARE_RPE:
        efforts = ["rpe"]
    if is_load and lone is not None and not lone.bodyweight and not loaded:
        values = ["reps", *efforts] if number.whole else efforts
    elif loaded or sense.style is Style.BODY or _has_load(others, sense, doubts):
        values = efforts
    else:
        values = ["load", *efforts] if sense.is_load(number.value) else efforts
    return doubts.value(Doubt.AT, "at", values, start=number.start, end=number.end)


def _has_load(others: Sequence[Number], sense: Sense, doubts: Doubts) -> bool:
    """Whether the other numbers have a load among them, in their likeliest order."""
    if any(other.role is Role.LOAD for other in others):
        return True
    bare = [other for other in others if other.role is Role.BARE]
    if len(bare) == 1 and len(others) == 2:
        return sense.is_load(bare[0].value) and not sense.is_sets(bare[0].value)
    if len(bare) == 2 and len(others) == 2:
        return "load" in sense.settled_pair(bare[0], bare[1], doubts).value
    return len(bare) == 3


def _efforts(number: Number, way: str) -> list[Effort]:
    start, end = number.start, number.end
    values = (number.value, *number.also)
    if way == "rir":
        return [Effort(start, end, rir=value) for value in values]
    return [Effort(start, end, rpe=value, at_least=value < LOWEST_EXACT_RPE) for value in values]
