"""The margin of a set, how far the belief lies above what was lifted, revised by the ways a set can be understood."""

import math
from dataclasses import dataclass

_HALF_LOG_TWO_PI = 0.5 * math.log(2.0 * math.pi)
_ROOT_TWO = math.sqrt(2.0)
_FLAT = 10.0
_FLAT_DENSITY = _FLAT * math.sqrt(2.0 * math.pi)
_SMALLEST_VARIANCE = 1e-12


@dataclass(frozen=True, slots=True)
class View:
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


@dataclass(frozen=True, slots=True)
class Revision:
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
    if len(views) == 1:
        _, middle, width = _seen(mean, variance, views[0])
        return Revision(middle, width, (1.0,))
    parts = [_seen(mean, variance, view) for view in views]
    best = max([log_weight for log_weight, _, _ in parts])
    weights = [math.exp(log_weight - best) for log_weight, _, _ in parts]
    whole = 1.0 / sum(weights)
    centre = 0.0
    for weight, (_, middle, _) in zip(weights, parts, strict=True):
        centre += weight * (middle - mean)
    centre = mean + centre * whole
    width = 0.0
    for weight, (_, middle, own) in zip(weights, parts, strict=True):
        width += weight * (own + (middle - centre) * (middle - centre))
    return Revision(centre, width * whole, tuple([weight * whole for weight in weights]))


def _seen(mean: float, variance: float, view: View) -> tuple[float, float, float]:
    total = variance + view.variance
    pull = variance / total
    away = view.centre - mean
    middle = mean + pull * away
    width = pull * view.variance
    log_weight = math.log(view.weight) - 0.5 * (away * away / total + math.log(total))
    if view.floor is not None:
        cut, middle, width = _cut(middle, width, view.floor, view.edge, 1.0)
        log_weight += cut
    if view.ceiling is not None:
        cut, middle, width = _cut(middle, width, view.ceiling, view.edge, -1.0)
        log_weight += cut
    return log_weight, middle, width


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
