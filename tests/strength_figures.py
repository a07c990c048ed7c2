"""What an estimate is worth on lifters whose strength is known, beside simple estimates that anybody could make."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from core.strength.equations import EQUATIONS
from core.strength.estimate import INTERVAL_DEVIATIONS, advance, estimate, initial
from core.strength.evidence import Evidence
from tests.other_lifters import OtherFamily, other_lifter
from tests.simulated_lifters import BENCH, Effort, Family, Session, simulated

TUNING_SEEDS = range(24)
"""Lifters on which the estimate's assumptions were chosen."""

HELD_OUT_SEEDS = range(5000, 5024)
"""Lifters that were not tuned upon; but they were looked at while the estimate was made, and what did badly on them was
thought about. They are no proof of what happens on lifters that nobody has seen."""

UNSEEN_SEEDS = range(9000, 9024)
"""Lifters that were looked at once, when the estimate was thought finished. Spreads and the evidence of chosen loads came
after it, and these figures were seen then: no proof any more, like those held out."""


@dataclass(slots=True)
class Errors:
    """Errors of one estimate in the log of the maximum, session by session, over all lifters of a case. [1]"""

    errors: list[float] = field(default_factory=list)

    @property
    def rmse(self) -> float:
        """Root mean square error. [1]"""
        return math.sqrt(sum(each * each for each in self.errors) / len(self.errors))

    @property
    def bias(self) -> float:
        """Mean error. [1]"""
        return sum(self.errors) / len(self.errors)


@dataclass(slots=True)
class Case:
    """Errors of the estimate and of the simple ones, and how often the truth lay inside the 90 % interval."""

    estimate: Errors = field(default_factory=Errors)
    simple: dict[str, Errors] = field(default_factory=lambda: {name: Errors() for name in SIMPLE})
    inside: int = 0

    @property
    def ratio(self) -> float:
        """Error as a part of that of the best Epley of the day. [1]"""
        return self.estimate.rmse / self.simple[BEST_EPLEY].rmse

    @property
    def covered(self) -> float:
        """Part of the sessions whose interval held the truth. [1]"""
        return self.inside / len(self.estimate.errors)


def together(cases: Iterable[Case]) -> Case:
    """Several cases as one."""
    found = Case()
    for each in cases:
        found.estimate.errors += each.estimate.errors
        found.inside += each.inside
        for name, simple in each.simple.items():
            found.simple[name].errors += simple.errors
    return found


def case(family: Family | OtherFamily, effort: Effort, seeds: Iterable[int]) -> Case:
    """All sessions of the lifters of a family."""
    found = Case()
    for seed in seeds:
        state, days = initial(), list[Session]()
        for session in (
            simulated(family, effort, seed=seed)
            if isinstance(family, Family)
            else other_lifter(family, effort, seed=seed)
        ):
            days.append(session)
            for each in session.sets:
                state = advance(state, each)
            told = estimate(state, BENCH, session.at)
            assert told is not None
            error = told.log_mean - session.log_maximum
            found.estimate.errors.append(error)
            found.inside += abs(error) <= INTERVAL_DEVIATIONS * told.log_sd
            for name, simple in SIMPLE.items():
                found.simple[name].errors.append(math.log(simple(days)) - session.log_maximum)
    return found


def best_of_day(session: Session, equation: Callable[[float, float], float]) -> float:
    """Largest maximum by an equation over the sets of a day, with the repetitions left as told, none where untold. [kg]"""
    return max(equation(each.load_kg, _repetitions(each)) for each in session.sets)


def _repetitions(each: Evidence) -> float:
    return max(1.0, each.repetitions + (each.reported_left or 0.0))


def _epley(load_kg: float, repetitions: float) -> float:
    # Epley 1985 with r/30, as lifters use it: also at one repetition.
    return load_kg * (1.0 + repetitions / 30.0)


def _smoothed(days: Sequence[Session]) -> float:
    level = best_of_day(days[0], _epley)
    for day in days[1:]:
        level += 0.3 * (best_of_day(day, _epley) - level)
    return level


BEST_EPLEY, MEAN_OF_SIX = "best Epley of the day", "mean of the last six bests"

SIMPLE: dict[str, Callable[[Sequence[Session]], float]] = {
    BEST_EPLEY: lambda days: best_of_day(days[-1], _epley),
    MEAN_OF_SIX: lambda days: sum(best_of_day(day, _epley) for day in days[-6:]) / len(days[-6:]),
    "best Brzycki of the day": lambda days: best_of_day(days[-1], EQUATIONS["brzycki"]),
    "mean of seven equations of the day": lambda days: (
        sum(best_of_day(days[-1], equation) for equation in EQUATIONS.values()) / len(EQUATIONS)
    ),
    "smoothed best Epley": _smoothed,
}
