"""A lifter whose strength is known from a table: what planning asks of the estimate, in its simplest form."""

from collections.abc import Mapping
from dataclasses import dataclass

from core.domain.exercises import Exercise
from core.planning.ports import Known

NSCA_ROWS = (1.0, 0.95, 0.93, 0.90, 0.87, 0.85, 0.83, 0.80, 0.77, 0.75)
"""Shares of the maximum at 1 to 10 repetitions: training load table of the NSCA handbook, Essentials of Strength Training
and Conditioning."""

PER_REP_BEYOND = 0.02
"""Share that a repetition past the tenth costs; the table's later rows jump."""


def share_at(reps: float) -> float:
    """Share at a number of repetitions: the rows, straight between them."""
    if reps >= 10.0:
        return max(0.2, 0.75 - PER_REP_BEYOND * (reps - 10.0))
    low = int(reps)
    return NSCA_ROWS[low - 1] + (reps - low) * (NSCA_ROWS[low] - NSCA_ROWS[low - 1])


def reps_at(share: float) -> float:
    """Repetitions at a share: the rows read the other way round."""
    low, high = 1.0, 35.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if share_at(middle) > share else (low, middle)
    return low


@dataclass(frozen=True)
class PaperStrength:
    """Maxima by exercise, a spread around them, and repetitions that each earlier set costs."""

    maxima_kg: Mapping[str, float]
    spread: float = 0.05
    fatigue: float = 0.4
    body_kg: float = 80.0

    def estimate(self, exercise: Exercise) -> Known | None:
        maximum = self.maxima_kg.get(exercise.name)
        if maximum is None:
            return None
        body = exercise.body_share * self.body_kg
        moved = maximum + body
        return Known(
            estimate_kg=maximum,
            low_kg=moved * (1.0 - self.spread) - body,
            high_kg=moved * (1.0 + self.spread) - body,
            body_kg=body,
        )

    def load_kg(self, exercise: Exercise, *, reps: float, left: float, sets: int) -> float | None:
        known = self.estimate(exercise)
        if known is None:
            return None
        return (known.estimate_kg + known.body_kg) * share_at(reps + left + self.fatigue * (sets - 1)) - known.body_kg

    def expected_left(self, exercise: Exercise, *, load_kg: float, reps: int, set_number: int) -> float | None:
        known = self.estimate(exercise)
        if known is None:
            return None
        share = (load_kg + known.body_kg) / (known.estimate_kg + known.body_kg)
        return reps_at(share) - reps - self.fatigue * (set_number - 1)
