"""Laws of the damper that heats its own oil."""

from __future__ import annotations

from dataclasses import replace
from math import isclose
from typing import TYPE_CHECKING

import pytest

from calculators.errors import ConflictError, NoSolutionError, OutOfRangeError
from calculators.physics.fade import (
    HOTTEST_OIL,
    Motion,
    fade,
    power_at_temperature,
    valve_force,
)
from calculators.physics.network import Damper
from calculators.physics.oil_line import (
    OilLine,
    oil_at,
    oil_conductivity,
    oil_specific_heat,
    thermal_oil,
)
from calculators.physics.pair import ValvePair
from calculators.physics.shell import Shell, Surroundings
from calculators.physics.thermal_damper import ThermalDamper
from calculators.physics.valve import Valve

if TYPE_CHECKING:
    from calculators.physics.heat import SteadyHeat

OIL = OilLine(
    density_15=870.0,
    thermal_expansion=7e-4,
    temperature_1=313.15,
    viscosity_1=15e-6,
    temperature_2=373.15,
    viscosity_2=4e-6,
)
VALVE = Valve(
    bleed_area=1e-6,
    port_area=3e-5,
    disc_diameter=0.02,
    crack_pressure=5e5,
    compliance=2e-10,
    max_lift=1e-3,
    leak=3e-13,
)
THERMAL = ThermalDamper(
    body=Shell(diameter=0.05, length=0.3, heat_capacity=450.0),
    working_diameter=0.046,
    working_length=0.25,
    oil_heat_capacity=700.0,
)
WARM_DAY = Surroundings(air_temperature=318.15, air_speed=5.0)


def _damper(valve: Valve = VALVE) -> Damper:
    pair = ValvePair(compression=valve, rebound=valve)
    return Damper(piston_diameter=0.046, rod_diameter=0.014, piston=pair)


def _settled(
    *, valve: Valve = VALVE, velocity: float = 0.1, motion: Motion = "sine",
    around: Surroundings = WARM_DAY,
) -> SteadyHeat:  # fmt: skip
    return fade(
        damper=_damper(valve), oil=OIL, thermal=THERMAL, surroundings=around,
        velocity_rms=velocity, motion=motion,
    )  # fmt: skip


def _loss(valve: Valve, temperature: float) -> float:
    hot, normal = (
        valve_force(damper=_damper(valve), oil=OIL, temperature=kelvin, velocity=-0.1)
        for kelvin in (temperature, 313.15)
    )
    return 1.0 - hot / normal


@pytest.mark.parametrize("motion", ["sine", "random"])
def test_heat_and_force_agree(motion: Motion) -> None:
    settled = _settled(motion=motion)
    assert settled.oil_temperature > WARM_DAY.air_temperature
    taken = power_at_temperature(
        damper=_damper(), oil=OIL, temperature=settled.oil_temperature, velocity_rms=0.1,
        motion=motion,
    )  # fmt: skip
    assert isclose(settled.power, taken, rel_tol=1e-6)


def test_the_hot_damper_is_weaker_and_the_cold_one_stiffer() -> None:
    for velocity in (-0.3, -0.1, 0.1, 0.3):
        cold, normal, hot = (
            abs(valve_force(damper=_damper(), oil=OIL, temperature=kelvin, velocity=velocity))
            for kelvin in (263.15, 313.15, 373.15)
        )
        assert cold > normal > hot


def test_beyond_the_tables_of_the_oil_the_force_stays() -> None:
    assert _loss(VALVE, 500.0) == _loss(VALVE, HOTTEST_OIL)


def test_a_damper_without_laminar_leak_fades_less() -> None:
    assert 0.0 < _loss(replace(VALVE, leak=0.0), 373.15) < _loss(VALVE, 373.15)


def test_harder_work_and_less_wind_make_it_hotter() -> None:
    usual = _settled().oil_temperature
    assert _settled(velocity=0.12).oil_temperature > usual
    assert _settled(around=replace(WARM_DAY, air_speed=2.0)).oil_temperature > usual


def test_more_heat_than_the_damper_bears_has_no_answer() -> None:
    with pytest.raises(NoSolutionError, match="300 °C"):
        _settled(velocity=0.6)


def test_the_oil_thins_and_lightens_as_it_warms() -> None:
    cold, hot = (oil_at(line=OIL, temperature=t) for t in (293.15, 373.15))
    assert hot.dynamic_viscosity < 0.2 * cold.dynamic_viscosity
    assert hot.density < cold.density
    warm = thermal_oil(line=OIL, temperature=313.15)
    assert isclose(warm.kinematic_viscosity, 15e-6, rel_tol=1e-9)  # the line's own point
    assert oil_conductivity(temperature=373.15, density_15=870.0) < warm.thermal_conductivity
    assert oil_specific_heat(temperature=373.15, density_15=870.0) > warm.specific_heat


def test_an_oil_line_outside_its_range_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Density at 15 °C"):
        replace(OIL, density_15=87.0)
    with pytest.raises(ConflictError):
        oil_at(line=replace(OIL, viscosity_2=20e-6), temperature=313.15)
