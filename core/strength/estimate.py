"""The estimate: how strong a lifter is today, with an interval, learned recursively from their own sets."""

import json
import math
from dataclasses import dataclass, replace
from datetime import datetime

from core.strength.assumptions import ASSUMPTIONS, Assumptions
from core.strength.belief import (
    BIAS,
    CURVE,
    FATIGUE,
    FORM,
    GAIN,
    LEVEL,
    SHAPE,
    SIZE,
    UNTOLD,
    Belief,
    Outcome,
    Vector,
    View,
    carried,
    revised,
    spread,
    weighed,
    with_form,
)
from core.strength.evidence import Evidence, Lift, days
from core.strength.repetition_curve import BENCH_PRESS, FURTHEST_REPETITIONS, LEG_DOMINANT, RepetitionCurve

INTERVAL = 0.9
"""Probability with which the maximum is said to lie between low and high. [1]"""

INTERVAL_DEVIATIONS = 1.6448536269514722
"""Standard deviations from the mean of a Gaussian to the end of its central 90 %. [1]"""


@dataclass(frozen=True, slots=True)
class Estimate:
    """One-repetition maximum of a rested, uninjured day without particular form.

    Args:
        mean_kg: Middle of the belief: as likely above as below. [kg]
        low_kg: Lower end of the 90 % interval. [kg]
        high_kg: Upper end of the 90 % interval. [kg]
        log_mean: Natural logarithm of the maximum in kg. [1]
        log_sd: Its standard deviation. [1]
        lasting_sd: The part of it that all estimates of this lift share for months, for it comes from the lifter's own
            curve and way of reporting. [1]

    """

    mean_kg: float
    low_kg: float
    high_kg: float
    log_mean: float
    log_sd: float
    lasting_sd: float


@dataclass(frozen=True, slots=True)
class Tie:
    """How far a variation goes with its plain lift.

    Args:
        log_mean: Level of the plain lift when they were last compared. [1]
        variance: Its variance then. [1]
        covariance: Of both levels. [1]
        day: When. [days]

    """

    log_mean: float
    variance: float
    covariance: float
    day: float


@dataclass(frozen=True, slots=True)
class Track:
    """What is known of one lift.

    Args:
        lift: Name.
        leg_dominant: Which curve.
        day: Time of the last evidence. [days]
        session: Session of the last evidence.
        sets: Work sets of this session so far.
        evidence: Sets taken as evidence so far.
        belief: The seven quantities.
        tie: To the plain lift, for a variation.

    """

    lift: str
    leg_dominant: bool
    day: float
    session: str
    sets: int
    evidence: int
    belief: Belief
    tie: Tie | None = None
    last: tuple[float, int] = (0.0, 0)


@dataclass(frozen=True, slots=True)
class FamilyState:
    """Everything kept of a plain lift and its variations; constant in size, however many sets there were.

    Args:
        tracks: One for each lift that has evidence.

    """

    tracks: tuple[Track, ...] = ()

    def track(self, lift: str) -> Track | None:
        """What is known of one lift, if there was evidence of it."""
        for track in self.tracks:
            if track.lift == lift:
                return track
        return None

    def text(self) -> str:
        """The state as one line of JSON; `state_from` gives back exactly the same state."""
        return json.dumps([_listed(track) for track in self.tracks], separators=(",", ":"))


def initial() -> FamilyState:
    """State of a family before any set."""
    return FamilyState()


