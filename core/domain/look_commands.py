"""Commands that ask about strength in a lifter's own words: a load, an earlier day, whether something is good."""

from dataclasses import dataclass

from core.domain.units import Load, Unit


@dataclass(frozen=True, slots=True)
class CanLift:
    """Ask whether a load goes up once, by the estimate (canonical text `can i lift`, the load and the exercise).

    Args:
        amount: As told. [unit]
        unit: None for the lifter's own.
        exercise: None for the last one.

    """

    amount: float
    unit: Unit | None = None
    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class MaxThen:
    """Ask for the estimate of so many days ago (canonical text `how strong was i 30 days ago`, and the exercise)."""

    days_ago: int
    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class HowGood:
    """Ask whether something is good (canonical text `is that good`)."""


@dataclass(frozen=True, slots=True)
class Convert:
    """Ask what a load is in the other unit (canonical text `how much is 225 lb in kg`)."""

    load: Load


LookCommand = CanLift | MaxThen | HowGood | Convert
"""What is asked about strength."""
