from dataclasses import replace
from itertools import product

import pytest

from core.domain.exercises import Exercise, Muscle, Pattern
from core.domain.plans import DayKind
from core.planning.integer_programme import GAP
from core.planning.lift_costs import (
    FEW_EXPOSURES_COST,
    LIFT_COST,
    OFF_TARGET_COST,
    OVER_COST,
    RANK_COST,
    UNCOVERED_COST,
    UNLIKED_COST,
    USUAL_SETS_COST,
)
from core.planning.session_lifts import Terms, offered
from core.planning.targets import PRESSES, Target, credit
from core.planning.week_layout import WITHIN, lift_choice
from tests.core.planning.gyms import lift

CHEST, BACK, TRICEPS = Muscle.CHEST, Muscle.UPPER_BACK, Muscle.TRICEPS
BENCH, ROW, DIP, PUSHDOWN = lift("bench press"), lift("barbell row"), lift("machine dip"), lift("triceps pushdown")

TERMS = Terms(
    days=(0, 3),
    kinds={0: DayKind.STRENGTH, 3: DayKind.VOLUME},
    variation_day=None,
    main=BENCH,
    variations=(),
    wanted=(Target(CHEST, 8.0, 4.0), Target(BACK, 8.0, 1.0), Target(TRICEPS, 6.0, 1.0)),
    candidates={CHEST: (BENCH,), BACK: (ROW,), TRICEPS: (PUSHDOWN, DIP)},
    guide={(CHEST, 0): 5, (CHEST, 3): 3, (BACK, 0): 4, (BACK, 3): 4, (TRICEPS, 0): 3},
    seconds=3600,
    ceiling=16,
)

Sets = dict[tuple[int, str], int]

LIFTS = {each.name: each for each in (BENCH, ROW, DIP, PUSHDOWN)}

SHORT = 60.0
"""Cost of a set that lacks, times its muscle's weight: `day_sets.SHORT_COST`, told here to be read beside the rest."""


def weekly(sets: Sets, muscle: Muscle) -> float:
    return sum(credit(LIFTS[name], muscle) * n for (_, name), n in sets.items())


def possible(sets: Sets, terms: Terms) -> bool:
    """What is never broken, from its definitions."""
    for day in terms.days:
        here = {name: n for (when, name), n in sets.items() if when == day and n}
        for muscle in Muscle:
            if sum(n for name, n in here.items() if muscle in LIFTS[name].direct) > 8:
                return False
        # Seconds by hand: 4 a repetition at the top of the range, rests of 180, 120 and 90, a warm-up of 376 for the
        # main lift and of one set of five and 60 s of rest for the others that move several joints, 120 a change.
        time = 120 * (len(here) - 1)
        for name, n in here.items():
            if name == BENCH.name:
                reps = 7 if terms.kinds[day] is DayKind.STRENGTH else 10
                time += 376 + n * (4 * reps + 180) - 180
            elif LIFTS[name].multi_joint:
                time += 80 + n * (40 + 120) - 120
            else:
                time += n * (60 + 90) - 90
        if time > terms.seconds:
            return False
    if any(weekly(sets, muscle) > terms.ceiling for muscle in Muscle):
        return False
    presses = sum(n for (_, name), n in sets.items() if LIFTS[name].pattern in PRESSES)
    pulls = sum(n for (_, name), n in sets.items() if LIFTS[name].pattern is Pattern.HORIZONTAL_PULL)
    return pulls >= presses


def cost(sets: Sets, terms: Terms) -> float:
    """What a week costs, from the definitions of the costs."""
    pairs = [(each.name, day) for each, day in offered(terms)]
    total = 0.0
    for name, day in pairs:
        n = sets.get((day, name), 0)
        if name == BENCH.name:
            total += USUAL_SETS_COST * abs(n - (5 if terms.kinds[day] is DayKind.STRENGTH else 3))
        elif n:
            total += LIFT_COST + RANK_COST * (1 if name == DIP.name else 0)
    for target in terms.wanted:
        found = weekly(sets, target.muscle)
        total += SHORT * target.weight * max(0.0, target.sets - 1.0 - found)
        total += OVER_COST * max(0.0, found - target.sets - 2.0) + OFF_TARGET_COST * abs(found - target.sets)
    for muscle, day in terms.guide:
        training = [name for name, when in pairs if when == day and muscle in LIFTS[name].direct]
        if training and not any(sets.get((day, name)) for name in training):
            total += UNCOVERED_COST
    trained = {day for (day, name), n in sets.items() if n and credit(LIFTS[name], TRICEPS)}
    total += FEW_EXPOSURES_COST * max(0, 2 - len(trained))
    return total + sum(UNLIKED_COST for name in terms.liked if not any(sets.get((day, name)) for day in terms.days))


