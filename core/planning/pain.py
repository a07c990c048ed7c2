"""Pain: what an answer to the pain question changes, and which exercises avoid the place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue, Equipment, Exercise, Pattern
from core.domain.plans import Wishes
from core.domain.prescriptions import Change, Place
from core.planning.returns import Adjustment
from core.planning.targets import PRESSES, allowed

MOST_SUBSTITUTES = 3
"""Most exercises offered in place of one. [exercises]"""


class Ache(StrEnum):
    """The three answers to the pain question."""

    FADES = "fades as I warm up"
    CHANGES = "changes how I lift"
    SHARP = "sharp, sudden or numb"


@dataclass(frozen=True, slots=True)
class Keep:
    """The exercise stays, with one more left and no added sets or load; gentler ways to do it are offered."""

    exercise: str
    adjustment: Adjustment
    gentler: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OutThisWeek:
    """The exercise is out this week; others avoid the place."""

    exercise: str
    substitutes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RegionEnds:
    """Work that loads the place ends today, and a clinician is to look at it; what is left avoids the place.

    Args:
        place: The place.
        ended: Exercises of today's session that load it.
        same_day: Medical care the same day, and no pressing until then.

    """

    place: Place
    ended: tuple[str, ...]
    same_day: bool


PainDecision = Keep | OutThisWeek | RegionEnds

FADING = Adjustment(change=Change.FADING_ACHE, more_left=1.0)
"""An ache that fades: one more left and nothing goes up."""


def pain_decision(
    answer: Ache,
    place: Place,
    exercise: Exercise,
    *,
    session: Sequence[str],
    catalogue: Catalogue,
    wishes: Wishes,
    owned: Owned,
    again: bool = False,
    popped: bool = False,
) -> PainDecision:
    """What an answer to the pain question changes.

    Args:
        answer: The answer.
        place: Where it hurts.
        exercise: The lift in which it hurts.
        session: Names of the lifts of today's session that are not done yet.
        catalogue: The lifts there are.
        wishes: What may not be planned.
        owned: What is at hand.
        again: The same ache was told at the check-in before: then it counts as changing the lift.
        popped: A sudden pop or tear at shoulder or armpit, with weakness or bruising.

    """
    if answer is Ache.SHARP or popped:
        loading = [name for name in session if (each := catalogue.get(name)) is not None and _ends(each, place, popped)]
        return RegionEnds(place, tuple(loading), same_day=popped)
    if answer is Ache.CHANGES or again:
        return OutThisWeek(exercise.name, substitutes(exercise, place, catalogue, wishes, owned))
    return Keep(exercise.name, FADING, gentler(exercise, catalogue, wishes, owned))


def substitutes(
    exercise: Exercise, place: Place, catalogue: Catalogue, wishes: Wishes, owned: Owned
) -> tuple[str, ...]:
    """Exercises that train one of the same muscles and do not load the place, the nearest first.

    Those that train what the exercise trains directly come before those that train what it trains indirectly.
    """
    fitting = [
        (-len(each.direct & exercise.direct), each.pattern is not exercise.pattern, number, each.name)
        for number, each in enumerate(catalogue)
        if each.direct & (exercise.direct | exercise.indirect)
        and place not in loaded_places(each)
        and each.name != exercise.name
        and each.variation_of is None
        and allowed(each, wishes, owned)
    ]
    return tuple(name for *_, name in sorted(fitting)[:MOST_SUBSTITUTES])


def gentler(exercise: Exercise, catalogue: Catalogue, wishes: Wishes, owned: Owned) -> tuple[str, ...]:
    """Ways to do the same movement that leave the joints freer: with dumbbells or cables, or with another grip."""
    family = exercise.variation_of or exercise.name
    fitting = [
        (each.equipment not in _FREER, number, each.name)
        for number, each in enumerate(catalogue)
        if each.pattern is exercise.pattern
        and each.direct & exercise.direct
        and each.name != exercise.name
        and (each.equipment in _FREER or (each.variation_of == family and "grip" in each.name))
        and allowed(each, wishes, owned)
    ]
    return tuple(name for *_, name in sorted(fitting)[:MOST_SUBSTITUTES])


def loaded_places(exercise: Exercise) -> frozenset[Place]:
    """Places of the body that a lift loads, by its movement; a lift with an own pattern is taken to load many."""
    return _LOADED[exercise.pattern]


def _ends(exercise: Exercise, place: Place, popped: bool) -> bool:  # noqa: FBT001 - a flag passed on as it came
    return place in loaded_places(exercise) or (popped and exercise.pattern in PRESSES)


_FREER = frozenset({Equipment.DUMBBELL, Equipment.CABLE, Equipment.RINGS})

_ARM = frozenset({Place.SHOULDER, Place.ELBOW, Place.WRIST})
_LEG = frozenset({Place.HIP, Place.KNEE, Place.ANKLE})
_TRUNK = frozenset({Place.LOWER_BACK, Place.UPPER_BACK, Place.NECK})

_LOADED: Mapping[Pattern, frozenset[Place]] = {
    Pattern.HORIZONTAL_PRESS: _ARM,
    Pattern.VERTICAL_PRESS: _ARM | {Place.NECK, Place.LOWER_BACK},
    Pattern.HORIZONTAL_PULL: _ARM | {Place.UPPER_BACK, Place.LOWER_BACK},
    Pattern.VERTICAL_PULL: _ARM | {Place.UPPER_BACK},
    Pattern.SQUAT: _LEG | {Place.LOWER_BACK, Place.UPPER_BACK},
    Pattern.HINGE: frozenset({Place.HIP, Place.LOWER_BACK, Place.UPPER_BACK, Place.WRIST, Place.KNEE}),
    Pattern.LUNGE: _LEG | {Place.LOWER_BACK},
    Pattern.HIP_EXTENSION: frozenset({Place.HIP, Place.LOWER_BACK}),
    Pattern.HIP_ABDUCTION: frozenset({Place.HIP}),
    Pattern.HIP_ADDUCTION: frozenset({Place.HIP}),
    Pattern.KNEE_EXTENSION: frozenset({Place.KNEE}),
    Pattern.KNEE_FLEXION: frozenset({Place.KNEE}),
    Pattern.CALF_RAISE: frozenset({Place.ANKLE}),
    Pattern.CHEST_FLY: frozenset({Place.SHOULDER, Place.ELBOW}),
    Pattern.PULLOVER: frozenset({Place.SHOULDER, Place.ELBOW}),
    Pattern.SHOULDER_RAISE: frozenset({Place.SHOULDER, Place.NECK}),
    Pattern.REAR_SHOULDER_RAISE: frozenset({Place.SHOULDER, Place.UPPER_BACK}),
    Pattern.SHOULDER_ROTATION: frozenset({Place.SHOULDER}),
    Pattern.SHRUG: frozenset({Place.NECK, Place.UPPER_BACK, Place.SHOULDER}),
    Pattern.ELBOW_FLEXION: frozenset({Place.ELBOW, Place.WRIST}),
    Pattern.ELBOW_EXTENSION: frozenset({Place.ELBOW, Place.WRIST}),
    Pattern.WRIST: frozenset({Place.WRIST, Place.ELBOW}),
    Pattern.TRUNK: frozenset({Place.LOWER_BACK, Place.HIP, Place.NECK}),
    Pattern.CARRY: _ARM | _LEG | _TRUNK,
    Pattern.WHOLE_BODY: _ARM | _LEG | _TRUNK,
}
"""Places that each movement loads: anatomy, in the broad sense that is careful when something hurts."""
