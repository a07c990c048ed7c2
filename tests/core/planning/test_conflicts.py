from dataclasses import replace

import pytest

from core.domain.equipment import Owned
from core.domain.exercises import Equipment, Muscle, Pattern, catalogue
from core.domain.plans import Reason, Wishes
from core.planning.conflicts import conflicts, lacking
from core.planning.week_layout import week_layout
from tests.core.planning.gyms import GYM

NO_PULLS = frozenset(each.name for each in catalogue() if each.pattern is Pattern.HORIZONTAL_PULL)


def test_a_week_that_meets_everything_has_no_conflicts() -> None:
    wishes = Wishes(days=(0, 2, 4))
    week = week_layout(wishes, GYM, catalogue())

    assert lacking(week) == 0.0
    assert conflicts(wishes, GYM, catalogue(), week) == ()


def test_too_few_minutes_are_named_with_how_many_would_do() -> None:
    wishes = Wishes(days=(0, 2, 4), minutes=30)
    week = week_layout(wishes, GYM, catalogue())

    found = conflicts(wishes, GYM, catalogue(), week)

    assert found[0].reason is Reason.MINUTES
    assert found[0].enough
    assert found[0].value is not None
    assert 30 < found[0].value <= 60
    longer = week_layout(Wishes(days=(0, 2, 4), minutes=found[0].value), GYM, catalogue())
    assert lacking(longer) == 0.0


@pytest.mark.parametrize(
    ("wishes", "reason"),
    [
        (Wishes(days=(0, 2, 4), banned=NO_PULLS), Reason.BANNED),
        (Wishes(days=(0, 2, 4), ceiling=5), Reason.CEILING),
        # Sixteen raises bring eight sets to the front of the shoulders, where six are aimed at and presses bring four more.
        (Wishes(days=(0, 2, 4), minutes=120, sets_now=((Muscle.SIDE_SHOULDERS, 16.0),)), Reason.SETS),
    ],
)
def test_the_wish_that_stands_against_the_week_is_named(wishes: Wishes, reason: Reason) -> None:
    week = week_layout(wishes, GYM, catalogue())

    found = conflicts(wishes, GYM, catalogue(), week)

    assert lacking(week) > 0.0
    assert (found[0].reason, found[0].enough) == (reason, True)


def test_missing_equipment_is_named() -> None:
    rows = NO_PULLS - {"seated cable row"}
    wishes = Wishes(days=(0, 2, 4), main="dumbbell bench press", banned=rows)
    owned = Owned(has=frozenset({Equipment.DUMBBELL}))
    week = week_layout(wishes, owned, catalogue())

    found = {each.reason: each.enough for each in conflicts(wishes, owned, catalogue(), week)}

    # Without a cable there is no row left to answer the presses: the cable or a ban would have to change.
    assert found[Reason.EQUIPMENT]
    assert found[Reason.BANNED]


@pytest.mark.parametrize(
    "wishes",
    [
        Wishes(days=(0, 2, 4), minutes=30),
        Wishes(days=(0, 2, 4), minutes=45),
        Wishes(days=(0, 3), sets_now=((Muscle.CHEST, 14.0), (Muscle.TRICEPS, 10.0))),
        Wishes(days=(2,), minutes=30),
    ],
)
def test_the_first_wish_that_is_named_as_enough_is_enough(wishes: Wishes) -> None:
    week = week_layout(wishes, GYM, catalogue())

    [found] = conflicts(wishes, GYM, catalogue(), week, until_enough=True)

    assert (found.reason, found.enough) == (Reason.MINUTES, True)
    assert found.value is not None
    assert lacking(week_layout(replace(wishes, minutes=found.value), GYM, catalogue())) == 0.0


def test_where_no_wish_is_enough_those_that_help_are_named() -> None:
    # One short day and twice sixteen sets: eight a muscle are the most a session has, and half an hour has room for a few.
    wishes = Wishes(days=(2,), minutes=30, sets_now=((Muscle.CHEST, 16.0), (Muscle.BICEPS, 16.0)))
    week = week_layout(wishes, GYM, catalogue())

    found = conflicts(wishes, GYM, catalogue(), week, until_enough=True)

    assert found
    assert not any(each.enough for each in found)
    assert all(each.lacking < lacking(week) for each in found)