def advance(state: FamilyState, evidence: Evidence, *, assumptions: Assumptions = ASSUMPTIONS) -> FamilyState:
    """State after one more set of the family; sets come in the order of `Evidence.order`.

    Warm-ups change nothing. A set with help tires the ones after it and says nothing.
    """
    if evidence.warm_up:
        return state
    lift = evidence.lift
    old = state.track(lift.name)
    day = days(evidence.at)
    if old is None:
        if evidence.helped:
            return state
        track = _begun(state, lift, day=day, session=evidence.session, assumptions=assumptions)
    else:
        track = _at(state, old, lift, day=day, assumptions=assumptions)
        if evidence.session != old.session:
            form = assumptions.form_sd + (assumptions.weak_sd if evidence.weak else 0.0)
            track = replace(
                track,
                session=evidence.session,
                sets=0,
                last=(0.0, 0),
                belief=with_form(track.belief, mean=0.0, variance=form * form),
            )
    belief = track.belief if evidence.helped else _taught(track, evidence, assumptions)
    new = Track(
        track.lift,
        track.leg_dominant,
        track.day,
        track.session,
        track.sets + 1,
        track.evidence + (not evidence.helped),
        belief,
        _retied(track.tie, track.belief, belief),
        (evidence.load_kg, evidence.repetitions),
    )
    if old is None:
        return FamilyState((*state.tracks, new))
    return FamilyState(tuple([new if track is old else track for track in state.tracks]))


def estimate(
    state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS
) -> Estimate | None:
    """Maximum of a lift at a time, from the sets taken in before it; None without any evidence of it.

    A variation that was never done is estimated from its plain lift and the usual ratio.
    """
    track = _now(state, lift, at, assumptions)
    if track is None:
        return None
    mean = track.belief.mean[LEVEL]
    rows = track.belief.covariance
    sd = math.sqrt(max(rows[LEVEL][LEVEL], 0.0))
    reach = INTERVAL_DEVIATIONS * sd
    lasting = _explained(rows, LEVEL, (CURVE, BIAS))
    return Estimate(math.exp(mean), math.exp(mean - reach), math.exp(mean + reach), mean, sd, math.sqrt(lasting))


def load_for(
    state: FamilyState,
    lift: Lift,
    at: datetime,
    *,
    repetitions: float,
    left: float,
    sets: int = 1,
    assumptions: Assumptions = ASSUMPTIONS,
) -> float | None:
    """Load with which the last of some equal sets has this many repetitions left, as this lifter reports them.

    Args:
        state: State of the family.
        lift: Lift.
        at: When.
        repetitions: Repetitions of each set. [repetitions]
        left: Repetitions left after the last set, as told. [repetitions]
        sets: Number of sets. [sets]
        assumptions: Priors and noises.

    Returns:
        Load moved, not rounded; None without any evidence. [kg]

    """
    track = _now(state, lift, at, assumptions)
    if track is None:
        return None
    mean = track.belief.mean
    lasted = _lasted(mean, repetitions=repetitions, left=left, earlier=sets - 1)
    return math.exp(mean[LEVEL] - _cost(_curve(track.leg_dominant), mean, lasted))


def share(
    state: FamilyState,
    lift: Lift,
    at: datetime,
    *,
    repetitions: float,
    left: float,
    sets: int = 1,
    assumptions: Assumptions = ASSUMPTIONS,
) -> float:
    """Share of the maximum that `load_for` would load; of the published curve where there is no evidence. [1]"""
    track = _now(state, lift, at, assumptions)
    mean = _prior(_curve(lift.leg_dominant), assumptions).mean if track is None else track.belief.mean
    lasted = _lasted(mean, repetitions=repetitions, left=left, earlier=sets - 1)
    return math.exp(-_cost(_curve(lift.leg_dominant), mean, lasted))


def expected_left(
    state: FamilyState,
    lift: Lift,
    at: datetime,
    *,
    load_kg: float,
    repetitions: int,
    set_number: int = 1,
    assumptions: Assumptions = ASSUMPTIONS,
) -> float | None:
    """Repetitions left that this lifter would report after a set, from what was known before it.

    Args:
        state: State of the family before the set.
        lift: Lift.
        at: When.
        load_kg: Load moved. [kg]
        repetitions: Repetitions of the set. [repetitions]
        set_number: 1 for the first work set of the lift in its session. [sets]
        assumptions: Priors and noises.

    Returns:
        Repetitions left, below 0 where the set is expected to fail; None without any evidence. [repetitions]

    """
    track = _now(state, lift, at, assumptions)
    if track is None:
        return None
    mean = track.belief.mean
    able = _able(_curve(track.leg_dominant), mean, mean[LEVEL] - math.log(load_kg))
    return _reported(able - repetitions - mean[FATIGUE] * (set_number - 1), mean[BIAS])


