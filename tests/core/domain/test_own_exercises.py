"""A lifter's own exercises: what their names tell of them."""

import pytest

from core.domain.exercises import Equipment, Muscle
from core.domain.own_exercises import equipment_told, own_exercise


@pytest.mark.parametrize(
    ("name", "equipment"),
    [
        ("cable wood chop", Equipment.CABLE),
        ("db wood chop", Equipment.DUMBBELL),
        ("Dumbbells windmill", Equipment.DUMBBELL),
        ("kettlebell windmill", Equipment.KETTLEBELL),
        ("bb wood chop", Equipment.BARBELL),
        ("machine wood chop", Equipment.MACHINE),
        ("plate-loaded wood chop", Equipment.MACHINE),
        ("plate wood chop", Equipment.PLATE),
        ("trap-bar wood chop", Equipment.TRAP_BAR),
        ("band wood chop", Equipment.BAND),
        ("wood chop", None),
        ("dbwood chop", None),
    ],
)
def test_a_name_tells_what_a_lift_is_loaded_with(name: str, equipment: Equipment | None) -> None:
    assert equipment_told(name) is equipment


# Anatomy: thigh, hip and calf are the lower body.
@pytest.mark.parametrize(
    ("muscle", "lower"),
    [(Muscle.QUADRICEPS, True), (Muscle.GLUTES, True), (Muscle.CALVES, True), (Muscle.CHEST, False), (None, False)],
)
def test_the_muscle_tells_whether_it_is_a_lift_of_the_legs(muscle: Muscle | None, lower: bool) -> None:
    assert own_exercise("tyre flip", muscle, None).lower_body is lower


def test_dumbbells_are_told_for_one_hand_unless_one_is_held() -> None:
    assert own_exercise("db windmill", None, Equipment.DUMBBELL).per_hand
    assert not own_exercise("one-arm db windmill", None, Equipment.DUMBBELL).per_hand
    assert own_exercise("one-arm db windmill", None, Equipment.DUMBBELL).one_side


def test_a_full_bar_counts_and_a_short_one_may_be_lighter() -> None:
    assert own_exercise("barbell wood chop", None, Equipment.BARBELL).bar
    assert not own_exercise("ez bar wood chop", None, Equipment.BARBELL).bar
