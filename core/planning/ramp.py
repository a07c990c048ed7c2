"""Ramp: finding the load of a lift nobody has logged yet, by the repetitions left."""

from dataclasses import dataclass

from core.domain.equipment import NG_PER_KG
from core.domain.exercises import Exercise
from core.planning.loading import Loadable, Loads

STEP_UPPER = 0.10
"""Step up while at least four are left. [1] NSCA's test: 5 to 10 % for upper-body lifts."""

STEP_LOWER = 0.20
"""The same for lifts led by the legs. [1] NSCA's test: 10 to 20 %."""

WORTH_OF_A_REP = 0.03
"""What one repetition is worth, near the rows of the NSCA table for 5 to 10. [1]"""

MOST_STEP = 0.5
"""Largest step of a ramp. [1]"""

CLEARLY_EASY = 4.0
"""Repetitions left from which a set is clearly easy. [repetitions]"""

CLEARLY_HARD = 2.0
"""Repetitions below the target from which a set was clearly too hard for all of them. [repetitions]"""


@dataclass(frozen=True, slots=True)
class RampStep:
    """The next set of a ramp.

    Args:
        load: What to load.
        found: This is the work load: the remaining sets are done with it.

    """

    load: Loadable
    found: bool


def ramp_start(available: Loads) -> RampStep:
    """First set of a ramp: the empty bar, the lightest dumbbell, or no added load."""
    return RampStep(available.lightest, found=False)


def ramp_step(
    done: Loadable,
    available: Loads,
    exercise: Exercise,
    *,
    told_left: float | None,
    target_left: float,
    missed: bool = False,
    body_kg: float = 0.0,
) -> RampStep:
    """Next set of a ramp after one was done.

    Up while clearly more are left than the target, the more the further; never on unknown effort. Down after a miss, and
    where clearly fewer are left.

    Args:
        done: The load that was done.
        available: What can be loaded.
        exercise: The lift.
        told_left: Repetitions left as told, the lower bound of "at least"; None if untold. [repetitions]
        target_left: Repetitions to be left in the work sets. [repetitions]
        missed: A repetition was missed.
        body_kg: Body mass moved beside the load. [kg]

    """
    on_bar = available.on(done.bar)
    body = round(body_kg * NG_PER_KG)
    if missed:
        lower = on_bar.at_most(round((done.ng + body) * (1.0 - STEP_UPPER)) - body)
        return RampStep(lower or on_bar.lightest, found=True)
    if told_left is None:
        return RampStep(done, found=False)
    surplus = told_left - target_left
    if surplus <= -CLEARLY_HARD:
        # The sets to come carry more fatigue: on this load they would leave less still.
        part = min(-WORTH_OF_A_REP * surplus, STEP_UPPER)
        lower = on_bar.at_most(round((done.ng + body) * (1.0 - part)) - body)
        return RampStep(lower or on_bar.lightest, found=True)
    if surplus < 1.0:
        return RampStep(done, found=True)
    step = WORTH_OF_A_REP * surplus
    if told_left >= CLEARLY_EASY:
        step = max(step, STEP_LOWER if exercise.lower_body else STEP_UPPER)
    wanted = round((done.ng + body) * (1.0 + min(step, MOST_STEP))) - body
    higher = on_bar.at_most(wanted)
    if higher is None or higher.ng <= done.ng:
        one_up = on_bar.above(done.ng)
        # A step coarser than what is left would ask for is taken only when the set was clearly easy.
        if one_up is None or told_left < CLEARLY_EASY:
            return RampStep(done, found=True)
        higher = one_up
    return RampStep(higher, found=False)
