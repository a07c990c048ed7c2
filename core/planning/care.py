"""Care: what safeties and screening allow of loads, failure and tests."""

from core.domain.exercises import Equipment, Exercise
from core.domain.prescriptions import Bound, Care, Safety
from core.planning.targets import PRESSES

LEFT_ALONE = 2.0
"""Fewest repetitions left in a free-weight barbell press with neither safeties nor spotter. [repetitions] Deaths on the
bench without guards or spotter: Jumbelic 2007, J Forensic Sci 52:702-705."""

LEFT_SCREENED = 1.0
"""Fewest repetitions left where screening allows no failure. [repetitions]"""

_FREE_BARS = frozenset({Equipment.BARBELL, Equipment.TRAP_BAR, Equipment.SAFETY_BAR})


def under_the_bar(exercise: Exercise) -> bool:
    """Whether a lift is a free-weight barbell press: a bar that nothing but the lifter holds up."""
    return exercise.pattern in PRESSES and exercise.equipment in _FREE_BARS


def alone(exercise: Exercise, care: Care) -> bool:
    """Whether a lifter is alone under the bar in a lift."""
    return under_the_bar(exercise) and care.safety is Safety.NEITHER and not care.spotter_today


def no_failure(care: Care) -> bool:
    """Whether screening, or other cause for caution, allows neither failure nor maximal tests."""
    return care.screened or care.cautious


def least_left(exercise: Exercise, care: Care) -> tuple[float, Bound | None]:
    """Fewest repetitions that a prescribed set may leave, and what bounds it. [repetitions]"""
    if alone(exercise, care):
        return LEFT_ALONE, Bound.ALONE
    if no_failure(care):
        return LEFT_SCREENED, Bound.SCREENED
    return 0.0, None


def refuses_failure(exercise: Exercise, care: Care) -> Bound | None:
    """What stands against as many repetitions as possible; None if nothing does."""
    if alone(exercise, care):
        return Bound.ALONE
    return Bound.SCREENED if no_failure(care) else None


def refuses_test(exercise: Exercise, care: Care) -> Bound | None:
    """What stands against a tested maximum; None if nothing does."""
    if no_failure(care):
        return Bound.SCREENED
    return Bound.ALONE if alone(exercise, care) else None
