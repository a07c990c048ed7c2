"""Places to train and lifts, shared by the tests of planning."""

from core.domain.equipment import Bar, Discs, Owned, usual_gym
from core.domain.exercises import Equipment, Exercise, catalogue
from core.domain.units import Load, Unit

GYM = usual_gym(Unit.KG)
GYM_IN_POUNDS = usual_gym(Unit.LB)

HOME = Owned(
    has=frozenset({Equipment.BARBELL, Equipment.DUMBBELL}),
    bars=(Bar(Load(20, Unit.KG)), Bar(Load(10, Unit.KG))),
    discs=tuple(Discs(Load(each, Unit.KG), 1) for each in (20, 15, 10, 5, 2.5)),
)
"""Two bars and few plates."""


def lift(name: str) -> Exercise:
    """Exercise of the catalogue."""
    found = catalogue().get(name)
    assert found is not None
    return found
