"""What a lifter owns to load: bars, discs in pairs, and what goes up in steps, exactly to the nanogram."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import gcd, prod

from core.domain.exercises import Equipment
from core.domain.units import KG_PER_LB, MOST_LOAD_KG, Load, Unit

NG_PER_KG = 10**12
"""Nanograms in one kilogram. [ng/kg] In nanograms a pound, and its ten-thousandth, is a whole number."""

NG_PER_LB = int(Fraction(str(KG_PER_LB)) * NG_PER_KG)
"""Nanograms in one pound, exactly. [ng/lb] International yard and pound agreement 1959; NIST SP 811."""

MOST_KINDS = 12
"""Most kinds of disc of one unit. [kinds] A commercial gym has about seven."""

MOST_PAIRS = 20
"""Most pairs of one kind of disc. [pairs] More than any bar's sleeve takes."""

MOST_SUMS = 4_000
"""Most different loads of one side that discs of one unit may make. [loads] A full set with the smallest discs makes
under 1,000; odd weights in great number would make the search slow."""

MOST_STEPS = 1_000
"""Most steps of a rack or a stack. [steps]"""

PLATED = frozenset({Equipment.BARBELL, Equipment.TRAP_BAR, Equipment.SAFETY_BAR, Equipment.GUIDED_BAR})
"""What is loaded with discs on a bar."""


@lru_cache(maxsize=4096)
def mass_ng(load: Load) -> int:
    """Mass of a load as it was told, in whole nanograms. [ng].

    Exact for kilograms of up to twelve decimals and pounds of up to four.

    >>> mass_ng(Load(45, Unit.LB))
    20411656650000

    """
    return round(Fraction(str(load.amount)) * (NG_PER_KG if load.unit is Unit.KG else NG_PER_LB))


def load_of(ng: int, unit: Unit) -> Load:
    """Load that a mass in nanograms is in a unit, to the nearest number a float can tell."""
    return Load(float(Fraction(ng, NG_PER_KG if unit is Unit.KG else NG_PER_LB)), unit)


