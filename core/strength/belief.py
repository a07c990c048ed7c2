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
    p, q, r, s, t, u, v, w = keep
    moved = [
        [x * p * a, x * q * b, x * r * c, x * s * d, x * t * e, x * u * f, x * v * g, x * w * h]
        for (_, b, c, d, e, f, g, h), a, x in zip(rows, level, keep, strict=True)
    ]
    for place, variance in enumerate(noise):
        moved[place][place] += variance
    return Belief(tuple(mean), tuple([tuple(row) for row in moved]))


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
    scaled = [root * value for value in shared]
    p, q, r, s, t, u, v, w = scaled if change >= 0.0 else [-value for value in scaled]
    return Belief(
        tuple([m + pull * own for m, own in zip(belief.mean, shared, strict=True)]),
        # Written out, because this is where the time of a message goes.
        tuple(
            [
                (a + x * p, b + x * q, c + x * r, d + x * s, e + x * t, f + x * u, g + x * v, h + x * w)
                for (a, b, c, d, e, f, g, h), x in zip(belief.covariance, scaled, strict=True)
            ]
        ),
    )


def loosened(belief: Belief, deviations: Vector) -> Belief:
    """Belief with so much more spread in each quantity."""
    rows = [
        (*row[:place], row[place] + sd * sd, *row[place + 1 :])
        for place, (row, sd) in enumerate(zip(belief.covariance, deviations, strict=True))
    ]
    return Belief(belief.mean, tuple(rows))


def explained(belief: Belief, place: int, others: tuple[int, ...]) -> float:
    """Part of the variance of one quantity that would go if some others were known exactly."""
    rows = [list(row) for row in belief.covariance]
    gone = 0.0
    # Each of the others is taken out in turn, as by observing it without noise.
    for other in others:
        pivot = rows[other][other]
        if pivot <= 0.0:
            continue
        taken = list(rows[other])
        gone += taken[place] * taken[place] / pivot
        for row in rows:
            factor = row[other] / pivot
            for column in range(SIZE):
                row[column] -= factor * taken[column]
    return gone