def state_from(text: str) -> FamilyState:
    """State that `FamilyState.text` wrote.

    Raises:
        ValueError: The text is not one that it wrote.

    """
    return FamilyState(tuple([_read(track) for track in _list(json.loads(text))]))


def _curve(leg_dominant: bool) -> RepetitionCurve:  # noqa: FBT001
    return LEG_DOMINANT if leg_dominant else BENCH_PRESS


def _bias_share(left: float) -> float:
    # People foresee the end the better the nearer it is (Halperin et al. 2022).
    return min(1.0, 0.5 + 0.25 * left)


def _lasted(mean: Vector, *, repetitions: float, left: float, earlier: int) -> float:
    lasted = repetitions + left + mean[BIAS] * _bias_share(left) + mean[FATIGUE] * earlier
    return min(max(lasted, 1.0), FURTHEST_REPETITIONS)


def _reported(left: float, bias: float) -> float:
    # The inverse of left + bias x share(left), in its straight piece from 0 to 2 and the ones beside it.
    if left - bias >= 2.0:
        return left - bias
    return min((left - 0.5 * bias) / max(1.0 + 0.25 * bias, 0.2), max(2.0, left - bias))


def _prior(curve: RepetitionCurve, assumptions: Assumptions) -> Belief:
    a = assumptions
    deviations = (
        a.level_sd,
        a.gain_sd,
        curve.spread * a.curve_sd_factor,
        a.shape_sd,
        a.bias_sd,
        a.fatigue_sd,
        a.untold_sd,
        a.form_sd,
    )
    return Belief(
        _rest(assumptions),
        tuple(
            [
                tuple([sd * sd if place == other else 0.0 for other in range(SIZE)])
                for place, sd in enumerate(deviations)
            ]
        ),
    )


def _rest(a: Assumptions) -> Vector:
    return (a.level, a.gain, 0.0, 0.0, a.bias, a.fatigue, a.untold, 0.0)


def _begun(state: FamilyState, lift: Lift, *, day: float, session: str, assumptions: Assumptions) -> Track:
    belief = _prior(_curve(lift.leg_dominant), assumptions)
    tie = None
    if lift.variation_of is not None:
        plain = state.track(lift.variation_of)
        if plain is not None:
            plain = _later(plain, day=day, assumptions=assumptions)
            level = plain.belief.mean[LEVEL] + math.log(lift.ratio if lift.ratio is not None else 1.0)
            variance = plain.belief.covariance[LEVEL][LEVEL]
            own = variance + assumptions.ratio_sd**2
            belief = Belief(
                (level, *belief.mean[1:]), ((own, *belief.covariance[0][1:]), *belief.covariance[1:])
            )
            tie = Tie(plain.belief.mean[LEVEL], variance, variance, day)
    return Track(lift.name, lift.leg_dominant, day, session, 0, 0, belief, tie)


def _now(state: FamilyState, lift: Lift, at: datetime, assumptions: Assumptions) -> Track | None:
    track = state.track(lift.name)
    if track is not None:
        return _at(state, track, lift, day=days(at), assumptions=assumptions)
    if lift.variation_of is None or state.track(lift.variation_of) is None:
        return None
    return _begun(state, lift, day=days(at), session="", assumptions=assumptions)


