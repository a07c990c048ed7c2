"""Plausibility: a load whose maximum would lie far above the estimate is asked about before it counts."""

from collections.abc import Sequence

from core.application import replay
from core.application.turn import Turn
from core.domain.sets import LoggedSet
from core.domain.units import from_kg
from core.strength import estimate as strength
from core.strength.evidence import Lift

MOST_ABOVE = 1.15
"""An implied maximum this much above the interval's upper end is asked about before it counts. [1]"""

MOST_OF_LEGS_KG, MOST_OF_OTHERS_KG = 600.0, 400.0
"""Implied maxima above which the very first set of a lift, of which nothing is known, is asked about. [kg] Above what the
strongest lift in competition (from memory); a slip of a digit goes there, hardly anybody else."""

MOST_ABOVE_AT_FIRST = 2.5
"""The same in the first session of a lift, as long as no effort was told: its sets are mostly on the way up. [1]"""


def far_above(
    turn: Turn, sets: Sequence[LoggedSet], before: Sequence[LoggedSet]
) -> tuple[str, tuple[tuple[str, float], ...]] | None:
    """The first set whose implied maximum lies far above the interval, and the figures that show it."""
    for each in sets:
        if each.warmup or each.moved_kg is None or not each.reps or each.seconds is not None:
            continue
        if any(_implies_no_more(each, old) for old in before):
            # Nothing that this session has not shown already.
            continue
        exercise = turn.known(each.exercise)
        lift = Lift.of(exercise)
        standing = turn.standing(lift.family)
        track = standing.state.track(lift.name)
        left, _ = replay.told_left(each)
        share = strength.share(standing.state, lift, turn.now, repetitions=each.reps, left=left or 0.0)
        if track is None:
            high_kg, most = MOST_OF_LEGS_KG if lift.leg_dominant else MOST_OF_OTHERS_KG, 1.0
        elif (found := strength.estimate(standing.state, lift, turn.now)) is not None:
            high_kg = found.high_kg
            most = MOST_ABOVE_AT_FIRST if track.sessions == 1 and _untold(before, each.exercise) else MOST_ABOVE
        else:
            continue
        if each.moved_kg / share > most * high_kg:
            implied = each.moved_kg / share - (each.moved_kg - each.load_kg)
            high = high_kg - (each.moved_kg - each.load_kg)
            return each.exercise, (("implied", from_kg(implied, turn.unit)), ("high", from_kg(high, turn.unit)))
    return None


def _implies_no_more(each: LoggedSet, old: LoggedSet) -> bool:
    """Whether a set implies no higher maximum than an older one of the same session, which counts already."""
    if old.exercise != each.exercise or old.moved_kg is None or old.reps is None or old.seconds is not None:
        return False
    left, _ = replay.told_left(each)
    old_left, _ = replay.told_left(old)
    return (each.moved_kg or 0.0) <= old.moved_kg and (each.reps or 0) + (left or 0.0) <= old.reps + (old_left or 0.0)


def _untold(before: Sequence[LoggedSet], exercise: str) -> bool:
    """Whether no set of an exercise says how hard it was."""
    mine = [each for each in before if each.exercise == exercise]
    return not any(each.failed or each.measured or replay.told_left(each)[0] is not None for each in mine)
