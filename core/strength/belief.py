"""The belief about one lift: mean and covariance of eight quantities, carried through time and revised by margins."""

import math
from dataclasses import dataclass

LEVEL, GAIN, CURVE, SHAPE, BIAS, FATIGUE, UNTOLD, FORM = range(8)
"""Places of the eight quantities: log of the one-repetition maximum in kg [1]; its gain [1/week]; personal parameter of the
repetition curve [1]; its shape [1]; repetitions more than reported that are left [repetitions]; repetitions lost with
each earlier set [repetitions]; repetitions left in a first set that nothing is told of [repetitions]; the day's form, as a
part of the load [1]."""

SIZE = 8

Vector = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Belief:
    """A Gaussian over the eight quantities.

    Args:
        mean: In the order of the places.
        covariance: Symmetric, row by row.

    """

    mean: Vector
    covariance: tuple[Vector, ...]


def independent(mean: Vector, deviations: Vector) -> Belief:
    """Belief in which no quantity says anything about another."""
    return Belief(
        mean,
        tuple(
            [
                tuple([sd * sd if place == other else 0.0 for other in range(SIZE)])
                for place, sd in enumerate(deviations)
            ]
        ),
    )


def carried(belief: Belief, *, step: float, keep: Vector, rest: Vector, noise: Vector) -> Belief:
    """Belief after a time in which nothing was seen.

    Args:
        belief: Belief at the beginning.
        step: How much of the gain goes into the level. [weeks]
        keep: Part of each quantity's distance from its resting place that is left at the end; 1 for the level. [1]
        rest: Resting places.
        noise: Variance that each quantity takes up.

    Returns:
        Belief at the end.

    """
    mean = [r + k * (m - r) for m, k, r in zip(belief.mean, keep, rest, strict=True)]
    mean[LEVEL] = belief.mean[LEVEL] + step * belief.mean[GAIN]
    rows = list(belief.covariance)
    level = [a + step * b for a, b in zip(rows[LEVEL], rows[GAIN], strict=True)]
    level[LEVEL] += step * level[GAIN]
    rows[LEVEL] = tuple(level)
    moved = []
    for place, (row, own) in enumerate(zip(rows, keep, strict=True)):
        new = [value * (own * other) for value, other in zip(row, keep, strict=True)]
        new[LEVEL] = level[place] * own
        new[place] += noise[place]
        moved.append(tuple(new))
    return Belief(tuple(mean), tuple(moved))


def with_form(belief: Belief, variance: float) -> Belief:
    """Belief at the start of a session: the day's form is drawn anew."""
    rows = [(*row[:FORM], 0.0) for row in belief.covariance[:FORM]]
    return Belief((*belief.mean[:FORM], 0.0), (*rows, (0.0,) * FORM + (variance,)))


def shared_with(belief: Belief, direction: Vector) -> tuple[float, Vector]:
    """Variance of the sum of quantities that a direction weighs, and its covariance with each of them."""
    a, b, c, d, e, f, g, h = direction
    # Written out, because this is where the time of a message goes.
    shared = tuple(
        [a * p + b * q + c * r + d * s + e * t + f * u + g * v + h * w for p, q, r, s, t, u, v, w in belief.covariance]
    )
    p, q, r, s, t, u, v, w = shared
    return a * p + b * q + c * r + d * s + e * t + f * u + g * v + h * w, shared


def revised(belief: Belief, *, shared: Vector, away: float, kept: float, variance: float) -> Belief:
    """Belief after one margin was revised: all quantities follow it as far as they vary with it.

    Where one Gaussian view revised the margin this is the update of a Kalman filter.

    Args:
        belief: Belief before.
        shared: Covariance of each quantity with the margin.
        away: Mean of the margin after, less the mean before. [1]
        kept: Variance of the margin after. [1]
        variance: Variance of the margin before, positive. [1]

    Returns:
        Belief after.

    """
    pull = away / variance
    change = (kept - variance) / (variance * variance)
    root = math.sqrt(abs(change))
    p, q, r, s, t, u, v, w = scaled = [root * value for value in shared]
    if change < 0.0:
        p, q, r, s, t, u, v, w = -p, -q, -r, -s, -t, -u, -v, -w
    return Belief(
        tuple([m + pull * s for m, s in zip(belief.mean, shared, strict=True)]),
        tuple(
            [
                (i + x * p, j + x * q, k + x * r, h + x * s, m + x * t, n + x * u, o + x * v, y + x * w)
                for (i, j, k, h, m, n, o, y), x in zip(belief.covariance, scaled, strict=True)
            ]
        ),
    )
