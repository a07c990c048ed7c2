import pytest

from core.domain.equipment import Owned
from core.domain.exercises import Pattern, catalogue
from core.domain.plans import Wishes
from core.domain.prescriptions import Place
from core.planning.pain import (
    Ache,
    Keep,
    OutThisWeek,
    PainDecision,
    RegionEnds,
    gentler,
    loaded_places,
    pain_decision,
    substitutes,
)
from core.planning.targets import allowed
from tests.core.planning.gyms import GYM, HOME, lift

WISHES = Wishes(days=(0, 2, 4))
TODAY = ["bench press", "barbell row", "squat", "lying leg curl"]


def decided(answer: Ache, place: Place, *, again: bool = False, popped: bool = False) -> PainDecision:
    return pain_decision(
        answer,
        place,
        lift("bench press"),
        session=TODAY,
        catalogue=catalogue(),
        wishes=WISHES,
        owned=GYM,
        again=again,
        popped=popped,
    )


def test_an_ache_that_fades_keeps_the_lift_with_one_more_left() -> None:
    found = decided(Ache.FADES, Place.SHOULDER)

    assert isinstance(found, Keep)
    assert found.adjustment.more_left == 1.0
    assert found.adjustment.no_step
    assert "dumbbell bench press" in found.gentler


def test_an_ache_that_changes_the_lift_takes_it_out_and_so_does_one_told_twice() -> None:
    assert isinstance(decided(Ache.CHANGES, Place.WRIST), OutThisWeek)
    assert decided(Ache.FADES, Place.WRIST, again=True) == decided(Ache.CHANGES, Place.WRIST)


def test_a_sharp_pain_ends_what_loads_the_place_today() -> None:
    assert decided(Ache.SHARP, Place.SHOULDER) == RegionEnds(
        Place.SHOULDER, ("bench press", "barbell row"), same_day=False
    )
    assert decided(Ache.SHARP, Place.KNEE) == RegionEnds(Place.KNEE, ("squat", "lying leg curl"), same_day=False)


def test_a_pop_ends_pressing_and_needs_care_the_same_day() -> None:
    # Whatever the answer to the question was.
    for answer in Ache:
        found = decided(answer, Place.SHOULDER, popped=True)
        assert isinstance(found, RegionEnds)
        assert found.same_day
        assert "bench press" in found.ended


@pytest.mark.parametrize("owned", [GYM, HOME])
@pytest.mark.parametrize("place", list(Place))
def test_what_is_offered_instead_avoids_the_place_and_trains_the_same(place: Place, owned: Owned) -> None:
    for name in TODAY:
        for other in substitutes(lift(name), place, catalogue(), WISHES, owned):
            assert place not in loaded_places(lift(other))
            assert lift(other).direct & (lift(name).direct | lift(name).indirect)
            assert allowed(lift(other), WISHES, owned)


def test_where_nothing_spares_the_place_muscles_that_come_along_are_trained() -> None:
    # Every lift for the chest loads the shoulder; the triceps, which a bench press trains indirectly, can do without.
    found = substitutes(lift("bench press"), Place.SHOULDER, catalogue(), WISHES, GYM)

    assert "triceps pushdown" in found


def test_gentler_ways_are_the_same_movement() -> None:
    for name in TODAY:
        for other in gentler(lift(name), catalogue(), WISHES, GYM):
            assert lift(other).pattern is lift(name).pattern
            assert other != name


def test_every_movement_loads_some_place() -> None:
    loaded = {each.pattern: loaded_places(each) for each in catalogue()}

    assert set(loaded) == set(Pattern)
    assert all(loaded.values())
