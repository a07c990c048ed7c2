"""Days' sets: the first integer programme, which muscles are trained on which day and how much."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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

OVER_COST = 12.0
"""Cost of a set above the tolerance."""

CONSECUTIVE_COST = 8.0
"""Cost of training a muscle on two days in a row: the soft wish that is broken last."""

MOVED_COST = 3.0
"""Cost of training a muscle on a day it was not trained on the week before, or the other way round."""

APART_COST = 1.5
"""Cost of training two muscles on different days that many lifts train together."""

PEAK_COST = 0.5
"""Cost of a set on a muscle's fullest day: spreads them over its days."""

FULLEST_COST = 0.01
"""Cost of a second of the longest session over the others' mean. Small: it only spreads."""

LATER_COST = 0.001
"""Cost of a later day: decides between weeks that are as good."""

NODES = 40
GAP = 0.01


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
    muscles = [each.muscle for each in wanted if candidates.get(each.muscle)]
    trained: dict[tuple[Muscle, int], int] = {}
    sets: dict[tuple[Muscle, int], int] = {}
    for place, muscle in enumerate(muscles):
        main_here = muscle in room.main.direct
        peak = programme.variable(cost=PEAK_COST)
        for order, day in enumerate(room.days):
            cost = LATER_COST * (order + 1) * (1.0 + 0.1 * place)
            if previous is not None:
                cost += -MOVED_COST if previous.get((muscle, day), 0) else MOVED_COST
            own = room.main_sets.get(day, 0) if main_here else 0
            trained[muscle, day] = y = programme.choice(cost=cost)
            sets[muscle, day] = x = programme.variable(low=own, high=MOST_SETS_A_DAY, whole=True)
            programme.row({x: 1.0, y: -MOST_SETS_A_DAY}, high=0.0)
            if not own:
                programme.row({x: 1.0, y: -float(FEWEST_SETS)}, low=0.0)
            programme.row({peak: 1.0, x: -1.0}, low=0.0)
        programme.row({trained[muscle, day]: 1.0 for day in room.days}, high=min(MOST_EXPOSURES, len(room.days)))
        _keep_apart(programme, [trained[muscle, day] for day in room.days], room.days)
    _aim(programme, wanted, sets, room.days, _indirect(muscles, candidates))
    _fit(programme, sets, room, {muscle: _set_s(muscle, muscles, candidates, pace) for muscle in muscles})
    _bring_together(programme, muscles, trained, room.days, candidates)
    values = programme.solved(nodes=NODES, gap=GAP)
    if values is None:
        return {}
    return {key: int(values[x]) for key, x in sets.items() if values[x] >= 1.0}


def _keep_apart(programme: Programme, trained: Sequence[int], days: Sequence[int]) -> None:
    for place, day in enumerate(days):
        after = (place + 1) % len(days)
        if after != place and (days[after] - day) % DAYS == 1:
            both = programme.variable(cost=CONSECUTIVE_COST)
            programme.row({trained[place]: 1.0, trained[after]: 1.0, both: -1.0}, high=1.0)


def _aim(
    programme: Programme,
    wanted: Sequence[Target],
    sets: Mapping[tuple[Muscle, int], int],
    days: Sequence[int],
    indirect: Mapping[tuple[Muscle, Muscle], float],
) -> None:
    for target in wanted:
        if (target.muscle, days[0]) not in sets:
            continue
        terms = {
            sets[muscle, day]: (1.0 if muscle is target.muscle else indirect.get((muscle, target.muscle), 0.0))
            for muscle, day in sets
        }
        low = programme.variable(cost=SHORT_COST * target.weight)
        programme.row({**terms, low: 1.0}, low=target.sets - TOLERANCE_BELOW)
        high = programme.variable(cost=OVER_COST)
        programme.row({**terms, high: -1.0}, high=target.sets + TOLERANCE_ABOVE)
        programme.distance(terms, to=target.sets, cost=1.0, cost_above=0.5)


def _fit(
    programme: Programme, sets: Mapping[tuple[Muscle, int], int], room: Room, set_s: Mapping[Muscle, float]
) -> None:
    fullest = programme.variable(cost=FULLEST_COST)
    for day in room.days:
        terms = {x: set_s[muscle] for (muscle, when), x in sets.items() if when == day}
        own = sum(room.main_sets.get(day, 0) * set_s[muscle] for muscle, when in sets if when == day)
        # The main lift's time is taken off the room already.
        mains = sum(
            room.main_sets.get(day, 0) * set_s[muscle]
            for muscle, when in sets
            if when == day and muscle in room.main.direct
        )
        del own
        over = programme.variable(cost=SHORT_COST / 60.0)
        programme.row({**terms, over: -1.0}, high=room.seconds[day] + mains)
        programme.row({**terms, fullest: -1.0}, high=room.seconds[day] + mains - max(room.seconds.values()))


def _bring_together(
    programme: Programme,
    muscles: Sequence[Muscle],
    trained: Mapping[tuple[Muscle, int], int],
    days: Sequence[int],
    candidates: Mapping[Muscle, tuple[Exercise, ...]],
) -> None:
    for place, one in enumerate(muscles):
        for other in muscles[place + 1 :]:
            together = min(
                sum(other in each.direct for each in candidates[one]) / len(candidates[one]),
                sum(one in each.direct for each in candidates[other]) / len(candidates[other]),
            )
            if together >= 0.25:
                for day in days:
                    terms = {trained[one, day]: 1.0, trained[other, day]: -1.0}
                    programme.distance(terms, to=0.0, cost=APART_COST * together)


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
        (lift_s(Role.PRESS, lift, sets=4, reps=(MULTI_JOINT if lift.multi_joint else SINGLE_JOINT).top, pace=pace)
        + pace.change_s) / 4 / _shared(lift, muscles)
        for lift in candidates[muscle]
    ]
    return sum(times) / len(times)


def _shared(lift: Exercise, muscles: Sequence[Muscle]) -> int:
    return max(1, len(lift.direct & frozenset(muscles)))
