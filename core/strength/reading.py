"""How one set reads against the belief: its margin, what moves it, and the ways it can be understood."""

import math
from functools import cache
from typing import NamedTuple

from core.strength.assumptions import Assumptions
from core.strength.belief import BIAS, CURVE, FATIGUE, FORM, LEVEL, SHAPE, UNTOLD, Belief, Slopes, Vector, place_of
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

DROPPED_LEFT, DROPPED_NOISE = 0.7, 1.0
"""Repetitions left, and their spread, in a set that nothing was told of and that fell short of the one before it with the
same load: mostly the limit was near. [repetitions]"""

FEWEST_USUAL = 1.0
"""Fewest repetitions that are taken to be left as a rule by a lifter who does not tell: sets that go further are a lifter who
has become stronger. [repetitions]"""

EASY_CENTRE, EASY_SD = 0.15, 0.2
"""Margin of a set far from the limit that nothing was told of: from none to half of the strength. [1]"""

EASY_FROM = 2.0
"""Repetitions to spare, beside the usual ones left, from which a set that nothing was told of was easy. [repetitions]"""

TELLING_LEFT = 3.0
"""Most repetitions told as left in a set whose load was chosen near the limit. [repetitions]"""

FIRST_NEAR = 0.9
"""Probability that such a set was work near the limit while nothing is known: nobody logs what is no work. [1]"""

NEAR_SD = 0.15
"""Spread of a margin that only its floor and ceiling tell something of: as good as flat between them. [1]"""

FURTHEST_APART = 3.5
"""Repetitions by which belief and report may differ and the curve still be looked at where the belief expects the set. More
is not noise: the further apart, the nearer to the report, or the curve would take up what is no matter of the curve.
[repetitions]"""

_CURVE_VARIANCE = place_of(CURVE, CURVE)

ROOT_TWO_PI = math.sqrt(2.0 * math.pi)

MISSED_SINGLE = ((0.7, 0.0), (0.3, 0.06))
"""Weight of a load just missed, and of one further off, with how far. [1]"""


class Before(NamedTuple):
    """What a set is seen beside: the sets before it in its session.

    Args:
        sets: How many they are, sets of other lifts of the family in part. [sets]
        repetitions: Repetitions of the last one with the same load; None where there is none. [repetitions]

    """

    sets: float = 0.0
    repetitions: int | None = None


class Reading(NamedTuple):
    """A set as one number that the belief has an opinion of.

    Args:
        margin: Log of what the belief says could be lifted for the set's repetitions, less log of what was. [1]
        slopes: Derivatives of the margin by the quantities.
        views: Ways to understand it; where there is more than one, the last is that it is not what it says.
        undoable: Margin below which the belief says that the set could not be done, for one that may have been easier
            than usual; None for one that tells of both sides. [1]
        easy: It may have been an easy set: then it says nothing against the belief either.

    """

    margin: float
    slopes: Slopes
    views: tuple[View, ...]
    undoable: float | None
    easy: bool


def bias_share(left: float, a: Assumptions) -> float:
    """Part of the reporting bias that shows with so many repetitions left: people foresee a near end better. [1]

    Source:
        Halperin et al. 2022, for the direction.

    """
    return min(1.0, a.bias_near + (1.0 - a.bias_near) * max(left, 0.0) / a.bias_full_at)


def load_tells(evidence: Evidence) -> bool:
    """Whether the load of a first set says something of what was left, beside what the lifter tells of it.

    Lifters choose loads that leave them some repetitions, however they tell those: together both show how far the reports
    are off. Not where the end was seen, nor where the set was an easy one.
    """
    told = evidence.reported_left
    if told is None or told > TELLING_LEFT or evidence.at_least or evidence.weak:
        return False
    return not (evidence.failed or evidence.to_failure or evidence.measured)


