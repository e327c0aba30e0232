"""Laws of the gas, its rod force and its charge."""

from __future__ import annotations

from math import isclose
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.gas import (
    P_ATM,
    T_REFERENCE,
    atmosphere_pressure,
    charge_from_rod_force,
    charge_state,
    gas_spring_rate,
    polytropic_pressure,
    pressure_at_temperature,
    ride_height_lift,
    rod_force,
)

PRESSURES = st.floats(1e5, 1e7)
VOLUMES = st.floats(2e-5, 1e-3)
EXPONENTS = st.floats(1.0, 1.67)
CHARGES = st.floats(1e5, 6e6)
CHAMBER: dict[str, Any] = {
    "gas_volume_extended": 1.2e-4,
    "rod_diameter": 0.02,
    "oil_volume": 4e-4,
    "expansion_coefficient": 7.5e-4,
}


@given(pressure=PRESSURES, one=VOLUMES, other=VOLUMES, exponent=EXPONENTS)
def test_squeezing_and_letting_go_gives_the_pressure_back(
    pressure: float, one: float, other: float, exponent: float
) -> None:
    there = polytropic_pressure(
        pressure=pressure, volume=one, volume_new=other, polytropic_exponent=exponent
    )
    back = polytropic_pressure(
        pressure=there, volume=other, volume_new=one, polytropic_exponent=exponent
    )
    assert isclose(back, pressure, rel_tol=1e-12)


@given(pressure=PRESSURES, share=st.floats(0.2, 0.99), more=st.floats(0.01, 0.4))
def test_a_faster_squeeze_gives_more_pressure(pressure: float, share: float, more: float) -> None:
    slow = polytropic_pressure(pressure=pressure, volume=1e-4, volume_new=share * 1e-4)
    fast = polytropic_pressure(
        pressure=pressure, volume=1e-4, volume_new=share * 1e-4, polytropic_exponent=1.0 + more
    )
    assert isclose(slow * share, pressure, rel_tol=1e-12)  # n = 1: p V is kept
    assert fast > slow


@given(pressure=PRESSURES, temperature=st.floats(220.0, 420.0))
def test_heating_and_cooling_gives_the_pressure_back(pressure: float, temperature: float) -> None:
    hot = pressure_at_temperature(
        pressure=pressure, temperature=T_REFERENCE, temperature_new=temperature
    )
    back = pressure_at_temperature(
        pressure=hot, temperature=temperature, temperature_new=T_REFERENCE
    )
    assert isclose(back, pressure, rel_tol=1e-12)


@given(altitude=st.floats(-2_000.0, 10_900.0), more=st.floats(1.0, 100.0))
def test_the_air_thins_with_altitude(altitude: float, more: float) -> None:
    assert atmosphere_pressure(altitude=altitude + more) < atmosphere_pressure(altitude=altitude)


def test_an_altitude_above_the_troposphere_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Altitude"):
        atmosphere_pressure(altitude=11_001.0)


def test_gas_at_the_pressure_outside_pushes_no_rod() -> None:
    assert rod_force(pressure=P_ATM, rod_diameter=0.02) == 0.0
    assert rod_force(pressure=0.5 * P_ATM, rod_diameter=0.02) < 0.0


def test_a_thinner_rod_is_pushed_less_down_to_nothing() -> None:
    assert rod_force(pressure=2.5e6, rod_diameter=1e-6) < 1e-5
    assert gas_spring_rate(pressure=2.5e6, volume=1e-4, rod_diameter=0.0) == 0.0


@given(charge=CHARGES, compression=st.floats(0.0, 0.2), exponent=EXPONENTS)
def test_the_rate_is_the_slope_of_the_rod_force(
    charge: float, compression: float, exponent: float
) -> None:
    step = 1e-6
    states = [
        charge_state(
            charge_pressure_gauge=charge,
            compression=compression + shift,
            polytropic_exponent=exponent,
            **CHAMBER,
        )
        for shift in (0.0, step, 2.0 * step)
    ]
    slope = (states[2].rod_force - states[0].rod_force) / (2.0 * step)
    assert isclose(slope, states[1].rate, rel_tol=1e-5)


