from itertools import product

import pytest

from core.domain.exercises import Exercise, Muscle
from core.domain.plans import Role
from core.planning.day_sets import (
    APART_COST,
    CONSECUTIVE_COST,
    FULLEST_COST,
    OFF_COST,
    OVERTIME_COST,
    PEAK_COST,
    SHORT_COST,
    WITHIN,
    Room,
    consecutive,
    day_sets,
    direct_need,
    possible_weeks,
)
from core.planning.integer_programme import GAP
from core.planning.minutes import lift_s
from core.planning.targets import Target
from tests.core.planning.gyms import lift

CHEST, BACK, LATS, BICEPS = Muscle.CHEST, Muscle.UPPER_BACK, Muscle.LATS, Muscle.BICEPS
BENCH, ROW, CURL = lift("bench press"), lift("barbell row"), lift("dumbbell curl")
CANDIDATES: dict[Muscle, tuple[Exercise, ...]] = {CHEST: (BENCH,), BACK: (ROW,), LATS: (ROW,), BICEPS: (CURL,)}


def room(days: tuple[int, ...], minutes: float, main_sets: dict[int, int] | None = None) -> Room:
    return Room(days=days, seconds=dict.fromkeys(days, minutes * 60), main_sets=main_sets or {}, main=BENCH)


def test_weeks_of_a_muscle_hold_three_to_eight_sets_a_day_on_up_to_three_days() -> None:
    found = possible_weeks(10.0, (0, 1, 3, 5), {})

    assert {} in found
    assert all(len(week) <= 3 and all(3 <= sets <= 8 for sets in week.values()) for week in found)
    # One day holds eight at most, two hold ten evenly, three of three make nine, ten unevenly.
    assert {0: 8} in found
    assert {0: 5, 3: 5} in found
    assert {0: 4, 1: 3, 5: 3} in found


def test_the_main_lifts_sets_are_always_there() -> None:
    # Five of the eight are the main lift's: three more on another day, or on the same one.
    found = possible_weeks(8.0, (0, 2, 4), {0: 5})

    assert all(week.get(0, 0) >= 5 for week in found)
    assert {0: 5, 2: 3} in found
    assert {0: 8} in found
    assert {0: 5} in found


def test_sixteen_sets_are_not_done_on_one_day() -> None:
    # 16 as 8 and 8, or spread over three days: common practice, no source.
    found = day_sets([Target(CHEST, 16.0, 1.0)], room((0, 2, 4), 120), CANDIDATES)

    assert sum(found.values()) >= 15
    assert 2 <= len(found) <= 3
    assert max(found.values()) <= 8


@pytest.mark.parametrize(("days", "pairs"), [((0, 1), 1), ((0, 2), 0), ((0, 6), 1), ((0, 1, 2), 2), ((), 0)])
def test_days_in_a_row_count_over_the_end_of_the_week(days: tuple[int, ...], pairs: int) -> None:
    assert consecutive(days) == pairs


def test_what_other_lifts_add_is_taken_off_the_need() -> None:
    # Four rows a week add two sets to the biceps, which need four of their own for six.
    need = direct_need([Target(BACK, 4.0, 1.0), Target(BICEPS, 6.0, 1.0)], room((0, 3), 60), CANDIDATES)

    assert need == {BACK: 4.0, BICEPS: 4.0}


def test_a_muscle_avoids_days_in_a_row_when_it_can() -> None:
    found = day_sets([Target(BICEPS, 6.0, 1.0)], room((0, 1, 3), 60), CANDIDATES)

    assert consecutive([day for _, day in found]) == 0


def test_days_stay_as_they_were_when_nothing_asks_for_a_change() -> None:
    before = {(BICEPS, 2): 3, (BICEPS, 5): 3}

    found = day_sets([Target(BICEPS, 6.0, 1.0)], room((0, 2, 3, 5), 60), CANDIDATES, previous=before)

    assert set(found) == {(BICEPS, 2), (BICEPS, 5)}


@pytest.mark.parametrize("days", [(0, 1, 3), (0, 2, 4), (1, 2)])
@pytest.mark.parametrize("minutes", [60.0, 15.0])
@pytest.mark.parametrize("main_sets", [{}, {1: 3}])
def test_small_weeks_equal_exhaustive_search(days: tuple[int, ...], minutes: float, main_sets: dict[int, int]) -> None:
    # given: every week of every muscle, costed by the definitions
    main_sets = {day: sets for day, sets in main_sets.items() if day in days}
    wanted = [Target(CHEST, 8.0, 4.0), Target(BACK, 8.0, 1.0), Target(LATS, 6.0, 1.0), Target(BICEPS, 6.0, 1.0)]
    place = room(days, minutes, main_sets)
    need = direct_need(wanted, place, CANDIDATES)
    weeks = [possible_weeks(need[each.muscle], days, main_sets if each.muscle is CHEST else {}) for each in wanted]
    # A set of each muscle takes a quarter of four sets and a change; the row's is shared by the two it trains directly.
    row_s = (lift_s(Role.PRESS, ROW, sets=4, reps=10) + 120) / 4 / 2
    set_s = {
        CHEST: (lift_s(Role.PRESS, BENCH, sets=4, reps=10) + 120) / 4,
        BACK: row_s,
        LATS: row_s,
        BICEPS: (lift_s(Role.PRESS, CURL, sets=4, reps=15) + 120) / 4,
    }

    def cost(chosen: tuple[dict[int, int], ...]) -> float:
        total, load = 0.0, dict.fromkeys(days, 0.0)
        for target, week in zip(wanted, chosen, strict=True):
            sets = sum(week.values())
            total += CONSECUTIVE_COST * consecutive(tuple(week)) + PEAK_COST * max(week.values(), default=0)
            total += SHORT_COST * target.weight * max(0.0, need[target.muscle] - 1.0 - sets)
            total += OFF_COST * abs(sets - need[target.muscle])
            for day in days:
                own = main_sets.get(day, 0) if target.muscle is CHEST else 0
                load[day] += set_s[target.muscle] * (week.get(day, 0) - own)
        total += sum(OVERTIME_COST * max(0.0, each - minutes * 60) for each in load.values())
        total += FULLEST_COST * max(*load.values(), 0.0)
        # The row trains upper back and lats together.
        return total + APART_COST * sum((day in chosen[1]) != (day in chosen[2]) for day in days)

    best = min(map(cost, product(*weeks)))

    # when
    found = day_sets(wanted, place, CANDIDATES)

    # then
    chosen = tuple({day: n for (muscle, day), n in found.items() if muscle is each.muscle} for each in wanted)
    a_trace = 0.2  # later days cost a little, which decides between weeks as good
    assert cost(chosen) <= best + WITHIN + GAP * cost(chosen) + a_trace
