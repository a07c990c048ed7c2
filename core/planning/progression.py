"""Progression: how a load follows the last ones of its kind of day."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from core.domain.equipment import NG_PER_KG
from core.domain.exercises import Exercise
from core.domain.plans import Scheme
from core.domain.prescriptions import Step
from core.planning.loading import Loadable, Loads, rounded

WEEKLY_UPPER = 0.025
"""Most that the load of an upper-body lift goes up in a week. [1]"""

WEEKLY_LOWER = 0.05
"""The same for lifts led by the legs. [1]"""

COARSE = 0.04
"""Size of the smallest step from which repetitions go up first. [1]"""

OUTER_BOUND = 0.10
"""Most that any step may be. [1] ACSM position stand 2009, MSSE 41:687-708: 2 to 10 %."""

TWO = 2.0
"""Repetitions over the goal, in the last set of two sessions running, that confirm a step. [repetitions] NSCA
two-for-two rule."""

A_WEEK = 0.9
"""Time after which a week has passed: sessions move by some hours. [weeks]"""

_A_TRACE = 1e-9
"""What a step may exceed a bound by through rounding alone. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LastTime:
    """A lift's work sets on the last day of one kind.

    Args:
        load_kg: Load of its straight sets. [kg]
        reps: Repetitions asked of each. [repetitions]
        over: Repetitions over the goal in the last set, done or told as left beyond the target; None if untold.
            [repetitions]
        weeks_ago: How long ago. [weeks]

    """

    load_kg: float
    reps: int
    over: float | None
    weeks_ago: float


@dataclass(frozen=True, slots=True)
class Progress:
    """The load and the repetitions to take, and how they follow from the last time."""

    load: Loadable
    reps: int
    step: Step


def progressed(
    wanted_kg: float,
    lasts: Sequence[LastTime],
    available: Loads,
    exercise: Exercise,
    scheme: Scheme,
    *,
    left: float | None,
    reps_at: Callable[[float], int],
    body_kg: float = 0.0,
) -> Progress:
    """Load that follows what the estimate asks for, no faster than a lifter should go up.

    Down to what the estimate asks for at once. Up by the smallest loadable step, if that is at most 2.5 % (legs 5 %) a
    week, or confirmed by two-for-two; where the smallest step is more than 4 % of the load, repetitions go up first, to
    the top of the range. Only a smallest step that is larger itself is over 10 %, and never on two-for-two alone.

    Args:
        wanted_kg: What the estimate asks for. [kg]
        lasts: The last times, newest first.
        available: What can be loaded.
        exercise: The lift.
        scheme: What each set asks for.
        left: Repetitions to be left. [repetitions]
        reps_at: Most repetitions that the estimate allows with a load. [kg] -> [repetitions]
        body_kg: Body mass moved beside the load: shares are of all that moves. [kg]

    """
    target = rounded(wanted_kg, available, left=left, body_kg=body_kg)
    if not lasts:
        return Progress(target, _reps(target, available, scheme, reps_at, body_kg, most=scheme.top), Step.FIRST)
    last = available.at_most(round(lasts[0].load_kg * NG_PER_KG)) or available.lightest
    if target.ng < last.ng:
        return Progress(target, _reps(target, available, scheme, reps_at, body_kg, most=scheme.top), Step.DOWN)
    if target.bar != last.bar and target.bar is not None:
        last = available.on(target.bar).at_most(last.ng) or last
    up = available.on(last.bar).above(last.ng)
    confirmed = _two_for_two(lasts)
    if up is None or (target.ng < up.ng and not confirmed):
        return _kept(last, lasts[0], available, scheme, reps_at, body_kg)
    size = _size(last, up, body_kg)
    if size > COARSE + _A_TRACE and scheme.top > scheme.reps and lasts[0].reps < scheme.top and not confirmed:
        kept = _kept(last, lasts[0], available, scheme, reps_at, body_kg)
        return Progress(kept.load, kept.reps, Step.REPS if kept.reps > lasts[0].reps else Step.KEPT)
    if size > OUTER_BOUND + _A_TRACE and target.ng < up.ng:
        return _kept(last, lasts[0], available, scheme, reps_at, body_kg)
    if confirmed:
        return Progress(up, scheme.reps, Step.TWO_FOR_TWO if target.ng < up.ng else Step.UP)
    weekly = WEEKLY_LOWER if exercise.lower_body else WEEKLY_UPPER
    # A step above the weekly bound waits until the load has been on the bar for as many weeks as it is worth.
    slow = COARSE + _A_TRACE >= size > weekly * max(_weeks_on_it(lasts), 1.0) + _A_TRACE
    if slow or (size <= weekly and _week_before(lasts) + body_kg < (up.kg + body_kg) / (1.0 + weekly + _A_TRACE)):
        return Progress(last, lasts[0].reps, Step.HELD)
    return Progress(up, _reps(up, available, scheme, reps_at, body_kg, most=scheme.reps), Step.UP)


def coarse(load: Loadable, available: Loads, body_kg: float = 0.0) -> bool:
    """Whether the smallest step up from a load is more than 4 % of what moves."""
    up = available.on(load.bar).above(load.ng)
    return up is not None and _size(load, up, body_kg) > COARSE + _A_TRACE


def _kept(
    last: Loadable,
    before: LastTime,
    available: Loads,
    scheme: Scheme,
    reps_at: Callable[[float], int],
    body_kg: float,
) -> Progress:
    most = min(scheme.top, max(before.reps, scheme.reps) + 1)
    reps = _reps(last, available, scheme, reps_at, body_kg, most=most)
    return Progress(last, reps, Step.REPS if reps > before.reps else Step.KEPT)


def _reps(
    load: Loadable,
    available: Loads,
    scheme: Scheme,
    reps_at: Callable[[float], int],
    body_kg: float,
    *,
    most: int,
) -> int:
    if scheme.top == scheme.reps or not coarse(load, available, body_kg):
        return scheme.reps
    return min(max(reps_at(load.kg), scheme.reps), most)


def _two_for_two(lasts: Sequence[LastTime]) -> bool:
    if len(lasts) < 2 or lasts[0].load_kg != lasts[1].load_kg or lasts[0].reps != lasts[1].reps:
        return False
    return all(each.over is not None and each.over >= TWO for each in lasts[:2])


def _size(load: Loadable, up: Loadable, body_kg: float) -> float:
    moved = load.kg + body_kg
    return (up.ng - load.ng) / NG_PER_KG / moved if moved > 0.0 else float("inf")


def _week_before(lasts: Sequence[LastTime]) -> float:
    """Load a week ago, or the oldest one since. [kg]"""
    return next((each.load_kg for each in lasts if each.weeks_ago >= A_WEEK), lasts[-1].load_kg)


def _weeks_on_it(lasts: Sequence[LastTime]) -> float:
    weeks = 0.0
    for each in lasts:
        if each.load_kg != lasts[0].load_kg:
            break
        weeks = each.weeks_ago
    return weeks