def _at(state: FamilyState, track: Track, lift: Lift, *, day: float, assumptions: Assumptions) -> Track:
    later = _later(track, day=day, assumptions=assumptions)
    if lift.variation_of is None:
        return later
    plain = state.track(lift.variation_of)
    if plain is None:
        return later
    return _told_by_plain(later, _later(plain, day=later.day, assumptions=assumptions), lift, assumptions)


def _later(track: Track, *, day: float, assumptions: Assumptions) -> Track:
    weeks = (day - track.day) / 7.0
    if weeks <= 0.0:
        return track
    return replace(track, day=day, belief=_drifted(track.belief, weeks, assumptions))


def _drifted(belief: Belief, weeks: float, a: Assumptions) -> Belief:
    idle = max(0.0, weeks - a.idle_after_weeks)
    keep_gain = math.exp(-weeks / a.gain_weeks)
    keep_curve = math.exp(-weeks / a.curve_weeks)
    keep_bias = math.exp(-weeks / a.bias_weeks)
    keep_fatigue = math.exp(-weeks / a.fatigue_weeks)
    keep_untold = math.exp(-weeks / a.untold_weeks)
    curve_sd = BENCH_PRESS.spread * a.curve_sd_factor
    return carried(
        belief,
        step=min(weeks, a.gain_lasts_weeks),
        keep=(1.0, keep_gain, keep_curve, keep_curve, keep_bias, keep_fatigue, keep_untold, 1.0),
        rest=(0.0, a.gain, 0.0, 0.0, a.bias, a.fatigue, a.untold, belief.mean[FORM]),
        noise=(
            a.level_drift**2 * weeks + (a.idle_drift * idle) ** 2,
            a.gain_sd**2 * (1.0 - keep_gain * keep_gain),
            curve_sd**2 * (1.0 - keep_curve * keep_curve),
            a.shape_sd**2 * (1.0 - keep_curve * keep_curve),
            a.bias_sd**2 * (1.0 - keep_bias * keep_bias),
            a.fatigue_sd**2 * (1.0 - keep_fatigue * keep_fatigue),
            a.untold_sd**2 * (1.0 - keep_untold * keep_untold),
            0.0,
        ),
    )


def _told_by_plain(track: Track, plain: Track, lift: Lift, a: Assumptions) -> Track:
    level, variance = plain.belief.mean[LEVEL], plain.belief.covariance[LEVEL][LEVEL]
    own = track.belief.covariance[LEVEL][LEVEL]
    tie = track.tie
    if tie is None:
        # The plain lift came later than the variation: what it says is worth the spread of the usual ratio.
        usual = level + math.log(lift.ratio if lift.ratio is not None else 1.0)
        outcome = weighed(
            track.belief.mean[LEVEL], own, (View(usual, variance + a.ratio_sd**2, 1.0),)
        )
        covariance = own / (own + variance + a.ratio_sd**2) * variance
    else:
        weeks = max(0.0, track.day - tie.day) / 7.0
        drift = (a.level_drift**2 + a.gain_sd**2) * weeks
        before = tie.variance + drift
        covariance = min(tie.covariance + drift, 0.97 * math.sqrt(before * own))
        follow = covariance / before
        news = level - tie.log_mean
        outcome = Outcome(
            track.belief.mean[LEVEL] + follow * news,
            own - follow * follow * max(0.0, before - variance),
            (1.0,),
        )
        covariance = follow * min(variance, before)
    belief = revised(
        track.belief,
        shared=track.belief.covariance[LEVEL],
        mean=track.belief.mean[LEVEL],
        variance=own,
        outcome=outcome,
    )
    return replace(track, belief=belief, tie=Tie(level, variance, covariance, track.day))


def _retied(tie: Tie | None, before: Belief, after: Belief) -> Tie | None:
    if tie is None:
        return None
    kept = min(1.0, after.covariance[LEVEL][LEVEL] / before.covariance[LEVEL][LEVEL])
    return Tie(tie.log_mean, tie.variance, tie.covariance * kept, tie.day)


