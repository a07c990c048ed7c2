"""Warm-up: light sets before the work sets, always loadable and always lighter."""

from collections.abc import Sequence

from core.domain.equipment import NG_PER_KG
from core.domain.exercises import Exercise
from core.domain.plans import Role
from core.domain.prescriptions import WarmUpSet
from core.domain.units import Unit
from core.planning.loading import Loadable, Loads

BAR_REPS = 8
"""Repetitions with the empty bar. [repetitions]"""

STEPS = ((50, 5), (70, 3), (85, 2))
"""Shares of the first work load [%] and repetitions. cp; Ribeiro et al. 2020, IJERPH 17:6882 for 40 and 80 %."""

LAST_STEP = (92, 1)
"""Share [%] and repetitions of the last step before heavy work."""

HEAVY_FROM = 0.85
"""Share of the estimated maximum above which the last step is taken. [1]"""

LEAST_GAP = 10
"""Least distance of two steps, in parts of the work load. [%] The last step has its own condition instead."""

ONE_SET = (60, 65, 70)
"""Shares of the work load for the one set of a later lift: at least, aimed at, at most. [%]"""

ONE_SET_REPS = 5
"""Repetitions of that set. [repetitions]"""


def warm_up(
    work: Loadable,
    available: Loads,
    exercise: Exercise,
    role: Role,
    *,
    unit: Unit,
    of_estimate: float | None = None,
    body_kg: float = 0.0,
) -> tuple[WarmUpSet, ...]:
    """Warm-up sets of one lift.

    All steps for the main lift and for lifts led by the legs; one set of five at 60 to 70 % for other multi-joint
    lifts, whose muscles are warm; none for single-joint ones and back-off sets.

    Args:
        work: The first work load.
        available: What can be loaded.
        exercise: The lift.
        role: What it is to the session.
        unit: What loads are told in.
        of_estimate: Share of the estimated maximum that the work load is; None without an estimate. [1]
        body_kg: Body mass moved beside the load: shares are of all that moves. [kg]

    """
    if role is Role.BACK_OFF or not exercise.multi_joint:
        return ()
    on_bar = available.on(work.bar)
    body = round(body_kg * NG_PER_KG)
    if role is Role.MAIN or exercise.lower_body:
        found = _all_steps(
            work, on_bar, exercise, heavy=of_estimate is not None and of_estimate > HEAVY_FROM, body=body
        )
    else:
        found = _one_step(work, on_bar, body=body)
    return tuple(WarmUpSet(load.told_in(unit), reps, load.side) for load, reps in found)


def _all_steps(
    work: Loadable, available: Loads, exercise: Exercise, *, heavy: bool, body: int
) -> Sequence[tuple[Loadable, int]]:
    found: list[tuple[Loadable, int]] = []
    lightest = available.lightest
    if (exercise.bar or body) and lightest.ng < work.ng:
        found.append((lightest, BAR_REPS if exercise.bar else ONE_SET_REPS))
    least_gap = (work.ng + body) * LEAST_GAP // 100
    for share, reps in STEPS:
        load = available.at_most((work.ng + body) * share // 100 - body)
        if load is None or load.ng >= work.ng:
            continue
        if not found or load.ng - found[-1][0].ng >= least_gap:
            found.append((load, reps))
    if heavy:
        share, reps = LAST_STEP
        load = available.at_most((work.ng + body) * share // 100 - body)
        if load is not None and (not found or found[-1][0].ng < load.ng) and load.ng < work.ng:
            found.append((load, reps))
    return found


def _one_step(work: Loadable, available: Loads, *, body: int) -> Sequence[tuple[Loadable, int]]:
    low, aim, high = ((work.ng + body) * share // 100 - body for share in ONE_SET)
    near = available.nearest(aim)
    if not low <= near.ng <= high:
        lower = available.at_most(high)
        if lower is None:
            return ()
        near = lower
    return [(near, ONE_SET_REPS)] if near.ng < work.ng else ()
