from core.domain.equipment import Owned
from core.domain.exercises import Equipment, catalogue
from core.domain.plans import Wishes
from core.planning.main_lift import with_possible_main
from tests.core.planning.gyms import GYM, lift

WISHES = Wishes(days=(0, 2, 4))


def test_a_main_lift_that_can_be_done_stays() -> None:
    assert with_possible_main(WISHES, GYM, catalogue()) is WISHES


def test_without_a_barbell_a_press_with_what_is_at_hand_stands_in() -> None:
    dumbbells = with_possible_main(WISHES, Owned(has=frozenset({Equipment.DUMBBELL})), catalogue())
    nothing = with_possible_main(WISHES, Owned(has=frozenset()), catalogue())

    assert lift(dumbbells.main).equipment is Equipment.DUMBBELL
    assert lift(dumbbells.main).pattern is lift("bench press").pattern
    # The body is always at hand.
    assert lift(nothing.main).equipment is Equipment.BODYWEIGHT


def test_a_banned_lift_never_stands_in() -> None:
    owned = Owned(has=frozenset({Equipment.DUMBBELL}))
    first = with_possible_main(WISHES, owned, catalogue()).main

    second = with_possible_main(Wishes(days=(0, 2, 4), banned=frozenset({first})), owned, catalogue()).main

    assert second not in (first, "bench press")
