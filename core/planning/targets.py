"""Targets: how many hard sets a week each muscle is to get, and which exercises may train it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue, Equipment, Exercise, Muscle, Pattern
from core.domain.plans import Wishes

USUAL_FIRST = 8.0
"""Weekly sets to start from for what matters most. [sets] From 5 to 10, cp."""

USUAL_REST = 6.0
"""Weekly sets to start from for the rest. [sets] From 5 to 10, cp."""

TOLERANCE_BELOW = 1.0
"""How far below its target a muscle may stay. [sets]"""

TOLERANCE_ABOVE = 2.0
"""How far above its target a muscle may go: lifts train several muscles, so not all can be met exactly. [sets]"""

MOST_CANDIDATES = 4
"""Most exercises that are considered for a muscle. [exercises]"""

MUSCLES = (
    Muscle.CHEST,
    Muscle.FRONT_SHOULDERS,
    Muscle.SIDE_SHOULDERS,
    Muscle.REAR_SHOULDERS,
    Muscle.TRICEPS,
    Muscle.BICEPS,
    Muscle.LATS,
    Muscle.UPPER_BACK,
    Muscle.GLUTES,
    Muscle.QUADRICEPS,
    Muscle.HAMSTRINGS,
)
"""Muscles that have a target unless they are left out. The others get one when they are told to matter, or when the
lifter trains them now; else they get what comes along."""

PRESSES = frozenset({Pattern.HORIZONTAL_PRESS, Pattern.VERTICAL_PRESS})
"""Movements that horizontal pulls are to equal in weekly sets."""

_AIDS = frozenset({Equipment.BAND, Equipment.SLED, Equipment.PLATE})
_SECOND_BEST = frozenset(
    {Equipment.BODYWEIGHT, Equipment.RINGS, Equipment.WHEEL, Equipment.KETTLEBELL, Equipment.GUIDED_BAR}
)
_UNUSUAL = frozenset({Pattern.CARRY, Pattern.WHOLE_BODY, Pattern.SHOULDER_ROTATION})


@dataclass(frozen=True, slots=True)
class Target:
    """Weekly hard sets aimed at for one muscle.

    Args:
        muscle: Which.
        sets: Aim. [sets]
        weight: What a missing set weighs beside one of another muscle. [1]

    """

    muscle: Muscle
    sets: float
    weight: float


def targets(wishes: Wishes) -> tuple[Target, ...]:
    """Weekly hard sets to aim at, the muscles that matter most first.

    What the lifter does now, else 8 for what matters most and 6 for the rest, between floor and ceiling; more where it
    comes along with another muscle's sets anyway.
    """
    now = dict(wishes.sets_now)
    wanted = [muscle for muscle in wishes.most if muscle not in wishes.left_out]
    rest = [muscle for muscle in (*MUSCLES, *now) if muscle not in wishes.left_out and muscle not in wanted]
    found = []
    for place, muscle in enumerate(dict.fromkeys((*wanted, *rest))):
        usual = USUAL_FIRST if muscle in wishes.most else USUAL_REST
        sets = min(max(now.get(muscle, usual), wishes.floor), wishes.ceiling)
        weight = 4.0 - min(place, 2) * 0.5 if muscle in wishes.most else 1.0
        found.append(Target(muscle, sets, weight))
    aims = {each.muscle: each.sets for each in found}
    for muscle, other, share in _COMES_ALONG:
        if muscle in aims and other in aims:
            aims[muscle] = min(max(aims[muscle], share * aims[other]), wishes.ceiling)
    return tuple(Target(each.muscle, aims[each.muscle], each.weight) for each in found)


_COMES_ALONG = (
    (Muscle.UPPER_BACK, Muscle.CHEST, 1.0),
    (Muscle.FRONT_SHOULDERS, Muscle.CHEST, 0.5),
    (Muscle.TRICEPS, Muscle.CHEST, 0.5),
    (Muscle.REAR_SHOULDERS, Muscle.UPPER_BACK, 0.5),
    (Muscle.BICEPS, Muscle.UPPER_BACK, 0.5),
)
"""Muscle, another one, and what the first gets at least for each set of the other: pulls are to be as many as presses,
and presses and pulls train the others indirectly. [1]"""


def allowed(exercise: Exercise, wishes: Wishes, owned: Owned) -> bool:
    """Whether an exercise may be planned at all: its equipment is there, it counts, and it was not banned."""
    return (
        owned.offers(exercise.equipment)
        and exercise.name not in wishes.banned
        and not exercise.timed
        and bool(exercise.direct)
        and not _left_out(exercise, wishes)
    )


def _left_out(exercise: Exercise, wishes: Wishes) -> bool:
    # Pulls stay while one of their muscles does: presses ask for them.
    if exercise.pattern is Pattern.HORIZONTAL_PULL:
        return exercise.direct <= wishes.left_out
    return bool(exercise.direct & wishes.left_out)


def candidates(
    wanted: Iterable[Target], wishes: Wishes, owned: Owned, catalogue: Catalogue, *, keep: Sequence[str] = ()
) -> dict[Muscle, tuple[Exercise, ...]]:
    """At most four exercises for each muscle, the ones to prefer first.

    Liked ones come first, then those of the week before, then plain lifts before variations, in the catalogue's order;
    of each movement no more than two, so that there is a choice.

    Args:
        wanted: Muscles with a target.
        wishes: What the lifter likes and bans.
        owned: What is at hand.
        catalogue: The lifts there are.
        keep: Names of the exercises of the week before.

    """
    usable = [each for each in catalogue if allowed(each, wishes, owned)]
    kept = frozenset(keep)
    return {target.muscle: _candidates(target.muscle, usable, wishes.liked, kept) for target in wanted}


def _candidates(
    muscle: Muscle, usable: Sequence[Exercise], liked: frozenset[str], kept: frozenset[str]
) -> tuple[Exercise, ...]:
    training = [
        (_rank(each, liked, kept), place, each)
        for place, each in enumerate(usable)
        if muscle in each.direct and (each.name in liked or each.name in kept or not _unusual(each))
    ]
    ordered = [each for _, _, each in sorted(training, key=lambda item: item[:2])]
    chosen: list[Exercise] = []
    of_pattern: dict[Pattern, int] = {}
    # First one of each movement, then a second one.
    for most in (1, 2):
        for each in ordered:
            wished = each.name in liked or each.name in kept
            if each not in chosen and len(chosen) < MOST_CANDIDATES:
                if of_pattern.get(each.pattern, 0) >= most and not wished:
                    continue
                chosen.append(each)
                of_pattern[each.pattern] = of_pattern.get(each.pattern, 0) + 1
    return tuple(chosen)


def _rank(exercise: Exercise, liked: frozenset[str], kept: frozenset[str]) -> int:
    if exercise.name in liked:
        return 0
    if exercise.name in kept:
        return 1
    # What anyone can load in small steps comes first; one side at a time takes twice as long.
    rank = 2 + exercise.one_side + (exercise.equipment in _SECOND_BEST) + (len(exercise.direct) > 2)
    if exercise.variation_of is None:
        return rank
    return rank + (2 if exercise.equipment is Equipment.BARBELL else 1)


def _unusual(exercise: Exercise) -> bool:
    return exercise.pattern in _UNUSUAL or exercise.equipment in _AIDS or exercise.assisted


def credit(exercise: Exercise, muscle: Muscle) -> float:
    """What one hard set of an exercise counts for a muscle: direct 1, indirect 0.5 (Pelland et al. 2024). [sets]"""
    return 1.0 if muscle in exercise.direct else 0.5 if muscle in exercise.indirect else 0.0


def counted(sets: Mapping[str, float], catalogue: Catalogue) -> dict[Muscle, float]:
    """Weekly hard sets by muscle of hard sets by exercise. [sets]"""
    found: dict[Muscle, float] = {}
    for name, count in sets.items():
        exercise = catalogue.get(name)
        if exercise is not None:
            for muscle in sorted(exercise.direct | exercise.indirect):
                found[muscle] = found.get(muscle, 0.0) + credit(exercise, muscle) * count
    return found
