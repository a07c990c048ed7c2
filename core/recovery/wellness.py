"""Wellness: a check-in beside the same lifter's own past weeks, without score or threshold."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import combinations
from math import log
from statistics import median
from types import MappingProxyType

from core.domain.checkins import Ache, CheckIn, Item, Pain

PAST_WEEKS = 12
"""Weeks back that make up a lifter's own usual. [weeks] Two blocks: long enough for a steady median, short enough to
follow a life that changes; the program's own figure."""

MASS_WEEKS = 4
"""Weeks over which a change of body mass is taken, as long as a trend of strength. [weeks] Own figure."""

FEWEST_MASSES = 3
"""Fewest told masses that make a change: with two, one day's water is the whole of it. [1] Own figure."""

_WEEK = timedelta(weeks=1)


class Standing(StrEnum):
    """A check-in as a whole beside the lifter's own median."""

    BELOW = "below"
    AT = "at"
    ABOVE = "above"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class ItemBesidePast:
    """One answer beside the same lifter's answers of past weeks.

    Args:
        answer: This week's, 5 the best. [1]
        usual: Median of past weeks; None without any. [1]
        spread: Median absolute deviation of past weeks from it; None without any. [1]

    """

    answer: int
    usual: float | None
    spread: float | None


@dataclass(frozen=True, slots=True)
class BesidePast:
    """One check-in beside the same lifter's past weeks.

    Args:
        items: Those answered, in the order in which they are asked.
        standing: Whether the answers together lie below, at or above their own medians.
        steps: By how much, summed over the items that have a past; each step is one point of one answer. [1]

    """

    items: Mapping[Item, ItemBesidePast]
    standing: Standing
    steps: float

    @property
    def lowest(self) -> int | None:
        """The worst answer given."""
        return min((item.answer for item in self.items.values()), default=None)

    @property
    def complete(self) -> bool:
        """Whether all five questions were answered."""
        return len(self.items) == len(Item)


def beside_past(check_in: CheckIn, *, past: Sequence[CheckIn]) -> BesidePast:
    """A check-in beside the same lifter's weeks before it; a better answer never makes it stand lower.

    No published scale of this kind has an alarm threshold (McLean et al. 2010; Hooper & Mackinnon 1995), so each answer
    is compared with the median of the same lifter's own, over the last `PAST_WEEKS` weeks.

    Args:
        check_in: This week's.
        past: The lifter's check-ins in any order; those of this week or later are passed over.

    """
    since = check_in.week - PAST_WEEKS * _WEEK
    weeks = [each for each in past if since <= each.week < check_in.week]
    items = {
        item: _item_beside_past(check_in.answers[item], [week.answers[item] for week in weeks if item in week.answers])
        for item in Item
        if item in check_in.answers
    }
    differences = [item.answer - item.usual for item in items.values() if item.usual is not None]
    steps = float(sum(differences))
    if not differences:
        standing = Standing.UNKNOWN
    elif steps == 0.0:
        standing = Standing.AT
    else:
        standing = Standing.BELOW if steps < 0.0 else Standing.ABOVE
    return BesidePast(items=MappingProxyType(items), standing=standing, steps=steps)


def weeks_running_below(check_ins: Sequence[CheckIn], *, until: date) -> int:
    """How many weeks running, up to one week, stood below the lifter's own median as it was before each. [weeks].

    Args:
        check_ins: The lifter's, in any order.
        until: First day of the last week looked at; a week without check-in ends the run.

    """
    by_week = {each.week: each for each in check_ins}
    weeks = 0
    week = until
    while (check_in := by_week.get(week)) is not None:
        if beside_past(check_in, past=check_ins).standing is not Standing.BELOW:
            break
        weeks += 1
        week -= _WEEK
    return weeks


def pains_now(check_in: CheckIn, *, before: CheckIn | None) -> tuple[Pain, ...]:
    """What hurts, where an ache told in two check-ins running is one that changes lifting even if it fades.

    Args:
        check_in: This week's.
        before: Last week's, if there was one; an older one is passed over.

    """
    aching = {pain.place for pain in before.pains or ()} if before and before.week == check_in.week - _WEEK else set()
    return tuple(
        Pain(pain.place, Ache.CHANGES_LIFTING) if pain.ache is Ache.FADES and pain.place in aching else pain
        for pain in check_in.pains or ()
    )


def mass_change_per_week(check_ins: Sequence[CheckIn], *, until: date) -> float | None:
    """Change of body mass in a week as a share of it, negative for a loss; None where too little was told. [1/week].

    The Theil-Sen slope (median of the slopes between all pairs of weeks) of the logarithm of the mass, which one odd
    weighing moves little.

    Args:
        check_ins: The lifter's, in any order.
        until: First day of the last week; it and the `MASS_WEEKS` weeks before it are looked at.

    """
    told = [
        (each.week, log(each.body_mass_kg))
        for each in sorted(check_ins, key=lambda each: each.week)
        if each.body_mass_kg is not None and until - MASS_WEEKS * _WEEK <= each.week <= until
    ]
    if len({week for week, _ in told}) < FEWEST_MASSES:
        return None
    return median(
        (later - earlier) / ((to - since) / _WEEK)
        for (since, earlier), (to, later) in combinations(told, 2)
        if to > since
    )


def _item_beside_past(answer: int, past: Sequence[int]) -> ItemBesidePast:
    if not past:
        return ItemBesidePast(answer=answer, usual=None, spread=None)
    usual = float(median(past))
    return ItemBesidePast(answer=answer, usual=usual, spread=float(median(abs(each - usual) for each in past)))
