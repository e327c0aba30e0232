"""Laws of oil with free gas in it."""

from __future__ import annotations

from math import inf, isclose, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import OutOfRangeError
from calculators.physics.chamber import (
    AeratedOil,
    bulk_modulus_aerated,
    compliance,
    free_gas_share,
    pressure_work,
    relative_volume,
)

oils = st.builds(
    AeratedOil,
    bulk_modulus=st.floats(5e8, 3e9),
    free_gas=st.floats(0.0, 0.1),
    gas_exponent=st.floats(1.0, 1.67),
)
pressures = st.floats(5e3, 3e7)


@given(oils, pressures)
def test_compliance_is_the_slope_of_the_volume(oil: AeratedOil, pressure: float) -> None:
    step = 1e-4 * pressure
    below = relative_volume(oil=oil, pressure=pressure - step)
    above = relative_volume(oil=oil, pressure=pressure + step)
    slope = (below - above) / (2.0 * step)
    assert isclose(
        compliance(oil=oil, pressure=pressure), slope, rel_tol=1e-6, abs_tol=1e-15 / step
    )


@given(oils, pressures)
def test_volume_is_the_slope_of_the_work(oil: AeratedOil, pressure: float) -> None:
    step = 1e-4 * pressure
    rise = pressure_work(oil=oil, pressure=pressure + step)
    rise -= pressure_work(oil=oil, pressure=pressure - step)
    assert isclose(rise / (2.0 * step), relative_volume(oil=oil, pressure=pressure), rel_tol=1e-6)


@given(oils, pressures, st.floats(1.001, 3.0))
def test_pressure_squeezes_the_bubbles_and_stiffens_the_oil(
    oil: AeratedOil, pressure: float, factor: float
) -> None:
    more = factor * pressure
    assert free_gas_share(oil=oil, pressure=more) <= free_gas_share(oil=oil, pressure=pressure)
    assert compliance(oil=oil, pressure=more) <= compliance(oil=oil, pressure=pressure)
    assert relative_volume(oil=oil, pressure=more) < relative_volume(oil=oil, pressure=pressure)


@given(oils, pressures)
def test_gas_share_is_a_share(oil: AeratedOil, pressure: float) -> None:
    assert 0.0 <= free_gas_share(oil=oil, pressure=pressure) < 1.0


@given(st.floats(5e8, 3e9), st.floats(1e5, 1e7))
def test_oil_without_gas_is_as_stiff_as_its_bulk_modulus(modulus: float, pressure: float) -> None:
    oil = AeratedOil(bulk_modulus=modulus, free_gas=0.0)
    stiffness = bulk_modulus_aerated(oil=oil, pressure=pressure)
    assert isclose(stiffness, modulus - (pressure - 101_325.0), rel_tol=1e-9)  # β v, by hand


@given(pressures)
def test_a_little_gas_at_low_pressure_makes_oil_far_softer(pressure: float) -> None:
    clean = AeratedOil(bulk_modulus=1.5e9, free_gas=0.0)
    worked = AeratedOil(bulk_modulus=1.5e9, free_gas=0.03)
    ratio = bulk_modulus_aerated(oil=worked, pressure=pressure) / bulk_modulus_aerated(
        oil=clean, pressure=pressure
    )
    assert ratio < 1.04
    assert pressure > 5e5 or ratio < 0.1


@pytest.mark.parametrize("pressure", [0.0, -1.0, nan, inf])
def test_a_pressure_that_is_none_is_refused(pressure: float) -> None:
    oil = AeratedOil(bulk_modulus=1.5e9, free_gas=0.01)
    for function in (relative_volume, compliance, free_gas_share, pressure_work):
        with pytest.raises(OutOfRangeError, match="Pressure"):
            function(oil=oil, pressure=pressure)


def test_foam_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"Free-gas share is 0\.6"):
        AeratedOil(bulk_modulus=1.5e9, free_gas=0.6)


@pytest.mark.parametrize("exponent", [0.9, 2.0, nan])
def test_an_exponent_outside_of_gases_is_refused(exponent: float) -> None:
    with pytest.raises(OutOfRangeError, match="Exponent"):
        AeratedOil(bulk_modulus=1.5e9, free_gas=0.01, gas_exponent=exponent)
