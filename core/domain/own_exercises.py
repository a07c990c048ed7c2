"""A lifter's own exercises: what can be told of one from its name, its muscle and its first sets."""

from collections.abc import Mapping

from core.domain.exercises import Equipment, Exercise, Muscle, Pattern
from core.domain.names import fold

LOWER_BODY = frozenset({Muscle.GLUTES, Muscle.QUADRICEPS, Muscle.HAMSTRINGS, Muscle.ADDUCTORS, Muscle.CALVES})
"""Muscles whose lifts follow the repetition curve of the legs. Anatomy."""

STEP_KG, DUMBBELL_STEP_KG = 2.5, 2.0
"""Usual smallest steps. [kg] Common practice, no source."""

_WORDS: Mapping[str, Equipment] = {
    **dict.fromkeys(("barbell", "bb", "ez"), Equipment.BARBELL),
    **dict.fromkeys(("dumbbell", "dumbell", "db", "dbs"), Equipment.DUMBBELL),
    **dict.fromkeys(("kettlebell", "kb"), Equipment.KETTLEBELL),
    **dict.fromkeys(("cable", "rope", "pulley"), Equipment.CABLE),
    **dict.fromkeys(("machine", "lever", "plate loaded"), Equipment.MACHINE),
    **dict.fromkeys(("band", "banded"), Equipment.BAND),
    **dict.fromkeys(("ring",), Equipment.RINGS),
    **dict.fromkeys(("sled", "prowler"), Equipment.SLED),
    **dict.fromkeys(("bodyweight", "bw"), Equipment.BODYWEIGHT),
    "trap bar": Equipment.TRAP_BAR,
    "safety bar": Equipment.SAFETY_BAR,
    "plate": Equipment.PLATE,
}
"""Words of a name, folded, that tell what a lift is loaded with; of several the longest counts, then the first."""

_ONE_SIDE = ("one arm", "single arm", "one leg", "single leg")


def equipment_told(name: str) -> Equipment | None:
    """What a name says that a lift is loaded with; None if it says nothing.

    >>> equipment_told("cable wood chop").value
    'cable'

    """
    padded = f" {fold(name)} "
    told = [(-words.count(" "), padded.index(f" {words} "), words) for words in _WORDS if f" {words} " in padded]
    return _WORDS[min(told)[2]] if told else None


def own_exercise(name: str, muscle: Muscle | None, equipment: Equipment | None) -> Exercise:
    """An exercise of a lifter's own.

    Args:
        name: As it is kept.
        muscle: What it trains most; None counts it for no muscle.
        equipment: What it is loaded with; None takes it for a machine, on which nothing is assumed of the load.

    """
    padded = f" {fold(name)} "
    one_side = any(f" {words} " in padded for words in _ONE_SIDE)
    loaded = equipment or Equipment.MACHINE
    return Exercise(
        name=name,
        equipment=loaded,
        pattern=Pattern.WHOLE_BODY,
        direct=frozenset() if muscle is None else frozenset({muscle}),
        multi_joint=True,
        lower_body=muscle in LOWER_BODY,
        one_side=one_side,
        per_hand=loaded is Equipment.DUMBBELL and not one_side,
        bar=loaded is Equipment.BARBELL and " ez " not in padded,
        step_kg=DUMBBELL_STEP_KG if loaded is Equipment.DUMBBELL else STEP_KG,
    )
