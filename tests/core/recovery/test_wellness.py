"""A check-in beside the same lifter's own past."""

from datetime import date, timedelta
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.domain.checkins import Ache, CheckIn, Item, Pain, Place
from core.recovery.wellness import (
    ItemBesidePast,
    Standing,
    beside_past,
    mass_change_per_week,
    pains_now,
    shortfall,
    weeks_running_below,
)

NOW = date(2027, 3, 29)


def week(ago: int) -> date:
    return NOW - timedelta(weeks=ago)


def all_answers(answer: int, *, ago: int = 0) -> CheckIn:
    return CheckIn(week=week(ago), answers=dict.fromkeys(Item, answer))


class TestBesidePast:
    def test_each_answer_stands_beside_its_own_median_and_spread(self) -> None:
        # Hand calculation: 2, 4, 4, 5, 3 has median 4, deviations 2, 0, 0, 1, 1, whose median is 1.
        past = [CheckIn(week=week(i), answers={Item.SLEEP: each}) for i, each in enumerate([2, 4, 4, 5, 3], start=1)]

        beside = beside_past(CheckIn(week=NOW, answers={Item.SLEEP: 3}), past=past)

        assert dict(beside.items) == {Item.SLEEP: ItemBesidePast(answer=3, usual=4.0, spread=1.0)}
        assert beside.standing is Standing.BELOW
        assert beside.steps == -1.0

    def test_one_terrible_week_does_not_move_what_is_usual(self) -> None:
        past = [all_answers(4, ago=i) for i in range(2, 7)]

        beside = beside_past(all_answers(4), past=[*past, all_answers(1, ago=1)])

        assert beside.standing is Standing.AT

    def test_a_run_below_does_not_become_what_is_usual_until_half_a_year_of_it(self) -> None:
        def beside(weeks_of_threes: int) -> Standing:
            threes = [all_answers(3, ago=i) for i in range(1, weeks_of_threes + 1)]
            fours = [all_answers(4, ago=weeks_of_threes + i) for i in range(1, 5)]
            return beside_past(all_answers(3), past=[*threes, *fours]).standing

        # Ten of the last twelve were threes, whose plain median is 3.
        assert beside(10) is Standing.BELOW
        assert beside(30) is Standing.AT

    def test_without_a_past_nothing_is_said(self) -> None:
        beside = beside_past(all_answers(1), past=[])

        assert beside.standing is Standing.UNKNOWN
        assert beside.items[Item.MOOD] == ItemBesidePast(answer=1, usual=None, spread=None)

    def test_an_item_never_answered_before_is_left_out_of_the_standing(self) -> None:
        past = [CheckIn(week=week(1), answers={Item.SLEEP: 3})]

        beside = beside_past(CheckIn(week=NOW, answers={Item.SLEEP: 4, Item.MOOD: 1}), past=past)

        assert beside.standing is Standing.ABOVE
        assert beside.lowest == 1

    def test_later_weeks_this_week_and_weeks_long_past_are_passed_over(self) -> None:
        past = [all_answers(5, ago=-1), all_answers(5, ago=0), all_answers(3, ago=26), all_answers(5, ago=27)]

        assert beside_past(all_answers(3), past=past).standing is Standing.AT

    def test_a_partial_check_in_is_compared_by_what_it_has(self) -> None:
        past = [CheckIn(week=week(1), answers={**dict.fromkeys(Item, 5), Item.SLEEP: 2})]

        beside = beside_past(CheckIn(week=NOW, answers={Item.SLEEP: 3}), past=past)

        assert beside.standing is Standing.ABOVE
        assert not beside.complete

    def test_an_empty_check_in_has_no_lowest_answer(self) -> None:
        beside = beside_past(CheckIn(week=NOW), past=[all_answers(3, ago=1)])

        assert (beside.lowest, beside.standing, beside.complete) == (None, Standing.UNKNOWN, False)


