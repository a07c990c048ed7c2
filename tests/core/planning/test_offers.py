import pytest

from core.domain.exercises import catalogue
from core.domain.plans import Difference, Wishes
from core.planning.conflicts import lacking
from core.planning.offers import offers
from tests.core.planning.gyms import GYM


@pytest.mark.parametrize("days", [(0, 2, 4), (0, 3), (0, 1, 3, 4)])
def test_a_new_plan_is_offered_in_two_ways_that_differ(days: tuple[int, ...]) -> None:
    first, second = offers(Wishes(days=days), GYM, catalogue())

    assert first.difference is Difference.USUAL
    assert second.difference is not Difference.USUAL
    assert first.week.sessions != second.week.sessions
    assert lacking(second.week) <= lacking(first.week)


def test_three_pressing_days_are_offered_against_two() -> None:
    first, second = offers(Wishes(days=(0, 2, 4)), GYM, catalogue())

    assert second.difference is Difference.FEWER_PRESSING
    assert (second.wishes.pressing_days, first.wishes.pressing_days) == (2, None)
