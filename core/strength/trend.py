"""The trend: how fast a lift gains a week, how sure that is, and whether two estimates differ by more than noise."""

import math
from dataclasses import dataclass
from datetime import datetime

from core.strength.assumptions import ASSUMPTIONS, Assumptions
from core.strength.belief import BIAS, CURVE, GAIN, LEVEL, SHAPE, UNTOLD, explained
from core.strength.drift import belief_at
from core.strength.estimate import INTERVAL_DEVIATIONS
from core.strength.evidence import Lift
from core.strength.state import FamilyState


@dataclass(frozen=True, slots=True)
class Trend:
    """What a lift gains a week, over about the last ten weeks.

    Args:
        weekly: Gain as a part of the maximum, negative for a loss. [1/week]
        weekly_sd: Its standard deviation. [1/week]
        rising: Probability that the lift gains at all. [1]

    """

    weekly: float
    weekly_sd: float
    rising: float


def trend(state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS) -> Trend | None:
    """Trend of a lift at a time, from the sets taken in before it; None without any evidence.

    Before there is evidence, and long after the last set, a gain is about as probable as a loss.
    """
    belief = belief_at(state, lift, at, assumptions=assumptions)
    if belief is None:
        return None
    weekly = belief.mean[GAIN]
    sd = math.sqrt(max(belief.covariance(GAIN, GAIN), 0.0))
    if sd == 0.0:
        return Trend(weekly, 0.0, 0.5 if weekly == 0.0 else float(weekly > 0.0))
    return Trend(weekly, sd, 0.5 * math.erfc(-weekly / (sd * math.sqrt(2.0))))


def change(
    state: FamilyState,
    lift: Lift,
    at: datetime,
    *,
    then_kg: float,
    then_low_kg: float,
    assumptions: Assumptions = ASSUMPTIONS,
) -> float:
    """Change of a lift's maximum since an earlier estimate, as a part of it; 0 within their noise. [1]

    What is unknown of the lifter's own curve and way to report moves both estimates alike and is no noise of the change.

    Args:
        state: State of the family now.
        lift: Lift.
        at: Now.
        then_kg: The earlier estimate, as it was made then. [kg]
        then_low_kg: Lower end of its 90 % interval. [kg]
        assumptions: Priors and noises.

    """
    found = _moved(state, lift, at, then_kg, then_low_kg, assumptions)
    if found is None:
        return 0.0
    moved, sd = found
    return math.expm1(moved) if abs(moved) > INTERVAL_DEVIATIONS * sd else 0.0


def deviations(
    state: FamilyState,
    lift: Lift,
    at: datetime,
    *,
    then_kg: float,
    then_low_kg: float,
    assumptions: Assumptions = ASSUMPTIONS,
) -> float | None:
    """By how many deviations of its noise a maximum has moved since an earlier estimate; None without evidence. [1]

    Args: as of `change`.

    """
    found = _moved(state, lift, at, then_kg, then_low_kg, assumptions)
    return None if found is None or not found[1] else found[0] / found[1]


def _moved(
    state: FamilyState, lift: Lift, at: datetime, then_kg: float, then_low_kg: float, assumptions: Assumptions
) -> tuple[float, float] | None:
    belief = belief_at(state, lift, at, assumptions=assumptions)
    if belief is None or not 0.0 < then_low_kg <= then_kg:
        return None
    moved = belief.mean[LEVEL] - math.log(then_kg)
    then_sd = math.log(then_kg / then_low_kg) / INTERVAL_DEVIATIONS
    lasting = explained(belief, LEVEL, (CURVE, SHAPE, BIAS, UNTOLD))
    variance = max(then_sd * then_sd - lasting, 0.0) + max(belief.level_variance - lasting, 0.0)
    return moved, math.sqrt(variance)