@given(charge=CHARGES, compression=st.floats(0.0, 0.15), more=st.floats(0.001, 0.05))
def test_gas_force_rises_when_the_rod_moves_in(
    charge: float, compression: float, more: float
) -> None:
    out = charge_state(charge_pressure_gauge=charge, compression=compression, **CHAMBER)
    further = charge_state(charge_pressure_gauge=charge, compression=compression + more, **CHAMBER)
    assert further.rod_force > out.rod_force


@given(charge=CHARGES, temperature=st.floats(294.0, 390.0))
def test_oil_that_grows_raises_the_pressure_beyond_the_heat_alone(
    charge: float, temperature: float
) -> None:
    both = charge_state(charge_pressure_gauge=charge, temperature=temperature, **CHAMBER)
    alone = pressure_at_temperature(
        pressure=charge + P_ATM, temperature=T_REFERENCE, temperature_new=temperature
    )
    assert both.pressure > alone


@given(charge=CHARGES)
def test_the_reference_state_is_the_charge_itself(charge: float) -> None:
    state = charge_state(charge_pressure_gauge=charge, **CHAMBER)
    assert isclose(state.pressure_gauge, charge, rel_tol=1e-12)
    assert state.volume == CHAMBER["gas_volume_extended"]


@given(
    charge=CHARGES,
    compression=st.floats(0.0, 0.2),
    temperature=st.floats(250.0, 380.0),
    exponent=EXPONENTS,
    ambient=st.floats(6e4, 1.1e5),
)
def test_the_charge_comes_back_from_the_force_it_makes(
    charge: float, compression: float, temperature: float, exponent: float, ambient: float
) -> None:
    place: dict[str, Any] = {
        "compression": compression,
        "temperature": temperature,
        "polytropic_exponent": exponent,
        "pressure_ambient": ambient,
        **CHAMBER,
    }
    state = charge_state(charge_pressure_gauge=charge, **place)
    assert isclose(charge_from_rod_force(rod_force=state.rod_force, **place), charge, rel_tol=1e-9)


def test_a_higher_altitude_pushes_the_rod_harder() -> None:
    low = charge_state(charge_pressure_gauge=5e5, **CHAMBER)
    high = charge_state(
        charge_pressure_gauge=5e5, pressure_ambient=atmosphere_pressure(altitude=3e3), **CHAMBER
    )
    assert high.pressure == low.pressure
    assert high.rod_force > low.rod_force


def test_a_rod_that_uses_up_the_gas_names_the_compression() -> None:
    # By hand: 120 cm³ over π cm² = 38.197 cm.
    with pytest.raises(ConflictError, match=r"compression of 381\.97 mm"):
        charge_state(charge_pressure_gauge=1e6, compression=0.39, **CHAMBER)


def test_hot_oil_that_uses_up_the_gas_is_a_conflict() -> None:
    with pytest.raises(ConflictError, match="leaves no gas"):
        charge_state(
            charge_pressure_gauge=1e6,
            gas_volume_extended=1e-5,
            rod_diameter=0.02,
            temperature=373.15,
            oil_volume=4e-4,
            expansion_coefficient=7.5e-4,
        )


def test_a_force_below_vacuum_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Rod force"):
        charge_from_rod_force(rod_force=-40.0, rod_diameter=0.02, gas_volume_extended=1e-4)


@given(force=st.floats(-500.0, 2_000.0), rate=st.floats(1e3, 1e5))
def test_the_lift_carries_the_rod_force_on_the_spring(force: float, rate: float) -> None:
    lift = ride_height_lift(rod_force=force, motion_ratio=0.8, wheel_rate=rate)
    assert isclose(lift * rate, 0.8 * force, rel_tol=1e-12, abs_tol=1e-12)


def test_a_pressure_that_is_none_is_told_in_bar_and_a_rod_in_millimetres() -> None:
    with pytest.raises(OutOfRangeError, match=r"is -1\.5 bar; allowed: above -1\.01325 bar"):
        charge_state(
            charge_pressure_gauge=-150_000.0, gas_volume_extended=1e-4, rod_diameter=0.02,
            compression=0.1,
        )  # fmt: skip
    with pytest.raises(OutOfRangeError, match=r"Rod diameter is -20 mm; allowed: above 0 mm"):
        rod_force(pressure=1e6, rod_diameter=-0.02)
