import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.domain.equipment import NG_PER_KG, Bar, Discs, Owned
from core.domain.exercises import Equipment
from core.domain.plans import Scheme
from core.domain.prescriptions import Step
from core.domain.units import Load, Unit
from core.planning.loading import Loads, loads
from core.planning.progression import LastTime, Progress, progressed
from core.planning.undulation import STRENGTH
from tests.core.planning.gyms import GYM, lift

BENCH, SQUAT = lift("bench press"), lift("squat")
FINE = loads(BENCH, GYM)

COARSE = loads(
    BENCH,
    Owned(
        has=frozenset({Equipment.BARBELL}),
        bars=(Bar(Load(20, Unit.KG)),),
        discs=(Discs(Load(20, Unit.KG), 2), Discs(Load(10, Unit.KG), 1), Discs(Load(5, Unit.KG), 1)),
    ),
)
"""Steps of 10 kg."""


def last(load_kg: float, *, reps: int = 5, over: float | None = None, weeks_ago: float = 1.0) -> LastTime:
    return LastTime(load_kg=load_kg, reps=reps, over=over, weeks_ago=weeks_ago)


def after(
    lasts: list[LastTime], wanted: float, *, available: Loads = FINE, most_reps: int = 5, name: str = "bench press"
) -> Progress:
    return progressed(
        wanted, lasts, available, lift(name), STRENGTH, left=2.0, reps_at=lambda _: most_reps, body_kg=0.0
    )


def told(progress: Progress) -> tuple[float, int, Step]:
    return progress.load.kg, progress.reps, progress.step


def test_the_first_time_takes_what_the_estimate_asks_for() -> None:
    assert told(after([], 101.0)) == (100.0, 5, Step.FIRST)


def test_a_press_goes_up_by_the_smallest_step() -> None:
    # 2.5 kg of 100 are 2.5 %, the most a press goes up in a week, however much more the estimate asks for.
    assert told(after([last(100)], 110.0)) == (102.5, 5, Step.UP)
    assert told(after([last(100)], 101.0)) == (100.0, 5, Step.KEPT)


def test_a_load_follows_the_estimate_down_at_once() -> None:
    # 92.5 would be 1.2 % above 91.4.
    assert told(after([last(100)], 91.4)) == (90.0, 5, Step.DOWN)


def test_a_step_above_the_weekly_bound_waits_until_it_is_worth_the_weeks() -> None:
    # 2.5 kg of 80 are 3.1 %: more than one week's 2.5 %, less than two weeks'.
    assert told(after([last(80)], 90.0)) == (80.0, 5, Step.HELD)
    assert told(after([last(80), last(80, weeks_ago=2.0)], 90.0)) == (82.5, 5, Step.UP)
    assert told(after([last(80), last(77.5, weeks_ago=2.0)], 90.0)) == (80.0, 5, Step.HELD)


def test_legs_may_go_up_by_five_percent() -> None:
    assert told(after([last(65)], 90.0, name="squat")) == (67.5, 5, Step.UP)


def test_two_sessions_in_one_week_do_not_go_up_twice() -> None:
    # 100 a week ago and 102.5 since: another 2.5 would be 5 % in the week.
    assert told(after([last(102.5, weeks_ago=0.4), last(100, weeks_ago=1.0)], 120.0)) == (102.5, 5, Step.HELD)
    # Legs: 5 % of 100 a week.
    assert told(after([last(102.5, weeks_ago=0.4), last(100, weeks_ago=1.0)], 120.0, name="squat")) == (
        105.0,
        5,
        Step.UP,
    )


def test_repetitions_go_up_first_where_the_smallest_step_is_large() -> None:
    # 10 kg of 60 are a sixth.
    assert told(after([last(60)], 75.0, available=COARSE, most_reps=9)) == (60.0, 6, Step.REPS)
    assert told(after([last(60, reps=6)], 75.0, available=COARSE, most_reps=9)) == (60.0, 7, Step.REPS)
    # At the top of the range, five to seven, the step is taken when the estimate allows it, and not before.
    assert told(after([last(60, reps=7)], 75.0, available=COARSE, most_reps=9)) == (70.0, 5, Step.UP)
    assert told(after([last(60, reps=7)], 68.0, available=COARSE, most_reps=9)) == (60.0, 7, Step.KEPT)


def test_two_for_two_confirms_a_step() -> None:
    # NSCA two-for-two rule: two or more over the goal in the last set of two sessions running.
    both = [last(100, over=2.0), last(100, over=3.0, weeks_ago=2.0)]

    assert told(after(both, 100.0)) == (102.5, 5, Step.TWO_FOR_TWO)
    assert told(after([both[0], last(100, over=1.0, weeks_ago=2.0)], 100.0)) == (100.0, 5, Step.KEPT)
    assert told(after([both[0], last(97.5, over=2.0, weeks_ago=2.0)], 100.0)) == (100.0, 5, Step.KEPT)
    assert told(after([both[0], last(100, over=None, weeks_ago=2.0)], 100.0)) == (100.0, 5, Step.KEPT)


def test_two_for_two_alone_never_takes_more_than_ten_percent() -> None:
    # ACSM position stand 2009: 2 to 10 %. 10 kg of 60 are 17 %.
    both = [last(60, over=2.0), last(60, over=2.0, weeks_ago=2.0)]

    assert after(both, 62.0, available=COARSE).load.kg == 60.0


def test_the_heaviest_load_there_is_stays() -> None:
    assert told(after([last(COARSE.heaviest.kg)], 500.0, available=COARSE)) == (COARSE.heaviest.kg, 5, Step.KEPT)


@given(
    last_kg=st.integers(8, 80).map(lambda each: 2.5 * each),
    wanted=st.floats(20, 300),
    over=st.none() | st.floats(-2, 4),
    name=st.sampled_from(["bench press", "squat"]),
    top=st.integers(5, 8),
)
def test_no_load_goes_up_faster_than_a_lifter_should(
    last_kg: float, wanted: float, over: float | None, name: str, top: int
) -> None:
    # given
    available = loads(lift(name), GYM)
    lasts = [last(last_kg, over=over), last(last_kg, over=over, weeks_ago=2.0)]
    scheme = Scheme(reps=5, top=top, left=2.0)

    # when
    found = progressed(wanted, lasts, available, lift(name), scheme, left=2.0, reps_at=lambda _: 5)

    # then
    rise = found.load.kg / last_kg - 1.0
    smallest = available.above(round(last_kg * NG_PER_KG))
    assert smallest is not None
    assert found.load.kg <= max(smallest.kg, last_kg)
    assert rise <= 0.10 + 1e-9 or found.step is Step.UP
    assert scheme.reps <= found.reps <= scheme.top


@pytest.mark.parametrize("body_kg", [0.0, 80.0])
def test_shares_are_of_all_that_moves(body_kg: float) -> None:
    # 2.5 kg more on the belt are a quarter of 10 kg, and 2.8 % of 90 kg.
    pull_up = lift("pull-up")
    available = loads(pull_up, GYM)

    found = progressed(
        20.0,
        [last(10, reps=8), last(10, reps=8, weeks_ago=2.0)],
        available,
        pull_up,
        Scheme(reps=8, top=10, left=2.0),
        left=2.0,
        reps_at=lambda _: 12,
        body_kg=body_kg,
    )

    assert found.step is (Step.UP if body_kg else Step.REPS)
