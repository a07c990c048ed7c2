"""The repetition curves against published rows and limiting cases."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import least_squares

from core.strength.repetition_curve import BENCH_PRESS, FURTHEST_REPETITIONS, LEG_DOMINANT, RepetitionCurve

# NSCA handbook, Essentials of Strength Training and Conditioning, training load table; 12 (67, from memory) left out.
NSCA_ROWS = {1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 11: 70, 15: 65}

CURVES = [BENCH_PRESS, LEG_DOMINANT]


@pytest.mark.parametrize(("repetitions", "percent"), NSCA_ROWS.items())
def test_the_bench_press_curve_lies_close_to_the_nsca_rows(repetitions: int, percent: int) -> None:
    # 3.5 points: the table itself jumps by 5 between 10 and 11 repetitions.
    assert 100 * BENCH_PRESS.share(float(repetitions)) == pytest.approx(percent, abs=3.5)


def test_the_bench_press_constants_are_the_least_squares_fit() -> None:
    # scipy's least squares over the same rows: the NSCA table, and 8.8 repetitions at 80 % (Nuzzo et al. 2024, quoted
    # elsewhere; from memory). The constants are printed with five digits.
    repetitions = np.array([*NSCA_ROWS, 8.8], dtype=float)
    shares = np.array([*NSCA_ROWS.values(), 80.0]) / 100

    def misfit(parameters: NDArray[np.float64]) -> NDArray[np.float64]:
        steepness, bend = np.exp(parameters)
        return np.asarray((1 + bend * (repetitions - 1)) ** -steepness - shares)

    steepness, bend = np.exp(least_squares(misfit, np.log([1.0, 1 / 30]), xtol=1e-12, ftol=1e-12).x)

    assert BENCH_PRESS.steepness == pytest.approx(steepness, rel=1e-3)
    assert BENCH_PRESS.bend == pytest.approx(bend, rel=1e-3)
    for each in range(1, 41):
        assert BENCH_PRESS.share(float(each)) == pytest.approx((1 + bend * (each - 1)) ** -steepness, abs=1e-5)


def test_the_constant_of_lifts_led_by_the_legs_is_the_least_squares_fit() -> None:
    # scipy's least squares with the bench press's bend, half the weight on the NSCA table, half on leg press rows:
    # Richens & Cleather 2014 (lifters), and Nuzzo et al. 2024 at 80 % (quoted elsewhere; from memory).
    leg_press = {17.9: 70, 11.8: 80, 7.0: 90, 13.1: 80}
    repetitions = np.array([*NSCA_ROWS, *leg_press], dtype=float)
    shares = np.array([*NSCA_ROWS.values(), *leg_press.values()]) / 100
    weights = np.sqrt(np.array([1 / len(NSCA_ROWS)] * len(NSCA_ROWS) + [1 / len(leg_press)] * len(leg_press)))

    def misfit(parameters: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(weights * ((1 + LEG_DOMINANT.bend * (repetitions - 1)) ** -np.exp(parameters[0]) - shares))

    fitted = least_squares(misfit, [0.0], xtol=1e-12, ftol=1e-12)

    assert LEG_DOMINANT.bend == BENCH_PRESS.bend
    assert LEG_DOMINANT.steepness == pytest.approx(float(np.exp(fitted.x[0])), rel=1e-3)


def test_legs_last_longer_at_every_share() -> None:
    # Nuzzo et al. 2024: leg press above bench press at every share of the maximum.
    for percent in range(50, 100, 5):
        assert LEG_DOMINANT.repetitions(percent / 100) > BENCH_PRESS.repetitions(percent / 100)


@pytest.mark.parametrize("curve", CURVES)
def test_one_repetition_is_the_whole_maximum(curve: RepetitionCurve) -> None:
    assert curve.share(1.0) == 1.0


@given(
    curve=st.sampled_from(CURVES),
    repetitions=st.floats(1.0, FURTHEST_REPETITIONS - 0.01),
    personal=st.floats(-0.4, 0.4),
)
def test_the_curve_falls_strictly_and_its_inverse_returns(
    curve: RepetitionCurve, repetitions: float, personal: float
) -> None:
    share = curve.share(repetitions, personal=personal)

    assert curve.share(repetitions + 0.01, personal=personal) < share
    assert curve.repetitions(share, personal=personal) == pytest.approx(repetitions, abs=1e-6)


@pytest.mark.parametrize("repetitions", [0.99, 40.01, float("nan")])
def test_error_repetitions_out_of_range_are_refused(repetitions: float) -> None:
    with pytest.raises(ValueError, match="repetitions"):
        BENCH_PRESS.share(repetitions)
