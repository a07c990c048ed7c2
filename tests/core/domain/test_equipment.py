import pytest

from core.domain.equipment import NG_PER_LB, Bar, Discs, Listed, Owned, Steps, load_of, mass_ng, usual_gym
from core.domain.exercises import Equipment
from core.domain.units import Load, Unit

KG, LB = Unit.KG, Unit.LB


def test_a_pound_is_a_whole_number_of_nanograms() -> None:
    # 1 lb = 0.45359237 kg exactly: international yard and pound agreement 1959; NIST SP 811.
    assert NG_PER_LB == 453_592_370_000


@pytest.mark.parametrize(
    ("load", "ng"),
    [
        (Load(45, LB), 20_411_656_650_000),
        (Load(2.5, LB), 1_133_980_925_000),
        (Load(1.25, KG), 1_250_000_000_000),
        # A tenth cannot be told exactly in binary, and still three tenths are three times one tenth here.
        (Load(0.1, KG), 100_000_000_000),
        (Load(-20, KG), -20_000_000_000_000),
    ],
)
def test_a_mass_is_exact_as_it_was_typed(load: Load, ng: int) -> None:
    assert mass_ng(load) == ng
    assert load_of(ng, load.unit) == load


def test_a_bar_counts_its_collars() -> None:
    # IWF: 20 kg and two collars of 2.5 kg.
    assert Bar(Load(20, KG), collar=Load(2.5, KG)).empty_ng == mass_ng(Load(25, KG))
    assert Bar(Load(20, KG)).empty_ng == mass_ng(Load(20, KG))


def test_steps_end_where_they_are_told_to() -> None:
    assert Steps(Load(5, KG), Load(12, KG), Load(2.5, KG)).masses_ng() == tuple(
        mass_ng(Load(each, KG)) for each in (5, 7.5, 10)
    )
    assert Listed((Load(20, KG), Load(10, KG), Load(10, KG))).masses_ng() == tuple(
        mass_ng(Load(each, KG)) for each in (10, 20)
    )


def test_impossible_equipment_is_refused() -> None:
    with pytest.raises(ValueError, match="weighs something"):
        Discs(Load(0, KG), 1)
    with pytest.raises(ValueError, match="pairs"):
        Discs(Load(5, KG), 0)
    with pytest.raises(ValueError, match="no bar"):
        Bar(Load(20, KG), Equipment.DUMBBELL)
    with pytest.raises(ValueError, match="nothing or more"):
        Bar(Load(-1, KG))
    with pytest.raises(ValueError, match="go up"):
        Steps(Load(10, KG), Load(5, KG), Load(1, KG))
    with pytest.raises(ValueError, match="steps"):
        Steps(Load(0, KG), Load(1400, KG), Load(0.5, KG))
    with pytest.raises(ValueError, match="list"):
        Listed(())
    with pytest.raises(ValueError, match="owned"):
        Listed((Load(-1, KG),))
    with pytest.raises(ValueError, match="which barbell"):
        Owned(has=frozenset({Equipment.BARBELL}))
    with pytest.raises(ValueError, match="told twice"):
        Owned(has=frozenset(), discs=(Discs(Load(5, KG), 1), Discs(Load(5.0, KG), 2)))
    with pytest.raises(ValueError, match="kinds"):
        Owned(has=frozenset(), discs=tuple(Discs(Load(1 + each, KG), 1) for each in range(13)))


def test_discs_in_great_number_and_odd_weights_are_refused_before_they_are_combined() -> None:
    odd = tuple(Discs(Load(each, KG), 20) for each in (1.01, 2.03, 4.07, 8.11, 16.03, 3.3))

    with pytest.raises(ValueError, match="more loads than can be listed"):
        Owned(has=frozenset(), discs=odd)


def test_more_than_any_bar_holds_is_refused() -> None:
    with pytest.raises(ValueError, match="any bar"):
        Owned(has=frozenset(), discs=(Discs(Load(500, KG), 20),))


def test_body_mass_is_always_at_hand() -> None:
    nothing = Owned(has=frozenset())

    assert nothing.offers(Equipment.BODYWEIGHT)
    assert not nothing.offers(Equipment.BARBELL)
    assert all(usual_gym(LB).offers(each) for each in Equipment)
