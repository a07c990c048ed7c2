"""Cues: one technique reminder a session for the main lift, by rotation, more often where it fails."""

from collections.abc import Mapping
from enum import StrEnum

MOST_WEIGHT = 3
"""Most that a cue is weighed beside the others, however often it failed. [1] The others stay in the rotation."""


class Cue(StrEnum):
    """What a reminder is about; its words belong to the rendering."""

    BLADES = "shoulder blades back and down through every rep"
    FEET = "feet set before the unrack"
    GRIP = "grip marked and not wider than 1.5 shoulder widths"  # Green & Comfort 2007
    ELBOWS = "elbows 45 to 60 degrees from the trunk"  # common practice, no source
    WRISTS = "wrist over elbow seen from the feet"  # common practice, no source
    PATH = "from the chest up and back towards the shoulders"  # cp; Madsen & McLaughlin 1984


def cue(shown: Mapping[Cue, int], failing: Mapping[Cue, int]) -> Cue:
    """The reminder of the next session.

    Each comes in turn; one that the lifter said fails comes two or three times as often as the others.

    Args:
        shown: How often each was shown already.
        failing: How often the lifter said that each fails.

    """
    return min(Cue, key=lambda each: ((shown.get(each, 0) + 1) / _weight(each, failing), list(Cue).index(each)))


def _weight(one: Cue, failing: Mapping[Cue, int]) -> int:
    return min(1 + failing.get(one, 0), MOST_WEIGHT)
