"""Laws of the damper network, its variations and its speed."""

from __future__ import annotations

from dataclasses import replace
from math import isclose
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, NoSolutionError
from calculators.physics.fluid import Oil
from calculators.physics.network import Damper, force_velocity_curve, operating_point
from calculators.physics.pair import ValvePair, pair_flow_and_slope
from calculators.physics.valve import Valve
from calculators.physics.variation import Tolerances, adjuster_family, tolerance_band

OIL = Oil(density=850.0, dynamic_viscosity=0.012)
COMPRESSION = Valve(1.5e-6, 3e-5, 0.02, 5e5, 1e-10, 5e-4)
REBOUND = Valve(1.5e-6, 2e-5, 0.02, 15e5, 5e-11, 5e-4)
FOOT = ValvePair(
    compression=Valve(5e-7, 1e-5, 0.012, 5e5, 1e-10, 5e-4),
    rebound=Valve(5e-7, 6e-5, 0.02, 5e3, 1e-8, 2e-3),
)
MONOTUBE = Damper(0.046, 0.014, ValvePair(COMPRESSION, REBOUND))
TWIN_TUBE = Damper(0.035, 0.014, ValvePair(COMPRESSION, REBOUND), FOOT)

dampers = st.builds(
    Damper,
    piston_diameter=st.floats(0.025, 0.06),
    rod_diameter=st.floats(0.0, 0.022),
    piston=st.just(ValvePair(COMPRESSION, REBOUND)),
    reserve=st.sampled_from((None, FOOT)),
    seal_friction=st.floats(0.0, 100.0),
)
speeds = st.floats(0.001, 3.0)
velocities = speeds | speeds.map(lambda speed: -speed)
gases = st.floats(1.5e5, 4e6)


@given(dampers, velocities, gases)
def test_flows_balance_in_both_chambers(damper: Damper, velocity: float, gas: float) -> None:
    point = operating_point(damper=damper, velocity=velocity, gas_pressure=gas, oil=OIL)
    through, _ = pair_flow_and_slope(
        pair=damper.piston, pressure_drop=point.pressure_head - point.pressure_rod, oil=OIL
    )
    swept = damper.piston_area * velocity
    assert isclose(point.piston_flow + point.reserve_flow, swept, rel_tol=1e-12)
    assert isclose(through, damper.annulus_area * velocity, rel_tol=1e-6)


@given(dampers, velocities, gases)
def test_force_from_pressures_equals_force_on_the_piston(
    damper: Damper, velocity: float, gas: float
) -> None:
    point = operating_point(
        damper=damper, velocity=velocity, gas_pressure=gas, oil=OIL, pressure_ambient=9e4
    )
    friction = damper.seal_friction if velocity > 0.0 else -damper.seal_friction
    faces = (
        point.pressure_head * damper.piston_area
        - point.pressure_rod * damper.annulus_area
        - 9e4 * damper.rod_area
    )
    scale = point.pressure_head * damper.piston_area
    assert isclose(faces + friction, point.force, abs_tol=1e-12 * abs(scale) + 1e-9)


@given(speeds, gases)
def test_without_a_rod_and_with_like_valves_both_directions_are_alike(
    speed: float, gas: float
) -> None:
    damper = Damper(0.046, 0.0, ValvePair(REBOUND, REBOUND))
    curve = force_velocity_curve(
        damper=damper, velocities=(-speed, speed), gas_pressure=gas, oil=OIL
    )
    assert curve.force[0] == -curve.force[1]


@given(dampers, speeds, st.floats(1.01, 3.0), gases)
def test_force_rises_with_speed(damper: Damper, speed: float, more: float, gas: float) -> None:
    curve = force_velocity_curve(
        damper=damper,
        velocities=(-more * speed, -speed, speed, more * speed),
        gas_pressure=gas,
        oil=OIL,
    )
    assert list(curve.force) == sorted(curve.force)


@given(dampers, velocities, gases, gases)
def test_gas_pressure_shifts_the_curve_by_the_rod_area(
    damper: Damper, velocity: float, gas: float, other: float
) -> None:
    one = operating_point(damper=damper, velocity=velocity, gas_pressure=gas, oil=OIL)
    two = operating_point(damper=damper, velocity=velocity, gas_pressure=other, oil=OIL)
    assert isclose(two.force - one.force, (other - gas) * damper.rod_area, abs_tol=1e-6)


@given(dampers, velocities, gases)
def test_damping_takes_power_in_both_directions(
    damper: Damper, velocity: float, gas: float
) -> None:
    curve = force_velocity_curve(damper=damper, velocities=(velocity,), gas_pressure=gas, oil=OIL)
    assert curve.damping_force[0] * velocity > 0.0


