"""Ten invented lifters train, check in and take their advice for a year."""

from itertools import pairwise

import pytest

from core.domain.advice import Action
from core.planning.undulation import BLOCK_WEEKS
from tests.closed_loop import KINDS, WEEKS, Kind, Week, lived, relieved_late, turns, wishes

MOST_TURNS = WEEKS // 12 + 1
"""Most changes of direction in a year: what had to be cut is remembered for twelve weeks (coaching rules, section 9)."""

WELL = frozenset({"starts low, recovers well", "starts at 8, recovers well"})

TRUE_BUT_WORN = frozenset(
    {"starts low, recovers badly", "starts high, recovers badly", "starts very high, recovers badly"}
)
"""Kinds that can be overreached and say so."""

SILENT = "always says 5, recovers badly"
"""The kind that can be overreached and never says so."""

WORN_AT_ONCE = [kind for kind in KINDS if kind.name in TRUE_BUT_WORN and kind.starts > kind.recovers]

LIFTERS = 8

HALF_A_YEAR = 26
"""Long enough for a slow rise of the sets, and for what piles up then. [weeks]"""

WEEKS_UNTIL_RELIEF = 4
"""One to be fresh in, and, worn from the second on, the weeks of two check-ins and one more. [weeks]"""


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_year_of_advice_keeps_its_promises(kind: Kind) -> None:
    weeks = list(lived(kind, seed=1))
    bounds = wishes(kind)

    assert len(weeks) == WEEKS
    assert all(bounds.floor <= week.target <= bounds.ceiling for week in weeks)
    assert turns(weeks) <= MOST_TURNS
    # At most two sets a change: coaching rules, section 9.
    assert max(_steps(weeks), default=0.0) <= 2.0
    assert _longest_without_less(weeks) <= BLOCK_WEEKS
    if kind.name in WELL:
        # Build up from the start; at 10 to 12 and well recovered, about 14 may be tried: common practice, no source.
        assert 10 <= weeks[-1].target <= 14
    assert not relieved_late(kind, weeks)
    if kind.name in TRUE_BUT_WORN:
        assert any(week.action in (Action.CUT, Action.REDUCED_WEEK) for week in weeks)
    if kind.name == SILENT:
        # Of those who answer 5 whatever happens only the lifts tell.
        cuts = [number for number, week in enumerate(weeks) if week.action is Action.CUT]
        assert cuts
        for number in cuts:
            # What was cut stays cut for twelve weeks, the rule of the advice; whether it is tried again then is chance.
            assert max(week.target for week in weeks[number + 1 : number + 12]) < weeks[number].target


@pytest.mark.parametrize("kind", WORN_AT_ONCE, ids=lambda kind: kind.name)
def test_who_starts_with_too_much_and_says_so_gets_relief_within_two_check_ins(kind: Kind) -> None:
    years = [list(lived(kind, seed=seed, weeks=WEEKS_UNTIL_RELIEF)) for seed in range(1, LIFTERS + 1)]

    # Worn by 2.5 % against the form of a day, 1 %, and repetitions told to within one: now and then noise hides it.
    assert sum(relieved_late(kind, weeks) for weeks in years) <= 1
    assert all(any(week.fatigue > 0.0 for week in weeks) for weeks in years)


def test_who_comes_to_be_worn_slowly_and_says_so_gets_relief_within_two_check_ins() -> None:
    (kind,) = (kind for kind in KINDS if kind.name in TRUE_BUT_WORN and kind not in WORN_AT_ONCE)

    years = [list(lived(kind, seed=seed, weeks=HALF_A_YEAR)) for seed in range(1, LIFTERS + 1)]

    # Worn by 2 to 3 %, which no single week shows.
    assert sum(relieved_late(kind, weeks) for weeks in years) <= 1
    assert any(any(week.fatigue > 0.0 for week in weeks) for weeks in years)


def _steps(weeks: list[Week]) -> list[float]:
    return [abs(after.target - before.target) for before, after in pairwise(weeks)]


def _longest_without_less(weeks: list[Week]) -> int:
    longest = now = 0
    for week in weeks:
        now = 0 if week.reduced else now + 1
        longest = max(longest, now)
    return longest