def every_week(terms: Terms) -> list[Sets]:
    pairs = [(day, each.name) for each, day in offered(terms)]
    options = [range(3, 7) if name == BENCH.name else (0, 3, 4, 5, 6) for _, name in pairs]
    return [dict(zip(pairs, sets, strict=True)) for sets in product(*options)]


@pytest.mark.parametrize(
    "terms",
    [
        TERMS,
        replace(TERMS, seconds=2700),
        replace(TERMS, seconds=2100),
        replace(TERMS, ceiling=8),
        replace(TERMS, liked=frozenset({DIP.name})),
        replace(TERMS, wanted=(Target(CHEST, 12.0, 4.0), Target(BACK, 12.0, 1.0), Target(TRICEPS, 10.0, 3.0))),
        replace(
            TERMS,
            candidates={**TERMS.candidates, TRICEPS: (PUSHDOWN,)},
            guide={**TERMS.guide, (TRICEPS, 3): 3},
        ),
    ],
)
def test_the_choice_equals_exhaustive_search(terms: Terms) -> None:
    best = min(cost(sets, terms) for sets in every_week(terms) if possible(sets, terms))

    chosen = dict(lift_choice(terms).sets)

    assert possible(chosen, terms)
    a_trace = 0.1  # later days cost a little, which decides between weeks as good
    assert cost(chosen, terms) <= best + WITHIN + GAP * cost(chosen, terms) + a_trace


def test_the_main_lift_leaves_only_where_nothing_else_is_possible() -> None:
    # Without any pull, presses would outnumber pulls: then not even the main lift is possible.
    terms = replace(TERMS, candidates={CHEST: (BENCH,), TRICEPS: (PUSHDOWN,)})

    chosen = lift_choice(terms)

    assert all(name != BENCH.name for _, name in chosen.sets)
    assert any(name == PUSHDOWN.name for _, name in chosen.sets)


def test_power_sets_are_no_hard_sets() -> None:
    power = replace(TERMS, kinds={0: DayKind.POWER, 3: DayKind.VOLUME}, candidates={CHEST: (BENCH,), BACK: (ROW,)})

    chosen = lift_choice(power).sets

    # Five or six sets of power, and pulls are measured against the volume day's presses alone.
    assert chosen[0, BENCH.name] in (5, 6)
    assert sum(n for (_, name), n in chosen.items() if name == ROW.name) >= chosen[3, BENCH.name]


def test_one_pressing_day_has_back_off_sets_where_there_is_time() -> None:
    one = replace(TERMS, days=(2,), kinds={2: DayKind.STRENGTH}, guide={(CHEST, 2): 5, (BACK, 2): 7})

    assert lift_choice(one).with_back_offs
    assert not lift_choice(replace(one, seconds=1500)).with_back_offs
    assert not lift_choice(TERMS).with_back_offs


def test_the_week_before_is_kept_where_it_still_meets_the_wishes() -> None:
    # Not the cheapest week, and still good: the dip in place of the pushdown.
    before: dict[tuple[int, str], int] = {
        (0, BENCH.name): 5,
        (0, ROW.name): 6,
        (0, DIP.name): 3,
        (3, BENCH.name): 3,
        (3, ROW.name): 5,
    }
    wanted = (Target(CHEST, 10.0, 4.0), Target(BACK, 10.0, 1.0), Target(TRICEPS, 6.0, 1.0))

    assert dict(lift_choice(replace(TERMS, wanted=wanted, previous=before)).sets) == before


def test_a_lift_that_is_not_offered_any_more_changes_its_own_session_only() -> None:
    before: dict[tuple[int, str], int] = {
        (0, BENCH.name): 5,
        (0, ROW.name): 5,
        (0, "gone"): 3,
        (3, BENCH.name): 3,
        (3, ROW.name): 3,
    }

    found = lift_choice(replace(TERMS, previous=before)).sets

    assert {name: n for (day, name), n in found.items() if day == 3} == {BENCH.name: 3, ROW.name: 3}


def test_a_variation_stands_in_on_the_fourth_pressing_day() -> None:
    close: Exercise = lift("close-grip bench press")
    terms = replace(
        TERMS,
        days=(0, 1, 3, 5),
        kinds={0: DayKind.VOLUME, 1: DayKind.POWER, 3: DayKind.STRENGTH, 5: DayKind.VOLUME},
        variation_day=5,
        variations=(close,),
        guide={(CHEST, 0): 3, (CHEST, 3): 5, (CHEST, 5): 3, (BACK, 0): 4, (BACK, 3): 4},
        wanted=(Target(CHEST, 11.0, 4.0), Target(BACK, 11.0, 1.0)),
    )

    chosen = lift_choice(terms).sets

    assert chosen[5, close.name] >= 3
    assert (5, BENCH.name) not in chosen
    assert {day for day, name in chosen if name == BENCH.name} == {0, 1, 3}
