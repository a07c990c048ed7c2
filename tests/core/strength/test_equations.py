"""The seven equations against worked values and their limits."""

import pytest

from core.strength.equations import EQUATIONS, FURTHEST_REPETITIONS, brzycki, epley


@pytest.mark.parametrize(
    ("name", "maximum_kg"),
    [
        # 80 kg x 5 with 2 left taken as r = 7: computed by hand from the equations as printed
        # (Epley 1985 with r/30; Brzycki 1993; O'Conner et al. 1989; Mayhew et al. 1992; Wathan 1994; Lander 1985;
        # Lombardi 1989).
        ("epley", 98.67),
        ("brzycki", 96.02),
        ("oconner", 94.00),
        ("mayhew", 99.12),
        ("wathan", 99.22),
        ("lander", 96.85),
        ("lombardi", 97.19),
    ],
)
def test_an_equation_gives_its_worked_value(name: str, maximum_kg: float) -> None:
    assert EQUATIONS[name](80.0, 7.0) == pytest.approx(maximum_kg, abs=0.006)


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_one_repetition_returns_the_load_itself(name: str) -> None:
    # A limiting case: a single is its own maximum, which most of the equations miss by themselves.
    assert EQUATIONS[name](137.5, 1.0) == 137.5


def test_brzycki_equals_epley_at_ten_repetitions() -> None:
    # Computed: 36/(37 - 10) = 1 + 10/30 exactly; the printed decimals of Brzycki 1993 are off by less than 0.1 %.
    assert brzycki(100.0, 10.0) == pytest.approx(epley(100.0, 10.0), rel=1e-3)


def test_four_repetitions_at_270_lb_are_about_300_lb() -> None:
    # Morales & Sobonya 1996, JSCR 10(3):186-189: 4 reps at 270 lb stand for 300 lb.
    answers = [equation(270.0, 4.0) for equation in EQUATIONS.values()]

    assert min(answers) < 300.0 < max(answers)
    assert sum(answers) / len(answers) == pytest.approx(300.0, rel=0.03)


@pytest.mark.parametrize("name", sorted(EQUATIONS))
@pytest.mark.parametrize("repetitions", [0.0, -3.0, FURTHEST_REPETITIONS + 1, 37.0, 37.9, float("nan"), float("inf")])
def test_error_repetitions_out_of_range_are_refused(name: str, repetitions: float) -> None:
    with pytest.raises(ValueError, match="repetition"):
        EQUATIONS[name](80.0, repetitions)


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_more_repetitions_never_mean_a_lower_maximum(name: str) -> None:
    steps = [EQUATIONS[name](100.0, 1.0 + 0.25 * step) for step in range(117)]

    assert steps == sorted(steps)
