"""With linear and Gaussian settings the estimate is a Kalman filter: statsmodels' own gives the same numbers."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter  # type: ignore[import-untyped]  # has no types

from core.strength.assumptions import Assumptions
from core.strength.belief import FORM, GAIN, LEVEL
from core.strength.estimate import advance, initial
from core.strength.evidence import Evidence, Lift
from core.strength.repetition_curve import BENCH_PRESS

BENCH = Lift("bench press")

FIRST_DAY = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

# Singles to failure: they cost nothing on the curve, so the margin is linear in level and form. No set is stray, nothing
# is unknown but level, gain and form, and no pause is longer than the two weeks from which on it counts as one.
LINEAR = Assumptions(
    level=math.log(100.0),
    level_sd=0.1,
    curve_spread=0.0,
    shape_sd=0.0,
    bias=0.0,
    bias_sd=0.0,
    fatigue=0.0,
    fatigue_sd=0.0,
    untold_sd=0.0,
    nothing_left=0.0,
    stray=0.0,
)

DAYS = (0.0, 3.0, 7.0, 10.5, 14.0, 24.0, 28.0, 31.0)

Matrix = NDArray[np.float64]


def singles() -> list[Evidence]:
    draw = np.random.default_rng(7)
    return [
        Evidence(
            lift=BENCH,
            at=FIRST_DAY + timedelta(days=day, minutes=4 * number),
            session=str(day),
            load_kg=float(np.exp(draw.normal(math.log(102.0), 0.03))),
            repetitions=1,
            to_failure=True,
        )
        for day in DAYS
        for number in range(3)
    ]


def filtered(sets: list[Evidence]) -> tuple[Matrix, Matrix]:
    """Means and covariances of level, gain and form after each single, by statsmodels."""
    a = LINEAR
    count = len(sets)
    _, slope = BENCH_PRESS.cost(1.0)
    spread = a.failure_noise**2 + (a.counting_noise + a.counting_noise_growth) ** 2
    transition, noise = np.zeros((3, 3, count)), np.zeros((3, 3, count))
    intercept = np.zeros((3, count))
    begun = sets[0].at
    for place in range(count):
        transition[:, :, place] = np.eye(3)
        if place + 1 < count and sets[place + 1].session != sets[place].session:
            weeks = (sets[place + 1].at - begun) / timedelta(weeks=1)
            begun = sets[place + 1].at
            keep = math.exp(-weeks / a.gain_weeks)
            transition[:, :, place] = [[1.0, weeks, 0.0], [0.0, keep, 0.0], [0.0, 0.0, 0.0]]
            intercept[GAIN, place] = a.gain * (1.0 - keep)
            noise[:, :, place] = np.diag(
                [a.level_drift**2 * weeks, a.gain_sd**2 * (1.0 - keep**2), a.form_sd**2],
            )
    reference = KalmanFilter(k_endog=1, k_states=3, k_posdef=3)
    reference.bind(np.log([each.load_kg for each in sets]))
    reference["design"] = np.array([[1.0, 0.0, 1.0]])
    reference["obs_cov"] = np.array([[a.base_noise**2 + slope**2 * spread]])
    reference["transition"] = transition
    reference["state_intercept"] = intercept
    reference["selection"] = np.eye(3)
    reference["state_cov"] = noise
    reference.initialize_known(np.array([a.level, a.gain, 0.0]), np.diag([a.level_sd**2, a.gain_sd**2, a.form_sd**2]))
    # Never the shortcut for a filter that has settled.
    reference.tolerance = 0.0
    result = reference.filter()
    return np.asarray(result.filtered_state), np.asarray(result.filtered_state_cov)


def test_the_filter_equals_that_of_statsmodels() -> None:
    sets = singles()

    means, covariances = filtered(sets)

    state = initial()
    places = (LEVEL, GAIN, FORM)
    for number, each in enumerate(sets):
        state = advance(state, each, assumptions=LINEAR)
        belief = state.tracks[0].belief
        assert np.allclose([belief.mean[place] for place in places], means[:, number], rtol=0.0, atol=1e-9)
        ours = [[belief.covariance(one, other) for other in places] for one in places]
        assert np.allclose(ours, covariances[:, :, number], rtol=0.0, atol=1e-9)
