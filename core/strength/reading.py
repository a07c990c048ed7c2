"""How one set reads against the belief: its margin, what moves it, and the ways it can be understood."""

import math
from dataclasses import dataclass
from functools import cache

from core.strength.assumptions import Assumptions
from core.strength.belief import BIAS, CURVE, FATIGUE, FORM, LEVEL, SHAPE, UNTOLD, Belief, Vector
from core.strength.evidence import Evidence
from core.strength.margin import View, flat
from core.strength.repetition_curve import FURTHEST_REPETITIONS, RepetitionCurve, bent

UNSURE_VARIANCE = 0.01
"""Variance of the log maximum from which a set's own repetitions are a better guess than the belief's. [1]"""

MEASURED_NOISE = 0.2
"""Repetitions by which a confirmed maximum may be off. [repetitions]"""

AT_LEAST_MORE = 1.0
"""Repetitions that a lower bound is usually short of. [repetitions]"""

AT_LEAST_NOISE = 0.7
"""What that adds to the error of the report. [repetitions]"""

MOST_LEFT = 8.0
"""Repetitions left from which a report's error grows no more. [repetitions]"""

EASY_CENTRE, EASY_SD = 0.15, 0.2
"""Margin of a set far from the limit that nothing was told of: from none to half of the strength. [1]"""

EASY_FROM = 2.0
"""Repetitions to spare, beside the usual ones left, from which a set that nothing was told of was easy. [repetitions]"""

NEAR_SD = 0.15
"""Spread of a margin that only its floor and ceiling tell something of: as good as flat between them. [1]"""

FURTHEST_APART = 3.5
"""Repetitions by which belief and report may differ and the curve still be looked at where the belief expects the set. More
is not noise: the further apart, the nearer to the report, or the curve would take up what is no matter of the curve.
[repetitions]"""

ROOT_TWO_PI = math.sqrt(2.0 * math.pi)

MISSED_SINGLE = ((0.7, 0.0), (0.3, 0.06))
"""Weight of a load just missed, and of one further off, with how far. [1]"""


@dataclass(frozen=True, slots=True)
class Reading:
    """A set as one number that the belief has an opinion of.

    Args:
        margin: Log of what the belief says could be lifted for the set's repetitions, less log of what was. [1]
        direction: Derivative of the margin by each quantity.
        views: Ways to understand it; where there is more than one, the last is that it is not what it says.

    """

    margin: float
    direction: Vector
    views: tuple[View, ...]


def bias_share(left: float, a: Assumptions) -> float:
    """Part of the reporting bias that shows with so many repetitions left: people foresee a near end better. [1]

    Source:
        Halperin et al. 2022, for the direction.

    """
    return min(1.0, a.bias_near + (1.0 - a.bias_near) * max(left, 0.0) / a.bias_full_at)


