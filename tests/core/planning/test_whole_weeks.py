"""Whole weeks: whatever is wished, owned and told about care, from the layout to each set that is given out."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.domain.equipment import Owned, mass_ng
from core.domain.exercises import Muscle, catalogue
from core.domain.plans import Wishes
from core.domain.prescriptions import Care, Prescription, Safety
from core.planning.care import alone, under_the_bar
from core.planning.loading import loads
from core.planning.prescription import Lifting, prescription
from core.planning.undulation import reduced
from core.planning.week_layout import week_layout
from tests.core.planning.gyms import GYM, GYM_IN_POUNDS, HOME, lift
from tests.core.planning.paper_strength import PaperStrength

BANNABLE = ("barbell row", "squat", "dumbbell lateral raise", "triceps pushdown")

WISHES = st.builds(
    lambda days, minutes, banned, liked, now, ceiling: Wishes(
        days=tuple(sorted(days)),
        minutes=minutes,
        banned=frozenset(banned),
        liked=frozenset(liked) - frozenset(banned),
        sets_now=tuple(now.items()),
        ceiling=ceiling,
    ),
    days=st.sets(st.integers(0, 6), min_size=1, max_size=6),
    minutes=st.sampled_from([30, 45, 60, 90]),
    banned=st.sets(st.sampled_from(BANNABLE), max_size=2),
    liked=st.sets(st.sampled_from(("dumbbell bench press", "barbell curl", "squat")), max_size=1),
    now=st.dictionaries(
        st.sampled_from((Muscle.CHEST, Muscle.TRICEPS, Muscle.LATS)), st.sampled_from((5.0, 10.0, 14.0))
    ),
    ceiling=st.sampled_from((10, 16)),
)

CARES = st.builds(Care, safety=st.sampled_from(Safety), screened=st.booleans())

BENCHES = st.none() | st.floats(25, 220)
"""The maximum of the bench press [kg]; None where nothing is known."""


@settings(max_examples=12)
@given(wishes=WISHES, owned=st.sampled_from([GYM, GYM_IN_POUNDS, HOME]), care=CARES, bench=BENCHES)
def test_a_whole_week_keeps_minutes_and_care_and_can_be_loaded(
    wishes: Wishes, owned: Owned, care: Care, bench: float | None
) -> None:
    # given
    known = {} if bench is None else {"bench press": bench, "squat": 1.3 * bench, "barbell row": 0.8 * bench}
    lifting = Lifting(owned=owned, strength=PaperStrength(known), care=care)

    # when
    week = week_layout(wishes, owned, catalogue())
    given_out = [prescription(session, catalogue(), lifting) for session in week.sessions]

    # then
    for each in (*given_out, *(prescription(session, catalogue(), lifting) for session in reduced(week).sessions)):
        assert_care_and_loads(each, owned, care)
        assert each.seconds <= wishes.minutes * 60


@settings(max_examples=5)
@given(wishes=WISHES, owned=st.sampled_from([GYM, HOME]))
def test_the_same_wishes_give_the_same_week(wishes: Wishes, owned: Owned) -> None:
    again = replace(wishes, banned=frozenset(sorted(wishes.banned, reverse=True)))

    assert week_layout(wishes, owned, catalogue()) == week_layout(again, owned, catalogue())


def assert_care_and_loads(session: Prescription, owned: Owned, care: Care) -> None:
    """What safeties and screening allow, loads that can be made, and warm-ups below them."""
    for each in session.lifts:
        exercise = lift(each.exercise)
        available = loads(exercise, owned)
        for one in each.sets:
            if one.left is None:
                # Power: at most 70 % of the estimate, no effort asked.
                assert not under_the_bar(exercise) or each.exercise == "bench press"
            else:
                assert one.left >= (2.0 if alone(exercise, care) else 1.0 if care.screened else 0.0)
            if one.load is not None:
                work = available.on(each.bar).nearest(mass_ng(one.load))
                assert mass_ng(one.load) == pytest.approx(work.ng, abs=2)
                assert all(mass_ng(step.load) < work.ng for step in each.warm_up)
        for step in each.warm_up:
            made = available.on(each.bar).nearest(mass_ng(step.load))
            assert mass_ng(step.load) == pytest.approx(made.ng, abs=2)
