"""The estimate: how strong a lifter is today, with an interval, learned recursively from their own sets."""

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
    UNTOLD,
    Belief,
    Vector,
    carried,
    explained,
    independent,
    loosened,
    revised,
    shared_with,
    with_form,
)
from core.strength.evidence import Evidence, Lift, days
from core.strength.margin import Revision, View, revision
from core.strength.reading import bias_share, reading
from core.strength.repetition_curve import FURTHEST_REPETITIONS, curve_of
from core.strength.state import FamilyState, Tie, Track, state_from

__all__ = [
    "INTERVAL",
    "Estimate",
    "FamilyState",
    "advance",
    "estimate",
    "expected_left",
    "initial",
    "load_for",
    "share",
    "state_from",
    "track_at",
]

INTERVAL = 0.9
"""Probability with which the maximum is said to lie between low and high. [1]"""

INTERVAL_DEVIATIONS = 1.6448536269514722
"""Standard deviations from the mean of a Gaussian to the end of its central 90 %. [1]"""

SESSION_DAYS = 0.25
"""How long nothing but form counts: strength does not drift within a session. [days]"""

OTHER_LIFTS_TIRE = 0.5
"""Part of a set that a set of another lift of the family counts for what is lost to fatigue. [1]"""

STRAY_SETS, STRAY_SESSIONS = 3, 2
"""Sets far off on one side, in a row and over so many sessions, that are no accident. [sets, sessions]"""

REOPENED_SD = 0.15
"""Spread that the level takes up then. [1]"""

OWN_CURVE, OWN_SHAPE, OWN_BIAS, OWN_FATIGUE, OWN_UNTOLD, OWN_GAIN = 0.06, 0.15, 0.3, 0.1, 0.5, 0.001
"""Spread between a lifter's plain lift and a variation of it, in the units of the quantities."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """One-repetition maximum of a rested, uninjured day without particular form.

    Args:
        mean_kg: Middle of the belief: the maximum is as likely above as below. [kg]
        low_kg: Lower end of the 90 % interval. [kg]
        high_kg: Upper end of the 90 % interval. [kg]
        log_mean: Natural logarithm of the middle in kg. [1]
        log_sd: Standard deviation of the logarithm. [1]
        lasting_sd: The part of it that a lifter's estimates share for months, because it comes from what is unknown of
            their curve and their way to report. Two of them differ by less than two intervals would say. [1]

    """

    mean_kg: float
    low_kg: float
    high_kg: float
    log_mean: float
    log_sd: float
    lasting_sd: float


def initial() -> FamilyState:
    """State of a family before any set."""
    return FamilyState()


def advance(state: FamilyState, evidence: Evidence, *, assumptions: Assumptions = ASSUMPTIONS) -> FamilyState:
    """State after one more set of the family; sets come in the order of `Evidence.order`.

    Warm-ups change nothing. A set with help says nothing and tires the ones after it. A variation says nothing about its
    plain lift.
    """
    if evidence.warm_up:
        return state
    lift = evidence.lift
    old = state.track(lift.name)
    day = days(evidence.at)
    if old is None:
        if evidence.helped:
            return state
        track = _begun(state, lift, day=day, a=assumptions)
    else:
        track = _at(state, old, lift, day=day, a=assumptions)
    if evidence.session != track.session or old is None:
        variance = assumptions.form_sd**2 + (assumptions.weak_sd**2 if evidence.weak else 0.0)
        track = replace(
            track,
            session=evidence.session,
            sets=0,
            stray_sessions=track.stray_sessions + (track.stray_sets != 0),
            belief=with_form(track.belief, variance),
        )
    earlier = track.sets + OTHER_LIFTS_TIRE * sum(
        [other.sets for other in state.tracks if other.session == evidence.session and other.lift != lift.name]
    )
    new = (
        replace(track, sets=track.sets + 1)
        if evidence.helped
        else _taught(track, evidence, earlier=earlier, a=assumptions)
    )
    if old is None:
        return FamilyState((*state.tracks, new))
    return FamilyState(tuple([new if each is old else each for each in state.tracks]))


def estimate(
    state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS
) -> Estimate | None:
    """Maximum of a lift at a time, from the sets taken in before it; None without any evidence.

    The interval widens with the time since the last set. A variation that was never done is estimated from its plain lift
    and the usual ratio.
    """
    track = track_at(state, lift, at, assumptions=assumptions)
    if track is None:
        return None
    belief = track.belief
    mean = belief.mean[LEVEL]
    variance = max(belief.covariance[LEVEL][LEVEL], 0.0)
    sd = math.sqrt(variance)
    reach = INTERVAL_DEVIATIONS * sd
    lasting = min(explained(belief, LEVEL, (CURVE, SHAPE, BIAS, UNTOLD)), variance)
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
        at: When; within some hours of a set the day's form counts.
        repetitions: Repetitions of each set. [repetitions]
        left: Repetitions left after the last set, as told. [repetitions]
        sets: Number of sets. [sets]
        assumptions: Priors and noises.

    Returns:
        Load moved, not rounded; None without any evidence. [kg]

    """
    track = track_at(state, lift, at, assumptions=assumptions)
    if track is None:
        return None
    part = _share(lift, track.belief.mean, repetitions=repetitions, left=left, sets=sets, a=assumptions)
    return math.exp(_strength(state, track, lift)) * part


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
    """Share of the maximum that `load_for` loads on a day without particular form; by the priors without evidence. [1]"""
    track = track_at(state, lift, at, assumptions=assumptions)
    mean = _prior(lift, assumptions).mean if track is None else track.belief.mean
    return _share(lift, mean, repetitions=repetitions, left=left, sets=sets, a=assumptions)


