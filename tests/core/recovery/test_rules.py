"""The rules: their order, their amounts, and what they say they looked at."""

from dataclasses import replace

import pytest

from core.domain.advice import Fact, Rule
from core.domain.exercises import Muscle
from core.recovery.facts import LastCut, MuscleFacts, Performance, WeekFacts
from core.recovery.rules import LOOKS, reasons, sets_to_add, sets_to_cut

CHEST = MuscleFacts(
    muscle=Muscle.CHEST,
    rank=1,
    target=10,
    weekly_sets=10.0,
    floor=4,
    ceiling=16,
    weeks_since_change=3,
    performance=Performance(0.5, weeks=4, exposures=8, down=False),
)
WEEK = WeekFacts(beside_past=None, check_ins=5)


def test_rules_are_looked_at_in_their_own_order() -> None:
    assert list(LOOKS) == list(Rule)


def test_each_rule_says_that_it_is_itself() -> None:
    assert [look_at(WEEK, CHEST).rule for look_at in LOOKS.values()] == list(Rule)


def test_only_the_last_rule_applies_whatever_the_facts() -> None:
    applying = [rule for rule, look_at in LOOKS.items() if look_at(WEEK, CHEST).applies]

    assert applying == [Rule.TOO_EARLY]


def test_a_look_names_its_figures_and_what_they_were_held_against() -> None:
    look = LOOKS[Rule.RELIEF](replace(WEEK, lifts_under=2, weeks_below=1, weeks_since_reduced=6), CHEST)

    seen = {figure.what: (figure.value, figure.bound, figure.met) for figure in look.figures}
    assert seen == {
        Fact.RELIEF_ASKED: (False, None, False),
        Fact.LIFTS_UNDER: (2, 2, True),
        Fact.WEEKS_BELOW: (1, 2, False),
        Fact.WEEKS_SINCE_REDUCED: (6, 3, True),
    }
    assert not look.applies


@pytest.mark.parametrize(("target", "cut"), [(12, 2), (6, 2), (5, 1), (4, 0), (3, 0)])
def test_a_cut_takes_two_and_stops_at_the_floor(target: int, cut: int) -> None:
    assert sets_to_cut(replace(CHEST, target=target)) == cut


@pytest.mark.parametrize(("target", "cut"), [(3, 1), (2, 1), (1, 0), (0, 0)])
def test_without_a_floor_a_cut_takes_at_most_half(target: int, cut: int) -> None:
    assert sets_to_cut(replace(CHEST, target=target, floor=0)) == cut


@pytest.mark.parametrize(
    ("target", "added"),
    [
        # Common practice, no source: at 10 to 12 and well recovered, about 14 may be tried.
        (10, 2),
        (11, 2),
        (12, 2),
        (13, 1),
        (14, 0),
        (15, 0),
        (16, 0),
        (18, 0),
    ],
)
def test_a_flat_muscle_gets_one_or_two_up_to_fourteen(target: int, added: int) -> None:
    assert sets_to_add(Rule.FLAT, replace(CHEST, target=target)) == added


def test_building_up_adds_one_at_a_time() -> None:
    assert [sets_to_add(Rule.BUILD_UP, replace(CHEST, target=target)) for target in (4, 9, 15, 16)] == [1, 1, 1, 0]


@pytest.mark.parametrize(("weeks_ago", "added"), [(3, 1), (11, 1), (12, 2)])
def test_a_remembered_cut_is_a_ceiling_of_its_own(weeks_ago: int, added: int) -> None:
    # Cut from 12: 11 is the most until twelve weeks are over, then 10 + 2 again.
    assert sets_to_add(Rule.FLAT, replace(CHEST, cut=LastCut(weeks_ago, below=12, remembered=12))) == added


def test_a_cut_on_many_weeks_is_remembered_for_half_a_year() -> None:
    def room(weeks_ago: int) -> int:
        return sets_to_add(Rule.BUILD_UP, replace(CHEST, target=7, cut=LastCut(weeks_ago, below=8, remembered=26)))

    assert [room(weeks_ago) for weeks_ago in (12, 25, 26)] == [0, 0, 1]


def test_reasons_for_less_work_are_counted_and_the_others_grow_with_time_alone() -> None:
    week = replace(WEEK, weeks_below=3, lifts_under=2)

    assert reasons(Rule.RELIEF, week) == (3, 2)
    assert reasons(Rule.TOO_MUCH, week) == (3, 0)
    assert reasons(Rule.WEARING, replace(week, shortfall=4.9)) == (4,)
    assert reasons(Rule.LOST, week) == ()
    assert reasons(Rule.BUILD_UP, week) == ()
