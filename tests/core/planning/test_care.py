import pytest

from core.domain.prescriptions import Bound, Care, Safety
from core.planning.care import least_left, no_failure, refuses_failure, refuses_test, under_the_bar
from tests.core.planning.gyms import lift

ALONE = Care(safety=Safety.NEITHER, screened=False)
ARMS = Care(safety=Safety.ARMS, screened=False)
SCREENED = Care(safety=Safety.ARMS, screened=True)

BENCH = lift("bench press")


def test_unanswered_is_the_careful_answer() -> None:
    assert Care().safety is Safety.NEITHER
    assert Care().screened


@pytest.mark.parametrize(
    ("name", "under"),
    [
        ("bench press", True),
        ("close-grip bench press", True),
        ("overhead press", True),
        ("dumbbell bench press", False),
        ("machine chest press", False),
        ("guided-bar bench press", False),
        ("dip", False),
        ("squat", False),
    ],
)
def test_free_weight_barbell_presses_are_under_the_bar(name: str, under: bool) -> None:
    assert under_the_bar(lift(name)) == under


def test_alone_under_the_bar_two_are_left_and_nothing_goes_to_the_end() -> None:
    assert least_left(BENCH, ALONE) == (2.0, Bound.ALONE)
    assert refuses_failure(BENCH, ALONE) is Bound.ALONE
    assert refuses_test(BENCH, ALONE) is Bound.ALONE


def test_a_machine_or_dumbbells_may_be_harder() -> None:
    for name in ("dumbbell bench press", "machine chest press"):
        assert least_left(lift(name), ALONE) == (0.0, None)
        assert refuses_failure(lift(name), ALONE) is None


def test_a_spotter_changes_the_bound_for_the_session() -> None:
    spotted = Care(safety=Safety.NEITHER, screened=False, spotter_today=True)

    assert least_left(BENCH, spotted) == (0.0, None)
    assert refuses_test(BENCH, spotted) is None
    assert refuses_failure(BENCH, Care(safety=Safety.SPOTTER, screened=False)) is None


def test_screening_allows_neither_failure_nor_a_test_on_any_lift() -> None:
    for name in ("bench press", "dumbbell bench press", "squat"):
        assert least_left(lift(name), SCREENED) == (1.0, Bound.SCREENED)
        assert refuses_failure(lift(name), SCREENED) is Bound.SCREENED
        assert refuses_test(lift(name), SCREENED) is Bound.SCREENED
    assert no_failure(Care(safety=Safety.ARMS, screened=False, cautious=True))
    assert not no_failure(ARMS)