def expected_left(
    state: FamilyState,
    lift: Lift,
    at: datetime,
    *,
    load_kg: float,
    repetitions: int,
    set_number: float = 1,
    assumptions: Assumptions = ASSUMPTIONS,
) -> float | None:
    """Repetitions left that this lifter would report after a set, from what was known before it.

    Args:
        state: State of the family before the set.
        lift: Lift.
        at: When; within some hours of a set the day's form counts.
        load_kg: Load moved. [kg]
        repetitions: Repetitions of the set. [repetitions]
        set_number: 1 for the first work set of the lift in its session. [sets]
        assumptions: Priors and noises.

    Returns:
        Repetitions left, below 0 where the set is expected to fail; None without any evidence. [repetitions]

    """
    track = track_at(state, lift, at, assumptions=assumptions)
    if track is None:
        return None
    mean = track.belief.mean
    able = curve_of(leg_dominant=lift.leg_dominant).lasting(
        _strength(state, track, lift) - math.log(load_kg), personal=mean[CURVE], shape=mean[SHAPE]
    )
    return _reported(able - repetitions - mean[FATIGUE] * (set_number - 1), mean[BIAS], assumptions)


def track_at(state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS) -> Track | None:
    """What is known of a lift at a time after the sets taken in; None without any evidence."""
    track = state.track(lift.name)
    if track is not None:
        return _at(state, track, lift, day=days(at), a=assumptions)
    if lift.variation_of is None or state.track(lift.variation_of) is None:
        return None
    return _begun(state, lift, day=days(at), a=assumptions)


def _strength(state: FamilyState, now: Track, lift: Lift) -> float:
    last = state.track(lift.name)
    today = last is not None and now.day == last.day
    return now.belief.mean[LEVEL] + (now.belief.mean[FORM] if today else 0.0)


def _share(lift: Lift, mean: Vector, *, repetitions: float, left: float, sets: int, a: Assumptions) -> float:
    lasted = repetitions + left + mean[BIAS] * bias_share(left, a) + mean[FATIGUE] * (sets - 1)
    return curve_of(leg_dominant=lift.leg_dominant).share(
        min(max(lasted, 1.0), FURTHEST_REPETITIONS), personal=mean[CURVE], shape=mean[SHAPE]
    )


def _reported(left: float, bias: float, a: Assumptions) -> float:
    # Solves report + bias x bias_share(report) = left: the share is flat below 0, straight to `bias_full_at`, then 1.
    near = bias * a.bias_near
    if left <= near:
        return left - near
    if left >= a.bias_full_at + bias:
        return left - bias
    rise = 1.0 + bias * (1.0 - a.bias_near) / a.bias_full_at
    return (left - near) / max(rise, 0.1)


def _prior(lift: Lift, a: Assumptions) -> Belief:
    return independent(_rest(a), _spreads(curve_of(leg_dominant=lift.leg_dominant).spread, a))


def _rest(a: Assumptions) -> Vector:
    return (a.level, a.gain, 0.0, 0.0, a.bias, a.fatigue, a.untold, 0.0)


def _spreads(curve_spread: float, a: Assumptions) -> Vector:
    curve_sd = curve_spread * a.curve_spread
    return (a.level_sd, a.gain_sd, curve_sd, a.shape_sd, a.bias_sd, a.fatigue_sd, a.untold_sd, a.form_sd)


def _begun(state: FamilyState, lift: Lift, *, day: float, a: Assumptions) -> Track:
    plain = None if lift.variation_of is None else state.track(lift.variation_of)
    if plain is None:
        return Track(lift.name, lift.leg_dominant, day, "", 0, 0, 0, 0, _prior(lift, a))
    # The variation is the plain lift and a difference that nothing is known of but the usual ratio.
    known = _later(plain, day=day, a=a).belief
    own = (a.ratio_sd, OWN_GAIN, OWN_CURVE, OWN_SHAPE, OWN_BIAS, OWN_FATIGUE, OWN_UNTOLD, 0.0)
    level, variance = known.mean[LEVEL], known.covariance[LEVEL][LEVEL]
    belief = loosened(Belief((level + _log_ratio(lift), *known.mean[1:]), known.covariance), own)
    return Track(lift.name, lift.leg_dominant, day, "", 0, 0, 0, 0, belief, Tie(level, variance, variance))


