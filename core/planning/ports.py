"""What planning asks of the estimate of strength."""

from dataclasses import dataclass
from typing import Protocol

from core.domain.exercises import Exercise


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of a lift, in loads as they are told: without the body mass that moves along. [kg]

    Args:
        estimate_kg: One-repetition maximum. [kg]
        low_kg: Lower end of its interval. [kg]
        high_kg: Upper end of its interval. [kg]
        body_kg: Body mass that moves beside the load. [kg]

    """

    estimate_kg: float
    low_kg: float
    high_kg: float
    body_kg: float = 0.0


class Strength(Protocol):
    """How strong a lifter is at one moment; None wherever nothing is known of a lift."""

    def estimate(self, exercise: Exercise) -> Known | None:
        """The estimated maximum and its interval."""

    def load_kg(self, exercise: Exercise, *, reps: float, left: float, sets: int) -> float | None:
        """Load, as it is told, with which the last of some equal sets leaves so many repetitions. [kg]"""

    def expected_left(self, exercise: Exercise, *, load_kg: float, reps: int, set_number: int) -> float | None:
        """Repetitions that the lifter is expected to report as left after a set, 1 being the first. [repetitions]"""
