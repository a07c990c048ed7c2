"""Units: the unit of loads without one, where the text tells it, and the question where nothing does."""

from collections.abc import Sequence
from dataclasses import replace

from core.domain.commands import Doubt
from core.domain.exercises import Equipment, Exercise, Pattern
from core.domain.units import Unit, to_kg
from core.notation.doubts import Doubts
from core.notation.expansion import Told
from core.notation.sense import Style

POUND_FIGURES = frozenset({135, 185, 225, 275, 315, 365, 405, 455, 495, 545, 585, 635, 675, 725, 765, 810})
"""Loads that pairs of 45 and 25 lb discs make on a 45 lb bar and kilogram discs rarely do. [lb] Computed."""

CREDIBLE_KG = {
    Pattern.HORIZONTAL_PRESS: 240.0,
    Pattern.VERTICAL_PRESS: 160.0,
    Pattern.SQUAT: 380.0,
    Pattern.HINGE: 400.0,
    Pattern.HIP_EXTENSION: 400.0,
    Pattern.HORIZONTAL_PULL: 200.0,
    Pattern.VERTICAL_PULL: 200.0,
    Pattern.SHRUG: 350.0,
    Pattern.CARRY: 350.0,
    Pattern.LUNGE: 200.0,
    Pattern.ELBOW_FLEXION: 100.0,
    Pattern.ELBOW_EXTENSION: 120.0,
    Pattern.WHOLE_BODY: 220.0,
}
"""Heaviest load that is believed without a question, by movement. [kg] Near what the strongest lift; our own choice."""

CREDIBLE_HAND_KG = 75.0
"""The same for one of two hand weights. [kg] Few racks hold heavier ones."""

CREDIBLE_OTHER_KG = 450.0
"""The same where the lift is not known or loaded otherwise. [kg]"""

SIDES = 2
"""Sides of a bar."""


def with_units(told: Sequence[Told], doubts: Doubts, unit: Unit | None) -> list[Told]:
    """Sets whose loads without a unit have the text's, if it tells one; asked where neither text nor lifter told it.

    A unit told once holds for the text. A lifter who told theirs elsewhere may name the other one for one exercise.
    """
    typed = {each.read.unit for each in told if each.read.unit is not None}
    if len(typed) == 1:
        one = next(iter(typed))
        return [_with_unit(each, one) if _takes(each, told, one, unit) else each for each in told]
    if not typed and unit is None:
        first = next((each for each in told if _is_doubtful(each)), None)
        if first is not None and first.load is not None:
            number = first.load
            value = doubts.value(Doubt.UNIT, "unit", [Unit.LB.value, Unit.KG.value], start=number.start, end=number.end)
            return [_with_unit(each, Unit(value)) for each in told]
    return list(told)


def _with_unit(each: Told, unit: Unit) -> Told:
    if each.read.load is None or each.read.unit is not None or each.read.plates:
        return each
    return replace(each, read=replace(each.read, unit=unit))


def _takes(each: Told, told: Sequence[Told], typed: Unit, unit: Unit | None) -> bool:
    if unit is None or unit is typed:
        return True
    exercise = each.read.exercise
    return any(other.read.unit is typed and other.read.exercise == exercise for other in told)


def _is_doubtful(each: Told) -> bool:
    load = each.read.load
    if load is None or each.read.step or each.read.plates:
        return False
    most = _credible_kg(each.sense.exercise)
    both = SIDES if each.read.load_per_side else 1
    if load * both > most and to_kg(load * both, Unit.LB) <= most:
        return True
    loaded = each.sense.style in (Style.BAR, Style.UNKNOWN) and not each.read.load_per_side
    return loaded and load in POUND_FIGURES and not each.read.bodyweight


def _credible_kg(lift: Exercise | None) -> float:
    if lift is None:
        return CREDIBLE_OTHER_KG
    if lift.per_hand or lift.equipment in (Equipment.DUMBBELL, Equipment.KETTLEBELL):
        return CREDIBLE_HAND_KG
    if lift.equipment in (Equipment.MACHINE, Equipment.SLED, Equipment.GUIDED_BAR):
        return CREDIBLE_OTHER_KG
    return CREDIBLE_KG.get(lift.pattern, CREDIBLE_OTHER_KG)
