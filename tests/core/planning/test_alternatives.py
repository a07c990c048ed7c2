"""Other exercises in place of one train the same and can be done with what is at hand."""

import pytest

from core.domain.exercises import catalogue
from core.domain.plans import Wishes
from core.planning.alternatives import MOST_ALTERNATIVES, alternatives
from tests.core.planning.gyms import GYM, HOME, lift

WISHES = Wishes(days=(0, 2, 4))


@pytest.mark.parametrize("name", ["bench press", "barbell row", "squat", "triceps pushdown", "lat pulldown"])
def test_alternatives_train_one_of_the_same_muscles_with_other_equipment_each(name: str) -> None:
    found = [lift(each) for each in alternatives(lift(name), catalogue(), WISHES, GYM)]

    assert 1 <= len(found) <= MOST_ALTERNATIVES
    assert all(each.direct & lift(name).direct for each in found)
    assert len({each.equipment for each in found}) == len(found)


def test_only_what_is_at_hand_is_offered() -> None:
    for each in alternatives(lift("lat pulldown"), catalogue(), WISHES, HOME):
        assert HOME.offers(lift(each).equipment)


def test_what_is_banned_or_in_the_session_already_is_not_offered() -> None:
    first, *_ = alternatives(lift("bench press"), catalogue(), WISHES, GYM)
    banned = Wishes(days=(0, 2, 4), banned=frozenset({first}))

    assert first not in alternatives(lift("bench press"), catalogue(), banned, GYM)
    assert first not in alternatives(lift("bench press"), catalogue(), WISHES, GYM, besides={first})
