"""Alternatives: other exercises that train the same and can be done with what is at hand."""

from collections.abc import Collection

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue, Exercise
from core.domain.plans import Wishes
from core.planning.targets import allowed

MOST_ALTERNATIVES = 3
"""Most exercises offered in place of one. [exercises]"""


def alternatives(
    exercise: Exercise, catalogue: Catalogue, wishes: Wishes, owned: Owned, *, besides: Collection[str] = ()
) -> tuple[str, ...]:
    """Exercises that train the most of the same muscles directly, the same movement first, each with another equipment.

    Whoever asks for another lift mostly cannot get at what this one needs: plain lifts with other equipment go first.

    Args:
        exercise: What they stand in for.
        catalogue: The lifts there are.
        wishes: What may not be planned.
        owned: What is at hand.
        besides: Names that are no alternative: they are in the session already.

    """
    fitting = [
        (
            each.pattern is not exercise.pattern,
            each.equipment is exercise.equipment,
            each.variation_of is not None,
            -len(each.direct & exercise.direct),
            number,
            each,
        )
        for number, each in enumerate(catalogue)
        if each.direct & exercise.direct
        and each.multi_joint is exercise.multi_joint
        and each.name != exercise.name
        and each.name not in besides
        and each.variation_of in (None, exercise.variation_of or exercise.name)
        and allowed(each, wishes, owned)
    ]
    found: list[Exercise] = []
    for *_, each in sorted(fitting, key=lambda one: one[:-1]):
        if len(found) < MOST_ALTERNATIVES and all(each.equipment is not other.equipment for other in found):
            found.append(each)
    return tuple(each.name for each in found)
