from core.domain.exercises import Muscle
from core.domain.plans import DayKind, Role
from core.planning.session_lifts import Terms, back_offs, hard, offered, role_of
from core.planning.targets import Target
from tests.core.planning.gyms import lift

CHEST, BACK, TRICEPS = Muscle.CHEST, Muscle.UPPER_BACK, Muscle.TRICEPS
BENCH, ROW, DIP, PUSHDOWN = lift("bench press"), lift("barbell row"), lift("machine dip"), lift("triceps pushdown")

TERMS = Terms(
    days=(0, 3),
    kinds={0: DayKind.POWER, 3: DayKind.VOLUME},
    variation_day=None,
    main=BENCH,
    variations=(),
    wanted=(Target(CHEST, 8.0, 4.0), Target(BACK, 8.0, 1.0), Target(TRICEPS, 6.0, 1.0)),
    candidates={CHEST: (BENCH,), BACK: (ROW,), TRICEPS: (PUSHDOWN, DIP)},
    guide={(CHEST, 0): 5, (CHEST, 3): 3, (BACK, 0): 4, (BACK, 3): 4, (TRICEPS, 0): 3},
    seconds=3600,
    ceiling=16,
)


def test_exercises_suit_the_muscles_of_their_day() -> None:
    names: dict[int, set[str]] = {}
    for each, day in offered(TERMS):
        names.setdefault(day, set()).add(each.name)

    # The dip trains chest and triceps, both of the first day; the second one has no triceps.
    assert names == {0: {BENCH.name, ROW.name, DIP.name, PUSHDOWN.name}, 3: {BENCH.name, ROW.name}}


def test_power_sets_are_not_hard_sets() -> None:
    assert not hard(TERMS, BENCH, 0)
    assert hard(TERMS, BENCH, 3)
    assert hard(TERMS, ROW, 0)


def test_a_lifts_role_follows_its_movement() -> None:
    assert role_of(TERMS, BENCH, 0) is Role.MAIN
    assert role_of(TERMS, DIP, 0) is Role.PRESS
    assert role_of(TERMS, ROW, 0) is Role.ROW
    assert role_of(TERMS, lift("squat"), 0) is Role.MULTI_JOINT
    assert role_of(TERMS, PUSHDOWN, 0) is Role.SINGLE_JOINT


def test_back_off_sets_belong_to_a_single_pressing_day() -> None:
    assert back_offs(TERMS) == 0
