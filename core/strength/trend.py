"""The trend: how fast a lift gains a week, how sure that is, and whether two estimates differ by more than noise."""

import math
from dataclasses import dataclass
from datetime import datetime

from core.strength.assumptions import ASSUMPTIONS, Assumptions
from core.strength.belief import GAIN
from core.strength.drift import track_at
from core.strength.estimate import INTERVAL_DEVIATIONS, Estimate
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

    @property
    def real(self) -> float:
        """Probability that the trend goes the way it seems to go. [1]"""
        return max(self.rising, 1.0 - self.rising)


def trend(state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS) -> Trend | None:
    """Trend of a lift at a time, from the sets taken in before it; None without any evidence.

    Nothing is assumed either way before there is evidence: then, and long after the last set, a gain is as probable as a
    loss.
    """
    track = track_at(state, lift, at, assumptions=assumptions)
    if track is None:
        return None
    weekly = track.belief.mean[GAIN]
    sd = math.sqrt(max(track.belief.covariance[GAIN][GAIN], 0.0))
    if sd == 0.0:
        return Trend(weekly, 0.0, 0.5 if weekly == 0.0 else float(weekly > 0.0))
    return Trend(weekly, sd, 0.5 * math.erfc(-weekly / (sd * math.sqrt(2.0))))


def change(then: Estimate, now: Estimate) -> float:
    """Change from an earlier estimate of a lift to a later one, as a part of it; 0 within their noise. [1]

    What is unknown of the lifter's own curve and way to report moves both estimates alike and is no noise of the change;
    what was learned of it between them is.
    """
    moved = now.log_mean - then.log_mean
    variance = (
        max(then.log_sd**2 - then.lasting_sd**2, 0.0)
        + max(now.log_sd**2 - now.lasting_sd**2, 0.0)
        + max(then.lasting_sd**2 - now.lasting_sd**2, 0.0)
    )
    return math.expm1(moved) if abs(moved) > INTERVAL_DEVIATIONS * math.sqrt(variance) else 0.0
