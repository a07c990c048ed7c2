"""The repetition curve: the share of a one-repetition maximum that goes with a number of repetitions to failure."""

import math
from dataclasses import dataclass

FURTHEST_REPETITIONS = 40.0
"""Most repetitions to failure that the curve is defined for. [repetitions]"""

PIVOT = 8.0
"""Repetitions past the first at which a lifter's own shape leaves the curve as it is: where most sets are. [repetitions]"""

_STEPS = 12
_CLOSE = 1e-4
_FAR = 10.0


@dataclass(frozen=True, slots=True)
class RepetitionCurve:
    """One published curve: share = (1 + bend (r - 1)) ** -(steepness e^personal), r repetitions to failure.

    It is 1 at one repetition and falls strictly. Epley's equation is the member with steepness 1 and bend 1/30, made to
    return the load at one repetition. The personal parameter multiplies the logarithm of the share: 0 is the published
    curve, 0.1 a lifter who loses a tenth more with each repetition. The shape says how much more that is in long sets
    than in short ones, from e^-shape at one repetition to e^shape far out; published curves differ by some 0.3 in it.

    Args:
        steepness: Exponent of the published curve. [1]
        bend: How soon further repetitions cost less. [1/repetition]
        spread: Standard deviation of the personal parameter between lifters. [1]

    """

    steepness: float
    bend: float
    spread: float

    def share(self, repetitions: float, *, personal: float = 0.0, shape: float = 0.0) -> float:
        """Share of the one-repetition maximum that can be lifted for this many repetitions to failure.

        Args:
            repetitions: Repetitions to failure, any real number from 1 to 40. [repetitions]
            personal: The lifter's own parameter. [1]
            shape: The lifter's own shape, -1 to 1. [1]

        Returns:
            Exactly 1 at one repetition, strictly falling. [1]

        Raises:
            ValueError: Repetitions out of range.

        >>> round(BENCH_PRESS.share(5.0), 3)
        0.876

        """
        if not 1.0 <= repetitions <= FURTHEST_REPETITIONS:
            raise ValueError(f"the curve takes 1 to {FURTHEST_REPETITIONS:.0f} repetitions, not {repetitions}")
        return math.exp(-self.cost(repetitions, personal=personal, shape=shape)[0])

    def repetitions(self, share: float, *, personal: float = 0.0, shape: float = 0.0) -> float:
        """Repetitions to failure at a share of the one-repetition maximum: the inverse of `share`.

        Args:
            share: Above 0; beyond the share of 40 repetitions the answer is 40, above 1 it is less than 1. [1]
            personal: The lifter's own parameter. [1]
            shape: The lifter's own shape, -1 to 1. [1]

        Returns:
            Repetitions; below 1 where the load is more than the maximum, on the curve's tangent at 1. [repetitions]

        Raises:
            ValueError: A share that is not positive and finite.

        >>> round(BENCH_PRESS.repetitions(0.8), 1)
        7.8

        """
        if not 0.0 < share < math.inf:
            raise ValueError(f"a share of the maximum is positive, not {share}")
        return self.lasting(-math.log(share), personal=personal, shape=shape)

    def cost(self, repetitions: float, *, personal: float = 0.0, shape: float = 0.0) -> tuple[float, float]:
        """Minus the logarithm of the share, and its derivative by the repetitions.

        Below one repetition it goes on along the tangent there. Above 40 as the formula does. [1, 1/repetition]
        """
        past = repetitions - 1.0
        if past <= 0.0:
            slope = self.steepness * self.bend * math.exp(personal - shape)
            return past * slope, slope
        grown = 1.0 + self.bend * past
        whole = past + PIVOT
        own = self.steepness * math.exp(personal + shape * (past - PIVOT) / whole)
        cost = own * math.log(grown)
        return cost, own * self.bend / grown + cost * shape * 2.0 * PIVOT / (whole * whole)

    def lasting(self, cost: float, *, personal: float = 0.0, shape: float = 0.0) -> float:
        """Repetitions to failure that have this cost, at most 40; below 1 for a cost below 0. [repetitions]"""
        found = self.nearly_lasting(cost, personal=personal, shape=shape)
        if found <= 1.0 or found >= FURTHEST_REPETITIONS:
            return found
        # Newton's steps square the error, and the start is near.
        for _ in range(_STEPS):
            there, slope = self.cost(found, personal=personal, shape=shape)
            step = (there - cost) / slope
            found = min(max(found - step, 1.0), FURTHEST_REPETITIONS)
            if abs(step) < _CLOSE:
                break
        return found

    def nearly_lasting(self, cost: float, *, personal: float = 0.0, shape: float = 0.0) -> float:
        """As `lasting`, right to a tenth of a repetition or, for odd shapes, to one; in a third of the time. [repetitions]"""
        if cost <= 0.0:
            return 1.0 + cost / (self.steepness * self.bend * math.exp(personal - shape))
        published = cost * math.exp(-personal) / self.steepness
        found = 1.0 + math.expm1(published) / self.bend if published < _FAR else FURTHEST_REPETITIONS
        if shape != 0.0:
            published *= math.exp(-shape * bent(min(found, FURTHEST_REPETITIONS)))
            found = 1.0 + math.expm1(published) / self.bend if published < _FAR else FURTHEST_REPETITIONS
        return min(found, FURTHEST_REPETITIONS)


def bent(repetitions: float) -> float:
    """How a shape of 1 changes the logarithm of the cost: -1 at one repetition, 0 at the pivot, towards 1 far out. [1]"""
    past = max(repetitions - 1.0, 0.0)
    return (past - PIVOT) / (past + PIVOT)


BENCH_PRESS = RepetitionCurve(steepness=2.4561, bend=0.0139015, spread=0.14)
"""Upper-body lifts: least squares over the NSCA training load table (rows 1 to 11 and 15) and the 8.8 repetitions at 80 %
of Nuzzo et al. 2024."""

LEG_DOMINANT = RepetitionCurve(steepness=1.8227, bend=0.0139015, spread=0.20)
"""Lifts led by the legs: the same bend, least squares over the same table, which is meant for squats too, and the leg press
rows of Richens & Cleather 2014 (lifters) and Nuzzo et al. 2024, table and leg press weighing alike. The wide spread between
lifters holds both."""


def curve_of(*, leg_dominant: bool) -> RepetitionCurve:
    """Published curve of a lift."""
    return LEG_DOMINANT if leg_dominant else BENCH_PRESS
