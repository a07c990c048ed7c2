import pytest

from core.domain.exercises import Muscle
from core.domain.plans import Wishes


def test_sessions_in_line_are_spread_over_the_week() -> None:
    # Three in seven days: every 2 1/3 days, counted from Monday.
    assert Wishes(sessions=3).training_days == (0, 2, 4)
    assert Wishes(sessions=1).training_days == (0,)
    assert Wishes(sessions=7).training_days == (0, 1, 2, 3, 4, 5, 6)
    assert Wishes(days=(1, 5)).training_days == (1, 5)


@pytest.mark.parametrize(
    ("words", "make"),
    [
        ("weekdays", lambda: Wishes(days=(2, 0))),
        ("weekdays", lambda: Wishes(days=(0, 7))),
        ("weekdays", lambda: Wishes(days=(0, 0))),
        ("either", Wishes),
        ("either", lambda: Wishes(days=(0,), sessions=1)),
        ("either", lambda: Wishes(sessions=8)),
        ("minutes", lambda: Wishes(days=(0,), minutes=14)),
        ("minutes", lambda: Wishes(days=(0,), minutes=181)),
        ("floor", lambda: Wishes(days=(0,), floor=10, ceiling=9)),
        ("floor", lambda: Wishes(days=(0,), ceiling=41)),
        ("pressing", lambda: Wishes(days=(0, 3), pressing_days=3)),
        ("pressing", lambda: Wishes(sessions=3, pressing_days=0)),
        ("none or more", lambda: Wishes(days=(0,), sets_now=((Muscle.CHEST, -1.0),))),
        ("main lift", lambda: Wishes(days=(0,), banned=frozenset({"bench press"}))),
    ],
)
def test_wishes_that_no_week_can_have_are_refused(words: str, make: type[Wishes]) -> None:
    with pytest.raises(ValueError, match=words):
        make()
