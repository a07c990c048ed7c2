"""Conflicts: which wish stands against a week that meets all targets."""

from collections.abc import Iterator
from dataclasses import replace

from core.domain.equipment import Owned, usual_gym
from core.domain.exercises import Catalogue
from core.domain.plans import DAYS, LONGEST_SESSION_MIN, MOST_WEEKLY_SETS, Conflict, Reason, WeekPlan, Wishes
from core.planning.minutes import USUAL_PACE, Pace
from core.planning.week_layout import all_fits, week_layout

MINUTES_STEP = 5
"""Steps in which minutes are offered. [min]"""

HELPS = 0.75
"""What may remain of the sets that lack for a wish to count as standing against the week. [1]"""

MISSING_MAIN = 100.0
"""What a pressing day without the main lift weighs beside a set. [sets]"""


def conflicts(
    wishes: Wishes,
    owned: Owned,
    catalogue: Catalogue,
    week: WeekPlan,
    *,
    pace: Pace = USUAL_PACE,
    until_enough: bool = False,
) -> tuple[Conflict, ...]:
    """Wishes whose giving up would bring the week nearer to all targets, the most helpful first; none if it meets them.

    Each is given up alone and the week laid out again, so this takes several times as long as a layout.

    Args:
        wishes: What was wished.
        owned: What is at hand.
        catalogue: The lifts there are.
        week: The nearest week that can be done, as it was laid out.
        pace: How long things take.
        until_enough: Where giving up one wish meets everything, name the first such wish alone; whether it does is seen
            in a fraction of the time that a layout takes.

    """
    now = lacking(week)
    if not now:
        return ()
    if until_enough:
        for reason, relaxed, with_owned in _relaxed(wishes, owned, week):
            if all_fits(relaxed, with_owned, catalogue, pace=pace):
                value = _fewest_minutes(wishes, owned, catalogue, pace) if reason is Reason.MINUTES else None
                days = len(relaxed.training_days) if reason is Reason.DAYS else None
                return (Conflict(reason=reason, enough=True, value=value or days, lacking=0.0),)
    found = []
    for reason, relaxed, with_owned in _relaxed(wishes, owned, week):
        tried = week_layout(relaxed, with_owned, catalogue, pace=pace)
        left = lacking(tried)
        if left <= HELPS * now:
            found.append(Conflict(reason=reason, enough=not left, value=_number(reason, relaxed, tried), lacking=left))
    found.sort(key=lambda each: (each.lacking, list(Reason).index(each.reason)))
    return tuple(_least_minutes(each, wishes, owned, catalogue, pace) for each in found)


def lacking(week: WeekPlan) -> float:
    """Sets by which a week's muscles lie off their targets where they lie outside the tolerance. [sets]"""
    return sum(abs(miss.planned - miss.target) for miss in week.misses) + MISSING_MAIN * len(week.without_main)


def _fewest_minutes(wishes: Wishes, owned: Owned, catalogue: Catalogue, pace: Pace) -> int:
    """Fewest minutes with which everything fits, where it does with the most. [min]"""

    def enough(steps: int) -> bool:
        return all_fits(replace(wishes, minutes=steps * MINUTES_STEP), owned, catalogue, pace=pace)

    # A few minutes are what lacks most often: the steps begin small and double.
    low, high, further = wishes.minutes // MINUTES_STEP + 1, LONGEST_SESSION_MIN // MINUTES_STEP, 1
    while low + further - 1 < high:
        tried = low + further - 1
        if enough(tried):
            high = tried
            break
        low, further = tried + 1, 2 * further
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return high * MINUTES_STEP


def _relaxed(wishes: Wishes, owned: Owned, week: WeekPlan) -> Iterator[tuple[Reason, Wishes, Owned]]:
    if wishes.minutes < LONGEST_SESSION_MIN:
        yield Reason.MINUTES, replace(wishes, minutes=LONGEST_SESSION_MIN), owned
    if more := _one_day_more(wishes):
        yield Reason.DAYS, more, owned
    if not owned.has >= usual_gym(owned.unit).has:
        yield Reason.EQUIPMENT, wishes, usual_gym(owned.unit)
    if wishes.banned:
        yield Reason.BANNED, replace(wishes, banned=frozenset()), owned
    if wishes.left_out:
        yield Reason.LEFT_OUT, replace(wishes, left_out=frozenset()), owned
    if wishes.ceiling < MOST_WEEKLY_SETS and any(sets > wishes.ceiling - 1 for _, sets in week.muscles):
        yield Reason.CEILING, replace(wishes, ceiling=MOST_WEEKLY_SETS), owned
    if wishes.pressing_days is not None:
        yield Reason.PRESSING_DAYS, replace(wishes, pressing_days=None), owned
    if wishes.sets_now:
        yield Reason.SETS, replace(wishes, sets_now=()), owned


def _one_day_more(wishes: Wishes) -> Wishes | None:
    if wishes.sessions:
        return replace(wishes, sessions=wishes.sessions + 1) if wishes.sessions < DAYS else None
    free = [day for day in range(DAYS) if day not in wishes.days]
    if not free:
        return None
    # The free day that lies farthest from the days there are.
    day = max(free, key=lambda each: (min(_distance(each, other) for other in wishes.days), -each))
    return replace(wishes, days=tuple(sorted((*wishes.days, day))))


def _distance(day: int, other: int) -> int:
    return min((day - other) % DAYS, (other - day) % DAYS)


def _number(reason: Reason, relaxed: Wishes, week: WeekPlan) -> int | None:
    if reason is Reason.MINUTES:
        longest = max(session.seconds for session in week.sessions)
        return -(-longest // (60 * MINUTES_STEP)) * MINUTES_STEP
    return len(relaxed.training_days) if reason is Reason.DAYS else None


def _least_minutes(conflict: Conflict, wishes: Wishes, owned: Owned, catalogue: Catalogue, pace: Pace) -> Conflict:
    if conflict.reason is not Reason.MINUTES or conflict.value is None:
        return conflict
    low, high = wishes.minutes // MINUTES_STEP + 1, conflict.value // MINUTES_STEP
    while low < high:
        middle = (low + high) // 2
        tried = week_layout(replace(wishes, minutes=middle * MINUTES_STEP), owned, catalogue, pace=pace)
        low, high = (low, middle) if lacking(tried) <= conflict.lacking else (middle + 1, high)
    return replace(conflict, value=high * MINUTES_STEP)
