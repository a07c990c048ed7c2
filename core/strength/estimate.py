"""The estimate: how strong a lifter is today, with an interval, learned recursively from their own sets."""

import math
from dataclasses import dataclass
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
    loosened,
    revised,
    shared_with,
    stretched,
    with_form,
)
from core.strength.drift import begun, belief_at, drifted, prior
from core.strength.evidence import Evidence, Lift, days
from core.strength.margin import revision
from core.strength.reading import Before, bias_share, load_tells, reading
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
]

INTERVAL = 0.9
"""Probability with which the maximum is said to lie between low and high. [1]"""

INTERVAL_DEVIATIONS = 1.6448536269514722
"""Standard deviations from the mean of a Gaussian to the end of its central 90 %. [1]"""

OTHER_LIFTS_TIRE = 0.5
"""Part of a set that a set of another lift of the family counts for what is lost to fatigue. [1]"""

CLIP = 0.018
"""Most that one set moves a level that is known, unless it is a confirmed maximum: a load can be mistyped. [1]"""

KNOWN_SD, UNKNOWN_FOLLOWS = 0.075, 3.0
"""Spread up to which a level is known, an interval of 13 % either way, and how soon it is not clipped beyond. [1, 1]"""

STRAY_SETS, STRAY_SESSIONS = 3, 2
"""Sets far off on one side, in a row and over so many sessions, that are no accident. [sets, sessions]"""

FAR = 1.6
"""Standard deviations from which a set is far off. [1] The level takes up the spread of the last of such sets."""

YOUNG_SESSIONS = 2
"""Sessions of a lift in which a set can show that those before it said little. [sessions] Later a load can be mistyped."""

LOOSER = 2.0
"""Spread that a belief takes up for each unit by which a set of the first sessions proves more. [1] The sets before it
were on the way up, and said the less of the level the further down they were."""

CONTRADICTION = 1.8
"""Standard deviations from which a confirmed maximum contradicts the belief. [1]"""


@dataclass(frozen=True, slots=True)
class Estimate:
    """One-repetition maximum of a rested, uninjured day without particular form.

    Args:
        mean_kg: Middle of the belief: the maximum is as likely above as below. [kg]
        low_kg: Lower end of the 90 % interval. [kg]
        high_kg: Upper end of the 90 % interval. [kg]
        log_mean: Natural logarithm of the middle in kg. [1]
        log_sd: Standard deviation of the logarithm. [1]

    """

    mean_kg: float
    low_kg: float
    high_kg: float
    log_mean: float
    log_sd: float


def initial() -> FamilyState:
    """State of a family before any set."""
    return FamilyState()


def advance(state: FamilyState, evidence: Evidence, *, assumptions: Assumptions = ASSUMPTIONS) -> FamilyState:
    """State after one more set of the family; sets come in the order of `Evidence.order`.

    Warm-ups change nothing. A set with help, or one that goes back from a heavier one, says nothing and tires the ones
    after it. A variation says nothing about its plain lift.
    """
    if evidence.warm_up:
        return state
    lift, session = evidence.lift, evidence.session
    old = state.track(lift.name)
    day = days(evidence.at)
    if old is None:
        if evidence.helped:
            return state
        belief, tie = begun(state, lift, day=day, a=assumptions)
        sessions = sets = counted = strays = stray_sessions = 0
        same_session = False
    else:
        day, belief, tie = drifted(state, old, lift, day=day, a=assumptions)
        sets, counted, strays, stray_sessions = old.sets, old.evidence, old.stray_sets, old.stray_sessions
        sessions = old.sessions
        same_session = old.session == session
    if not same_session:
        sets = 0
        sessions += 1
        stray_sessions += strays != 0
        belief = with_form(belief, assumptions.form_sd**2 + (assumptions.weak_sd**2 if evidence.weak else 0.0))
    if not evidence.helped and not (same_session and old is not None and _goes_back(evidence, old)):
        tired: float = sets
        for other in state.tracks:
            if other is not old and other.session == session:
                tired += OTHER_LIFTS_TIRE * other.sets
        last = old if same_session and old is not None and old.load_kg == evidence.load_kg else None
        before = Before(tired, None if last is None else last.repetitions)
        young = counted and sessions <= YOUNG_SESSIONS and assumptions.stray
        if young:
            belief = loosened(belief, (LOOSER * _beyond(evidence, belief), *(0.0,) * (SIZE - 1)))
        variance = belief.level_variance
        belief, off = _taught(belief, evidence, before, assumptions)
        if off == 0.0 and counted and not sets and load_tells(evidence):
            belief, _ = _taught(belief, evidence, before, assumptions, by_load=True)
        if young:
            # Whatever was a slip in it, this was lifted.
            level, *rest = belief.mean
            belief = Belief((level + _beyond(evidence, belief), *rest), belief.pairs)
        side = 0 if not off else 1 if off > 0.0 else -1
        counted += 1
        if tie is not None:
            tie = Tie(tie.log_mean, tie.variance, tie.covariance * min(1.0, belief.level_variance / variance))
        if off is not None:
            strays, stray_sessions = (strays + side, stray_sessions) if strays * side > 0 else (side, 0)
        if off and abs(strays) >= STRAY_SETS and stray_sessions + 1 >= STRAY_SESSIONS:
            belief = loosened(belief, (abs(off), *(0.0,) * (SIZE - 1)))
            strays, stray_sessions = 0, 0
    top_kg, top_repetitions = evidence.load_kg, evidence.repetitions
    if same_session and old is not None and (old.top_kg, old.top_repetitions) > (top_kg, top_repetitions):
        top_kg, top_repetitions = old.top_kg, old.top_repetitions
    new = Track(
        lift.name,
        lift.leg_dominant,
        day,
        session,
        sessions,
        sets + 1,
        counted,
        strays,
        stray_sessions,
        evidence.load_kg,
        evidence.repetitions,
        top_kg,
        top_repetitions,
        max(evidence.least, old.least if same_session and old is not None else -math.inf),
        belief,
        tie,
    )
    if old is None:
        return FamilyState((*state.tracks, new))
    return FamilyState(tuple([new if each is old else each for each in state.tracks]))


