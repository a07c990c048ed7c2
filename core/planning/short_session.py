"""A short session: the most valuable sets of a session that fit into fewer minutes."""

from collections.abc import Collection
from dataclasses import replace
from math import inf

from core.domain.exercises import Catalogue, Exercise, Muscle
from core.domain.plans import PlannedLift, PlannedSession, Role
from core.planning.minutes import USUAL_PACE, Pace, session_s, warm_up_s
from core.planning.targets import credit
from core.planning.undulation import FEWEST_SETS

MAIN_VALUE = 4.0
"""What a set of the main lift is worth beside one of another lift. [1]"""

MOST_VALUE = 2.0
"""What a set is worth for a muscle that matters most, beside another muscle. [1]"""

WANING = 0.8
"""What each further set of one lift is worth beside the one before: returns diminish (Pelland et al. 2024). [1] The
figure is the program's own."""


def short_session(
    session: PlannedSession,
    minutes: int,
    catalogue: Catalogue,
    *,
    most: tuple[Muscle, ...] = (),
    warm: Collection[tuple[str, Role]] = (),
    finding: Collection[tuple[str, Role]] = (),
    pace: Pace = USUAL_PACE,
) -> PlannedSession:
    """The session with the sets that are worth most for their time, at most so long. [min].

    Three sets of the main lift come first; then sets go in one by one, each where it is worth most for the time that it
    takes. Lifts stay in their order. May be empty where not even one set fits.

    Args:
        session: As planned.
        minutes: Time there is. [min]
        catalogue: The lifts there are.
        most: Muscles that matter most.
        warm: Lifts, by name and role, that are under way: their warm-up is done.
        finding: Lifts, by name and role, whose load is still to be found: one set of them would be all finding.
        pace: How long things take.

    """
    lifts = [(lift, exercise) for lift in session.lifts if (exercise := catalogue.get(lift.exercise)) is not None]
    taken = [0] * len(lifts)
    room = minutes * 60

    def time(counts: list[int]) -> int:
        pairs = [(replace(lift, sets=n), each) for (lift, each), n in zip(lifts, counts, strict=True) if n]
        done = sum(warm_up_s(lift.role, each, pace) for lift, each in pairs if (lift.exercise, lift.role) in warm)
        return session_s(pairs, pace) - done

    while True:
        now = time(taken)
        best: tuple[float, int] | None = None
        for place, (lift, exercise) in enumerate(lifts):
            if taken[place] == lift.sets or (lift.role is Role.BACK_OFF and not _main_taken(lifts, taken)):
                continue
            more = [*taken[:place], taken[place] + 1, *taken[place + 1 :]]
            needed = time(more)
            if needed > room:
                continue
            worth = _value(lift, exercise, most) * WANING ** taken[place] / max(needed - now, 1)
            if lift.role is Role.MAIN and taken[place] < FEWEST_SETS:
                worth = inf
            if best is None or worth > best[0]:
                best = worth, place
        if best is None:
            break
        taken[best[1]] += 1
    alone = [
        place
        for place, (lift, _) in enumerate(lifts)
        if taken[place] == 1 < lift.sets and (lift.exercise, lift.role) in finding
    ]
    if alone:
        others = tuple(lift for place, (lift, _) in enumerate(lifts) if place != alone[-1])
        session = replace(session, lifts=others)
        return short_session(session, minutes, catalogue, most=most, warm=warm, finding=finding, pace=pace)
    kept = tuple(replace(lift, sets=n) for (lift, _), n in zip(lifts, taken, strict=True) if n)
    return replace(session, lifts=kept, seconds=time(taken))


def _value(lift: PlannedLift, exercise: Exercise, most: tuple[Muscle, ...]) -> float:
    trained = exercise.direct | exercise.indirect
    value = sum(credit(exercise, muscle) * (MOST_VALUE if muscle in most else 1.0) for muscle in sorted(trained))
    return value * (MAIN_VALUE if lift.role is Role.MAIN else 1.0)


def _main_taken(lifts: list[tuple[PlannedLift, Exercise]], taken: list[int]) -> bool:
    return any(lift.role is Role.MAIN and n for (lift, _), n in zip(lifts, taken, strict=True))