def reading(
    belief: Belief, evidence: Evidence, curve: RepetitionCurve, *, earlier: float, assumptions: Assumptions
) -> Reading:
    """Reading of a set.

    A set is a report of how many repetitions its load allows. Whatever depends on those is taken where the belief expects
    them, not where the report has them: a derivative or a noise that carries the error of the report would, set after
    set, teach a flatter curve, and with it a lower maximum.

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
    sure = evidence.measured or evidence.failed or evidence.surely_to_failure
    untold = told is None and not sure
    # A set on its own tells of the load: with nothing told, what is left in a first set stands for the whole session.
    tired = 0.0 if untold else mean[FATIGUE] * earlier
    strength = mean[LEVEL] + mean[FORM] - math.log(evidence.load_kg)
    point = curve.nearly_lasting(strength, personal=personal, shape=shape)
    cost, slope = curve.cost(point, personal=personal, shape=shape)
    left, felt, noise = _left(evidence, mean, expected=point - done - tired, a=a)
    seen = min(max(done + left + tired, 0.5), FURTHEST_REPETITIONS)
    unsure = _variance_without_report(belief, cost) > UNSURE_VARIANCE
    spare = point - seen
    apart = abs(spare)
    if unsure or apart > FURTHEST_APART:
        trusted = 0.0 if unsure else max(2.0 * FURTHEST_APART - apart, 0.0)
        point = seen + math.copysign(trusted, spare)
        cost, slope = curve.cost(point, personal=personal, shape=shape)
        left, felt, noise = _left(evidence, mean, expected=point - done - tired, a=a)
    counting = 0.0 if evidence.measured else a.counting_noise + a.counting_noise_growth * point
    variance = a.base_noise * a.base_noise + slope * slope * (noise * noise + counting * counting)
    if evidence.weak:
        variance = 4.0 * variance + a.weak_sd * a.weak_sd
    return Reading(
        strength - curve.cost(done + left + tired, personal=personal, shape=shape)[0],
        (
            1.0,
            0.0,
            -cost,
            -cost * bent(point),
            -slope * felt,
            0.0 if untold else -slope * earlier,
            -slope if untold else 0.0,
            1.0,
        ),
        _views(
            evidence,
            a,
            variance=variance,
            slope=slope,
            beyond=left - (mean[FATIGUE] * earlier if untold else 0.0),
            unsure=unsure,
            spare=spare,
        ),
    )


def _left(evidence: Evidence, mean: Vector, *, expected: float, a: Assumptions) -> tuple[float, float, float]:
    """Repetitions left that a set tells of, the part of the bias in them, and their standard deviation."""
    told = evidence.reported_left
    if evidence.measured:
        return 0.0, 0.0, MEASURED_NOISE
    if evidence.failed:
        return a.missed, 0.0, a.failure_noise
    if evidence.surely_to_failure:
        return a.nothing_left, 0.0, a.failure_noise
    if told is None:
        return mean[UNTOLD], 0.0, a.untold_noise
    bias = mean[BIAS]
    reported = min(max(expected - bias, 0.0), MOST_LEFT)
    felt = bias_share(reported, a)
    noise = a.report_noise + a.report_noise_growth * reported
    if evidence.at_least:
        return told + bias * felt + AT_LEAST_MORE, felt, noise + AT_LEAST_NOISE
    return told + bias * felt, felt, noise


def _variance_without_report(belief: Belief, cost: float) -> float:
    level, curve = belief.covariance[LEVEL], belief.covariance[CURVE]
    return level[LEVEL] - 2.0 * cost * level[CURVE] + cost * cost * curve[CURVE]


def _views(
    evidence: Evidence, a: Assumptions, *, variance: float, slope: float, beyond: float, unsure: bool, spare: float
) -> tuple[View, ...]:
    plain = 1.0 - a.stray
    if evidence.measured or a.stray <= 0.0:
        return (View(0.0, variance),)
    stray = _stray(a.stray, a.stray_sd, unsure=unsure)
    if evidence.failed and evidence.repetitions == 0:
        (near, here), (far, further) = MISSED_SINGLE
        return (
            View(here, variance, near * plain),
            View(-further, further * further, far * plain, ceiling=0.0),
            stray,
        )
    told = evidence.reported_left
    if evidence.failed or evidence.surely_to_failure:
        return (View(0.0, variance, plain), stray)
    if told is None or evidence.at_least:
        # It was done: whatever was left, it was not less than nothing, or than the bound.
        floor = -slope * max(beyond - (told or 0.0), 0.0)
        near = a.untold_near
        if spare > 0.0 and not unsure:
            # Whoever has much to spare did an easy set, and it is no news of the limit.
            near *= math.exp(-0.5 * (spare / EASY_FROM) ** 2)
        return (
            View(0.0, variance, near * plain, floor),
            _spread_out((1.0 - near) * plain, EASY_CENTRE, EASY_SD, floor=floor, unsure=unsure),
            stray,
        )
    if told == 0.0:
        # Nobody reports less than nothing: it was done, the end was near, and no more is known.
        floor, ceiling = -slope * max(beyond + 0.3, 0.0), 0.5 * slope
        return (View(0.0, NEAR_SD * NEAR_SD, plain, floor, ceiling), stray)
    return (View(0.0, variance, plain), stray)


@cache
def _stray(probability: float, sd: float, *, unsure: bool) -> View:
    return _spread_out(probability, 0.0, sd, unsure=unsure)


def _spread_out(probability: float, centre: float, sd: float, *, unsure: bool, floor: float | None = None) -> View:
    # A set that may mean anything moves no belief that is settled; it gives a first idea where there is none.
    if unsure:
        return View(centre, sd * sd, probability, floor)
    return flat(probability, width=sd * ROOT_TWO_PI, floor=floor)
