"""Units of load: kilograms and pounds, exactly."""

from dataclasses import dataclass
from enum import StrEnum
from math import isfinite

KG_PER_LB = 0.45359237
"""Kilograms in one pound, exactly. [kg/lb] International yard and pound agreement 1959; NIST SP 811."""

MOST_LOAD_KG = 1500.0
"""Heaviest load that is stored. [kg] More than any lift on record; beyond it a slip of the thumb is likelier."""


class Unit(StrEnum):
    """A unit that a load is told in."""

    KG = "kg"
    LB = "lb"

    @property
    def in_kg(self) -> float:
        """Kilograms in one of this unit. [kg]"""
        return 1.0 if self is Unit.KG else KG_PER_LB


def to_kg(amount: float, unit: Unit) -> float:
    """Kilograms in an amount of a unit. [kg].

    >>> to_kg(45, Unit.LB)
    20.41165665

    """
    return amount if unit is Unit.KG else amount * KG_PER_LB


def from_kg(mass_kg: float, unit: Unit) -> float:
    """Amount of a unit that a mass in kilograms is.

    >>> round(from_kg(20.41165665, Unit.LB), 9)
    45.0

    """
    return mass_kg if unit is Unit.KG else mass_kg / KG_PER_LB


@dataclass(frozen=True, slots=True)
class Load:
    """A load as the lifter told it; negative for assistance.

    Args:
        amount: In `unit`, finite, at most `MOST_LOAD_KG` in size.
        unit: The unit it was told in.

    Raises:
        ValueError: the amount is not finite or larger than any bar holds.

    """

    amount: float
    unit: Unit

    def __post_init__(self) -> None:
        """Refuse what no bar holds."""
        if not isfinite(self.amount) or abs(to_kg(self.amount, self.unit)) > MOST_LOAD_KG:
            raise ValueError(f"not a load: {self.amount} {self.unit}")

    @property
    def kg(self) -> float:
        """The load in kilograms. [kg]"""
        return to_kg(self.amount, self.unit)
