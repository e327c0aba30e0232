"""Laws of air, convection, radiation and fins."""

from __future__ import annotations

from math import isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics._bessel import i_scaled, k_scaled
from calculators.physics.air import air
from calculators.physics.convection import (
    cylinder_convection,
    nusselt_cross_flow,
    nusselt_horizontal,
    nusselt_vertical,
    nusselt_vertical_slender,
)
from calculators.physics.fin import Fins, fin_efficiency, finned_area
from calculators.physics.radiation import concentric_radiation, radiated_power, solar_power

FEW = settings(max_examples=20)
TEMPERATURES = st.floats(233.15, 423.15)
SPEEDS = st.floats(0.1, 40.0)


@FEW
@given(temperature=TEMPERATURES, factor=st.floats(0.5, 1.5))
def test_only_the_density_of_air_follows_its_pressure(temperature: float, factor: float) -> None:
    sea, high = (air(temperature=temperature, pressure=p) for p in (1e5, factor * 1e5))
    assert isclose(high.density, factor * sea.density, rel_tol=1e-12)
    assert high.dynamic_viscosity == sea.dynamic_viscosity
    assert isclose(high.prandtl, sea.prandtl, rel_tol=1e-12)


@FEW
@given(temperature=TEMPERATURES, more=st.floats(0.1, 50.0))
def test_warmer_air_is_lighter_and_more_viscous(temperature: float, more: float) -> None:
    cool, warm = air(temperature=temperature), air(temperature=temperature + more)
    assert warm.density < cool.density
    assert warm.dynamic_viscosity > cool.dynamic_viscosity
    assert warm.thermal_conductivity > cool.thermal_conductivity
    assert warm.specific_heat > cool.specific_heat


@pytest.mark.parametrize("temperature", [200.0, 600.0, float("nan")])
def test_air_outside_its_formulas_is_refused(temperature: float) -> None:
    with pytest.raises(OutOfRangeError, match="Air temperature"):
        air(temperature=temperature)


@pytest.mark.parametrize("order", [0, 1])
@pytest.mark.parametrize("x", [1e-4, 0.01, 0.5, 3.0, 30.0, 900.0])
def test_the_bessel_functions_agree_with_scipy(order: int, x: float) -> None:
    i_scipy, k_scipy = special.ive(order, x), special.kve(order, x)
    assert isclose(i_scaled(order, x), float(i_scipy), rel_tol=1e-11)
    assert isclose(k_scaled(order, x), float(k_scipy), rel_tol=1e-11)


@FEW
@given(reynolds=st.floats(0.0, 1e6), more=st.floats(1.0, 1e5))
def test_more_wind_carries_more_heat(reynolds: float, more: float) -> None:
    slow = nusselt_cross_flow(reynolds=reynolds, prandtl=0.7)
    assert nusselt_cross_flow(reynolds=reynolds + more, prandtl=0.7) > slow


@FEW
@given(rayleigh=st.floats(1.0, 1e11), factor=st.floats(1.1, 10.0))
def test_more_buoyancy_carries_more_heat(rayleigh: float, factor: float) -> None:
    for nusselt in (nusselt_horizontal, nusselt_vertical):
        weak = nusselt(rayleigh=rayleigh, prandtl=0.7)
        assert nusselt(rayleigh=factor * rayleigh, prandtl=0.7) > weak


@FEW
@given(rayleigh=st.floats(1e5, 1e9))
def test_a_very_wide_cylinder_is_a_wall(rayleigh: float) -> None:
    wall = nusselt_vertical(rayleigh=rayleigh, prandtl=0.7)
    wide = nusselt_vertical_slender(rayleigh=rayleigh, prandtl=0.7, height=1.0, diameter=1e5)
    thin = nusselt_vertical_slender(rayleigh=rayleigh, prandtl=0.7, height=1.0, diameter=0.05)
    assert isclose(wide, wall, rel_tol=1e-3)
    assert thin > wall


@pytest.mark.parametrize("vertical", [False, True])
def test_a_faint_wind_leaves_natural_convection(*, vertical: bool) -> None:
    still, faint = (
        cylinder_convection(
            diameter=0.05,
            length=0.3,
            temperature=350.0,
            air_temperature=300.0,
            air_speed=speed,
            vertical=vertical,
        )
        for speed in (0.0, 1e-6)
    )
    assert still.coefficient == still.coefficient_natural
    assert still.coefficient_forced == 0.0
    assert isclose(faint.coefficient, still.coefficient, rel_tol=2e-5)


def test_a_wind_too_faint_for_its_equation_is_told() -> None:
    def proven(air_speed: float) -> bool:
        return cylinder_convection(
            diameter=0.05,
            length=0.3,
            temperature=350.0,
            air_temperature=300.0,
            air_speed=air_speed,
        ).in_range

    assert not proven(5e-5)  # Re Pr = 0.09
    assert proven(5e-4)  # Re Pr = 0.9
    assert proven(0.0)


