"""Drift: what time, and what its plain lift has learned meanwhile, do to the belief about a lift."""

import math
from datetime import datetime

from core.strength.assumptions import ASSUMPTIONS, Assumptions
from core.strength.belief import FORM, LEVEL, Belief, Vector, carried, independent, loosened, revised
from core.strength.evidence import Lift, days
from core.strength.margin import View, revision
from core.strength.repetition_curve import curve_of
from core.strength.state import FamilyState, Tie, Track

SESSION_DAYS = 0.25
"""How long only the day's form counts: strength does not drift within a session. [days]"""

OWN_GAIN, OWN_CURVE, OWN_SHAPE, OWN_BIAS, OWN_FATIGUE, OWN_UNTOLD = 0.001, 0.06, 0.15, 0.3, 0.1, 0.5
"""Spread between a lifter's plain lift and a variation of it, in the units of the quantities."""

CLOSEST = 0.97
"""Largest correlation of a variation's level with the plain lift's: none is quite the other. [1]"""


def belief_at(state: FamilyState, lift: Lift, at: datetime, *, assumptions: Assumptions = ASSUMPTIONS) -> Belief | None:
    """What is believed of a lift at a time after the sets taken in; None without any evidence.

    Of a variation that was never done, what the plain lift and the usual ratio say. Within some hours of the last set the
    day's form still stands; later it is none.
    """
    track = state.track(lift.name)
    day = days(at)
    if track is not None:
        return drifted(state, track, lift, day=day, a=assumptions)[1]
    if lift.variation_of is None or state.track(lift.variation_of) is None:
        return None
    return begun(state, lift, day=day, a=assumptions)[0]


def prior(lift: Lift, a: Assumptions) -> Belief:
    """Belief about a lift that nothing is known of."""
    return independent(_rest(a), (*_spreads(leg_dominant=lift.leg_dominant, a=a)[:FORM], a.form_sd))


def begun(state: FamilyState, lift: Lift, *, day: float, a: Assumptions) -> tuple[Belief, Tie | None]:
    """Belief about a lift before its first set: a variation is its plain lift, and a difference with a usual ratio."""
    plain = None if lift.variation_of is None else state.track(lift.variation_of)
    if plain is None:
        return prior(lift, a), None
    _, known = _later(plain, day=day, a=a)
    own = (a.ratio_sd, OWN_GAIN, OWN_CURVE, OWN_SHAPE, OWN_BIAS, OWN_FATIGUE, OWN_UNTOLD, 0.0)
    level, variance = known.mean[LEVEL], known.level_variance
    belief = loosened(Belief((level + _log_ratio(lift), *known.mean[1:]), known.pairs), own)
    return belief, Tie(level, variance, variance)


def drifted(
    state: FamilyState, track: Track, lift: Lift, *, day: float, a: Assumptions
) -> tuple[float, Belief, Tie | None]:
    """Day up to which a belief has drifted, the belief then, and its tie to the plain lift.

    Args:
        state: State of the family.
        track: What is known of the lift.
        lift: The lift.
        day: When; before the last set nothing drifts. [days]
        a: Priors and noises.

    """
    now, belief = _later(track, day=day, a=a)
    plain = None if lift.variation_of is None else state.track(lift.variation_of)
    if plain is None:
        return now, belief, track.tie
    _, known = _later(plain, day=now, a=a)
    return now, *_told_by_plain(track, belief, known, lift, a)


def _later(track: Track, *, day: float, a: Assumptions) -> tuple[float, Belief]:
    past = day - track.day
    if past < SESSION_DAYS:
        return track.day, track.belief
    weeks = past / 7.0
    curve = math.exp(-weeks / a.curve_weeks)
    keep = (
        1.0,
        math.exp(-weeks / a.gain_weeks),
        curve,
        curve,
        math.exp(-weeks / a.bias_weeks),
        math.exp(-weeks / a.fatigue_weeks),
        math.exp(-weeks / a.untold_weeks),
        1.0,
    )
    idle = max(0.0, weeks - a.idle_after_weeks)
    paused = a.idle_drift * idle
    _, *learned = _spreads(leg_dominant=track.leg_dominant, a=a)
    noise = (
        a.level_drift * a.level_drift * weeks + paused * paused,
        *[sd * sd * (1.0 - kept * kept) for sd, kept in zip(learned, keep[1:], strict=True)],
    )
    belief = carried(
        track.belief,
        step=min(weeks, a.gain_lasts_weeks),
        keep=keep,
        rest=_rest(a),
        noise=noise,
        lost=a.idle_loss * min(idle, a.idle_loss_weeks),
        form=a.form_sd * a.form_sd,
    )
    return day, belief


def _rest(a: Assumptions) -> Vector:
    return (a.level, a.gain, 0.0, 0.0, a.bias, a.fatigue, a.untold, 0.0)


def _spreads(*, leg_dominant: bool, a: Assumptions) -> Vector:
    curve_sd = curve_of(leg_dominant=leg_dominant).spread * a.curve_spread
    return (a.level_sd, a.gain_sd, curve_sd, a.shape_sd, a.bias_sd, a.fatigue_sd, a.untold_sd, 0.0)


def _log_ratio(lift: Lift) -> float:
    return 0.0 if lift.ratio is None else math.log(lift.ratio)


def _told_by_plain(track: Track, belief: Belief, plain: Belief, lift: Lift, a: Assumptions) -> tuple[Belief, Tie]:
    """Belief about a variation after what its plain lift has learned since they were last compared, and the new tie."""
    level, variance = plain.mean[LEVEL], plain.level_variance
    mean, own = belief.mean[LEVEL], belief.level_variance
    tie = track.tie
    if tie is None:
        # The plain lift was begun later than the variation.
        noise = variance + a.ratio_sd * a.ratio_sd
        after = revision(mean, own, (View(level + _log_ratio(lift), noise),))
        away, kept, covariance = after.mean - mean, after.variance, own / (own + noise) * variance
    else:
        # Both drifted alike, as far as is known; what moved the plain lift beyond that moves the variation with it.
        drift = max(0.0, own - track.belief.level_variance)
        before = tie.variance + drift
        follow = min(tie.covariance + drift, CLOSEST * math.sqrt(before * own)) / before
        away = follow * (level - tie.log_mean - (mean - track.belief.mean[LEVEL]))
        kept = own - follow * follow * max(0.0, before - variance)
        covariance = follow * min(variance, before)
    told = revised(belief, shared=belief.pairs[:8], away=away, kept=kept, variance=own)
    return told, Tie(level, variance, covariance)