def test_at_rest_only_the_gas_pushes() -> None:
    damper = replace(MONOTUBE, seal_friction=40.0)
    point = operating_point(damper=damper, velocity=0.0, gas_pressure=2e6, oil=OIL)
    assert point.force == point.gas_force
    assert point.piston_regime == "shut"


def test_a_reserve_valve_raises_both_chambers_in_compression() -> None:
    bare = replace(TWIN_TUBE, reserve=None)
    one = operating_point(damper=TWIN_TUBE, velocity=0.5, gas_pressure=6e5, oil=OIL)
    two = operating_point(damper=bare, velocity=0.5, gas_pressure=6e5, oil=OIL)
    assert isclose(one.pressure_head - two.pressure_head, one.reserve_drop, rel_tol=1e-12)
    assert isclose(one.pressure_rod - two.pressure_rod, one.reserve_drop, rel_tol=1e-9)


def test_regimes_follow_one_another_with_the_speed() -> None:
    curve = force_velocity_curve(
        damper=MONOTUBE, velocities=(0.01, 0.2, 3.0), gas_pressure=2e6, oil=OIL
    )
    assert [point.piston_regime for point in curve.points] == ["bleed", "opening", "port"]


def test_a_rod_as_thick_as_the_bore_is_refused() -> None:
    with pytest.raises(ConflictError, match="fills the bore"):
        replace(MONOTUBE, rod_diameter=0.046)


def test_ports_wider_than_the_piston_are_refused() -> None:
    wide = replace(COMPRESSION, port_area=2e-3)
    with pytest.raises(ConflictError, match="don't fit"):
        replace(MONOTUBE, piston=ValvePair(wide, REBOUND))


def test_no_speeds_are_refused() -> None:
    with pytest.raises(ConflictError, match="No speeds"):
        force_velocity_curve(damper=MONOTUBE, velocities=(), gas_pressure=2e6, oil=OIL)


def test_an_unsolved_valve_names_the_speed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("calculators.physics._valve_disc.STEPS", 1)
    with pytest.raises(NoSolutionError, match=r"0\.5 m/s.*L/min"):
        operating_point(damper=MONOTUBE, velocity=0.5, gas_pressure=2e6, oil=OIL)


@given(velocities)
def test_closing_the_adjuster_makes_the_damper_firmer(velocity: float) -> None:
    family = adjuster_family(
        damper=MONOTUBE,
        bleed_scales=(2.0, 1.0, 0.5),
        velocities=(velocity,),
        gas_pressure=2e6,
        oil=OIL,
    )
    forces = [abs(curve.damping_force[0]) for curve in family]
    assert forces == sorted(forces)
    assert forces[0] < forces[-1]


TOLERANCES = Tolerances(2e-5, 0.05, 0.1, 0.1, 0.1, 0.1)


@settings(max_examples=10, deadline=None)  # each example has 64 corners
@given(st.tuples(velocities, velocities))
def test_the_outer_band_holds_the_nominal_curve(pair: tuple[float, float]) -> None:
    band = tolerance_band(
        damper=TWIN_TUBE, velocities=pair, gas_pressure=6e5, oil=OIL, tolerances=TOLERANCES
    )
    for low, middle, high in zip(band.lowest, band.nominal, band.highest, strict=True):
        assert low <= middle <= high


def test_a_single_tolerance_makes_both_bands_alike() -> None:
    band = tolerance_band(
        damper=MONOTUBE,
        velocities=(-0.3, 0.3),
        gas_pressure=2e6,
        oil=OIL,
        tolerances=Tolerances(gas_pressure=0.1),
    )
    for spread, low, high in zip(band.spread, band.lowest, band.highest, strict=True):
        assert isclose(spread, 0.1 * 2e6 * MONOTUBE.rod_area, rel_tol=1e-9)
        assert isclose(high - low, 2.0 * spread, rel_tol=1e-9)


def test_two_hundred_points_take_no_longer_than_the_page_can_wait() -> None:
    steps = tuple(-2.0 + 4.0 * step / 199 for step in range(200))
    times = []
    for _ in range(5):
        start = perf_counter()
        force_velocity_curve(damper=TWIN_TUBE, velocities=steps, gas_pressure=6e5, oil=OIL)
        times.append(perf_counter() - start)
    assert min(times) < 0.05  # s; 0.01 s on an idle machine, the rest for a busy one


def test_a_speed_without_a_solution_is_named_with_its_pressure(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def stuck(**_: object) -> None:
        message = "The valve is stuck."
        raise NoSolutionError(message)

    monkeypatch.setattr("calculators.physics.network.valve_state", stuck)
    with pytest.raises(NoSolutionError, match=r"-0\.3 m/s with the gas at 20 bar absolute\. The"):
        operating_point(damper=MONOTUBE, velocity=-0.3, gas_pressure=2e6, oil=OIL)
