"""Days' sets: the first integer programme, which muscles are trained on which day and how much."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import ceil

from core.domain.exercises import Exercise, Muscle
from core.domain.plans import DAYS, Role
from core.planning.integer_programme import Programme
from core.planning.minutes import USUAL_PACE, Pace, lift_s
from core.planning.targets import TOLERANCE_ABOVE, TOLERANCE_BELOW, Target
from core.planning.undulation import FEWEST_SETS, MULTI_JOINT, SINGLE_JOINT

MOST_SETS_A_DAY = 8
"""Most direct hard sets of a muscle in a session. [sets]"""

MOST_EXPOSURES = 3
"""Most days a week on which a muscle is trained directly. [d] Two or three, cp."""

SHORT_COST = 60.0
"""Cost of a set that a muscle lacks, times its weight. All costs are the program's own; only their order matters."""

CONSECUTIVE_COST = 20.0
"""Cost of training a muscle on two days in a row: the soft wish that is broken last."""

MOVED_COST = 3.0
"""Cost of training a muscle on a day it was not trained on the week before, or the other way round."""

APART_COST = 3.0
"""Cost of a day on which one of two muscles is trained that the first lift of either trains together."""

PEAK_COST = 1.0
"""Cost of each set on a muscle's fullest day: spreads them over its days."""

OFF_COST = 1.0
"""Cost of a set off the need."""

FULLEST_COST = 0.002
"""Cost of a second of the longest session. Small: it only spreads."""

OVERTIME_COST = 0.005
"""Cost of a second over the minutes. Times are means here; the second programme keeps the minutes exactly."""

LATER_COST = 0.001
"""Cost of a later day: decides between weeks that are as good."""

ROUNDS = 4
"""Rounds in which the muscles' needs are settled. [rounds]"""

NODES = 20
"""Most nodes of the search. [nodes] Most weeks need one."""

WITHIN = 1.0
"""How far above the least cost the answer may lie; less than a wish weighs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What the days offer.

    Args:
        days: Weekdays of the sessions, in order.
        seconds: What each day has left beside the main lift. [s]
        main_sets: Hard sets of the main lift on each day. [sets]
        main: The main lift.

    """

    days: tuple[int, ...]
    seconds: Mapping[int, float]
    main_sets: Mapping[int, int]
    main: Exercise


def day_sets(
    wanted: Sequence[Target],
    room: Room,
    candidates: Mapping[Muscle, tuple[Exercise, ...]],
    *,
    previous: Mapping[tuple[Muscle, int], int] | None = None,
    pace: Pace = USUAL_PACE,
) -> dict[tuple[Muscle, int], int]:
    """Direct sets of each muscle on each day, those of the main lift included, to guide the choice of lifts. [sets].

    What lifts of other muscles add indirectly is reckoned as the mean of their candidates.

    Args:
        wanted: Weekly targets.
        room: What the days offer.
        candidates: Exercises of each muscle.
        previous: Direct sets of the week before; changes are kept few.
        pace: How long things take.

    """
    programme = Programme()
    muscles = [each for each in wanted if candidates.get(each.muscle)]
    names = [each.muscle for each in muscles]
    need = direct_need(muscles, room, candidates)
    weeks: dict[Muscle, list[tuple[int, dict[int, int]]]] = {}
    for place, target in enumerate(muscles):
        own = room.main_sets if target.muscle in room.main.direct else {}
        weeks[target.muscle] = [
            (programme.choice(cost=_cost(week, target, need[target.muscle], room.days, previous, place)), week)
            for week in possible_weeks(need[target.muscle], room.days, own)
        ]
        programme.row({choice: 1.0 for choice, _ in weeks[target.muscle]}, low=1.0, high=1.0)
    _fit(programme, weeks, room, {muscle: _set_s(muscle, names, candidates, pace) for muscle in names})
    _bring_together(programme, names, weeks, room.days, candidates)
    values = programme.solved(nodes=NODES, within=WITHIN)
    if values is None:
        return {}
    return {
        (muscle, day): sets
        for muscle, choices in weeks.items()
        for choice, week in choices
        if values[choice]
        for day, sets in week.items()
    }


def direct_need(
    wanted: Sequence[Target], room: Room, candidates: Mapping[Muscle, tuple[Exercise, ...]]
) -> dict[Muscle, float]:
    """Direct sets a week that each muscle needs beside what lifts of other muscles add indirectly. [sets].

    The main lift's sets are taken as they are, the others as the mean of their candidates.
    """
    names = [each.muscle for each in wanted]
    indirect = _indirect(names, candidates)
    main_sets = sum(room.main_sets.values())
    need = {each.muscle: each.sets for each in wanted}
    # From each muscle's need follow what it adds to the others; a few rounds settle it.
    for _ in range(ROUNDS):
        others = {
            muscle: max(0.0, sets - (main_sets if muscle in room.main.direct else 0)) for muscle, sets in need.items()
        }
        for target in wanted:
            added = 0.5 * main_sets if target.muscle in room.main.indirect else 0.0
            added += sum(indirect.get((other, target.muscle), 0.0) * sets for other, sets in others.items())
            need[target.muscle] = max(0.0, target.sets - added)
    return need


