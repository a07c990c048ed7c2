"""The repetition curve: the share of a one-repetition maximum that goes with a number of repetitions to failure."""

import math
from dataclasses import dataclass

FURTHEST_REPETITIONS = 40.0
"""Most repetitions to failure that the curve is defined for. [repetitions]"""


@dataclass(frozen=True, slots=True)
class RepetitionCurve:
    """One published curve: share = (1 + bend (r - 1)) ** -(steepness e^personal), r repetitions to failure.

    It is 1 at one repetition, falls strictly and bends upward. Epley's equation is the member with steepness 1 and bend
    1/30, made to return the load at one repetition. The personal parameter multiplies the logarithm of the share: 0 is
    the published curve, 0.1 a lifter who loses a tenth more with each repetition.

    Args:
        steepness: Exponent of the published curve. [1]
        bend: How soon further repetitions cost less. [1/repetition]
        spread: Standard deviation of the personal parameter between lifters. [1]

    """

    steepness: float
    bend: float
    spread: float

    def share(self, repetitions: float, *, personal: float = 0.0) -> float:
        """Share of the one-repetition maximum that can be lifted for this many repetitions to failure.

        Args:
            repetitions: Repetitions to failure, any real number from 1 to 40. [repetitions]
            personal: The lifter's own parameter. [1]

        Returns:
            Exactly 1 at one repetition, strictly falling. [1]

        Raises:
            ValueError: Repetitions out of range.

        >>> round(BENCH_PRESS.share(5.0), 3)
        0.872

        """
        if not 1.0 <= repetitions <= FURTHEST_REPETITIONS:
            raise ValueError(f"the curve takes 1 to {FURTHEST_REPETITIONS:.0f} repetitions, not {repetitions}")
        return math.exp(-math.exp(personal) * self.cost(repetitions))

    def repetitions(self, share: float, *, personal: float = 0.0) -> float:
        """Repetitions to failure at a share of the one-repetition maximum: the inverse of `share`.

        Args:
            share: Above 0; beyond the share of 40 repetitions the answer is 40, above 1 it is less than 1. [1]
            personal: The lifter's own parameter. [1]

        Returns:
            Repetitions; below 1 where the load is more than the maximum, on the curve's tangent at 1. [repetitions]

        Raises:
            ValueError: A share that is not positive and finite.

        >>> round(BENCH_PRESS.repetitions(0.8), 1)
        7.9

        """
        if not 0.0 < share < math.inf:
            raise ValueError(f"a share of the maximum is positive, not {share}")
        cost = -math.log(share) * math.exp(-personal)
        if cost <= 0.0:
            return 1.0 + cost / self.slope(1.0)
        if cost >= self.cost(FURTHEST_REPETITIONS):
            return FURTHEST_REPETITIONS
        return 1.0 + math.expm1(cost / self.steepness) / self.bend

    def cost(self, repetitions: float) -> float:
        """Minus the logarithm of the published share, continued below one repetition along the tangent there. [1]"""
        if repetitions < 1.0:
            return (repetitions - 1.0) * self.steepness * self.bend
        return self.steepness * math.log1p(self.bend * (repetitions - 1.0))

    def slope(self, repetitions: float) -> float:
        """Derivative of `cost`. [1/repetition]"""
        return self.steepness * self.bend / (1.0 + self.bend * max(0.0, repetitions - 1.0))


BENCH_PRESS = RepetitionCurve(steepness=3.9600, bend=0.0082527, spread=0.14)
"""Upper-body lifts: the least-squares fit to rows 1 to 10 of the NSCA training load table. The rows 11 to 15 jump and are
printed differently in places; they are not fitted."""

LEG_DOMINANT = RepetitionCurve(steepness=3.0046, bend=0.0082527, spread=0.20)
"""Lifts led by the legs: the same bend, fitted to the same table, which is meant for squats too, and to the leg press rows
of Richens & Cleather 2014 (lifters) and Nuzzo et al. 2024, table and rows weighing alike. The wide spread between lifters
holds both."""
