"""Session lifts: what each day may have, and what that depends on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from core.domain.exercises import Exercise, Muscle, Pattern
from core.domain.plans import DayKind, Role
from core.planning.minutes import USUAL_PACE, Pace
from core.planning.targets import PRESSES, Target
from core.planning.undulation import BACK_OFF_SETS

CANDIDATES_A_DAY = 2
"""Lifts considered for a muscle on one day, of its candidates. [exercises]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What the choice is made from.

    Args:
        days: Weekdays of the sessions, in order.
        kinds: Kind of each pressing day.
        variation_day: The pressing day that trains a variation in place of the main lift.
        main: The main lift.
        variations: Lifts that may stand in for it there.
        wanted: Weekly targets.
        candidates: Exercises of each muscle, the ones to prefer first.
        guide: Direct sets of each muscle on each day by the first programme. [sets]
        seconds: Longest session. [s]
        ceiling: Most weekly hard sets of any muscle. [sets]
        liked: Names of exercises to be in the week.
        previous: Sets by day and name of the exercise in the week before; None if there was none. [sets]
        pace: How long things take.

    """

    days: tuple[int, ...]
    kinds: Mapping[int, DayKind]
    variation_day: int | None
    main: Exercise
    variations: tuple[Exercise, ...]
    wanted: tuple[Target, ...]
    candidates: Mapping[Muscle, tuple[Exercise, ...]]
    guide: Mapping[tuple[Muscle, int], int]
    seconds: int
    ceiling: float
    liked: frozenset[str] = frozenset()
    previous: Mapping[tuple[int, str], int] | None = None
    pace: Pace = USUAL_PACE

    def main_kind(self, day: int) -> DayKind | None:
        """Kind of a day on which the main lift itself is trained; None on other days."""
        return None if day == self.variation_day else self.kinds.get(day)


def hard(terms: Terms, exercise: Exercise, day: int) -> bool:
    """Whether the sets of an exercise on a day are hard sets: the main lift's power sets are not."""
    return exercise is not terms.main or terms.main_kind(day) is not DayKind.POWER


def back_offs(terms: Terms) -> int:
    """Back-off sets that may follow the main lift: two where it is trained on one day only. [sets]"""
    return BACK_OFF_SETS if len(terms.kinds) == 1 else 0


def role_of(terms: Terms, exercise: Exercise, day: int) -> Role:
    """What an exercise is to the session of a day."""
    if exercise is terms.main and terms.main_kind(day) is not None:
        return Role.MAIN
    return role_beside(exercise)


def role_beside(exercise: Exercise) -> Role:
    """What an exercise is to a session whose main lift it is not."""
    if exercise.pattern in PRESSES:
        return Role.PRESS
    if exercise.pattern is Pattern.HORIZONTAL_PULL:
        return Role.ROW
    return Role.MULTI_JOINT if exercise.multi_joint else Role.SINGLE_JOINT


def offered(terms: Terms) -> list[tuple[Exercise, int]]:
    """Exercises that each day may have: the main lift on its days, else those that train a muscle of the day."""
    found: dict[tuple[str, int], tuple[Exercise, int]] = {}
    ranks = candidate_ranks(terms)
    for day in terms.days:
        if terms.main_kind(day) is not None:
            found[terms.main.name, day] = terms.main, day
        if day == terms.variation_day:
            found.update({(each.name, day): (each, day) for each in terms.variations})
        for each in _day_candidates(terms, day, ranks):
            found.setdefault((each.name, day), (each, day))
    return list(found.values())


def _day_candidates(terms: Terms, day: int, ranks: Mapping[str, int]) -> list[Exercise]:
    """Lifts of one day: for each of its muscles the two that suit it best, liked ones, and the week before's.

    A lift suits a day whose muscles it trains directly, none of another day; horizontal pulls suit any day of either of
    their muscles, for presses ask for them.
    """
    targets = {each.muscle for each in terms.wanted}
    muscles = [muscle for muscle, when in terms.guide if when == day]
    chosen: dict[str, Exercise] = {}
    for target in terms.wanted:
        fitting: list[tuple[tuple[int, int], Exercise]] = []
        for each in terms.candidates.get(target.muscle, ()):
            if each is terms.main:
                continue
            if terms.previous is not None and (day, each.name) in terms.previous:
                chosen[each.name] = each
            here = sum(muscle in each.direct for muscle in muscles)
            suits = here == len(each.direct & targets) or each.pattern is Pattern.HORIZONTAL_PULL
            if target.muscle in muscles and suits:
                if each.name in terms.liked:
                    chosen[each.name] = each
                else:
                    fitting.append(((-here, ranks[each.name]), each))
        fitting.sort(key=lambda item: item[0])
        chosen.update({each.name: each for each in _two_of([each for _, each in fitting])})
    return list(chosen.values())


def _two_of(fitting: Sequence[Exercise]) -> Sequence[Exercise]:
    # A second one of another movement if there is one: each press asks for a pull, an extension does not.
    first = fitting[:1]
    others = [each for each in fitting[1:] if _movement(each) != _movement(first[0])] if first else []
    return [*first, *(others or fitting[1:])[: CANDIDATES_A_DAY - 1]]


def _movement(exercise: Exercise) -> str:
    return "press" if exercise.pattern in PRESSES else exercise.pattern


def candidate_ranks(terms: Terms) -> dict[str, int]:
    """Best place of each exercise among the candidates of its muscles, from 0."""
    ranks: dict[str, int] = {}
    for each in terms.candidates.values():
        for place, exercise in enumerate(each):
            ranks[exercise.name] = min(place, ranks.get(exercise.name, place))
    return ranks