def _taught(track: Track, evidence: Evidence, a: Assumptions) -> Belief:
    belief = track.belief
    mean = belief.mean
    curve = _curve(track.leg_dominant)
    earlier = track.sets
    told = evidence.reported_left
    surely = evidence.measured or evidence.failed or evidence.to_failure
    done = evidence.repetitions
    tired = mean[FATIGUE] * earlier
    same = evidence.load_kg == track.last[0] and done == track.last[1]
    log_load = math.log(evidence.load_kg)
    # Derivatives are taken at the repetitions that the belief expects of this load, not at the ones reported: a
    # derivative that carries the report's error would teach a flat curve and a low maximum.
    able = _able(curve, mean, mean[LEVEL] + mean[FORM] - log_load)
    untold = False
    if evidence.measured:
        left, noise = 0.0, 0.2
    elif evidence.failed or evidence.to_failure:
        left, noise = (0.5 if evidence.failed else 0.35), 0.5
    elif told is None:
        left, noise, untold = mean[UNTOLD], 1.3, True
    else:
        left, noise = told + mean[BIAS], a.report_noise + a.report_noise_growth * told
    cost = _cost(curve, mean, able)
    slope = _slope(curve, mean, able)
    about, _ = spread(
        belief,
        (1.0, 0.0, -cost, -cost * _shape(able), -slope * (told is not None), -slope * earlier, -slope * untold, 1.0),
    )
    point = able
    if about > 0.01:
        point = min(done + left + tired, FURTHEST_REPETITIONS)
    share_of_bias = 0.0
    if not (surely or untold):
        share_of_bias = _bias_share(max(0.0, point - done - tired - mean[BIAS]))
        expected = max(0.0, min(6.0, point - done - tired - mean[BIAS] * share_of_bias))
        left = (told or 0.0) + mean[BIAS] * share_of_bias + (1.0 if evidence.at_least else 0.0)
        noise = a.report_noise + a.report_noise_growth * expected + (0.7 if evidence.at_least else 0.0)
    lasted = done + left + tired
    if untold and a.mode & 1:
        lasted = done + left
    slope = _slope(curve, mean, point)
    cost = _cost(curve, mean, point)
    margin = mean[LEVEL] + mean[FORM] - cost - slope * (lasted - point) - log_load
    direction = (
        1.0,
        0.0,
        -cost,
        -cost * _shape(point),
        -slope * share_of_bias,
        0.0 if untold and a.mode & 1 else -slope * earlier,
        -slope if untold else 0.0,
        1.0,
    )
    counting = 0.0 if evidence.measured else a.counting_noise + a.counting_noise_growth * point
    variance = a.base_noise**2 + slope * slope * (noise * noise + counting * counting)
    if evidence.weak:
        variance = 4.0 * variance + a.weak_sd**2
    total, shared = spread(belief, direction)
    if total <= 0.0:
        return belief
    views: tuple[View, ...]
    if evidence.measured:
        views = (View(0.0, variance, 1.0),)
    elif evidence.failed and done == 0:
        views = (
            View(0.0, variance, 0.7),
            View(-0.06, 0.06**2, 0.26, None, 0.02),
            View(0.0, a.stray_sd**2, a.stray),
        )
    elif told == 0.0 and not evidence.at_least and not surely:
        floor = -slope * max(0.0, left + 0.3)
        ceiling = 0.5 * slope
        views = (
            View(0.0, 0.15**2, 1.0 - a.stray, floor, ceiling),
            View(0.0, a.stray_sd**2, a.stray),
        )
    elif surely or (told is not None and not evidence.at_least):
        if a.stray > 0.0:
            views = (View(0.0, variance, 1.0 - a.stray), View(0.0, a.stray_sd**2, a.stray))
        else:
            views = (View(0.0, variance, 1.0),)
    else:
        floor = -slope * (left - (told or 0.0))
        if untold and a.mode & 1:
            floor += slope * tired
        if same and untold and a.mode & 2:
            variance = 0.3**2
        views = (
            View(0.0, variance, 0.6, floor),
            View(0.15, 0.2**2, 0.36, floor),
            View(0.0, a.stray_sd**2, a.stray or 0.04),
        )
    return revised(
        belief, shared=shared, mean=margin, variance=total, outcome=weighed(margin, total, views)
    )


