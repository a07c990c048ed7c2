"""Which sets count as hard sets, for which muscles, and why the others do not."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.domain.exercises import Equipment, Exercise, Muscle, Pattern
from core.domain.sets import Counted, LoggedSet, Part
from core.domain.units import Unit
from core.workload.hard_sets import MuscleSets, NotCounted, judge, weekly_sets

BENCH = Exercise(
    name="bench press",
    equipment=Equipment.BARBELL,
    pattern=Pattern.HORIZONTAL_PRESS,
    direct=frozenset({Muscle.CHEST}),
    indirect=frozenset({Muscle.TRICEPS, Muscle.FRONT_SHOULDERS}),
    multi_joint=True,
    lower_body=False,
)
PUSHDOWN = Exercise(
    name="pushdown",
    equipment=Equipment.CABLE,
    pattern=Pattern.ELBOW_EXTENSION,
    direct=frozenset({Muscle.TRICEPS}),
    multi_joint=False,
    lower_body=False,
)
PULL_UP = Exercise(
    name="pull-up",
    equipment=Equipment.BODYWEIGHT,
    pattern=Pattern.VERTICAL_PULL,
    direct=frozenset({Muscle.LATS}),
    multi_joint=True,
    lower_body=False,
    body_share=1.0,
)
ASSISTED_PULL_UP = replace(PULL_UP, name="assisted pull-up", assisted=True)
NO_MUSCLES = replace(BENCH, name="sled dance", direct=frozenset(), indirect=frozenset())

START = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


def done(load_kg: float, reps: int | None, *, left: float | None = None, implied: float | None = None) -> LoggedSet:
    return LoggedSet(
        at=START,
        root_key="1",
        place=0,
        exercise="bench press",
        load=load_kg,
        unit=Unit.KG,
        load_kg=load_kg,
        moved_kg=load_kg,
        reps=reps,
        rir=left,
        implied_left=implied,
    )


def verdicts(*sets: LoggedSet, exercise: Exercise = BENCH, power: frozenset[int] = frozenset()) -> list[Counted]:
    numbered = [replace(item, id=i, at=START + timedelta(minutes=3 * i)) for i, item in enumerate(sets, start=1)]
    return list(judge(numbered, exercise=exercise, power_sets=power))


class TestLimits:
    # The limits are common practice, no source.
    @pytest.mark.parametrize(
        ("reps", "left", "verdict"),
        [
            (3, 4, Counted.HARD),
            (3, 4.5, Counted.TOO_EASY),
            (12, 4, Counted.HARD),
            (12, 5, Counted.TOO_EASY),
            (13, 3, Counted.HARD),
            (13, 4, Counted.TOO_EASY),
            (30, 3, Counted.HARD),
            (30, 3.5, Counted.TOO_EASY),
            (31, 0, Counted.TOO_MANY),
            (2, 0, Counted.STRENGTH),
            (1, 0, Counted.STRENGTH),
        ],
    )
    def test_reps_done_and_left_decide_together(self, reps: int, left: float, verdict: Counted) -> None:
        assert verdicts(done(80, reps, left=left)) == [verdict]

    @pytest.mark.parametrize(
        ("rpe", "verdict"),
        [
            # Zourdos et al. 2016, JSCR 30:267-275: reps left = 10 - RPE from 7 to 10, so 7 is 3 left.
            (10.0, Counted.HARD),
            (8.5, Counted.HARD),
            (7.0, Counted.HARD),
            # Lower ratings mean "at least 4 left" (from memory), which is not "at most 4".
            (6.5, Counted.TOO_EASY),
            (6.0, Counted.TOO_EASY),
        ],
    )
    def test_a_rating_of_exertion_tells_the_reps_left(self, rpe: float, verdict: Counted) -> None:
        assert verdicts(replace(done(80, 8), rpe=rpe)) == [verdict]

    @pytest.mark.parametrize(("rpe", "verdict"), [(7.0, Counted.HARD), (6.5, Counted.TOO_EASY)])
    def test_a_rating_of_7_is_within_the_limit_of_a_long_set_too(self, rpe: float, verdict: Counted) -> None:
        assert verdicts(replace(done(40, 20), rpe=rpe)) == [verdict]

    def test_a_prescribed_power_set_is_strength_exposure(self) -> None:
        sets = [done(70, 3, left=2), done(70, 3, left=2)]

        assert verdicts(*sets, power=frozenset({2})) == [Counted.HARD, Counted.POWER]

    def test_sets_not_yet_stored_are_no_power_sets(self) -> None:
        assert judge([done(80, 5, left=1)], exercise=BENCH, power_sets=frozenset({0})) == (Counted.HARD,)

    def test_a_marked_warm_up_never_counts(self) -> None:
        warm_up = replace(done(80, 5, left=0), warmup=True)

        assert verdicts(warm_up) == [Counted.WARM_UP]

    def test_a_timed_hold_does_not_count(self) -> None:
        assert verdicts(replace(done(0, None), seconds=40.0)) == [Counted.TIMED]

    def test_nothing_gives_nothing(self) -> None:
        assert verdicts() == []


class TestOneSetOfSeveralParts:
    def test_ten_a_side_is_one_set_of_ten(self) -> None:
        # 10/10 as one set of 10: 4 left count at 10 repetitions and would not at 20.
        assert verdicts(replace(done(20, 10, left=4), per_side=True)) == [Counted.HARD]

    def test_a_drop_set_is_one_set_judged_by_its_longest_part(self) -> None:
        eight = replace(done(80, 5, left=4), parts=(Part(60.0, 8),))
        fifteen = replace(done(80, 5, left=4), parts=(Part(40.0, 15),))

        assert verdicts(eight) == [Counted.HARD]
        assert verdicts(fifteen) == [Counted.TOO_EASY]

    def test_a_drop_set_of_40_repetitions_in_parts_of_at_most_30_counts(self) -> None:
        assert verdicts(replace(done(60, 20, left=0), parts=(Part(40.0, 20),))) == [Counted.HARD]

    def test_singles_with_short_rests_between_are_one_set_of_all_their_repetitions(self) -> None:
        cluster = replace(done(100, 1, left=1), parts=(Part(None, 1), Part(None, 1)))

        assert verdicts(cluster) == [Counted.HARD]

    def test_a_missed_first_part_does_not_undo_the_drop(self) -> None:
        assert verdicts(replace(done(100, 0), failed=True, parts=(Part(80.0, 6),))) == [Counted.HARD]


class TestFailure:
    @pytest.mark.parametrize("reps", [1, 2, 4, 20])
    def test_a_failed_set_counts_however_few_were_made(self, reps: int) -> None:
        assert verdicts(replace(done(100, reps), failed=True)) == [Counted.HARD]

    def test_a_missed_attempt_without_a_repetition_counts_nothing(self) -> None:
        assert verdicts(replace(done(120, 0), failed=True)) == [Counted.NOTHING_DONE]

    def test_a_missed_attempt_does_not_make_the_sets_before_too_light(self) -> None:
        # 80 of 120 would be two thirds; of the 80 that were lifted it is the whole.
        sets = [done(80, 5), done(80, 5), replace(done(120, 0), failed=True)]

        assert verdicts(*sets) == [Counted.HARD, Counted.HARD, Counted.NOTHING_DONE]

    def test_a_failed_test_of_a_maximum_is_strength_practice(self) -> None:
        assert verdicts(replace(done(110, 1), failed=True, measured=True)) == [Counted.STRENGTH]

    def test_a_miss_in_a_run_of_doubles_stays_strength_practice(self) -> None:
        sets = [done(100, 2), done(100, 2), replace(done(100, 1), failed=True)]

        assert verdicts(*sets) == [Counted.STRENGTH] * 3

    def test_a_miss_at_the_end_of_straight_sets_lets_the_earlier_ones_count(self) -> None:
        # The estimate says 6 left, the miss says none: a told fact wins.
        sets = [done(80, 5, implied=6), done(80, 5, implied=6), replace(done(80, 3, implied=6), failed=True)]

        assert verdicts(*sets) == [Counted.HARD] * 3

    def test_more_than_30_repetitions_never_count_even_when_failed(self) -> None:
        assert verdicts(replace(done(20, 35), failed=True)) == [Counted.TOO_MANY]

    def test_help_means_that_none_was_left(self) -> None:
        sets = [done(100, 5, left=1), replace(done(85, 4, implied=7), helped=True)]

        assert verdicts(*sets) == [Counted.HARD, Counted.HARD]


class TestStraightSets:
    def test_they_are_judged_by_the_last(self) -> None:
        # Limit 4, plus 2 for the earlier ones: 6, 5 and 4 left all count.
        assert verdicts(done(80, 5, left=6), done(80, 5, left=5), done(80, 5, left=4)) == [Counted.HARD] * 3

    def test_a_last_set_with_too_many_left_takes_the_others_along(self) -> None:
        assert verdicts(done(80, 5, left=6), done(80, 5, left=6), done(80, 5, left=5)) == [Counted.TOO_EASY] * 3

    def test_one_with_more_than_two_over_the_limit_ends_the_common_judgement(self) -> None:
        sets = [done(80, 5, left=7), done(80, 5, left=5), done(80, 5, left=4)]

        assert verdicts(*sets) == [Counted.TOO_EASY, Counted.TOO_EASY, Counted.HARD]

    def test_long_sets_have_their_own_limit(self) -> None:
        # Limit 3, plus 2: 5 left in an earlier one still counts, 6 does not.
        assert verdicts(done(40, 20, left=5), done(40, 20, left=3)) == [Counted.HARD] * 2
        assert verdicts(done(40, 20, left=6), done(40, 20, left=3)) == [Counted.TOO_EASY, Counted.HARD]

    def test_a_set_told_to_be_hard_counts_whatever_the_last_one_says(self) -> None:
        assert verdicts(done(80, 5, left=2), done(80, 5, left=5)) == [Counted.HARD, Counted.TOO_EASY]

    def test_another_load_between_parts_them(self) -> None:
        sets = [done(80, 5, left=6), done(82.5, 5, left=5), done(80, 5, left=4)]

        assert verdicts(*sets) == [Counted.TOO_EASY, Counted.TOO_EASY, Counted.HARD]

    def test_another_number_of_repetitions_parts_them(self) -> None:
        assert verdicts(done(80, 5, left=6), done(80, 8, left=3)) == [Counted.TOO_EASY, Counted.HARD]

    def test_effort_told_for_the_first_holds_for_the_later_ones(self) -> None:
        # On one load fatigue only takes repetitions away; the single of 100 kg would make 80 kg too light else.
        sets = [done(100, 1), done(80, 5, left=3), done(80, 5), done(80, 5)]

        assert verdicts(*sets) == [Counted.STRENGTH, Counted.HARD, Counted.HARD, Counted.HARD]

    def test_a_first_set_told_to_be_easy_leaves_the_later_ones_to_the_estimate(self) -> None:
        assert verdicts(done(80, 5, left=6), done(80, 5, implied=3)) == [Counted.HARD] * 2
        assert verdicts(done(80, 5, left=6), done(80, 5)) == [Counted.TOO_EASY] * 2

    def test_told_effort_of_an_earlier_one_bounds_what_the_estimate_implies_for_the_last(self) -> None:
        assert verdicts(done(80, 5, left=3), done(80, 5, implied=6)) == [Counted.HARD] * 2

    def test_a_drop_set_is_not_straight_with_the_sets_before(self) -> None:
        # What is left after the drop says nothing about the set without one.
        dropped = replace(done(80, 5, left=1), parts=(Part(60.0, 8),))

        assert verdicts(done(80, 5, implied=5), dropped) == [Counted.TOO_EASY, Counted.HARD]

    def test_effort_told_once_after_several_sets_counts_for_all(self) -> None:
        earlier = replace(done(80, 5, left=2), at_least=True)

        assert verdicts(earlier, earlier, done(80, 5, left=2)) == [Counted.HARD] * 3


class TestAtLeast:
    def test_at_least_the_limit_does_not_count(self) -> None:
        assert verdicts(replace(done(80, 5, left=4), at_least=True)) == [Counted.TOO_EASY]
        assert verdicts(replace(done(40, 15, left=3), at_least=True)) == [Counted.TOO_EASY]

    def test_not_even_when_the_estimate_implies_fewer(self) -> None:
        assert verdicts(replace(done(80, 5, left=4, implied=1), at_least=True)) == [Counted.TOO_EASY]

    @pytest.mark.parametrize(("implied", "verdict"), [(3, Counted.HARD), (5, Counted.TOO_EASY), (0, Counted.HARD)])
    def test_a_bound_below_the_limit_leaves_it_to_the_estimate(self, implied: float, verdict: Counted) -> None:
        assert verdicts(replace(done(80, 5, left=2, implied=implied), at_least=True)) == [verdict]

    def test_a_bound_below_the_limit_without_estimate_leaves_it_to_the_load(self) -> None:
        light = replace(done(85, 5, left=2), at_least=True)

        assert verdicts(done(100, 5, left=1), light) == [Counted.HARD, Counted.TOO_LIGHT]


class TestUnknownEffort:
    @pytest.mark.parametrize(("implied", "verdict"), [(4, Counted.HARD), (4.5, Counted.TOO_EASY)])
    def test_the_estimate_from_before_decides(self, implied: float, verdict: Counted) -> None:
        assert verdicts(done(80, 5, implied=implied)) == [verdict]

    @pytest.mark.parametrize(("back_off_kg", "verdict"), [(90, Counted.HARD), (89, Counted.TOO_LIGHT)])
    def test_without_estimate_nine_tenths_of_the_heaviest_count(self, back_off_kg: float, verdict: Counted) -> None:
        assert verdicts(done(100, 5), done(back_off_kg, 8)) == [Counted.HARD, verdict]

    def test_told_effort_wins_over_a_light_load(self) -> None:
        assert verdicts(done(100, 5), done(60, 20, left=1)) == [Counted.HARD, Counted.HARD]

    def test_a_marked_warm_up_is_no_measure_of_the_work_load(self) -> None:
        single = replace(done(110, 1), warmup=True)

        assert verdicts(single, done(90, 5)) == [Counted.WARM_UP, Counted.HARD]


class TestRamps:
    def test_rising_sets_before_the_work_load_do_not_count(self) -> None:
        sets = [done(40, 8), done(60, 5), done(80, 3), done(100, 5), done(100, 5)]

        assert verdicts(*sets) == [Counted.RAMP] * 3 + [Counted.HARD] * 2

    def test_a_heavy_single_on_the_way_up_is_part_of_the_ramp(self) -> None:
        # One at 92 % is a usual last step (common practice, no source).
        assert verdicts(done(92, 1), done(100, 5)) == [Counted.RAMP, Counted.HARD]

    def test_a_set_told_to_be_hard_is_work_wherever_it_stands(self) -> None:
        assert verdicts(done(60, 12, left=1), done(80, 8, left=1), done(100, 5, left=1)) == [Counted.HARD] * 3

    def test_a_single_told_to_be_hard_on_the_way_up_is_strength_practice(self) -> None:
        assert verdicts(done(80, 1, left=1), done(100, 5)) == [Counted.STRENGTH, Counted.HARD]

    def test_a_set_told_to_be_easy_on_the_way_up_is_a_ramp(self) -> None:
        assert verdicts(done(60, 5, left=8), done(100, 5, left=2)) == [Counted.RAMP, Counted.HARD]

    def test_straight_sets_told_to_end_hard_are_no_ramp_though_heavier_ones_follow(self) -> None:
        sets = [done(80, 5, left=5), done(80, 5, left=4), done(100, 3, left=1)]

        assert verdicts(*sets) == [Counted.HARD] * 3

    def test_a_pyramid_of_fewer_and_fewer_repetitions_is_left_to_the_estimate(self) -> None:
        sets = [done(70, 12, implied=2), done(80, 10, implied=2), done(100, 4, implied=1)]

        assert verdicts(*sets) == [Counted.HARD] * 3

    def test_as_many_repetitions_with_more_load_prove_an_estimate_too_low(self) -> None:
        sets = [done(60, 5, implied=2), done(80, 5, implied=0), done(100, 5, left=2)]

        assert verdicts(*sets) == [Counted.RAMP, Counted.RAMP, Counted.HARD]

    def test_lighter_parts_of_a_later_drop_set_prove_nothing(self) -> None:
        sets = [done(80, 8, implied=3), replace(done(100, 4, left=0), parts=(Part(60.0, 8),))]

        assert verdicts(*sets) == [Counted.HARD, Counted.HARD]

    def test_effort_told_once_at_the_end_of_a_ramp_makes_no_work_of_it(self) -> None:
        step = replace(done(60, 5, left=2), at_least=True)

        assert verdicts(step, replace(step, load_kg=80, moved_kg=80), done(100, 5, left=2)) == [
            Counted.RAMP,
            Counted.RAMP,
            Counted.HARD,
        ]

    def test_sets_after_the_heaviest_are_no_ramp(self) -> None:
        assert verdicts(done(100, 3), done(70, 8), done(75, 8)) == [
            Counted.HARD,
            Counted.TOO_LIGHT,
            Counted.TOO_LIGHT,
        ]

    def test_a_failed_set_is_no_ramp(self) -> None:
        assert verdicts(replace(done(60, 5), failed=True), done(100, 5)) == [Counted.HARD, Counted.HARD]

    def test_singles_up_to_a_maximum_are_listed_but_never_counted(self) -> None:
        sets = [done(100, 1), done(110, 1), done(120, 1)]

        assert verdicts(*sets) == [Counted.RAMP, Counted.STRENGTH, Counted.STRENGTH]


class TestBodyMass:
    def test_loads_compare_by_what_was_moved(self) -> None:
        # 80 kg of body mass: 85 of 90 kg moved is 94 %, though 5 of 10 kg added is half.
        sets = [
            replace(done(10, 5), bodyweight=True, moved_kg=90.0),
            replace(done(5, 8), bodyweight=True, moved_kg=85.0),
            replace(done(-20, 8), bodyweight=True, moved_kg=60.0),
        ]

        assert verdicts(*sets, exercise=PULL_UP) == [Counted.HARD, Counted.HARD, Counted.TOO_LIGHT]

    @pytest.mark.parametrize(("added_kg", "verdict"), [(18, Counted.HARD), (17, Counted.TOO_LIGHT)])
    def test_without_body_mass_the_added_load_decides(self, added_kg: float, verdict: Counted) -> None:
        # Whatever body mass is, adding it to both only brings 18 nearer to 20 than nine tenths.
        sets = [replace(done(load, 8), bodyweight=True, moved_kg=None) for load in (20, added_kg)]

        assert verdicts(*sets, exercise=PULL_UP) == [Counted.HARD, verdict]

    def test_without_body_mass_and_added_load_only_the_heaviest_is_sure(self) -> None:
        sets = [
            replace(done(0, 8), bodyweight=True, moved_kg=None),
            replace(done(0, 8), bodyweight=True, moved_kg=None),
            replace(done(-10, 8), bodyweight=True, moved_kg=None),
        ]

        assert verdicts(*sets, exercise=PULL_UP) == [Counted.HARD, Counted.HARD, Counted.TOO_LIGHT]

    @pytest.mark.parametrize("sign", [-1, 1])
    def test_with_help_alone_the_least_help_is_the_heaviest(self, sign: int) -> None:
        sets = [replace(done(sign * help_kg, 8), moved_kg=None) for help_kg in (20, 20, 30)]

        assert verdicts(*sets, exercise=ASSISTED_PULL_UP) == [Counted.HARD, Counted.HARD, Counted.TOO_LIGHT]


LOADS = st.sampled_from([0.0, 40.0, 60.0, 80.0, 90.0, 100.0])
ANY_SET = st.builds(
    lambda load, reps, left, implied, at_least, failed, warmup, bodyweight: replace(
        done(load, reps, left=left, implied=implied),
        at_least=at_least,
        failed=failed,
        warmup=warmup,
        moved_kg=None if bodyweight else load,
        bodyweight=bodyweight,
    ),
    LOADS,
    st.integers(0, 35),
    st.none() | st.sampled_from([0.0, 1.0, 2.0, 3.5, 4.0, 6.0, 9.0]),
    st.none() | st.floats(-2.0, 15.0),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)


@given(st.lists(ANY_SET, max_size=12))
def test_whatever_the_session_the_rules_without_exception_hold(sets: list[LoggedSet]) -> None:
    result = verdicts(*sets)

    assert len(result) == len(sets)
    for item, verdict in zip(sets, result, strict=True):
        reps = item.reps or 0
        if item.warmup:
            assert verdict is Counted.WARM_UP
        elif reps == 0:
            assert verdict is Counted.NOTHING_DONE
        elif reps > 30:
            assert verdict is Counted.TOO_MANY
        elif reps < 3 and not item.failed:
            assert verdict in {Counted.STRENGTH, Counted.RAMP}
        elif not item.failed and item.rir is not None and not item.at_least and item.rir <= 3:
            assert verdict is Counted.HARD
        elif not item.failed and item.rir is not None and item.rir > 6:
            assert verdict in {Counted.TOO_EASY, Counted.RAMP}


@given(st.lists(ANY_SET, min_size=1, max_size=8), st.data())
def test_telling_fewer_left_never_loses_that_set(sets: list[LoggedSet], data: st.DataObject) -> None:
    i = data.draw(st.integers(0, len(sets) - 1))
    before = verdicts(*sets)[i]

    after = verdicts(*sets[:i], replace(sets[i], rir=0.0, at_least=False), *sets[i + 1 :])[i]

    assert after is Counted.HARD or before is not Counted.HARD


@dataclass(frozen=True, slots=True)
class Row:
    session_id: int
    exercise: str
    counted: Counted
    sets: int


class TestWeeklySets:
    KNOWN = {item.name: item for item in (BENCH, PUSHDOWN, NO_MUSCLES)}  # noqa: RUF012 - read only

    def test_a_direct_set_counts_one_and_an_indirect_one_half(self) -> None:
        # Pelland et al. 2024: indirect 0.5. Bench 3 + 4 sets, pushdown 3: triceps 7/2 + 3 = 6.5.
        rows = [
            Row(1, "bench press", Counted.HARD, 3),
            Row(2, "bench press", Counted.HARD, 4),
            Row(2, "pushdown", Counted.HARD, 3),
        ]

        week = weekly_sets(rows, exercises=self.KNOWN)

        assert week.muscles == {
            Muscle.CHEST: MuscleSets(sets=7.0, sessions=2),
            Muscle.FRONT_SHOULDERS: MuscleSets(sets=3.5, sessions=2),
            Muscle.TRICEPS: MuscleSets(sets=6.5, sessions=2),
        }
        assert week.not_counted == ()

    def test_a_session_is_one_exposure_however_many_exercises_it_had(self) -> None:
        rows = [Row(1, "bench press", Counted.HARD, 3), Row(1, "pushdown", Counted.HARD, 3)]

        assert weekly_sets(rows, exercises=self.KNOWN).muscles[Muscle.TRICEPS].sessions == 1

    def test_what_does_not_count_is_told_with_its_reason(self) -> None:
        rows = [
            Row(1, "bench press", Counted.WARM_UP, 2),
            Row(1, "bench press", Counted.STRENGTH, 1),
            Row(2, "bench press", Counted.WARM_UP, 3),
        ]

        week = weekly_sets(rows, exercises=self.KNOWN)

        assert week.muscles == {}
        assert week.not_counted == (
            NotCounted("bench press", Counted.WARM_UP, 5),
            NotCounted("bench press", Counted.STRENGTH, 1),
        )

    def test_hard_sets_without_a_known_muscle_are_told_too(self) -> None:
        rows = [Row(1, "sled dance", Counted.HARD, 2), Row(1, "erased lift", Counted.HARD, 1)]

        week = weekly_sets(rows, exercises=self.KNOWN)

        assert week.muscles == {}
        assert week.not_counted == (
            NotCounted("sled dance", Counted.HARD, 2),
            NotCounted("erased lift", Counted.HARD, 1),
        )
