"""Offers: two weeks that differ, for a lifter who wants a new plan."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue
from core.domain.plans import Difference, Role, WeekPlan, Wishes
from core.planning.conflicts import lacking
from core.planning.minutes import USUAL_PACE, Pace
from core.planning.undulation import pressing_days
from core.planning.week_layout import week_layout


@dataclass(frozen=True, slots=True)
class Offer:
    """A week, the wishes that lead to it, and what it has of its own."""

    week: WeekPlan
    wishes: Wishes
    difference: Difference


def offers(wishes: Wishes, owned: Owned, catalogue: Catalogue, *, pace: Pace = USUAL_PACE) -> tuple[Offer, ...]:
    """Two weeks that differ; one where no other week meets as many targets."""
    first = Offer(week_layout(wishes, owned, catalogue, pace=pace), wishes, Difference.USUAL)
    for difference, other in _others(first):
        week = week_layout(other, owned, catalogue, pace=pace)
        if week.sessions != first.week.sessions and lacking(week) <= lacking(first.week):
            return first, Offer(week, other, difference)
    return (first,)


def _others(first: Offer) -> Iterator[tuple[Difference, Wishes]]:
    wishes = first.wishes
    now = len(pressing_days(wishes))
    if now < min(3, len(wishes.training_days)):
        yield Difference.MORE_PRESSING, replace(wishes, pressing_days=now + 1)
    if now > 2:
        yield Difference.FEWER_PRESSING, replace(wishes, pressing_days=now - 1)
    beside = {
        lift.exercise
        for session in first.week.sessions
        for lift in session.lifts
        if lift.role in (Role.PRESS, Role.ROW, Role.MULTI_JOINT)
    }
    beside -= {wishes.main, *wishes.liked}
    yield Difference.OTHER_LIFTS, replace(wishes, banned=wishes.banned | beside)
