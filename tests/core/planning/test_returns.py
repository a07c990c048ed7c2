import pytest

from core.domain.plans import DayKind, PlannedLift, PlannedSession, Role
from core.domain.prescriptions import Change
from core.domain.session_commands import Tired
from core.planning.returns import (
    REDUCED,
    Adjustment,
    SetsChange,
    StartAfresh,
    adjusted_session,
    reduced_week_allowed,
    returned,
    tired,
)
from core.planning.undulation import STRENGTH, VOLUME

SESSION = PlannedSession(
    day=0,
    kind=DayKind.STRENGTH,
    lifts=(
        PlannedLift(exercise="bench press", role=Role.MAIN, sets=5, scheme=STRENGTH),
        PlannedLift(exercise="bench press", role=Role.BACK_OFF, sets=2, scheme=VOLUME),
        PlannedLift(exercise="barbell row", role=Role.ROW, sets=1, scheme=VOLUME),
    ),
    seconds=3000,
)


@pytest.mark.parametrize(
    ("weeks", "factor", "sets", "least_left", "for_weeks"),
    [
        # Common practice, no source for the figures: coaching rules for returns after a pause.
        (1.5, 0.95, SetsChange.ONE_FEWER, 0.0, 1.0),
        (2.0, 0.95, SetsChange.ONE_FEWER, 0.0, 1.0),
        (3.0, 0.90, SetsChange.HALF, 0.0, 1.0),
        # Linear from 15 % at 4 weeks to 20 % at 12: half-way at 8.
        (8.0, 0.825, SetsChange.FLOOR, 3.0, 2.0),
        (12.0, 0.80, SetsChange.FLOOR, 3.0, 2.0),
    ],
)
def test_the_longer_away_the_lighter_the_return(
    weeks: float, factor: float, sets: SetsChange, least_left: float, for_weeks: float
) -> None:
    found = returned(weeks)

    assert isinstance(found, Adjustment)
    assert found.factor == pytest.approx(factor)
    assert (found.change, found.sets, found.least_left, found.weeks) == (Change.RETURN, sets, least_left, for_weeks)
    assert found.low_end


def test_a_week_away_changes_nothing_and_twelve_start_afresh() -> None:
    assert returned(0.3) is None
    assert returned(1.0) is None
    assert returned(12.1) == StartAfresh()


def test_a_tired_lifter_chooses() -> None:
    more_left, fewer = tired(Tired.ONE_MORE_LEFT), tired(Tired.ONE_SET_FEWER)

    assert more_left is not None
    assert more_left.more_left == 1.0
    assert fewer is not None
    assert fewer.sets is SetsChange.ONE_FEWER
    assert tired(Tired.AS_PLANNED) is None


@pytest.mark.parametrize(
    ("sets", "left"),
    [
        (SetsChange.AS_PLANNED, [5, 2, 1]),
        (SetsChange.ONE_FEWER, [4, 1, 1]),
        (SetsChange.HALF, [3, 1, 1]),
        (SetsChange.FLOOR, [2, 1]),
    ],
)
def test_a_changed_session_keeps_its_lifts_with_fewer_sets(sets: SetsChange, left: list[int]) -> None:
    found = adjusted_session(SESSION, (Adjustment(change=Change.RETURN, sets=sets),))

    assert [each.sets for each in found.lifts] == left


def test_a_reduced_week_takes_a_tenth_off_the_loads() -> None:
    assert REDUCED.factor == 0.9
    assert adjusted_session(SESSION, (REDUCED,)) == SESSION


def test_a_reduced_week_is_not_repeated_within_three_weeks() -> None:
    assert reduced_week_allowed(weeks_since_reduced=None)
    assert reduced_week_allowed(weeks_since_reduced=3.0)
    assert not reduced_week_allowed(weeks_since_reduced=2.9)