@dataclass(frozen=True, slots=True)
class Discs:
    """Discs of one kind, told in pairs: one for each side of a bar."""

    mass: Load
    pairs: int

    def __post_init__(self) -> None:
        """Refuse discs that weigh nothing and numbers that no sleeve takes."""
        if mass_ng(self.mass) <= 0:
            raise ValueError(f"a disc weighs something, not {self.mass.amount}")
        if not 1 <= self.pairs <= MOST_PAIRS:
            raise ValueError(f"not a number of pairs: {self.pairs}")


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar that discs go on.

    Args:
        mass: Of the bar alone.
        equipment: What kind of bar.
        collar: Mass of one of its two collars where they count; None where they do not.

    """

    mass: Load
    equipment: Equipment = Equipment.BARBELL
    collar: Load | None = None

    def __post_init__(self) -> None:
        """Refuse what takes no discs and masses below nothing."""
        if self.equipment not in PLATED:
            raise ValueError(f"no bar: {self.equipment}")
        if mass_ng(self.mass) < 0 or (self.collar is not None and mass_ng(self.collar) < 0):
            raise ValueError("a bar and its collars weigh nothing or more")

    @property
    def empty_ng(self) -> int:
        """Mass of the bar with its collars. [ng]"""
        return mass_ng(self.mass) + (0 if self.collar is None else 2 * mass_ng(self.collar))


@dataclass(frozen=True, slots=True)
class Steps:
    """Loads in even steps: a stack, a rack of dumbbells."""

    lightest: Load
    heaviest: Load
    step: Load

    def __post_init__(self) -> None:
        """Refuse steps that lead nowhere or never end."""
        first, last, step = mass_ng(self.lightest), mass_ng(self.heaviest), mass_ng(self.step)
        if step <= 0 or not 0 <= first <= last:
            raise ValueError("steps go up from nothing or more")
        if (last - first) // step >= MOST_STEPS:
            raise ValueError(f"more than {MOST_STEPS} steps")

    def masses_ng(self) -> tuple[int, ...]:
        """Every load, lightest first. [ng]"""
        first, last, step = mass_ng(self.lightest), mass_ng(self.heaviest), mass_ng(self.step)
        return tuple(range(first, last + 1, step))


@dataclass(frozen=True, slots=True)
class Listed:
    """Loads one by one: the dumbbells of a small room."""

    loads: tuple[Load, ...]

    def __post_init__(self) -> None:
        """Refuse an empty list and loads below nothing."""
        if not 1 <= len(self.loads) <= MOST_STEPS:
            raise ValueError(f"not a list of loads: {len(self.loads)} of them")
        if any(mass_ng(load) < 0 for load in self.loads):
            raise ValueError("a load owned is nothing or more")

    def masses_ng(self) -> tuple[int, ...]:
        """Every load, lightest first. [ng]"""
        return tuple(sorted({mass_ng(load) for load in self.loads}))


@dataclass(frozen=True, slots=True)
class Stack:
    """What one piece of equipment, or one exercise on it, can be loaded with; in each hand where it is told so."""

    loads: Steps | Listed
    equipment: Equipment
    exercise: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Owned:
    """What a lifter can train and load with.

    Args:
        unit: What loads are told in.
        has: What is at hand; body mass always is.
        bars: In the order in which they are preferred.
        discs: Pairs by kind, in kilograms, pounds or both.
        stacks: What goes up in steps; one for an exercise goes before one for its equipment. Where there is none the
            exercise's usual step is taken.

    Raises:
        ValueError: A bar without discs' name, discs in such number that the loads cannot be listed.

    """

    unit: Unit = Unit.KG
    has: frozenset[Equipment]
    bars: tuple[Bar, ...] = ()
    discs: tuple[Discs, ...] = ()
    stacks: tuple[Stack, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a barbell that is not there and more loads than can be listed."""
        for kind in sorted(self.has & PLATED):
            if not any(bar.equipment is kind for bar in self.bars):
                raise ValueError(f"which {kind}?")
        for unit in Unit:
            _refuse_too_many([discs for discs in self.discs if discs.mass.unit is unit])

    def offers(self, equipment: Equipment) -> bool:
        """Whether this equipment is at hand."""
        return equipment is Equipment.BODYWEIGHT or equipment in self.has


def usual_gym(unit: Unit) -> Owned:
    """What a gym usually has: every kind of equipment, a full bar, and discs enough; common practice, no source."""
    masses: tuple[float, ...] = (25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 1.25)
    mass = 20.0
    if unit is Unit.LB:
        masses, mass = (45.0, 35.0, 25.0, 10.0, 5.0, 2.5), 45.0
    return Owned(
        unit=unit,
        has=frozenset(Equipment),
        bars=tuple(Bar(Load(mass, unit), kind) for kind in sorted(PLATED)),
        discs=tuple(Discs(Load(disc, unit), 8 if disc == masses[0] else 2) for disc in masses),
    )


def _refuse_too_many(discs: Sequence[Discs]) -> None:
    if len(discs) > MOST_KINDS:
        raise ValueError(f"more than {MOST_KINDS} kinds of disc")
    if len({mass_ng(each.mass) for each in discs}) < len(discs):
        raise ValueError("one kind of disc told twice")
    if not discs:
        return
    masses = [mass_ng(each.mass) for each in discs]
    most = sum(mass * each.pairs for mass, each in zip(masses, discs, strict=True))
    if min(prod(each.pairs + 1 for each in discs), most // gcd(*masses) + 1) > MOST_SUMS:
        raise ValueError("these discs make more loads than can be listed")
    if 2 * most > 4 * MOST_LOAD_KG * NG_PER_KG:
        raise ValueError("more discs than any bar holds")