def possible_weeks(need: float, days: Sequence[int], own: Mapping[int, int]) -> list[dict[int, int]]:
    """Weeks of direct sets that one muscle can have: the main lift's own sets, and more on up to three days.

    On each day with more there are at least three more, no day has more than eight, and they are spread evenly; more
    than two sets over the need only where three on one day are. [sets]
    """
    found = []
    base = {day: sets for day, sets in own.items() if sets}
    lacking = max(0, ceil(need - 0.5) - sum(base.values()))
    for count in range(min(MOST_EXPOSURES, len(days)) + 1):
        if count > 1 and FEWEST_SETS * count > lacking + TOLERANCE_ABOVE:
            break
        for more_on in combinations(days, count):
            week = dict(base)
            for day in more_on:
                week[day] = week.get(day, 0) + FEWEST_SETS
            for _ in range(lacking - FEWEST_SETS * count):
                free = [day for day in more_on if week[day] < MOST_SETS_A_DAY]
                if free:
                    week[min(free, key=lambda day: (week[day], day))] += 1
            if len(week) <= MOST_EXPOSURES and all(sets <= MOST_SETS_A_DAY for sets in week.values()):
                found.append(week)
    return found


def consecutive(days: Sequence[int]) -> int:
    """How many of these weekdays are followed by the next one, over the end of the week too. [d]."""
    return sum((day + 1) % DAYS in days for day in days)


def _cost(
    week: Mapping[int, int],
    target: Target,
    need: float,
    days: Sequence[int],
    previous: Mapping[tuple[Muscle, int], int] | None,
    place: int,
) -> float:
    short = need - TOLERANCE_BELOW - sum(week.values())
    cost = CONSECUTIVE_COST * consecutive(tuple(week)) + SHORT_COST * target.weight * max(0.0, short)
    cost += OFF_COST * abs(sum(week.values()) - need)
    cost += PEAK_COST * max(week.values(), default=0)
    if previous is not None:
        cost += MOVED_COST * sum((day in week) != bool(previous.get((target.muscle, day), 0)) for day in days)
    return cost + LATER_COST * (1.0 + 0.01 * place) * sum((day + 1) * sets for day, sets in week.items())


def _fit(
    programme: Programme,
    weeks: Mapping[Muscle, Sequence[tuple[int, Mapping[int, int]]]],
    room: Room,
    set_s: Mapping[Muscle, float],
) -> None:
    fullest = programme.variable(cost=FULLEST_COST)
    for day in room.days:
        terms = {
            choice: set_s[muscle] * (week.get(day, 0) - _own(muscle, day, room))
            for muscle, choices in weeks.items()
            for choice, week in choices
            if week.get(day, 0) > _own(muscle, day, room)
        }
        over = programme.variable(cost=OVERTIME_COST)
        programme.row({**terms, over: -1.0}, high=room.seconds[day])
        programme.row({**terms, fullest: -1.0}, high=room.seconds[day] - max(room.seconds.values()))


def _own(muscle: Muscle, day: int, room: Room) -> int:
    return room.main_sets.get(day, 0) if muscle in room.main.direct else 0


def _bring_together(
    programme: Programme,
    muscles: Sequence[Muscle],
    weeks: Mapping[Muscle, Sequence[tuple[int, Mapping[int, int]]]],
    days: Sequence[int],
    candidates: Mapping[Muscle, tuple[Exercise, ...]],
) -> None:
    for one, other in combinations(muscles, 2):
        if other in candidates[one][0].direct or one in candidates[other][0].direct:
            for day in days:
                terms = {choice: 1.0 for choice, week in weeks[one] if day in week}
                terms.update({choice: -1.0 for choice, week in weeks[other] if day in week})
                programme.distance(terms, to=0.0, cost=APART_COST)


def _indirect(
    muscles: Sequence[Muscle], candidates: Mapping[Muscle, tuple[Exercise, ...]]
) -> dict[tuple[Muscle, Muscle], float]:
    found = {}
    for muscle in muscles:
        each = candidates[muscle]
        for other in muscles:
            share = sum(0.5 / _shared(lift, muscles) for lift in each if other in lift.indirect) / len(each)
            if share:
                found[muscle, other] = share
    return found


def _set_s(
    muscle: Muscle, muscles: Sequence[Muscle], candidates: Mapping[Muscle, tuple[Exercise, ...]], pace: Pace
) -> float:
    times = [
        (
            lift_s(Role.PRESS, lift, sets=4, reps=(MULTI_JOINT if lift.multi_joint else SINGLE_JOINT).top, pace=pace)
            + pace.change_s
        )
        / 4
        / _shared(lift, muscles)
        for lift in candidates[muscle]
    ]
    return sum(times) / len(times)


def _shared(lift: Exercise, muscles: Sequence[Muscle]) -> int:
    return max(1, len(lift.direct & frozenset(muscles)))
