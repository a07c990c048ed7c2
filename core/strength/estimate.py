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
    LEVEL,
    SHAPE,
    SIZE,
    Belief,
    Vector,
    carried,
    independent,
    revised,
    shared_with,
    with_form,
)
from core.strength.evidence import Evidence, Lift, days
from core.strength.margin import View, revision
from core.strength.reading import bias_share, reading
from core.strength.repetition_curve import BENCH_PRESS, FURTHEST_REPETITIONS, RepetitionCurve, curve_of

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
                belief=with_form(track.belief, form * form),
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
    lasted = _lasted(mean, repetitions=repetitions, left=left, earlier=sets - 1, a=assumptions)
    return math.exp(mean[LEVEL]) * curve_of(leg_dominant=lift.leg_dominant).share(
        lasted, personal=mean[CURVE], shape=mean[SHAPE]
    )


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
    mean = _prior(curve_of(leg_dominant=lift.leg_dominant), assumptions).mean if track is None else track.belief.mean
    lasted = _lasted(mean, repetitions=repetitions, left=left, earlier=sets - 1, a=assumptions)
    return curve_of(leg_dominant=lift.leg_dominant).share(lasted, personal=mean[CURVE], shape=mean[SHAPE])


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
    able = curve_of(leg_dominant=lift.leg_dominant).lasting(
        mean[LEVEL] - math.log(load_kg), personal=mean[CURVE], shape=mean[SHAPE]
    )
    return _reported(able - repetitions - mean[FATIGUE] * (set_number - 1), mean[BIAS], assumptions)


def state_from(text: str) -> FamilyState:
    """State that `FamilyState.text` wrote.

    Raises:
        ValueError: The text is not one that it wrote.

    """
    return FamilyState(tuple([_read(track) for track in _list(json.loads(text))]))


def _lasted(mean: Vector, *, repetitions: float, left: float, earlier: int, a: Assumptions) -> float:
    lasted = repetitions + left + mean[BIAS] * bias_share(left, a) + mean[FATIGUE] * earlier
    return min(max(lasted, 1.0), FURTHEST_REPETITIONS)


def _reported(left: float, bias: float, a: Assumptions) -> float:
    # The report that goes with what is left solves report + bias x share(report) = left; the share is straight, then 1.
    if left - bias >= a.bias_full_at:
        return left - bias
    told = (left - a.bias_low * bias) / max(1.0 + (1.0 - a.bias_low) / a.bias_full_at * bias, 0.2)
    return left - a.bias_low * bias if told < 0.0 else min(told, a.bias_full_at)


def _prior(curve: RepetitionCurve, assumptions: Assumptions) -> Belief:
    a = assumptions
    deviations = (
        a.level_sd,
        a.gain_sd,
        curve.spread * a.curve_spread,
        a.shape_sd,
        a.bias_sd,
        a.fatigue_sd,
        a.untold_sd,
        a.form_sd,
    )
    return independent(_rest(assumptions), deviations)


def _rest(a: Assumptions) -> Vector:
    return (a.level, a.gain, 0.0, 0.0, a.bias, a.fatigue, a.untold, 0.0)


def _begun(state: FamilyState, lift: Lift, *, day: float, session: str, assumptions: Assumptions) -> Track:
    belief = _prior(curve_of(leg_dominant=lift.leg_dominant), assumptions)
    tie = None
    if lift.variation_of is not None:
        plain = state.track(lift.variation_of)
        if plain is not None:
            plain = _later(plain, day=day, assumptions=assumptions)
            level = plain.belief.mean[LEVEL] + math.log(lift.ratio if lift.ratio is not None else 1.0)
            variance = plain.belief.covariance[LEVEL][LEVEL]
            own = variance + assumptions.ratio_sd**2
            belief = Belief((level, *belief.mean[1:]), ((own, *belief.covariance[0][1:]), *belief.covariance[1:]))
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
    curve_sd = BENCH_PRESS.spread * a.curve_spread
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
        after = revision(track.belief.mean[LEVEL], own, (View(usual, variance + a.ratio_sd**2),))
        away, kept = after.mean - track.belief.mean[LEVEL], after.variance
        covariance = own / (own + variance + a.ratio_sd**2) * variance
    else:
        weeks = max(0.0, track.day - tie.day) / 7.0
        drift = (a.level_drift**2 + a.gain_sd**2) * weeks
        before = tie.variance + drift
        covariance = min(tie.covariance + drift, 0.97 * math.sqrt(before * own))
        follow = covariance / before
        news = level - tie.log_mean
        away = follow * news
        kept = own - follow * follow * max(0.0, before - variance)
        covariance = follow * min(variance, before)
    belief = revised(track.belief, shared=track.belief.covariance[LEVEL], away=away, kept=kept, variance=own)
    return replace(track, belief=belief, tie=Tie(level, variance, covariance, track.day))


def _retied(tie: Tie | None, before: Belief, after: Belief) -> Tie | None:
    if tie is None:
        return None
    kept = min(1.0, after.covariance[LEVEL][LEVEL] / before.covariance[LEVEL][LEVEL])
    return Tie(tie.log_mean, tie.variance, tie.covariance * kept, tie.day)


def _taught(track: Track, evidence: Evidence, a: Assumptions) -> Belief:
    belief = track.belief
    curve = curve_of(leg_dominant=track.leg_dominant)
    read = reading(belief, evidence, curve, earlier=track.sets, assumptions=a)
    variance, shared = shared_with(belief, read.direction)
    if variance <= 0.0:
        return belief
    after = revision(read.margin, variance, read.views)
    return revised(belief, shared=shared, away=after.mean - read.margin, kept=after.variance, variance=variance)


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
