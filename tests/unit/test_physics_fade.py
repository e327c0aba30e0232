"""Laws of the damper that heats its own oil."""

from __future__ import annotations

from dataclasses import replace
from math import isclose

import pytest

from calculators.errors import ConflictError, NoSolutionError, OutOfRangeError
from calculators.physics.fade import Fade, fade
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


def _fade(
    *, valve: Valve = VALVE, amplitude: float = 0.15, around: Surroundings = WARM_DAY
) -> Fade:
    return fade(
        damper=Damper(
            piston_diameter=0.046,
            rod_diameter=0.014,
            piston=ValvePair(compression=valve, rebound=valve),
        ),
        oil=OIL,
        thermal=THERMAL,
        surroundings=around,
        gas_pressure=2e6,
        velocity_amplitude=amplitude,
        velocities=(-0.3, -0.1, 0.1, 0.3),
        speed=0.1,
        temperature_cold=263.15,
        temperature_normal=313.15,
    )


@pytest.fixture(scope="module")
def usual() -> Fade:
    return _fade()


def test_heat_and_force_agree(usual: Fade) -> None:
    assert usual.temperature_hot > WARM_DAY.air_temperature
    assert 0.0 < usual.heat.power < usual.power_normal


def test_the_hot_damper_is_weaker_and_the_cold_one_stiffer(usual: Fade) -> None:
    for cold, normal, hot in zip(
        usual.cold.damping_force, usual.normal.damping_force, usual.hot.damping_force, strict=True
    ):
        assert abs(cold) > abs(normal) > abs(hot)
    assert 0.0 < usual.loss_rebound < 1.0
    assert usual.gain_cold_compression > 0.0
    assert usual.gain_cold_rebound > 0.0


def test_the_losses_are_those_of_the_curves(usual: Fade) -> None:
    hot, normal = usual.hot.damping_force, usual.normal.damping_force
    assert isclose(usual.loss_rebound, 1.0 - hot[1] / normal[1])
    assert isclose(usual.loss_compression, 1.0 - hot[2] / normal[2])


def test_a_damper_without_laminar_leak_fades_less(usual: Fade) -> None:
    sharp = _fade(valve=replace(VALVE, leak=0.0))
    assert sharp.loss_rebound < usual.loss_rebound


def test_harder_work_and_less_wind_fade_more(usual: Fade) -> None:
    harder = _fade(amplitude=0.18)
    calmer = _fade(around=replace(WARM_DAY, air_speed=2.0))
    for worse in (harder, calmer):
        assert worse.temperature_hot > usual.temperature_hot
        assert worse.loss_rebound > usual.loss_rebound


def test_more_heat_than_the_oil_bears_has_no_answer() -> None:
    with pytest.raises(NoSolutionError, match="150 °C"):
        _fade(amplitude=0.6)


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
