from hypothesis import given
from hypothesis import strategies as st

from core.domain.equipment import NG_PER_KG, Discs, mass_ng
from core.domain.units import Load, Unit
from core.planning.plates import disc_sums

KG, LB = Unit.KG, Unit.LB


def pairs(unit: Unit, *amounts: float, pairs: int = 2) -> tuple[Discs, ...]:
    return tuple(Discs(Load(amount, unit), pairs) for amount in amounts)


@given(
    kilograms=st.dictionaries(st.sampled_from([0.5, 1.25, 2.5, 5.0, 10.0]), st.integers(1, 2), max_size=3),
    pounds=st.dictionaries(st.sampled_from([2.5, 5.0, 10.0]), st.integers(1, 2), max_size=2),
    wanted=st.integers(0, 60 * NG_PER_KG),
)
def test_discs_are_the_fewest_and_the_nearest_of_all_ways(
    kilograms: dict[float, int], pounds: dict[float, int], wanted: int
) -> None:
    # given: every way there is, tried one by one
    discs = tuple(Discs(Load(each, KG), n) for each, n in kilograms.items())
    discs += tuple(Discs(Load(each, LB), n) for each, n in pounds.items())
    ways = {0: 0}
    for each in discs:
        more: dict[int, int] = {}
        for total, used in ways.items():
            for count in range(each.pairs + 1):
                key = total + count * mass_ng(each.mass)
                more[key] = min(more.get(key, 99), used + count)
        ways = more

    # when
    sums = disc_sums(discs)
    below, above = sums.at_most(wanted), sums.above(wanted)

    # then
    assert below == max(total for total in ways if total <= wanted)
    assert above == min((total for total in ways if total > wanted), default=None)
    assert below is not None
    made = sums.discs(below)
    assert made is not None
    assert sum(map(mass_ng, made)) == below
    assert len(made) == ways[below]


def test_discs_that_are_not_there_make_no_load() -> None:
    assert disc_sums(pairs(KG, 10, 5, pairs=1)).discs(20 * NG_PER_KG) is None


def test_a_belt_takes_both_discs_of_a_pair() -> None:
    sums = disc_sums(pairs(KG, 10, pairs=1), one_by_one=True)

    assert sums.most_ng == 20 * NG_PER_KG
    assert sums.discs(20 * NG_PER_KG) == (Load(10, KG), Load(10, KG))


def test_of_as_many_discs_the_heavier_ones_are_taken() -> None:
    # 25 + 5 and 20 + 10 are two discs each.
    sums = disc_sums(pairs(KG, 25, 20, 10, 5))

    assert sums.discs(30 * NG_PER_KG) == (Load(25, KG), Load(5, KG))


def test_nothing_lies_below_nothing_or_above_all() -> None:
    sums = disc_sums(pairs(KG, 10, 5))

    assert sums.at_most(-1) is None
    assert sums.above(sums.most_ng) is None