@pytest.mark.parametrize("item", [Item.SLEEP, Item.CALM, Item.ENERGY, Item.MUSCLES])
@pytest.mark.parametrize(("hooper", "usual"), [(7, 4), (4, 1), (7, 1)])
def test_what_is_worse_on_hoopers_opposite_scale_stands_below(item: Item, hooper: int, usual: int) -> None:
    # Hooper & Mackinnon 1995, Sports Med 20:321-327 (memory): sleep, stress, fatigue, soreness, 1 to 7 with 7 the
    # worst. Ours is McLean's, 1 to 5 with 5 the best: the ends and middles 7, 4, 1 are 1, 3, 5.
    ours = {7: 1, 4: 3, 1: 5}
    past = [CheckIn(week=week(1), answers={item: ours[usual]})]

    worse = beside_past(CheckIn(week=NOW, answers={item: ours[hooper]}), past=past)

    assert hooper > usual
    assert worse.standing is Standing.BELOW


ANSWERS = st.dictionaries(st.sampled_from(Item), st.integers(1, 5))


@given(st.lists(ANSWERS, max_size=14), ANSWERS.filter(bool), st.data())
def test_a_worse_answer_never_makes_a_check_in_stand_higher(
    past: list[dict[Item, int]], answers: dict[Item, int], data: st.DataObject
) -> None:
    order = [Standing.BELOW, Standing.AT, Standing.ABOVE]
    history = [CheckIn(week=week(i), answers=each) for i, each in enumerate(past, start=1)]
    worse = {item: data.draw(st.integers(1, answer), label=item) for item, answer in answers.items()}

    better_stand = beside_past(CheckIn(week=NOW, answers=answers), past=history)
    worse_stand = beside_past(CheckIn(week=NOW, answers=worse), past=history)

    if better_stand.standing is Standing.UNKNOWN:
        assert worse_stand.standing is Standing.UNKNOWN
    else:
        assert order.index(worse_stand.standing) <= order.index(better_stand.standing)
    assert worse_stand.steps <= better_stand.steps


class TestWeeksRunningBelow:
    def test_weeks_are_counted_each_against_what_was_usual_before_it(self) -> None:
        history = [all_answers(4, ago=i) for i in range(3, 8)] + [all_answers(2, ago=1), all_answers(3, ago=2)]

        assert weeks_running_below([*history, all_answers(3)], until=NOW) == 3
        assert weeks_running_below([*history, all_answers(4)], until=NOW) == 0
        assert weeks_running_below(history, until=week(1)) == 2

    def test_a_week_without_check_in_ends_the_run(self) -> None:
        history = [all_answers(4, ago=i) for i in range(3, 8)] + [all_answers(2, ago=2), all_answers(2)]

        assert weeks_running_below(history, until=NOW) == 1

    def test_no_check_in_is_no_week_below(self) -> None:
        assert weeks_running_below([], until=NOW) == 0


FOURS = [all_answers(4, ago=i) for i in range(4, 9)]


def lower(points: int, *, ago: int) -> CheckIn:
    """A week of fours, some answers of it one point lower."""
    answers = {item: 3 if number < points else 4 for number, item in enumerate(Item)}
    return CheckIn(week=week(ago), answers=answers)


class TestShortfall:
    @pytest.mark.parametrize(
        ("points", "expected"),
        [
            # Hand calculation: weeks that never varied count by one point; three below less one are two.
            ([3], 2.0),
            ([3, 3], 4.0),
            ([3, 3, 0], 3.0),
            # A point below is what a week may have; one good week takes one off and never goes below nothing.
            ([1, 1, 1], 0.0),
            ([0, 0, 2], 1.0),
            ([2, 0, 0], 0.0),
        ],
    )
    def test_it_adds_up_what_lies_further_below_than_weeks_vary(self, points: list[int], expected: float) -> None:
        weeks = [lower(each, ago=len(points) - 1 - place) for place, each in enumerate(points)]

        assert shortfall([*FOURS, *weeks], until=NOW) == expected

    def test_a_lifter_whose_weeks_vary_more_is_measured_by_that(self) -> None:
        # Usual weeks at 0, -4, 0, -4 and so on from their median: by three or more each the deviation is 1.4826 times
        # the median distance, so four points below come to less than one such week more.
        varied = [lower(0 if i % 2 else 4, ago=i) for i in range(1, 12)]

        assert shortfall([*varied, lower(4, ago=0)], until=NOW) < shortfall([*FOURS, lower(4, ago=0)], until=NOW)

    def test_first_answers_are_taken_to_be_odd(self) -> None:
        # Hand calculation: with one week before, five points are by two each 2.5, less one.
        assert shortfall([all_answers(4, ago=1), all_answers(3)], until=NOW) == 1.5

    def test_what_was_before_less_work_does_not_count_again(self) -> None:
        weeks = [*FOURS, lower(3, ago=1), lower(3, ago=0)]

        assert shortfall(weeks, until=NOW, since=NOW) == 2.0

    def test_weeks_later_than_the_one_looked_at_are_passed_over(self) -> None:
        assert shortfall([*FOURS, lower(3, ago=0), all_answers(1, ago=-1)], until=NOW) == 2.0

    @given(
        st.lists(st.lists(st.integers(1, 5), min_size=5, max_size=5), max_size=20),
        st.lists(st.integers(1, 5), min_size=5, max_size=5),
        st.data(),
    )
    def test_a_worse_answer_never_makes_it_smaller(
        self, past: list[list[int]], answers: list[int], data: st.DataObject
    ) -> None:
        before = [CheckIn(week=week(i), answers=dict(zip(Item, each, strict=True))) for i, each in enumerate(past, 1)]
        worse = [data.draw(st.integers(1, answer)) for answer in answers]

        more, less = (
            shortfall([*before, CheckIn(week=NOW, answers=dict(zip(Item, each, strict=True)))], until=NOW)
            for each in (worse, answers)
        )

        assert more >= less >= 0.0