def _log_ratio(lift: Lift) -> float:
    return 0.0 if lift.ratio is None else math.log(lift.ratio)


def _at(state: FamilyState, track: Track, lift: Lift, *, day: float, a: Assumptions) -> Track:
    later = _later(track, day=day, a=a)
    if lift.variation_of is None:
        return later
    plain = state.track(lift.variation_of)
    if plain is None:
        return later
    return _told_by_plain(track, later, _later(plain, day=later.day, a=a), lift, a)


def _later(track: Track, *, day: float, a: Assumptions) -> Track:
    if day - track.day < SESSION_DAYS:
        return track
    weeks = (day - track.day) / 7.0
    spreads = _spreads(curve_of(leg_dominant=track.leg_dominant).spread, a)
    keep = (
        1.0,
        math.exp(-weeks / a.gain_weeks),
        math.exp(-weeks / a.curve_weeks),
        math.exp(-weeks / a.curve_weeks),
        math.exp(-weeks / a.bias_weeks),
        math.exp(-weeks / a.fatigue_weeks),
        math.exp(-weeks / a.untold_weeks),
        1.0,
    )
    paused = a.idle_drift * max(0.0, weeks - a.idle_after_weeks)
    noise = [sd * sd * (1.0 - kept * kept) for sd, kept in zip(spreads, keep, strict=True)]
    noise[LEVEL] = a.level_drift * a.level_drift * weeks + paused * paused
    step = min(weeks, a.gain_lasts_weeks)
    return replace(
        track, day=day, belief=carried(track.belief, step=step, keep=keep, rest=_rest(a), noise=tuple(noise))
    )


def _told_by_plain(before: Track, track: Track, plain: Track, lift: Lift, a: Assumptions) -> Track:
    """The variation after what its plain lift has learned since they were last compared."""
    belief = track.belief
    level, variance = plain.belief.mean[LEVEL], plain.belief.covariance[LEVEL][LEVEL]
    mean, own = belief.mean[LEVEL], belief.covariance[LEVEL][LEVEL]
    tie = track.tie
    if tie is None:
        # The plain lift was begun later than the variation.
        after = revision(mean, own, (View(level + _log_ratio(lift), variance + a.ratio_sd**2),))
        covariance = own / (own + variance + a.ratio_sd**2) * variance
    else:
        drifted = max(0.0, own - before.belief.covariance[LEVEL][LEVEL])
        earlier = tie.variance + drifted
        together = min(tie.covariance + drifted, 0.97 * math.sqrt(earlier * own))
        follow = together / earlier
        # The gain has moved both already.
        news = level - tie.log_mean - (mean - before.belief.mean[LEVEL])
        kept = own - follow * follow * max(0.0, earlier - variance)
        after = Revision(mean + follow * news, kept, (1.0,))
        covariance = follow * min(variance, earlier)
    told = revised(
        belief,
        shared=belief.covariance[LEVEL],
        away=after.mean - mean,
        kept=after.variance,
        variance=own,
    )
    return replace(track, belief=told, tie=Tie(level, variance, covariance))


def _taught(track: Track, evidence: Evidence, *, earlier: float, a: Assumptions) -> Track:
    """The track after the set itself."""
    belief = track.belief
    curve = curve_of(leg_dominant=track.leg_dominant)
    read = reading(belief, evidence, curve, earlier=earlier, assumptions=a)
    variance, shared = shared_with(belief, read.direction)
    tie, sets, sessions = track.tie, 0, 0
    if variance > 0.0:
        after = revision(read.margin, variance, read.views)
        belief = revised(belief, shared=shared, away=after.mean - read.margin, kept=after.variance, variance=variance)
        if tie is not None:
            kept = min(1.0, belief.covariance[LEVEL][LEVEL] / track.belief.covariance[LEVEL][LEVEL])
            tie = Tie(tie.log_mean, tie.variance, tie.covariance * kept)
        if len(after.weights) > 1 and after.weights[-1] > 0.5:
            side = 1 if read.margin > 0.0 else -1
            same = track.stray_sets * side > 0
            sets, sessions = (track.stray_sets + side, track.stray_sessions) if same else (side, 0)
            if abs(sets) >= STRAY_SETS and sessions + 1 >= STRAY_SESSIONS:
                belief = loosened(belief, (REOPENED_SD, *(0.0,) * 7))
                sets, sessions = 0, 0
    return Track(
        track.lift,
        track.leg_dominant,
        track.day,
        track.session,
        track.sets + 1,
        track.evidence + 1,
        sets,
        sessions,
        belief,
        tie,
    )
