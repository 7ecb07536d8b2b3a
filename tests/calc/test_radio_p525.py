"""Free-space loss against ITU-R P.525."""

from math import log10, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import speed_of_light

from calc.errors import BadInput
from calc.radio import free_space_loss_db


@given(st.floats(1, 1e6), st.floats(100, 1e5))
def test_the_practical_form_of_the_recommendation(distance_m, mhz):
    """ITU-R P.525, eq. (4) in km and MHz: 32.4 + 20 log f + 20 log d; its constant is printed to a tenth (32.45)."""
    practical_db = 32.4 + 20 * log10(mhz) + 20 * log10(distance_m / 1000)
    assert free_space_loss_db(distance_m, mhz) == pytest.approx(practical_db, abs=0.06)


@pytest.mark.parametrize("mhz", [470, 1900, 2437, 5500])
def test_twice_as_far_is_6_db_and_ten_times_is_20_db(mhz):
    assert free_space_loss_db(60, mhz) - free_space_loss_db(30, mhz) == pytest.approx(20 * log10(2))
    assert free_space_loss_db(300, mhz) - free_space_loss_db(30, mhz) == pytest.approx(20)


def test_no_loss_at_a_wavelength_over_four_pi_and_none_nearer():
    wavelength_m = speed_of_light / 2437e6
    assert free_space_loss_db(wavelength_m / (4 * pi) * 1.000001, 2437) == pytest.approx(0, abs=1e-4)
    with pytest.raises(BadInput) as error:
        free_space_loss_db(wavelength_m / (4 * pi) * 0.999, 2437)
    assert error.value.argument == "distance_m"
    assert f"at least {wavelength_m / (4 * pi):g}" in error.value.accepted


@pytest.mark.parametrize(
    ("distance_m", "mhz", "argument"), [(0, 2437, "distance_m"), (-1, 2437, "distance_m"), (10, 0, "mhz")]
)
def test_what_cannot_be_is_named(distance_m, mhz, argument):
    with pytest.raises(BadInput) as error:
        free_space_loss_db(distance_m, mhz)
    assert error.value.argument == argument
