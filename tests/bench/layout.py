"""How long a week takes to lay out, where the wishes fit and where they don't, and what stands against them."""

import time
from collections.abc import Callable
from statistics import median

from core.domain.equipment import Bar, Discs, Owned, usual_gym
from core.domain.exercises import Equipment, catalogue
from core.domain.plans import WeekPlan, Wishes
from core.domain.units import Load, Unit
from core.planning.conflicts import conflicts
from core.planning.week_layout import week_layout

RUNS = 3
"""Times that each is measured; the middle one is printed. [runs]"""

GYM = usual_gym(Unit.KG)

HOME = Owned(
    has=frozenset({Equipment.BARBELL, Equipment.DUMBBELL}),
    bars=(Bar(Load(20, Unit.KG)), Bar(Load(10, Unit.KG))),
    discs=tuple(Discs(Load(each, Unit.KG), 1) for each in (20, 10, 5, 2.5)),
)

CASES = (
    ("3 days, 60 min, gym", Wishes(days=(0, 2, 4)), GYM),
    ("6 days, 60 min, gym", Wishes(days=(0, 1, 2, 3, 4, 5)), GYM),
    ("6 days, 20 min, gym", Wishes(days=(0, 1, 2, 3, 4, 5), minutes=20), GYM),
    ("2 days, 45 min, gym", Wishes(days=(0, 3), minutes=45), GYM),
    ("3 in line, 45 min, home", Wishes(sessions=3, minutes=45), HOME),
)


def main() -> None:
    """Print the processor's time for each case, beside that of the first. [ms]"""
    week_layout(CASES[0][1], GYM, catalogue())
    first: float | None = None
    print(f"{'wishes':28}{'layout':>10}{'ratio':>8}{'misses':>8}{'conflicts':>12}")
    for name, wishes, owned in CASES:
        layout_ms, week = _measured(lambda wishes=wishes, owned=owned: week_layout(wishes, owned, catalogue()))  # type: ignore[misc]  # mypy reads no default of a lambda
        first = first or layout_ms
        began = time.process_time()
        conflicts(wishes, owned, catalogue(), week, until_enough=True)
        conflicts_ms = 1000 * (time.process_time() - began)
        print(
            f"{name:28}{layout_ms:7.0f} ms{layout_ms / first:8.1f}{len(week.misses):8}{conflicts_ms:9.0f} ms",
            flush=True,
        )


def _measured(work: Callable[[], WeekPlan]) -> tuple[float, WeekPlan]:
    times, found = [], work()
    for _ in range(RUNS):
        began = time.process_time()
        found = work()
        times.append(1000 * (time.process_time() - began))
    return median(times), found
