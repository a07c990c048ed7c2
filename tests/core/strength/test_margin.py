"""The margin of a set: one view is a Kalman filter's, two views the same as the general mixture."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.strength.margin import View, flat, revision

MARGINS = st.floats(-1.0, 1.0)
VARIANCES = st.floats(1e-5, 0.1)


@given(mean=MARGINS, variance=VARIANCES, noise=VARIANCES)
def test_one_view_gives_what_a_kalman_filter_gives(mean: float, variance: float, noise: float) -> None:
    found = revision(mean, variance, (View(0.0, noise),))

    gain = variance / (variance + noise)
    assert found.mean == pytest.approx(mean - gain * mean, abs=1e-12)
    assert found.variance == pytest.approx((1.0 - gain) * variance, rel=1e-9)


@given(mean=MARGINS, variance=VARIANCES, noise=VARIANCES, stray=st.floats(0.01, 0.5))
def test_two_plain_views_are_mixed_as_any_number_of_views_is(
    mean: float, variance: float, noise: float, stray: float
) -> None:
    views = (View(0.0, noise, 1.0 - stray), flat(stray, width=0.9))
    # A third view that weighs next to nothing takes the way for any number of them.
    whole = revision(mean, variance, (*views, View(0.0, noise, 1e-150)))

    found = revision(mean, variance, views)

    assert found.mean == pytest.approx(whole.mean, abs=1e-9)
    assert found.variance == pytest.approx(whole.variance, abs=1e-9)
    assert found.weights == pytest.approx(whole.weights[:2], abs=1e-9)


def test_a_set_far_off_moves_nothing_and_breaks_nothing() -> None:
    found = revision(40.0, 1e-4, (View(0.0, 1e-4, 0.9), flat(0.1, width=0.9)))

    assert found.mean == pytest.approx(40.0, abs=1e-3)
