"""Cues: one technique reminder a session for the main lift, by rotation, more often where it fails."""

from collections.abc import Mapping

from core.domain.session_commands import Cue

MOST_WEIGHT = 3
"""Most that a cue is weighed beside the others, however often it failed. [1] The others stay in the rotation."""


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
