"""The margin of a set, how far the belief lies above what was lifted, revised by the ways a set can be understood."""

import math
from typing import NamedTuple

_HALF_LOG_TWO_PI = 0.5 * math.log(2.0 * math.pi)
_ROOT_TWO = math.sqrt(2.0)
_FLAT = 10.0
_FLAT_DENSITY = _FLAT * math.sqrt(2.0 * math.pi)
_MOST = 600.0
_SMALLEST_VARIANCE = 1e-12


class View(NamedTuple):
    """One way to understand a set, as a likelihood of its margin: a Gaussian, cut off where the margin cannot lie.

    Args:
        centre: Margin that this view expects. [1]
        variance: Its noise. [1]
        weight: Probability of the view before the set, in proportion to the others. [1]
        floor: The margin does not lie below this; None where it may. [1]
        ceiling: The same above. [1]
        edge: Standard deviation with which floor and ceiling are known, positive. [1]

    """

    centre: float
    variance: float
    weight: float = 1.0
    floor: float | None = None
    ceiling: float | None = None
    edge: float = 0.02


def flat(probability: float, *, width: float, floor: float | None = None, ceiling: float | None = None) -> View:
    """A view that has no opinion of the margin but where it lies at all.

    Args:
        probability: Probability of the view before the set. [1]
        width: Range of margins that it spreads over evenly. [1]
        floor: The margin does not lie below this; None where it may. [1]
        ceiling: The same above. [1]

    """
    return View(0.0, _FLAT * _FLAT, probability * _FLAT_DENSITY / width, floor, ceiling)


class Revision(NamedTuple):
    """A margin after a set.

    Args:
        mean: Its mean. [1]
        variance: Its variance. [1]
        weights: Probability of each view after the set. [1]

    """

    mean: float
    variance: float
    weights: tuple[float, ...]


def revision(mean: float, variance: float, views: tuple[View, ...]) -> Revision:
    """Margin after a set that can be understood in one of several ways.

    Args:
        mean: Mean of the margin before. [1]
        variance: Variance of the margin before, positive. [1]
        views: At least one.

    Returns:
        Mean and variance of the mixture, and how probable each view is now. One view without floor and ceiling gives
        what a Kalman filter gives.

    """
    if len(views) == 2 and views[0].floor is None and views[0].ceiling is None and views[1].floor is None:
        return _plain_or_stray(mean, variance, *views)
    parts: list[tuple[float, float, float]] = []
    middle = width = 0.0
    for centre, own, likely, floor, ceiling, edge in views:
        total = variance + own
        away = centre - mean
        # The pull of a Kalman filter, and the likelihood of the margin, up to what all views share.
        middle = mean + variance / total * away
        width = variance / total * own
        log_weight = 0.5 * (math.log(likely * likely / total) - away * away / total)
        if floor is not None:
            cut, middle, width = _cut(middle, width, floor, edge, 1.0)
            log_weight += cut
        if ceiling is not None:
            cut, middle, width = _cut(middle, width, ceiling, edge, -1.0)
            log_weight += cut
        parts.append((log_weight, middle, width))
    if len(parts) == 1:
        return Revision(middle, width, (1.0,))
    best = max(parts)[0]
    weights = [math.exp(log_weight - best) for log_weight, _, _ in parts]
    whole = 1.0 / sum(weights)
    after = 0.0
    for weight, (_, middle, _) in zip(weights, parts, strict=True):
        after += weight * (middle - mean)
    after = mean + after * whole
    width = 0.0
    for weight, (_, middle, own) in zip(weights, parts, strict=True):
        width += weight * (own + (middle - after) * (middle - after))
    return Revision(after, width * whole, tuple([weight * whole for weight in weights]))


def _plain_or_stray(mean: float, variance: float, plain: View, stray: View) -> Revision:
    """The same for two Gaussian views, as most sets have them: in half of the time."""
    near, far = variance + plain.variance, variance + stray.variance
    to_near, to_far = plain.centre - mean, stray.centre - mean
    against = 0.5 * (to_far * to_far / far - to_near * to_near / near)
    odds = plain.weight / stray.weight * math.sqrt(far / near) * math.exp(max(min(against, _MOST), -_MOST))
    stray_weight = 1.0 / (1.0 + odds)
    plain_weight = odds * stray_weight
    to_near *= variance / near
    to_far *= variance / far
    apart = to_far - to_near
    return Revision(
        mean + plain_weight * to_near + stray_weight * to_far,
        plain_weight * variance / near * plain.variance
        + stray_weight * variance / far * stray.variance
        + plain_weight * stray_weight * apart * apart,
        (plain_weight, stray_weight),
    )


def _cut(middle: float, width: float, at: float, edge: float, side: float) -> tuple[float, float, float]:
    total = width + edge * edge
    root = math.sqrt(total)
    depth = side * (middle - at) / root
    log_inside = _log_normal_below(depth)
    hazard = math.exp(-0.5 * depth * depth - _HALF_LOG_TWO_PI - log_inside)
    narrowed = width - width * width * hazard * (hazard + depth) / total
    return log_inside, middle + side * width * hazard / root, max(narrowed, _SMALLEST_VARIANCE)


def _log_normal_below(depth: float) -> float:
    if depth > -8.0:
        return math.log(0.5 * math.erfc(-depth / _ROOT_TWO))
    # Far out the tail is its first asymptotic terms: erfc would run into nothing.
    square = depth * depth
    return -0.5 * square - math.log(-depth) - _HALF_LOG_TWO_PI + math.log1p(-1.0 / square)