def reading(
    belief: Belief,
    evidence: Evidence,
    curve: RepetitionCurve,
    *,
    before: Before,
    assumptions: Assumptions,
    by_load: bool = False,
) -> Reading:
    """Reading of a set.

    A set is a report of how many repetitions its load allows. Whatever depends on those is taken where the belief expects
    them, not where the report has them: a derivative or a noise that carries the error of the report would, set after
    set, teach a flatter curve, and with it a lower maximum.

    Args:
        belief: Belief before the set.
        evidence: The set.
        curve: Published curve of the lift.
        before: What came before it in its session.
        assumptions: Priors and noises.
        by_load: Read what the chosen load says of what was left, and not what was told.

    """
    a = assumptions
    mean = belief.mean
    personal, shape = mean[CURVE], mean[SHAPE]
    done = float(evidence.repetitions)
    told = None if by_load else evidence.reported_left
    end = _end(evidence, before, a)
    usual = told is None and end is None
    # A set on its own tells of the load: with nothing told, what is left in a first set stands for the whole session.
    tired = 0.0 if usual else mean[FATIGUE] * before.sets
    strength = mean[LEVEL] + mean[FORM] - math.log(evidence.load_kg)
    point = curve.nearly_lasting(strength, personal=personal, shape=shape)
    cost, slope = curve.cost(point, personal=personal, shape=shape)
    left, felt, noise = end or _left(told, evidence, mean, expected=point - done - tired, a=a)
    seen = min(max(done + left + tired, 0.5), FURTHEST_REPETITIONS)
    pairs = belief.pairs
    unsure = pairs[LEVEL] - 2.0 * cost * pairs[CURVE] + cost * cost * pairs[_CURVE_VARIANCE] > UNSURE_VARIANCE
    spare = point - seen
    apart = abs(spare)
    if unsure or end is not None or apart > FURTHEST_APART:
        trusted = 0.0 if unsure or end is not None else max(2.0 * FURTHEST_APART - apart, 0.0)
        point = seen + math.copysign(trusted, spare)
        cost, slope = curve.cost(point, personal=personal, shape=shape)
        left, felt, noise = end or _left(told, evidence, mean, expected=point - done - tired, a=a)
    counting = 0.0 if evidence.measured else a.counting_noise + a.counting_noise_growth * point
    variance = a.base_noise * a.base_noise + slope * slope * (noise * noise + counting * counting)
    if evidence.weak:
        variance = 4.0 * variance + a.weak_sd * a.weak_sd
    margin = strength - curve.cost(done + left + tired, personal=personal, shape=shape)[0]
    steps = -slope * before.sets
    by_curve, by_shape = -cost, -cost * bent(point)
    plain = 1.0 - a.stray
    if a.stray <= 0.0 or evidence.measured:
        views: tuple[View, ...] = (View(0.0, variance),)
    elif by_load:
        near = a.untold_near * plain
        views = (View(0.0, variance, near), _stray(1.0 - near, a.stray_sd, unsure=unsure))
        return Reading(margin, (by_curve, by_shape, 0.0, 0.0, -slope * felt), views, None, easy=False)
    elif evidence.failed and evidence.repetitions == 0:
        (near, here), (far, further) = MISSED_SINGLE
        views = (
            View(here, variance, near * plain),
            View(-further, further * further, far * plain, ceiling=0.0),
            _stray(a.stray, a.stray_sd, unsure=unsure),
        )
    elif end is not None or not (usual or evidence.at_least or told == 0.0):
        views = (View(0.0, variance, plain), _stray(a.stray, a.stray_sd, unsure=unsure))
    elif told == 0.0 and not evidence.at_least:
        # Nobody reports less than nothing: it was done, the end was near, and no more is known.
        floor, ceiling = -slope * max(left + 0.3, 0.0), 0.5 * slope
        # While nothing is known that is one Gaussian as wide, about one left (Halperin et al. 2022): cut off from all that
        # may be, it would weigh next to nothing beside a stray set.
        width = ceiling - floor
        views = (
            View(0.5 * slope, width * width + variance, plain)
            if unsure
            else View(0.0, NEAR_SD * NEAR_SD, plain, floor, ceiling),
            _stray(a.stray, a.stray_sd, unsure=unsure),
        )
    else:
        # It was done: whatever was left, it was not less than nothing, or than the bound.
        beyond = left - mean[FATIGUE] * before.sets if usual else left - (told or 0.0)
        floor = -slope * max(beyond, 0.0)
        near = FIRST_NEAR if unsure else a.untold_near
        if spare > 0.0 and not unsure:
            # Whoever surely has much to spare did an easy set, and it is no news of the limit.
            width = EASY_FROM * EASY_FROM + belief.level_variance / (slope * slope)
            near *= math.exp(-0.5 * spare * spare / width)
        views = (
            View(0.0, variance, near * plain, floor),
            _spread_out((1.0 - near) * plain, EASY_CENTRE, EASY_SD, floor=floor, unsure=unsure),
            _stray(a.stray, a.stray_sd, unsure=unsure),
        )
        by_report = (0.0, 0.0, -slope * felt) if usual else (-slope * felt, steps, 0.0)
        return Reading(margin, (by_curve, by_shape, *by_report), views, floor - slope, easy=spare > EASY_FROM)
    return Reading(margin, (by_curve, by_shape, -slope * felt, steps, 0.0), views, None, easy=False)


def _end(evidence: Evidence, before: Before, a: Assumptions) -> tuple[float, float, float] | None:
    """What `_left` gives, for a set that was seen to reach its end; None for one that was not."""
    if evidence.measured:
        return 0.0, 0.0, MEASURED_NOISE
    if evidence.failed:
        return a.missed, 0.0, a.failure_noise
    told, earlier = evidence.reported_left, before.repetitions
    if evidence.to_failure and (told is None or (earlier is not None and evidence.repetitions != earlier)):
        # "None left" is a report like any other, and often wrong, unless the repetitions show that they were not planned.
        return a.nothing_left, 0.0, a.failure_noise
    if told is None and earlier is not None and evidence.repetitions < earlier:
        return DROPPED_LEFT, 0.0, DROPPED_NOISE
    return None


def _left(
    told: float | None, evidence: Evidence, mean: Vector, *, expected: float, a: Assumptions
) -> tuple[float, float, float]:
    """Repetitions left that a set tells of, the part of the bias, or of what is usual, in them, and their spread."""
    if told is None:
        part = _usual_part(evidence.repetitions)
        usual = mean[UNTOLD]
        if usual < FEWEST_USUAL:
            return FEWEST_USUAL * part, 0.0, a.untold_noise * part
        return usual * part, part, a.untold_noise * part
    bias = mean[BIAS]
    reported = min(max(expected - bias, 0.0), MOST_LEFT)
    felt = bias_share(reported, a)
    noise = a.report_noise + a.report_noise_growth * reported
    if evidence.at_least:
        return told + bias * felt + AT_LEAST_MORE, felt, noise + AT_LEAST_NOISE
    return told + bias * felt, felt, noise


def _usual_part(repetitions: int) -> float:
    # One repetition is done near the maximum, or it would have been more: what is usually left holds from five on.
    return min(1.0, (1.0 + repetitions) / 6.0)


@cache
def _stray(probability: float, sd: float, *, unsure: bool) -> View:
    return _spread_out(probability, 0.0, sd, unsure=unsure)


def _spread_out(probability: float, centre: float, sd: float, *, unsure: bool, floor: float | None = None) -> View:
    # A set that may mean anything moves no belief that is settled; it gives a first idea where there is none.
    if unsure:
        return View(centre, sd * sd, probability, floor)
    return flat(probability, width=sd * ROOT_TWO_PI, floor=floor)
