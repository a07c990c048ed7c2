import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.domain.equipment import NG_PER_KG, Owned, mass_ng
from core.domain.exercises import catalogue
from core.domain.plans import Role
from core.domain.units import Unit
from core.planning.loading import loads
from core.planning.warm_up import warm_up
from tests.core.planning.gyms import GYM, GYM_IN_POUNDS, HOME, lift

BENCH = lift("bench press")


def steps(
    name: str, work_kg: float, role: Role, *, share: float | None = None, body_kg: float = 0.0
) -> list[tuple[float, int]]:
    exercise = lift(name)
    available = loads(exercise, GYM)
    work = available.at_most(round(work_kg * NG_PER_KG))
    assert work is not None
    found = warm_up(work, available, exercise, role, unit=Unit.KG, of_estimate=share, body_kg=body_kg)
    return [(each.load.amount, each.reps) for each in found]


def test_the_main_lift_is_warmed_up_in_steps_from_the_empty_bar() -> None:
    # Shares of 100 kg, each rounded down to 2.5 kg: 50 x 5, 70 x 3, 85 x 2. Common practice; Ribeiro et al. 2020 for 40
    # and 80 %.
    assert steps("bench press", 100, Role.MAIN, share=0.8) == [(20, 8), (50, 5), (70, 3), (85, 2)]


def test_a_single_comes_before_heavy_work_only() -> None:
    # 92 % of 100 kg is 92, rounded down 90; taken above 85 % of the estimate.
    assert steps("bench press", 100, Role.MAIN, share=0.86)[-1] == (90, 1)
    assert steps("bench press", 100, Role.MAIN, share=0.85)[-1] == (85, 2)
    assert steps("bench press", 100, Role.MAIN, share=None)[-1] == (85, 2)


def test_steps_closer_than_a_tenth_are_dropped() -> None:
    # 50 % of 42.5 is 21.25, rounded down 20, which is the bar. 70 % is 29.75, rounded 27.5; 85 % is 36.125, rounded 35.
    assert steps("bench press", 42.5, Role.MAIN) == [(20, 8), (27.5, 3), (35, 2)]
    # 25 kg: 70 % and 85 % lie under 22.5, the next load over the bar.
    assert steps("bench press", 25, Role.MAIN) == [(20, 8)]
    assert steps("bench press", 20, Role.MAIN) == []


def test_later_lifts_get_one_set_or_none() -> None:
    # 65 % of 80 is 52.
    assert steps("barbell row", 80, Role.ROW) == [(52.5, 5)]
    assert steps("triceps pushdown", 30, Role.SINGLE_JOINT) == []
    assert steps("bench press", 60, Role.BACK_OFF) == []
    assert steps("squat", 100, Role.MULTI_JOINT) == [(20, 8), (50, 5), (70, 3), (85, 2)]


def test_a_lift_of_body_mass_is_warmed_up_by_all_that_moves() -> None:
    # 80 + 40 kg: 65 % is 78, less than the body alone, so nothing is left to add.
    assert steps("pull-up", 40, Role.MULTI_JOINT, body_kg=80.0) == [(0, 5)]
    assert steps("pull-up", 0, Role.MULTI_JOINT, body_kg=80.0) == []


@given(
    name=st.sampled_from([each.name for each in catalogue()]),
    owned=st.sampled_from([GYM, GYM_IN_POUNDS, HOME]),
    work_kg=st.floats(0, 250),
    role=st.sampled_from(Role),
    share=st.none() | st.floats(0.3, 1.0),
    body_kg=st.sampled_from([0.0, 60.0, 100.0]),
)
def test_warm_ups_can_be_loaded_rise_and_stay_below_the_work_load(
    name: str, owned: Owned, work_kg: float, role: Role, share: float | None, body_kg: float
) -> None:
    # given
    exercise = lift(name)
    available = loads(exercise, owned)
    work = available.nearest(round(work_kg * NG_PER_KG))
    body_kg *= exercise.body_share

    # when
    found = warm_up(work, available, exercise, role, unit=owned.unit, of_estimate=share, body_kg=body_kg)

    # then
    masses = [mass_ng(each.load) for each in found]
    assert all(mass < work.ng for mass in masses)
    assert masses == sorted(set(masses))
    assert all(available.on(work.bar).exactly(mass) is not None for mass in masses)


@pytest.mark.parametrize("kg", [30, 60, 140])
def test_warm_ups_show_the_plates_of_one_side(kg: int) -> None:
    available = loads(BENCH, GYM)
    work = available.exactly(kg * NG_PER_KG)
    assert work is not None

    for each in warm_up(work, available, BENCH, Role.MAIN, unit=Unit.KG):
        assert mass_ng(each.load) == 20 * NG_PER_KG + 2 * sum(map(mass_ng, each.side))