def estimate(
    state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS
) -> Estimate | None:
    """Maximum of a lift at a time, from the sets taken in before it; None without any evidence.

    The interval widens with the time since the last set, and ends above what the sets of the last session prove, as far as
    the day's form allows. A variation that was never done is estimated from its plain lift and the usual ratio.
    """
    belief = belief_at(state, lift, at, assumptions=assumptions)
    if belief is None:
        return None
    mean = belief.mean[LEVEL]
    sd = math.sqrt(max(belief.level_variance, 0.0))
    low = mean - INTERVAL_DEVIATIONS * sd
    track = state.track(lift.name)
    if track is not None:
        since = max(0.0, belief.level_variance - track.belief.level_variance)
        proven = track.least + min(0.0, mean - track.belief.mean[LEVEL])
        proven -= INTERVAL_DEVIATIONS * math.sqrt(assumptions.form_sd**2 + since)
        # What lies above the middle was not believed: a load can be mistyped.
        low = max(low, proven) if proven < mean else low
    return Estimate(math.exp(mean), math.exp(low), math.exp(mean + INTERVAL_DEVIATIONS * sd), mean, sd)


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
    belief = belief_at(state, lift, at, assumptions=assumptions)
    if belief is None:
        return None
    mean = belief.mean
    return math.exp(mean[LEVEL] + mean[FORM]) * _share(
        lift, mean, repetitions=repetitions, left=left, sets=sets, a=assumptions
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
    """Share of the maximum that `load_for` loads on a day without particular form; by the priors without evidence. [1]"""
    belief = belief_at(state, lift, at, assumptions=assumptions)
    mean = (prior(lift, assumptions) if belief is None else belief).mean
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
    belief = belief_at(state, lift, at, assumptions=assumptions)
    if belief is None:
        return None
    mean = belief.mean
    able = curve_of(leg_dominant=lift.leg_dominant).lasting(
        mean[LEVEL] + mean[FORM] - math.log(load_kg), personal=mean[CURVE], shape=mean[SHAPE]
    )
    return _reported(able - repetitions - mean[FATIGUE] * (set_number - 1), mean[BIAS], assumptions)


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


def _beyond(evidence: Evidence, belief: Belief) -> float:
    """How far a set proves a higher maximum than was believed in, as a difference of logarithms; 0 if it does not. [1]"""
    return max(0.0, evidence.least - belief.mean[LEVEL] - belief.mean[FORM])


def _goes_back(evidence: Evidence, old: Track) -> bool:
    """Whether a set is easier than the heaviest of its session, and nothing is told of it: then it is no news of a limit."""
    told = evidence.reported_left is not None or evidence.failed or evidence.to_failure or evidence.measured
    fell = evidence.load_kg == old.load_kg and evidence.repetitions < old.repetitions
    return not told and not fell and evidence.load_kg < old.top_kg and evidence.repetitions <= old.top_repetitions


def _taught(
    belief: Belief, evidence: Evidence, before: Before, a: Assumptions, *, by_load: bool = False
) -> tuple[Belief, float | None]:
    """Belief after a set, and its margin where the set was far off, else 0; None where it says nothing."""
    curve = curve_of(leg_dominant=evidence.lift.leg_dominant)
    read = reading(belief, evidence, curve, before=before, by_load=by_load, assumptions=a)
    variance, shared = shared_with(belief, read.slopes)
    if variance <= 0.0:
        return belief, 0.0
    margin = read.margin
    noise = read.views[0].variance
    if evidence.measured and margin * margin > CONTRADICTION**2 * (variance + noise):
        # What was lifted was lifted: the belief was too sure, of level and curve alike, by as much as makes it likely.
        belief = stretched(belief, (margin * margin - noise) / variance)
        variance, shared = shared_with(belief, read.slopes)
    after = revision(margin, variance, read.views)
    away, kept = after.mean - margin, after.variance
    if len(after.weights) == 1:
        return revised(belief, shared=shared, away=away, kept=kept, variance=variance), 0.0
    # One set moves a level that is known by no more than `CLIP`.
    moved = abs(shared[LEVEL] * away / variance)
    most = CLIP + UNKNOWN_FOLLOWS * max(0.0, math.sqrt(belief.level_variance) - KNOWN_SD)
    if moved > most:
        away, kept = away * most / moved, variance + (kept - variance) * most / moved
    belief = revised(belief, shared=shared, away=away, kept=kept, variance=variance)
    if read.easy:
        return belief, None
    far = margin < read.undoable if read.undoable is not None else margin * margin > FAR**2 * (variance + noise)
    return belief, margin if far else 0.0
