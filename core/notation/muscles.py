"""Muscles: names for them, as lifters write them."""

import re
from collections.abc import Mapping

from core.domain.exercises import Muscle


def muscles_named(rest: str) -> tuple[Muscle, ...] | None:
    """Muscles of a list of names, in order; None if something in it is no muscle."""
    words = [
        word
        for word in re.split(r"[ ,;&/+]+", rest)
        if word and word not in ("and", "my", "the", "most", "first", "then")
    ]
    found: list[Muscle] = []
    place = 0
    while place < len(words):
        for size in (2, 1):
            told = " ".join(words[place : place + size])
            muscles = _MUSCLES.get(told)
            if muscles is not None:
                found += muscles
                place += size
                break
        else:
            return None
    return tuple(dict.fromkeys(found)) or None


_MUSCLES: Mapping[str, tuple[Muscle, ...]] = {
    **{str(muscle): (muscle,) for muscle in Muscle},
    **dict.fromkeys(("pecs", "pec", "bench", "pressing"), (Muscle.CHEST,)),
    **dict.fromkeys(("back",), (Muscle.UPPER_BACK, Muscle.LATS)),
    **dict.fromkeys(("shoulders", "delts"), (Muscle.SIDE_SHOULDERS, Muscle.FRONT_SHOULDERS, Muscle.REAR_SHOULDERS)),
    **dict.fromkeys(("front delts",), (Muscle.FRONT_SHOULDERS,)),
    **dict.fromkeys(("side delts",), (Muscle.SIDE_SHOULDERS,)),
    **dict.fromkeys(("rear delts",), (Muscle.REAR_SHOULDERS,)),
    **dict.fromkeys(("arms",), (Muscle.BICEPS, Muscle.TRICEPS)),
    **dict.fromkeys(("legs",), (Muscle.QUADRICEPS, Muscle.HAMSTRINGS, Muscle.GLUTES)),
    **dict.fromkeys(("quads", "quad"), (Muscle.QUADRICEPS,)),
    **dict.fromkeys(("hams", "hamstring"), (Muscle.HAMSTRINGS,)),
    **dict.fromkeys(("traps", "upper traps"), (Muscle.UPPER_BACK,)),
    **dict.fromkeys(("lat",), (Muscle.LATS,)),
    **dict.fromkeys(("core", "abdominals"), (Muscle.ABS,)),
    **dict.fromkeys(("calf",), (Muscle.CALVES,)),
    **dict.fromkeys(("glute", "hips"), (Muscle.GLUTES,)),
    **dict.fromkeys(("bicep",), (Muscle.BICEPS,)),
    **dict.fromkeys(("tricep",), (Muscle.TRICEPS,)),
}
