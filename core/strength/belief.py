"""The belief about one lift: a mean and a covariance of seven quantities, carried through time and revised by margins."""

import math
from dataclasses import dataclass

LEVEL, GAIN, CURVE, SHAPE, BIAS, FATIGUE, UNTOLD, FORM = range(8)
"""Places of the seven quantities: log of the one-repetition maximum in kg [1]; its gain [1/week]; personal parameter of
the repetition curve [1]; repetitions more than reported that are left [repetitions]; repetitions lost with each earlier
set [repetitions]; repetitions left when nothing is told [repetitions]; the day's form, as a part of the load [1]."""

SIZE = 8

Vector = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Belief:
    """A Gaussian over the seven quantities.

    Args:
        mean: In the order of the places.
        covariance: Symmetric, row by row.

    """

    mean: Vector
    covariance: tuple[Vector, ...]


@dataclass(frozen=True, slots=True)
class View:
    """One way to understand a set, as a Gaussian likelihood of the set's margin.

    Args:
        centre: Margin that this view expects. [1]
        variance: Its noise. [1]
        weight: Probability of the view before the set. [1]
        floor: The margin cannot lie below this, give or take its own noise; None where it may. [1]
        ceiling: The same above. [1]

    """

    centre: float
    variance: float
    weight: float
    floor: float | None = None
    ceiling: float | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """A margin after a set.

    Args:
        mean: Mean of the margin. [1]
        variance: Variance of the margin. [1]
        weights: Probability of each view after the set. [1]

    """

    mean: float
    variance: float
    weights: Vector


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
    rows = [list(row) for row in belief.covariance]
    gain = rows[GAIN]
    level = [a + step * b for a, b in zip(rows[LEVEL], gain, strict=True)]
    level[LEVEL] += step * level[GAIN]
    rows[LEVEL] = level
    for place in range(1, SIZE):
        rows[place][LEVEL] = level[place]
    moved = []
    for place, (row, own) in enumerate(zip(rows, keep, strict=True)):
        new = [value * (own * other) for value, other in zip(row, keep, strict=True)]
        new[place] += noise[place]
        moved.append(tuple(new))
    return Belief(tuple(mean), tuple(moved))


def with_form(belief: Belief, *, mean: float, variance: float) -> Belief:
    """Belief at the start of a session: the day's form is drawn anew."""
    rows = [(*row[:FORM], 0.0) for row in belief.covariance[:FORM]]
    return Belief((*belief.mean[:FORM], mean), (*rows, (0.0,) * FORM + (variance,)))


def spread(belief: Belief, direction: Vector) -> tuple[float, Vector]:
    """Variance of the sum of quantities that a direction weighs, and its covariance with each of them."""
    shared = tuple(
        [sum([a * b for a, b in zip(row, direction, strict=True)]) for row in belief.covariance]
    )
    return sum([a * b for a, b in zip(shared, direction, strict=True)]), shared


def revised(belief: Belief, *, shared: Vector, mean: float, variance: float, outcome: Outcome) -> Belief:
    """Belief after one margin was revised: all quantities follow it as far as they vary with it.

    With one view without floor or ceiling this is the update of a Kalman filter.

    Args:
        belief: Belief before.
        shared: Covariance of each quantity with the margin.
        mean: Mean of the margin before. [1]
        variance: Variance of the margin before, positive. [1]
        outcome: The margin after.

    Returns:
        Belief after.

    """
    pull = (outcome.mean - mean) / variance
    change = (variance - outcome.variance) / (variance * variance)
    sign = -1.0 if change > 0.0 else 1.0
    root = math.sqrt(abs(change))
    scaled = [root * value for value in shared]
    rows = []
    for row, own in zip(belief.covariance, scaled, strict=True):
        signed = sign * own
        rows.append(tuple([value + signed * other for value, other in zip(row, scaled, strict=True)]))
    return Belief(tuple([m + pull * s for m, s in zip(belief.mean, shared, strict=True)]), tuple(rows))


def weighed(mean: float, variance: float, views: tuple[View, ...]) -> Outcome:
    """Margin after a set that can be understood in one of several ways.

    Args:
        mean: Mean of the margin before. [1]
        variance: Variance of the margin before, positive. [1]
        views: At least one.

    Returns:
        Mean and variance of the mixture, and how probable each view is now.

    """
    parts = []
    best = -math.inf
    for view in views:
        total = variance + view.variance
        pull = variance / total
        away = view.centre - mean
        middle = mean + pull * away
        width = variance * view.variance / total
        log_weight = math.log(view.weight) - 0.5 * (away * away / total + math.log(total))
        if view.floor is not None:
            cut, middle, width = _cut(view.floor, middle, width, view.variance, upward=True)
            log_weight += cut
        if view.ceiling is not None:
            cut, middle, width = _cut(view.ceiling, middle, width, view.variance, upward=False)
            log_weight += cut
        best = max(best, log_weight)
        parts.append((log_weight, middle, width))
    if len(parts) == 1:
        return Outcome(parts[0][1], parts[0][2], (1.0,))
    weights = [math.exp(part[0] - best) for part in parts]
    whole = sum(weights)
    weights = [weight / whole for weight in weights]
    centre = sum([w * part[1] for w, part in zip(weights, parts, strict=True)])
    width = sum([w * (part[2] + (part[1] - centre) ** 2) for w, part in zip(weights, parts, strict=True)])
    return Outcome(centre, width, tuple(weights))


EDGE_NOISE = 0.02
"""Standard deviation with which an edge of a margin is known: about half a repetition. [1]"""


def _cut(edge: float, middle: float, width: float, _noise: float, *, upward: bool) -> tuple[float, float, float]:
    side = 1.0 if upward else -1.0
    total = width + EDGE_NOISE * EDGE_NOISE
    root = math.sqrt(total)
    depth = side * (middle - edge) / root
    log_inside = _log_normal_below(depth)
    hazard = math.exp(-0.5 * depth * depth - 0.5 * math.log(2.0 * math.pi) - log_inside)
    return (
        log_inside,
        middle + side * width * hazard / root,
        max(width - width * width * hazard * (hazard + depth) / total, 1e-12),
    )


def _log_normal_below(depth: float) -> float:
    if depth > -8.0:
        return math.log(0.5 * math.erfc(-depth / math.sqrt(2.0)))
    # Far out the normal tail is its first asymptotic terms: erfc would run into nothing.
    square = depth * depth
    return -0.5 * square - math.log(-depth) - 0.5 * math.log(2.0 * math.pi) + math.log1p(-1.0 / square)
