"""Prescription: what to load in each set of a session, how it came about, and how to warm up for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue, Exercise
from core.domain.plans import PlannedLift, PlannedSession, Role, Scheme
from core.domain.prescriptions import (
    AtShare,
    Bound,
    Bounded,
    Care,
    Changed,
    Estimated,
    PrescribedLift,
    PrescribedSet,
    Prescription,
    Rounded,
    Step,
    Stepped,
    ToFind,
    Why,
)
from core.planning.care import least_left
from core.planning.loading import Loadable, Loads, loads, rounded, smaller_discs
from core.planning.minutes import USUAL_PACE, Pace, session_s
from core.planning.ports import Known, Strength
from core.planning.progression import LastTime, Progress, progressed
from core.planning.ramp import ramp_start
from core.planning.returns import Adjustment, adjusted_session
from core.planning.warm_up import warm_up

UNTOLD_POWER_LEFT = 6.0
"""Repetitions left in power sets of a lift whose load is still to be found. [repetitions] At 70 % about eleven can be
done (NSCA table), three are."""

MOST_REPS = 15
"""Most repetitions asked for where the heaviest load there is would leave too many. [repetitions] As many as sets of
lifts that move one joint go up to."""

A_TRACE_KG = 1e-6
"""What two loads that are the same may differ by through their units. [kg]"""

NO_LASTS: Mapping[tuple[str, int], Sequence[LastTime]] = {}
"""Nothing was done before."""

NO_CHANGES: Mapping[str, tuple[Adjustment, ...]] = {}
"""No lift is changed by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifting:
    """What a session's prescription depends on beside the session itself.

    Args:
        owned: What can be loaded.
        strength: How strong the lifter is now.
        care: What they said about screening and safeties.
        lasts: The last times of each lift by name and repetitions of its scheme, newest first.
        adjustments: What changes the session as a whole.
        by_lift: What changes single lifts beside that, by name.
        pace: How long things take.

    """

    owned: Owned
    strength: Strength
    care: Care
    lasts: Mapping[tuple[str, int], Sequence[LastTime]] = field(default_factory=lambda: NO_LASTS)
    adjustments: tuple[Adjustment, ...] = ()
    by_lift: Mapping[str, tuple[Adjustment, ...]] = field(default_factory=lambda: NO_CHANGES)
    pace: Pace = USUAL_PACE


def prescription(session: PlannedSession, catalogue: Catalogue, lifting: Lifting) -> Prescription:
    """The session as it is prescribed; lifts that are not in the catalogue are left out."""
    session = adjusted_session(session, lifting.adjustments)
    known = [(lift, exercise) for lift in session.lifts if (exercise := catalogue.get(lift.exercise)) is not None]
    return Prescription(
        kind=session.kind,
        lifts=tuple(prescribed_lift(lift, exercise, lifting) for lift, exercise in known),
        seconds=session_s(known, lifting.pace),
    )


def prescribed_lift(lift: PlannedLift, exercise: Exercise, lifting: Lifting) -> PrescribedLift:
    """One lift as it is prescribed.

    The load is the share of the estimate at the repetitions, the target and the fatigue of the sets before the last
    one; then it is changed as the adjustments say, follows the last time no faster than allowed, and is rounded to what
    can be loaded. Where nothing is known of the lift its load is found by the repetitions left.
    """
    if alone := lifting.by_lift.get(lift.exercise):
        lifting = replace(lifting, adjustments=(*lifting.adjustments, *alone), by_lift=NO_CHANGES)
    available = loads(exercise, lifting.owned)
    known = lifting.strength.estimate(exercise)
    least, bound = least_left(exercise, lifting.care)
    left = _target(lift.scheme, lifting.adjustments, least)
    bounded = _bound(lift.scheme, left, bound, lifting.adjustments)
    if known is None:
        return _to_find(lift, exercise, available, left, bounded)
    wanted = _wanted(lift, exercise, lifting, known, left)
    if wanted is None:
        return _to_find(lift, exercise, available, left, bounded)
    wanted_kg, why = wanted
    progress = _progress(wanted_kg, lift, exercise, lifting, known, left, available)
    load, reps = _possible(progress, lift, exercise, lifting, left, available)
    why += bounded
    lasts = lifting.lasts.get((lift.exercise, lift.scheme.reps), ())
    if lasts:
        why += (Stepped(progress.step, lasts[0].load_kg, load.kg),)
    why += _rounding(wanted_kg, load, available, reps=None if reps == lift.scheme.reps else reps)
    sets = tuple(
        PrescribedSet(
            load=load.told_in(lifting.owned.unit),
            reps=reps,
            left=left,
            expected_left=lifting.strength.expected_left(exercise, load_kg=load.kg, reps=reps, set_number=number),
            why=why,
        )
        for number in range(1, lift.sets + 1)
    )
    return PrescribedLift(
        exercise=lift.exercise,
        role=lift.role,
        sets=sets,
        warm_up=warm_up(
            load,
            available,
            exercise,
            lift.role,
            unit=lifting.owned.unit,
            of_estimate=_share(load.kg, known),
            body_kg=known.body_kg,
        ),
        bar=load.bar,
        side=load.side,
        smaller=smaller_discs(wanted_kg, exercise, lifting.owned) if lift.role is Role.MAIN else None,
    )


def _target(scheme: Scheme, adjustments: Sequence[Adjustment], least: float) -> float | None:
    if scheme.left is None:
        return None
    left = scheme.left + sum(each.more_left for each in adjustments)
    return max(left, least, *(each.least_left for each in adjustments), 0.0)


