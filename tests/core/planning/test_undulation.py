import pytest

from core.domain.exercises import Exercise, catalogue
from core.domain.plans import DayKind, PlannedLift, PlannedSession, Role, WeekPlan, Wishes
from core.planning.undulation import (
    POWER,
    STRENGTH,
    VOLUME,
    block,
    day_kinds,
    pressing_days,
    scheme,
    variation_day,
    week_number,
)

STRENGTH_DAY, VOLUME_DAY, POWER_DAY = DayKind.STRENGTH, DayKind.VOLUME, DayKind.POWER


def lift(name: str) -> Exercise:
    found = catalogue().get(name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("days", "pressing"),
    [
        ((2,), (2,)),
        ((0, 3), (0, 3)),
        ((0, 2, 4), (0, 2, 4)),
        # Three of these would fall on consecutive days.
        ((0, 1, 3, 4), (0, 3)),
        ((0, 1, 2), (0, 2)),
        ((0, 1, 2, 3, 4, 5), (0, 2, 4)),
        ((1, 3, 5, 6), (1, 3, 5)),
    ],
)
def test_presses_are_spread_over_two_or_three_days_that_do_not_follow_each_other(
    days: tuple[int, ...], pressing: tuple[int, ...]
) -> None:
    assert pressing_days(Wishes(days=days)) == pressing


def test_a_wished_number_of_pressing_days_is_kept() -> None:
    assert pressing_days(Wishes(days=(0, 1, 3, 4), pressing_days=4)) == (0, 1, 3, 4)
    assert pressing_days(Wishes(days=(0, 2, 4), pressing_days=1)) == (0,)


def test_kinds_of_day_follow_the_number_of_pressing_days() -> None:
    # Two days: common practice, no source. Three: Zourdos et al. 2016, JSCR 30:784-791.
    assert list(day_kinds((0, 3)).values()) == [STRENGTH_DAY, VOLUME_DAY]
    assert list(day_kinds((0, 2, 4)).values()) == [VOLUME_DAY, POWER_DAY, STRENGTH_DAY]
    assert day_kinds((5,)) == {5: STRENGTH_DAY}
    assert variation_day((0, 1, 3, 4)) == 4
    assert variation_day((0, 2, 4)) is None


def test_days_ask_for_fives_eights_and_fast_triples() -> None:
    bench = lift("bench press")

    # Five sets of five and three of eight: common practice, no source.
    assert scheme(Role.MAIN, STRENGTH_DAY, bench) == STRENGTH
    assert (STRENGTH.reps, STRENGTH.left) == (5, 2.0)
    assert scheme(Role.MAIN, VOLUME_DAY, bench) == VOLUME
    assert (VOLUME.reps, VOLUME.left) == (8, 2.0)
    assert scheme(Role.MAIN, POWER_DAY, bench) == POWER
    assert (POWER.reps, POWER.left, POWER.share) == (3, None, 0.70)
    assert scheme(Role.BACK_OFF, STRENGTH_DAY, bench).reps == 8
    assert scheme(Role.ROW, STRENGTH_DAY, lift("barbell row")).reps == 8
    assert scheme(Role.SINGLE_JOINT, POWER_DAY, lift("triceps pushdown")).reps == 12


@pytest.mark.parametrize(("sets", "half"), [(6, 3), (5, 3), (4, 2), (3, 2), (2, 1), (1, 1)])
def test_a_reduced_week_has_half_the_sets_rounded_up_on_the_same_days_and_lifts(sets: int, half: int) -> None:
    planned = PlannedLift(exercise="bench press", role=Role.MAIN, sets=sets, scheme=STRENGTH)
    session = PlannedSession(day=4, kind=STRENGTH_DAY, lifts=(planned,), seconds=1800)

    found = block(WeekPlan(sessions=(session,), muscles=(), targets=()))

    assert found.weeks == 5
    (reduced,) = found.reduced.sessions
    assert (reduced.day, reduced.kind) == (4, STRENGTH_DAY)
    assert [(each.exercise, each.sets, each.scheme) for each in reduced.lifts] == [("bench press", half, STRENGTH)]


def test_the_sixth_week_is_the_reduced_one() -> None:
    assert [week_number(week) for week in range(7)] == [1, 2, 3, 4, 5, 6, 1]
