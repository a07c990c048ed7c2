"""A tested maximum: the steps up to it, and the attempts."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from core.domain.equipment import NG_PER_KG
from core.domain.exercises import Exercise
from core.domain.guidance import MaximumEnd
from core.domain.prescriptions import Bound, Care
from core.planning.care import refuses_test
from core.planning.loading import Loadable, Loads
from core.planning.ports import Known

STEPS = ((50, 5), (70, 3), (80, 2), (90, 1))
"""Shares of the estimate [%] and repetitions before the first attempt: a college protocol and the NSCA's test."""

RISE = (Fraction(2, 100), Fraction(4, 100))
"""Least and most that an attempt lies above the last one that was made. [1] Common practice, no source."""

EASY_LEFT = 2.0
"""Repetitions left from which an attempt was easy. [repetitions]"""

MOST_ATTEMPTS = 3
"""Most attempts. [1] NSCA protocol: within five; three are enough when the estimate is known (cp)."""

STEP_REST_S = 120
"""Rest after a step. [s]"""

ATTEMPT_REST_S = (180, 300)
"""Least and most rest before an attempt. [s]"""


@dataclass(frozen=True, slots=True)
class MaximumStep:
    """One step on the way, with the rest after it. [s]"""

    load: Loadable
    reps: int
    rest_s: int


@dataclass(frozen=True, slots=True)
class Attempt:
    """One attempt, by its number from 1."""

    load: Loadable
    number: int


@dataclass(frozen=True, slots=True)
class MaximumTest:
    """The steps, lightest first, and the first attempt."""

    steps: tuple[MaximumStep, ...]
    first: Attempt


def maximum_test(exercise: Exercise, known: Known, available: Loads, care: Care) -> MaximumTest | Bound:
    """The steps and the first attempt, or what stands against a test.

    Steps at 50, 70, 80 and 90 % of the estimate, those that do not lie below the first attempt left out; the first
    attempt at the interval's lower end. All loads are rounded down to what can be loaded.
    """
    refused = refuses_test(exercise, care)
    if refused is not None:
        return refused
    body = known.body_kg
    lower_end = round(Fraction(known.low_kg) * NG_PER_KG)
    on_bar = available.for_work(lower_end)
    first = on_bar.at_most(lower_end) or on_bar.lightest
    steps: list[MaximumStep] = []
    for share, reps in STEPS:
        wanted = round(Fraction((known.estimate_kg + body) * share / 100 - body) * NG_PER_KG)
        load = on_bar.at_most(wanted) or on_bar.lightest
        if load.ng < first.ng and (not steps or load.ng > steps[-1].load.ng):
            steps.append(MaximumStep(load, reps, STEP_REST_S))
    if steps:
        steps[-1] = MaximumStep(steps[-1].load, steps[-1].reps, ATTEMPT_REST_S[0])
    return MaximumTest(tuple(steps), Attempt(first, 1))


def reach(first: Attempt, available: Loads, *, body_kg: float = 0.0) -> Loadable:
    """The most that the attempts can come to from the first one, each of them easy. [kg]"""
    tried = [(first, True)]
    while isinstance(following := next_attempt(tried, available, left=EASY_LEFT, body_kg=body_kg), Attempt):
        tried.append((following, True))
    return tried[-1][0].load


def next_attempt(
    attempts: Sequence[tuple[Attempt, bool]], available: Loads, *, left: float | None = None, body_kg: float = 0.0
) -> Attempt | MaximumEnd:
    """The next attempt after some, each with whether it was made; or why the test is over.

    2 to 4 % more: the most of it that can be loaded where at least two were left, else the least; where steps are
    coarser, the smallest one. One miss ends the test, and so do three attempts.

    Args:
        attempts: In order, at least one.
        available: What can be loaded.
        left: Repetitions that the last attempt left, as told. [repetitions]
        body_kg: Body mass moved beside the load. [kg]

    """
    last, made = attempts[-1]
    if not made:
        return MaximumEnd.MISSED
    if len(attempts) >= MOST_ATTEMPTS:
        return MaximumEnd.ATTEMPTS
    on_bar = available.on(last.load.bar)
    up = on_bar.above(last.load.ng)
    if up is None:
        return MaximumEnd.HEAVIEST
    moved = last.load.ng + round(body_kg * NG_PER_KG)
    low, high = (last.load.ng + int(moved * part) for part in RISE)
    easy = left is not None and left >= EASY_LEFT
    wanted = on_bar.at_most(high) if easy else (on_bar.exactly(low) or on_bar.above(low))
    if wanted is None or not low <= wanted.ng <= high:
        wanted = on_bar.at_most(high)
    return Attempt(wanted if wanted is not None and wanted.ng > last.load.ng else up, last.number + 1)