PIVOT = 8.0


def _shape(repetitions: float) -> float:
    past = max(repetitions - 1.0, 0.0)
    return (past - PIVOT) / (past + PIVOT)


def _cost(curve: RepetitionCurve, mean: Vector, repetitions: float) -> float:
    return math.exp(mean[CURVE] + mean[SHAPE] * _shape(repetitions)) * curve.cost(repetitions)


def _slope(curve: RepetitionCurve, mean: Vector, repetitions: float) -> float:
    bent = 2.0 * PIVOT / (max(repetitions - 1.0, 0.0) + PIVOT) ** 2
    return math.exp(mean[CURVE] + mean[SHAPE] * _shape(repetitions)) * (
        curve.slope(repetitions) + curve.cost(max(repetitions, 1.0)) * mean[SHAPE] * bent
    )


def _able(curve: RepetitionCurve, mean: Vector, cost: float) -> float:
    if cost <= 0.0:
        return 1.0 + cost / _slope(curve, mean, 1.0)
    if cost >= _cost(curve, mean, FURTHEST_REPETITIONS):
        return FURTHEST_REPETITIONS
    guess = curve.repetitions(math.exp(-cost), personal=mean[CURVE])
    for _ in range(3):
        guess = min(
            max(guess - (_cost(curve, mean, guess) - cost) / _slope(curve, mean, guess), 1.0), FURTHEST_REPETITIONS
        )
    return guess


def _explained(rows: tuple[Vector, ...], place: int, others: tuple[int, int]) -> float:
    first, second = others
    a, b, c = rows[first][first], rows[first][second], rows[second][second]
    x, y = rows[place][first], rows[place][second]
    determinant = a * c - b * b
    if determinant <= 0.0:
        return 0.0
    return min(max((c * x * x - 2.0 * b * x * y + a * y * y) / determinant, 0.0), rows[place][place])


def _listed(track: Track) -> list[object]:
    rows = track.belief.covariance
    tie = track.tie
    return [
        track.lift,
        track.leg_dominant,
        track.day,
        track.session,
        track.sets,
        track.evidence,
        list(track.belief.mean),
        [rows[i][j] for i in range(SIZE) for j in range(i, SIZE)],
        None if tie is None else [tie.log_mean, tie.variance, tie.covariance, tie.day],
    ]


def _read(value: object) -> Track:
    lift, leg_dominant, day, session, sets, evidence, mean, half, tie = _list(value)
    flat = iter(_numbers(half))
    rows = [[0.0] * SIZE for _ in range(SIZE)]
    for i in range(SIZE):
        for j in range(i, SIZE):
            rows[i][j] = rows[j][i] = next(flat)
    if not (isinstance(lift, str) and isinstance(session, str) and isinstance(leg_dominant, bool)):
        raise ValueError("not a state of a family")
    if not (isinstance(sets, int) and isinstance(evidence, int) and isinstance(day, float)):
        raise ValueError("not a state of a family")
    return Track(
        lift,
        leg_dominant,
        day,
        session,
        sets,
        evidence,
        Belief(tuple(_numbers(mean)), tuple([tuple(row) for row in rows])),
        None if tie is None else Tie(*_numbers(tie)),
    )


def _list(value: object) -> list[object]:
    if not isinstance(value, list):
        raise ValueError("not a state of a family")
    return value


def _numbers(value: object) -> list[float]:
    numbers = _list(value)
    if not all(isinstance(number, float) for number in numbers):
        raise ValueError("not a state of a family")
    return [number for number in numbers if isinstance(number, float)]
