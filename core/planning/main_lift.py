"""The main lift: the one that was wished, or the one that stands nearest to it with what is at hand."""

from dataclasses import replace

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue, Equipment, Exercise
from core.domain.plans import Wishes

_NEAREST = (
    Equipment.BARBELL,
    Equipment.DUMBBELL,
    Equipment.MACHINE,
    Equipment.GUIDED_BAR,
    Equipment.CABLE,
    Equipment.KETTLEBELL,
    Equipment.BODYWEIGHT,
)


def with_possible_main(wishes: Wishes, owned: Owned, catalogue: Catalogue) -> Wishes:
    """The wishes with a main lift that can be done: what is loaded most like a barbell, plain lifts first.

    The same wishes where theirs can be done, or where nothing moves alike.
    """
    main = catalogue.get(wishes.main)
    if main is None or owned.offers(main.equipment):
        return wishes
    others = [each for each in catalogue if _can_stand_in(each, main, wishes, owned)]
    if not others:
        return wishes
    nearest = min(others, key=_distance)
    return replace(wishes, main=nearest.name)


def _can_stand_in(exercise: Exercise, main: Exercise, wishes: Wishes, owned: Owned) -> bool:
    return (
        exercise.pattern is main.pattern
        and exercise.equipment in _NEAREST
        and owned.offers(exercise.equipment)
        and exercise.name not in wishes.banned
        and exercise.multi_joint
        and not (exercise.assisted or exercise.timed or exercise.one_side)
    )


def _distance(exercise: Exercise) -> tuple[int, bool]:
    return _NEAREST.index(exercise.equipment), exercise.variation_of is not None