class TestPainsNow:
    FADING = Pain(Place.ELBOW, Ache.FADES)

    def test_a_fading_ache_told_once_stays_what_it_is(self) -> None:
        this = CheckIn(week=NOW, pains=(self.FADING,))

        assert pains_now(this, before=None) == (self.FADING,)
        assert pains_now(this, before=CheckIn(week=week(1), pains=(Pain(Place.KNEE, Ache.SHARP),))) == (self.FADING,)

    def test_the_same_ache_in_two_check_ins_running_changes_how_one_lifts(self) -> None:
        this = CheckIn(week=NOW, pains=(self.FADING, Pain(Place.KNEE, Ache.SHARP)))

        now = pains_now(this, before=CheckIn(week=week(1), pains=(self.FADING,)))

        assert now == (Pain(Place.ELBOW, Ache.CHANGES_LIFTING), Pain(Place.KNEE, Ache.SHARP))

    def test_two_weeks_ago_is_not_two_running(self) -> None:
        this = CheckIn(week=NOW, pains=(self.FADING,))

        assert pains_now(this, before=CheckIn(week=week(2), pains=(self.FADING,))) == (self.FADING,)

    def test_not_answered_is_no_pain(self) -> None:
        assert pains_now(CheckIn(week=NOW), before=CheckIn(week=week(1), pains=(self.FADING,))) == ()


class TestMassChange:
    def test_a_steady_loss_is_found_exactly(self) -> None:
        # Limiting case: masses on an exponential curve have one slope between all pairs.
        told = [CheckIn(week=week(i), body_mass_kg=80.0 * exp(0.005 * i)) for i in range(5)]

        assert mass_change_per_week(told, until=NOW) == pytest.approx(-0.005)

    def test_one_odd_weighing_moves_it_little(self) -> None:
        # Five weeks of 80 kg, one read as 88: 6 of the 10 slopes are 0, so their median is 0.
        told = [CheckIn(week=week(i), body_mass_kg=88.0 if i == 2 else 80.0) for i in range(5)]

        assert mass_change_per_week(told, until=NOW) == 0.0

    def test_two_masses_are_too_few(self) -> None:
        told = [
            CheckIn(week=week(0), body_mass_kg=79.0),
            CheckIn(week=week(1), body_mass_kg=80.0),
            CheckIn(week=week(2)),
        ]

        assert mass_change_per_week(told, until=NOW) is None

    def test_masses_before_and_after_the_span_are_passed_over(self) -> None:
        told = [CheckIn(week=week(i), body_mass_kg=80.0) for i in range(5)]
        outside = [CheckIn(week=week(i), body_mass_kg=120.0) for i in (-2, -1, 5, 6, 7, 8)]

        assert mass_change_per_week([*outside, *told], until=NOW) == 0.0
        assert mass_change_per_week(outside, until=NOW) is None

    def test_weeks_between_are_counted(self) -> None:
        # 2 % over four weeks in three weighings on a line is half a per cent a week.
        told = [CheckIn(week=week(i), body_mass_kg=80.0 * exp(-0.005 * i)) for i in (0, 1, 4)]

        assert mass_change_per_week(told, until=NOW) == pytest.approx(0.005)