@FEW
@given(speed=SPEEDS, rise=st.floats(1.0, 100.0))
def test_mixed_convection_is_more_than_each_and_less_than_both(speed: float, rise: float) -> None:
    mixed = cylinder_convection(
        diameter=0.05,
        length=0.3,
        temperature=300.0 + rise,
        air_temperature=300.0,
        air_speed=speed,
    )
    parts = (mixed.coefficient_forced, mixed.coefficient_natural)
    assert max(parts) <= mixed.coefficient <= sum(parts)


@FEW
@given(hot=st.floats(250.0, 500.0), cold=st.floats(250.0, 500.0))
def test_radiation_runs_from_hot_to_cold_and_turns_round(hot: float, cold: float) -> None:
    def power(surface: float, around: float) -> float:
        return radiated_power(
            area=0.1, emissivity=0.9, temperature=surface, temperature_surroundings=around
        )

    assert (power(hot, cold) > 0.0) == (hot > cold)
    assert isclose(power(hot, cold), -power(cold, hot), rel_tol=1e-12, abs_tol=1e-12)


@FEW
@given(emissivity=st.floats(0.05, 1.0))
def test_a_tiny_inner_tube_radiates_as_into_open_space(emissivity: float) -> None:
    inner = concentric_radiation(
        area=0.1,
        diameter_ratio=1e-9,
        emissivity=emissivity,
        temperature_inner=400.0,
        temperature_outer=300.0,
    )
    open_space = radiated_power(
        area=0.1, emissivity=emissivity, temperature=400.0, temperature_surroundings=300.0
    )
    assert isclose(inner, open_space, rel_tol=1e-6)


def test_polished_tubes_and_shade_pass_no_radiation() -> None:
    none = concentric_radiation(
        area=0.1,
        diameter_ratio=0.7,
        emissivity=0.0,
        temperature_inner=400.0,
        temperature_outer=300.0,
    )
    assert none == 0.0
    assert solar_power(irradiance=0.0, absorptivity=0.9, projected_area=0.02) == 0.0
    with pytest.raises(ConflictError, match="inner tube"):
        concentric_radiation(
            area=0.1,
            diameter_ratio=1.0,
            emissivity=0.5,
            temperature_inner=400.0,
            temperature_outer=300.0,
        )


@settings(max_examples=40)
@given(
    height=st.floats(0.002, 0.05),
    thickness=st.floats(5e-4, 5e-3),
    conductivity=st.floats(15.0, 400.0),
    coefficient=st.floats(1.0, 300.0),
)
def test_a_fin_is_worse_if_taller_and_better_if_it_conducts_more(
    height: float, thickness: float, conductivity: float, coefficient: float
) -> None:
    def efficiency(height: float, conductivity: float) -> float:
        return fin_efficiency(
            root_diameter=0.05,
            tip_diameter=0.05 + 2.0 * height,
            thickness=thickness,
            conductivity=conductivity,
            coefficient=coefficient,
        )

    usual = efficiency(height, conductivity)
    assert 0.0 < usual < 1.0
    assert efficiency(1.2 * height, conductivity) < usual
    assert efficiency(height, 1.2 * conductivity) > usual


@FEW
@given(conductivity=st.floats(1e6, 1e15))
def test_a_fin_that_conducts_without_limit_is_hot_to_its_edge(conductivity: float) -> None:
    perfect = fin_efficiency(
        root_diameter=0.05,
        tip_diameter=0.08,
        thickness=0.002,
        conductivity=conductivity,
        coefficient=50.0,
    )
    assert isclose(perfect, 1.0, abs_tol=1e-5)
    assert perfect <= 1.0


def test_fins_without_height_leave_a_plain_tube() -> None:
    fins = Fins(count=5, tip_diameter=0.05 - 0.001 + 1e-9, thickness=0.001, conductivity=170.0)
    area = finned_area(root_diameter=0.05, length=0.1, fins=fins, coefficient=30.0)
    assert isclose(area.bare_area, pi * 0.05 * 0.095)
    assert area.fin_area < 1e-8
    assert isclose(area.effective_area, area.bare_area, rel_tol=1e-6)
    assert isclose(area.overall_efficiency, 1.0, rel_tol=1e-6)


def test_too_many_fins_are_refused() -> None:
    fins = Fins(count=60, tip_diameter=0.08, thickness=0.002, conductivity=170.0)
    with pytest.raises(ConflictError, match="don't fit"):
        finned_area(root_diameter=0.05, length=0.1, fins=fins, coefficient=30.0)
    with pytest.raises(ConflictError, match="larger than the tube"):
        fin_efficiency(
            root_diameter=0.05,
            tip_diameter=0.05,
            thickness=0.001,
            conductivity=170.0,
            coefficient=30.0,
        )