def _bound(
    scheme: Scheme, left: float | None, bound: Bound | None, adjustments: Sequence[Adjustment]
) -> tuple[Why, ...]:
    if left is None or bound is None or scheme.left is None:
        return ()
    wished = scheme.left + sum(each.more_left for each in adjustments)
    return (Bounded(bound),) if left > wished and not any(each.least_left == left for each in adjustments) else ()


def _wanted(
    lift: PlannedLift, exercise: Exercise, lifting: Lifting, known: Known, left: float | None
) -> tuple[float, tuple[Why, ...]] | None:
    strength, body = lifting.strength, known.body_kg
    scheme, sets = lift.scheme, lift.sets
    fatigue = 0.0
    if scheme.share is not None:
        load_kg = (known.estimate_kg + body) * scheme.share - body
    else:
        aim = left or 0.0
        found = strength.load_kg(exercise, reps=scheme.reps, left=aim, sets=sets)
        if found is None:
            return None
        load_kg = found
        fatigue = _fatigue(exercise, strength, load_kg, scheme.reps, sets)
    why: tuple[Why, ...] = (
        Estimated(known.estimate_kg, known.low_kg, known.high_kg),
        AtShare(_share(load_kg, known), scheme.reps, left, sets, fatigue, load_kg),
    )
    moved = load_kg + body
    for each in lifting.adjustments:
        low_end = moved * (known.low_kg + body) / (known.estimate_kg + body)
        if each.low_end and low_end < moved * each.factor:
            moved = low_end
            why += (Bounded(Bound.LOW_END),)
        elif each.factor != 1.0:
            moved *= each.factor
            why += (Changed(each.change, each.factor),)
        elif each.more_left:
            why += (Changed(each.change, 1.0),)
    return moved - body, why


def _fatigue(exercise: Exercise, strength: Strength, load_kg: float, reps: int, sets: int) -> float:
    first = strength.expected_left(exercise, load_kg=load_kg, reps=reps, set_number=1)
    last = strength.expected_left(exercise, load_kg=load_kg, reps=reps, set_number=sets)
    return 0.0 if first is None or last is None else first - last


def _progress(
    wanted_kg: float,
    lift: PlannedLift,
    exercise: Exercise,
    lifting: Lifting,
    known: Known,
    left: float | None,
    available: Loads,
) -> Progress:
    if any(each.no_step for each in lifting.adjustments) or lift.scheme.share is not None:
        load = rounded(wanted_kg, available, left=left, body_kg=known.body_kg)
        lasts = lifting.lasts.get((lift.exercise, lift.scheme.reps), ())
        if lasts and load.kg > lasts[0].load_kg and lift.scheme.share is None:
            # Nothing goes up in a week that is to be easier.
            load = rounded(lasts[0].load_kg, available, left=left, body_kg=known.body_kg)
        lower = bool(lasts) and load.kg < lasts[0].load_kg - A_TRACE_KG
        return Progress(load, lift.scheme.reps, Step.DOWN if lower else Step.KEPT)

    def reps_at(load_kg: float) -> int:
        reps = lift.scheme.reps
        while reps < lift.scheme.top:
            more = lifting.strength.load_kg(exercise, reps=reps + 1, left=left or 0.0, sets=lift.sets)
            if more is None or more < load_kg:
                break
            reps += 1
        return reps

    return progressed(
        wanted_kg,
        lifting.lasts.get((lift.exercise, lift.scheme.reps), ()),
        available,
        exercise,
        lift.scheme,
        left=left,
        reps_at=reps_at,
        body_kg=known.body_kg,
    )


def _possible(
    progress: Progress, lift: PlannedLift, exercise: Exercise, lifting: Lifting, left: float | None, available: Loads
) -> tuple[Loadable, int]:
    """Fewer repetitions where even the lightest load is too heavy for those asked for, more where the heaviest is light."""
    load, reps = progress.load, progress.reps
    if left is None:
        return load, reps
    # A single stays one: what it trains, and tells, is the single.
    may_grow = reps > 1 and progress.step is not Step.DOWN and not _is_easier(lifting)
    if may_grow and load.ng == available.heaviest.ng:
        while reps < MOST_REPS:
            able = lifting.strength.load_kg(exercise, reps=reps + 1, left=left, sets=lift.sets)
            if able is None or able < load.kg:
                break
            reps += 1
    if load.ng > available.lightest.ng:
        return load, reps
    while reps > 1:
        able = lifting.strength.load_kg(exercise, reps=reps, left=left, sets=lift.sets)
        if able is None or able >= load.kg:
            break
        reps -= 1
    return load, reps


def _is_easier(lifting: Lifting) -> bool:
    return any(each.factor < 1.0 for each in lifting.adjustments)


def _rounding(wanted_kg: float, load: Loadable, available: Loads, *, reps: int | None) -> tuple[Why, ...]:
    why: tuple[Why, ...] = (Rounded(wanted_kg, load.kg, reps),)
    if load.ng == available.lightest.ng and load.kg > wanted_kg:
        why += (Bounded(Bound.LIGHTEST),)
    if load.ng == available.heaviest.ng and load.kg < wanted_kg:
        why += (Bounded(Bound.HEAVIEST),)
    return why


def _share(load_kg: float, known: Known) -> float:
    return (load_kg + known.body_kg) / (known.estimate_kg + known.body_kg)


def _to_find(
    lift: PlannedLift, exercise: Exercise, available: Loads, left: float | None, bounded: tuple[Why, ...]
) -> PrescribedLift:
    start = ramp_start(available).load
    aim = UNTOLD_POWER_LEFT if left is None else left
    each = PrescribedSet(load=None, reps=lift.scheme.reps, left=aim, expected_left=None, why=(ToFind(), *bounded))
    return PrescribedLift(
        exercise=exercise.name,
        role=lift.role,
        sets=(each,) * lift.sets,
        bar=start.bar,
    )
