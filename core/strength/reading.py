"""How one set reads against the belief: its margin, what moves it, and the ways it can be understood."""

import math
from dataclasses import dataclass

from core.strength.assumptions import Assumptions
from core.strength.belief import BIAS, CURVE, FATIGUE, FORM, LEVEL, SHAPE, UNTOLD, Belief, Vector
from core.strength.evidence import Evidence
from core.strength.margin import View
from core.strength.repetition_curve import FURTHEST_REPETITIONS, PIVOT, RepetitionCurve

UNSURE_VARIANCE = 0.01
"""Variance of the log maximum from which a set's own repetitions are a better guess than the belief's. [1]"""


@dataclass(frozen=True, slots=True)
class Reading:
    """A set as one number that the belief has an opinion of.

    Args:
        margin: Log of what the belief says could be lifted for the set's repetitions, less log of what was. [1]
        direction: Derivative of the margin by each quantity.
        views: Ways to understand it.

    """

    margin: float
    direction: Vector
    views: tuple[View, ...]


def bias_share(left: float, a: Assumptions) -> float:
    """Part of the reporting bias that is felt with so many repetitions left: people foresee a near end better. [1]

    Source:
        Halperin et al. 2022, for the direction.

    """
    return min(1.0, a.bias_low + (1.0 - a.bias_low) * max(left, 0.0) / a.bias_full_at)


def reading(
    belief: Belief, evidence: Evidence, curve: RepetitionCurve, *, earlier: int, assumptions: Assumptions
) -> Reading:
    """Reading of a set.

    The set is a report of how many repetitions its load allows. Everything that depends on those is taken where the belief
    expects them, and not where the report has them: a derivative or a noise that carries the error of the report would,
    set after set, teach a flatter curve, and with it a lower maximum.

    Args:
        belief: Belief before the set.
        evidence: The set.
        curve: Published curve of the lift.
        earlier: Sets before it in its session. [sets]
        assumptions: Priors and noises.

    """
    a = assumptions
    mean = belief.mean
    personal, shape = mean[CURVE], mean[SHAPE]
    done = float(evidence.repetitions)
    told = evidence.reported_left
    tired = mean[FATIGUE] * earlier
    log_load = math.log(evidence.load_kg)
    strength = mean[LEVEL] + mean[FORM]
    point = curve.lasting(strength - log_load, personal=personal, shape=shape)
    cost, slope = curve.cost(point, personal=personal, shape=shape)
    rows = belief.covariance
    sure = evidence.measured or evidence.failed or evidence.to_failure
    least = evidence.at_least
    if sure:
        guess = 0.0 if evidence.measured else a.missed if evidence.failed else a.nothing_left
    elif told is None:
        guess = mean[UNTOLD]
        tired = 0.0
    else:
        guess = told + mean[BIAS]
    wide = rows[LEVEL][LEVEL] - 2.0 * cost * rows[LEVEL][CURVE] + cost * cost * rows[CURVE][CURVE]
    if wide > UNSURE_VARIANCE:
        point = min(max(done + guess + tired, 0.5), FURTHEST_REPETITIONS)
        cost, slope = curve.cost(point, personal=personal, shape=shape)
    felt = 0.0
    expected = max(0.0, min(point - done - tired, 8.0))
    if sure:
        left = guess
        noise = 0.2 if evidence.measured else a.failure_noise
    elif told is None:
        left, noise = guess, a.untold_noise
    else:
        expected = max(0.0, min(point - done - tired - mean[BIAS], 6.0))
        felt = bias_share(expected, a)
        left = told + mean[BIAS] * felt
        noise = a.report_noise + a.report_noise_growth * expected
        if least:
            left += 1.0
            noise += 0.7
    lasted = done + left + tired
    margin = strength - cost - slope * (lasted - point) - log_load
    bent = (max(point, 1.0) - 1.0 - PIVOT) / (max(point, 1.0) - 1.0 + PIVOT)
    unknown = told is None and not sure
    direction = (
        1.0,
        0.0,
        -cost,
        -cost * bent,
        -slope * felt,
        0.0 if unknown else -slope * earlier,
        -slope if unknown else 0.0,
        1.0,
    )
    counting = 0.0 if evidence.measured else a.counting_noise + a.counting_noise_growth * point
    variance = a.base_noise * a.base_noise + slope * slope * (noise * noise + counting * counting)
    if evidence.weak:
        variance = 4.0 * variance + a.weak_sd * a.weak_sd
    stray = View(0.0, a.stray_sd * a.stray_sd, a.stray)
    views: tuple[View, ...]
    if evidence.measured or a.stray <= 0.0:
        views = (View(0.0, variance),)
    elif evidence.failed and done == 0.0:
        views = (View(0.0, variance, 0.7), View(-0.06, 0.0036, 0.3 - a.stray, None, 0.02), stray)
    elif sure:
        views = (View(0.0, variance, 1.0 - a.stray), stray)
    elif unknown or least:
        beyond = left - mean[FATIGUE] * earlier if unknown else left - (told or 0.0)
        floor = -slope * max(beyond, 0.0)
        views = (
            View(0.0, variance, a.untold_plain, floor),
            View(0.15, 0.04, 1.0 - a.untold_plain - a.stray, floor),
            stray,
        )
    elif told == 0.0:
        # Nobody reports less than nothing: the set says that the end was near, and that it was done.
        views = (
            View(0.0, 0.0225, 1.0 - a.stray, -slope * max(0.0, left + 0.3), 0.5 * slope),
            stray,
        )
    else:
        views = (View(0.0, variance, 1.0 - a.stray), stray)
    return Reading(margin, direction, views)
