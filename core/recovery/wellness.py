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
"""Weeks that make up a lifter's own usual. [weeks] Two blocks: long enough for a steady median; own figure."""

LONGEST_PAST = 26
"""Weeks back from which a week may be one of the usual. [weeks] Short enough to follow a life that changes, longer than
a slow slide takes to be mended; own figure."""

WEEKS_LOOKED_BACK = 2 * LONGEST_PAST
"""Weeks back from which it is told which weeks were usual. [weeks] Long enough that where it begins no longer tells."""

FEWEST_USUAL = 3
"""Usual weeks that tell by how much a lifter's weeks vary. [weeks] Own figure."""

LEAST_DEVIATION, UNKNOWN_DEVIATION = 1.0, 2.0
"""By how much weeks vary at the least, and before there are enough of them: the first answers are often odd. [points]"""

DEVIATION_BY_SPREAD = 1.4826
"""Standard deviation of a Gaussian by its median absolute deviation. [1] The 0.75 quantile's inverse."""

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
    is compared with the median of the same lifter's own, over the last `PAST_WEEKS` weeks that were usual.

    Args:
        check_in: This week's.
        past: The lifter's check-ins in any order; those of this week or later are passed over.

    """
    return _beside(check_in, _usual(_history(past, before=check_in.week)))


def _beside(check_in: CheckIn, usual: Sequence[CheckIn]) -> BesidePast:
    since = check_in.week - LONGEST_PAST * _WEEK
    weeks = [each for each in usual if since <= each.week < check_in.week][-PAST_WEEKS:]
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
    below = {each.week for each in _history(check_ins, before=until + _WEEK) if each.standing is Standing.BELOW}
    weeks = 0
    while until - weeks * _WEEK in below:
        weeks += 1
    return weeks


def shortfall(check_ins: Sequence[CheckIn], *, until: date, since: date = date.min) -> float:
    """What the answers came to below the lifter's own usual, summed over weeks; 0 where they are as usual. [deviations].

    A cumulative sum: each week adds how far it stands below the usual as it was before it, measured by how much this
    lifter's usual weeks vary, less one such deviation, and the sum never falls below 0. So one bad week says little, and a slide too slow for
    any single week to show adds up, however long it takes. A worse answer in the last week never makes it smaller.

    Args:
        check_ins: The lifter's, in any order; weeks between them without one add nothing.
        until: First day of the last week looked at.
        since: First day of the first week that counts; what was before is answered.

    Source:
        Page 1954, Biometrika 41(1/2):100-115, from memory: one-sided cumulative sums.

    """
    total = 0.0
    usual: list[float] = []
    for each in _history(check_ins, before=until + _WEEK):
        if each.week >= since:
            total = max(0.0, total - each.steps / _deviation(usual) - 1.0)
        if each.is_usual:
            usual.append(each.steps)
    return total


def _deviation(values: Sequence[float]) -> float:
    if len(values) < FEWEST_USUAL:
        return UNKNOWN_DEVIATION
    middle = median(values)
    return max(LEAST_DEVIATION, DEVIATION_BY_SPREAD * median(abs(each - middle) for each in values))


@dataclass(frozen=True, slots=True)
class _PastWeek:
    """A week's check-in as it stood beside the usual as it was before it."""

    check_in: CheckIn
    standing: Standing
    steps: float
    is_usual: bool

    @property
    def week(self) -> date:
        return self.check_in.week


def _history(check_ins: Sequence[CheckIn], *, before: date) -> Sequence[_PastWeek]:
    """Weeks before a day, oldest first, each beside what was usual before it.

    From its second week on a run below is no part of the usual, or a slow slide would become what is usual and answers
    as bad as last month's be well enough for more work. After `LONGEST_PAST` of it nothing else is left, and it is.
    """
    since = before - WEEKS_LOOKED_BACK * _WEEK
    found: list[_PastWeek] = []
    for each in sorted(check_ins, key=lambda each: each.week):
        if not since <= each.week < before:
            continue
        beside = _beside(each, _usual(found))
        runs = any(last.week == each.week - _WEEK and last.standing is Standing.BELOW for last in found[-1:])
        is_usual = not (beside.standing is Standing.BELOW and runs)
        found.append(_PastWeek(each, beside.standing, beside.steps, is_usual))
    return found


def _usual(weeks: Sequence[_PastWeek]) -> list[CheckIn]:
    return [each.check_in for each in weeks if each.is_usual]


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
