"""Measures laying out a week as a ratio to a bare integer programme, and lifters who train by the plan."""

import statistics
import time
from collections.abc import Callable
from functools import partial

from core.domain.equipment import Owned
from core.domain.exercises import Muscle, catalogue
from core.domain.plans import Wishes
from core.planning.conflicts import conflicts
from core.planning.integer_programme import Programme
from core.planning.week_layout import week_layout
from tests.core.planning.gyms import GYM, HOME
from tests.core.planning.trained_lifters import TrainedLifter, trained_block
from tests.simulated_lifters import brzycki, epley, exponential, nsca, straight, wathan

MORE_CHEST = ((Muscle.CHEST, 14.0), (Muscle.TRICEPS, 10.0))

WEEKS: dict[str, tuple[Wishes, Owned]] = {
    "3 days, 60 min": (Wishes(days=(0, 2, 4)), GYM),
    "6 days, 60 min": (Wishes(days=(0, 1, 2, 3, 4, 5)), GYM),
    "6 days, 90 min, more chest": (Wishes(days=(0, 1, 2, 3, 4, 5), minutes=90, sets_now=MORE_CHEST), GYM),
    "6 days, 60 min, at home": (Wishes(days=(0, 1, 2, 3, 4, 5)), HOME),
    "3 days, 45 min, not all fits": (Wishes(days=(0, 2, 4), minutes=45), GYM),
    "2 days, 60 min, more chest, not all fits": (Wishes(days=(0, 3), sets_now=MORE_CHEST), GYM),
}

CURVES = (nsca, epley, brzycki, wathan, exponential, straight)


def bare_programme() -> None:
    """An assignment of twelve to twelve: 144 choices, 24 rows, about the size of a week's."""
    programme = Programme()
    cells = {(i, j): programme.choice(cost=float((i * 7 + j * 11) % 13)) for i in range(12) for j in range(12)}
    for i in range(12):
        programme.row({cells[i, j]: 1.0 for j in range(12)}, low=1.0, high=1.0)
        programme.row({cells[j, i]: 1.0 for j in range(12)}, low=1.0, high=1.0)
    programme.solved(nodes=20, within=0.5)


def median_ms(work: Callable[[], object], *, times: int = 5) -> tuple[float, float]:
    """Median time of one call by the clock, and of the processor. [ms]"""
    walls: list[float] = []
    processors: list[float] = []
    for _ in range(times):
        wall, processor = time.perf_counter(), time.process_time()
        work()
        walls.append(1000.0 * (time.perf_counter() - wall))
        processors.append(1000.0 * (time.process_time() - processor))
    return statistics.median(walls), statistics.median(processors)


def main() -> None:
    """Print the times of layouts and what became of trained lifters."""
    begun = time.perf_counter()
    bare_programme()
    print(f"first programme, with the import of the solver: {1000.0 * (time.perf_counter() - begun):.0f} ms")
    bare, bare_cpu = median_ms(bare_programme, times=15)
    print(f"a bare programme of 144 choices: {bare:.1f} ms by the clock, {bare_cpu:.1f} ms of processor")
    print(f"{'week, 360 exercises':45} {'ms':>6} {'cpu ms':>7} {'x bare':>7}  off target")
    for name, (wishes, owned) in WEEKS.items():
        found = week_layout(wishes, owned, catalogue())
        wall, processor = median_ms(partial(week_layout, wishes, owned, catalogue()))
        print(f"{name:45} {wall:6.0f} {processor:7.0f} {processor / bare_cpu:7.1f}  {len(found.misses)}")
    print("naming a wish that stands against the week")
    for name, (wishes, owned) in WEEKS.items():
        week = week_layout(wishes, owned, catalogue())
        if week.misses:
            naming = partial(conflicts, wishes, owned, catalogue(), week, until_enough=True)
            wall, processor = median_ms(naming, times=3)
            print(f"{name:45} {wall:6.0f} {processor:7.0f} {processor / bare_cpu:7.1f}")
    print("16 weeks by the plan: sets of the main lift after week 2, five lifters of each of six curves")
    print(f"{'pressing days':14} {'effort told':20} {'near expected':>13} {'missed reps':>11} {'median left':>11}")
    for days in (2, 3):
        for taps, told in ((True, "first and last set"), (False, "every set")):
            blocks = [
                trained_block(TrainedLifter.drawn(curve, seed), pressing_days=days, effort_taps=taps)
                for curve in CURVES
                for seed in range(5)
            ]
            judged = sum(each.judged for each in blocks)
            near = sum(each.near_reported for each in blocks) / judged
            missed = sum(each.missed_reps for each in blocks) / sum(each.asked_reps for each in blocks)
            left = statistics.median(left for each in blocks for left in each.lefts)
            print(f"{days:<14} {told:20} {near:13.1%} {missed:11.2%} {left:11.1f}")
