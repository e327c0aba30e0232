"""Laws of the flow elements: hole, gap, valve and pair of valves."""

from __future__ import annotations

from dataclasses import replace
from math import inf, isclose, log10, nan, sqrt
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calculators.errors import ConflictError, InputError, NoSolutionError, OutOfRangeError
from calculators.physics.fluid import Oil
from calculators.physics.leak import annular_leak, laminar_flow, laminar_pressure_drop
from calculators.physics.orifice import (
    orifice_area,
    orifice_flow,
    orifice_pressure_drop,
    transition_reynolds,
)
from calculators.physics.pair import (
    ValvePair,
    pair_flow_and_slope,
    pair_pressure_drop,
    scaled_bleed,
    valve_state,
)
from calculators.physics.valve import Valve, valve_flow, valve_flow_and_slope, valve_pressure_drop

OIL = Oil(density=850.0, dynamic_viscosity=0.012)
VALVE = Valve(
    bleed_area=1.5e-6,
    port_area=3e-5,
    disc_diameter=0.02,
    crack_pressure=5e5,
    compliance=1e-10,
    max_lift=5e-4,
)

areas = st.floats(1e-8, 1e-4)
drops = st.floats(1.0, 3e7)
oils = st.builds(Oil, density=st.floats(750.0, 950.0), dynamic_viscosity=st.floats(1e-3, 1.0))
valves = st.builds(
    Valve,
    bleed_area=st.floats(1e-8, 1e-5),
    port_area=st.floats(1e-6, 2e-4),
    disc_diameter=st.floats(0.008, 0.04),
    crack_pressure=st.floats(0.0, 3e6),
    compliance=st.floats(1e-12, 1e-8),
    max_lift=st.floats(1e-5, 3e-3),
    discharge_coefficient=st.floats(0.55, 0.8),
    bleed_count=st.integers(1, 4),
    port_count=st.integers(1, 8),
    leak=st.sampled_from((0.0, 1e-14, 1e-12)),
)


@given(areas, drops, oils)
def test_flow_through_a_hole_is_odd(area: float, drop: float, oil: Oil) -> None:
    there = orifice_flow(area=area, pressure_drop=drop, oil=oil)
    assert orifice_flow(area=area, pressure_drop=-drop, oil=oil) == -there


@given(areas, drops, oils, st.floats(1.001, 10.0))
def test_more_pressure_drives_more_flow(area: float, drop: float, oil: Oil, more: float) -> None:
    low = orifice_flow(area=area, pressure_drop=drop, oil=oil)
    assert orifice_flow(area=area, pressure_drop=more * drop, oil=oil) > low


@given(areas, drops, oils)
def test_drop_of_a_hole_is_the_inverse_of_its_flow(area: float, drop: float, oil: Oil) -> None:
    flow = orifice_flow(area=area, pressure_drop=drop, oil=oil)
    back = orifice_pressure_drop(area=area, flow=flow, oil=oil)
    assert isclose(back, drop, rel_tol=1e-12)


@given(areas, drops, oils)
def test_area_of_a_hole_is_the_inverse_of_its_flow(area: float, drop: float, oil: Oil) -> None:
    flow = orifice_flow(area=area, pressure_drop=drop, oil=oil)
    assert isclose(orifice_area(flow=flow, pressure_drop=drop, oil=oil), area, rel_tol=1e-9)


@given(areas, oils)
def test_small_flow_through_a_hole_is_proportional_to_the_drop(area: float, oil: Oil) -> None:
    one = orifice_flow(area=area, pressure_drop=1e-6, oil=oil)
    two = orifice_flow(area=area, pressure_drop=2e-6, oil=oil)
    assert isclose(two, 2.0 * one, rel_tol=1e-3)


@given(areas, drops)
def test_thin_oil_follows_the_square_root_law(area: float, drop: float) -> None:
    flow = orifice_flow(area=area, pressure_drop=drop, oil=Oil(850.0, 1e-12))
    assert isclose(flow, 0.61 * area * sqrt(2.0 * drop / 850.0), rel_tol=1e-5)


def test_both_losses_are_equal_at_the_transition_reynolds_number() -> None:
    area, hole = 7.853981633974483e-07, 1e-3  # a 1 mm hole
    reynolds = transition_reynolds()
    flow = reynolds * OIL.dynamic_viscosity * area / (OIL.density * hole)
    inertial = OIL.density / 2.0 * (flow / (0.61 * area)) ** 2
    drop = orifice_pressure_drop(area=area, flow=flow, oil=OIL)
    assert isclose(drop, 2.0 * inertial, rel_tol=1e-12)


@given(st.floats(1e-6, 1e-4), st.floats(0.0, 1.0))
def test_twice_the_clearance_leaks_eight_times(clearance: float, offset: float) -> None:
    one = annular_leak(diameter=0.05, clearance=clearance, length=0.01, eccentricity=offset)
    two = annular_leak(diameter=0.05, clearance=2.0 * clearance, length=0.01, eccentricity=offset)
    assert isclose(two, 8.0 * one, rel_tol=1e-12)


@given(st.floats(1e-16, 1e-10), st.floats(1e-3, 1e7), st.floats(1e-3, 1.0))
def test_laminar_drop_is_the_inverse_of_laminar_flow(
    conductance: float, drop: float, viscosity: float
) -> None:
    flow = laminar_flow(conductance=conductance, pressure_drop=drop, dynamic_viscosity=viscosity)
    back = laminar_pressure_drop(conductance=conductance, flow=flow, dynamic_viscosity=viscosity)
    assert isclose(back, drop, rel_tol=1e-12)


@given(valves, drops, oils)
def test_drop_of_a_valve_is_the_inverse_of_its_flow(valve: Valve, drop: float, oil: Oil) -> None:
    flow = valve_flow(valve=valve, pressure_drop=drop, oil=oil)
    assert isclose(valve_pressure_drop(valve=valve, flow=flow, oil=oil), drop, rel_tol=1e-9)


@given(valves, st.floats(1e-8, 5e-3), oils)
def test_flow_of_a_valve_is_the_inverse_of_its_drop(valve: Valve, flow: float, oil: Oil) -> None:
    drop = valve_pressure_drop(valve=valve, flow=flow, oil=oil)
    assert isclose(valve_flow(valve=valve, pressure_drop=drop, oil=oil), flow, rel_tol=1e-9)


def _powers(low: float, high: float) -> st.SearchStrategy[float]:
    """Return sizes of any order of magnitude, small ones as often as large ones."""
    return st.floats(log10(low), log10(high)).map(lambda power: 10.0**power)


# all that the damper sheets let a reader enter, and some more
any_valves = st.builds(
    Valve,
    bleed_area=st.just(0.0) | _powers(7e-11, 3e-3),
    port_area=_powers(7e-11, 0.05),
    disc_diameter=_powers(0.003, 0.15),
    crack_pressure=st.just(0.0) | _powers(1e-6, 2e7),
    compliance=_powers(1e-14, 1e-6),
    max_lift=_powers(1e-6, 0.01),
    discharge_coefficient=st.floats(0.3, 1.0),
    bleed_count=st.integers(1, 60),
    port_count=st.integers(1, 60),
    leak=st.just(0.0) | _powers(1e-20, 1e-8),
)
any_oils = st.builds(Oil, density=st.floats(600.0, 1300.0), dynamic_viscosity=_powers(1e-4, 100.0))


@given(any_valves, _powers(1e-10, 0.11), _powers(1e-2, 1e11), any_oils)
def test_each_valve_that_can_be_entered_finds_its_drop_and_its_flow(
    valve: Valve, flow: float, drop: float, oil: Oil
) -> None:
    found = valve_pressure_drop(valve=valve, flow=flow, oil=oil)
    assert isclose(valve_flow(valve=valve, pressure_drop=found, oil=oil), flow, rel_tol=1e-6)
    assert valve_flow(valve=valve, pressure_drop=drop, oil=oil) >= 0.0


@given(valves, drops, oils, st.floats(1.001, 10.0))
def test_more_pressure_drives_more_flow_through_a_valve(
    valve: Valve, drop: float, oil: Oil, more: float
) -> None:
    low = valve_flow(valve=valve, pressure_drop=drop, oil=oil)
    assert valve_flow(valve=valve, pressure_drop=more * drop, oil=oil) > low


@given(valves, drops, oils)
def test_slope_is_the_derivative_of_the_flow(valve: Valve, drop: float, oil: Oil) -> None:
    step = 1e-5 * drop
    state = valve_state(
        valve=valve, flow=valve_flow(valve=valve, pressure_drop=drop, oil=oil), oil=oil
    )
    for corner in (valve.crack_pressure, valve.full_lift_drop):
        assume(abs(state.disc_drop - corner) > 1e-3 * corner + 100.0 * step)
    _, slope = valve_flow_and_slope(valve=valve, pressure_drop=drop, oil=oil)
    high = valve_flow(valve=valve, pressure_drop=drop + step, oil=oil)
    low = valve_flow(valve=valve, pressure_drop=drop - step, oil=oil)
    assert isclose((high - low) / (2.0 * step), slope, rel_tol=1e-4)


@given(st.floats(1e3, 3e6), oils)
def test_slope_is_continuous_where_the_disc_cracks(crack: float, oil: Oil) -> None:
    valve = replace(VALVE, crack_pressure=crack)
    _, below = valve_flow_and_slope(valve=valve, pressure_drop=crack, oil=oil)
    _, above = valve_flow_and_slope(valve=valve, pressure_drop=crack * (1.0 + 1e-9), oil=oil)
    assert isclose(above, below, rel_tol=1e-3)


@given(st.floats(1.0, 3e7))
def test_a_shut_disc_leaves_the_bleed_alone(drop: float) -> None:
    valve = replace(VALVE, crack_pressure=3e7)
    bleed = orifice_flow(area=valve.bleed_area, pressure_drop=drop, oil=OIL)
    assert valve_flow(valve=valve, pressure_drop=drop, oil=OIL) == bleed


def test_a_wide_open_disc_leaves_the_ports_alone() -> None:
    valve = Valve(0.0, 2e-5, 0.04, 0.0, 1.0, 1.0)
    ports = orifice_flow(area=2e-5, pressure_drop=2e6, oil=OIL)
    flow = valve_flow(valve=valve, pressure_drop=2e6, oil=OIL)
    assert isclose(flow, ports, rel_tol=1e-6)


@given(valves, drops, oils)
def test_a_check_valve_returns_nothing(valve: Valve, drop: float, oil: Oil) -> None:
    check = replace(valve, check=True)
    assert valve_flow_and_slope(valve=check, pressure_drop=-drop, oil=oil) == (0.0, 0.0)


@given(valves, drops, oils)
def test_a_valve_returns_oil_by_bleed_and_leak(valve: Valve, drop: float, oil: Oil) -> None:
    flow = valve_flow(valve=valve, pressure_drop=-drop, oil=oil)
    assert flow < 0.0
    assert isclose(valve_pressure_drop(valve=valve, flow=flow, oil=oil), -drop, rel_tol=1e-9)


def test_backflow_through_a_check_valve_has_no_solution() -> None:
    with pytest.raises(NoSolutionError, match="backwards"):
        valve_pressure_drop(valve=replace(VALVE, check=True), flow=-1e-5, oil=OIL)


def test_a_valve_without_bleed_holds_its_crack_pressure() -> None:
    valve = replace(VALVE, bleed_area=0.0)
    assert valve_flow(valve=valve, pressure_drop=4.9e5, oil=OIL) == 0.0
    assert isclose(valve_pressure_drop(valve=valve, flow=1e-12, oil=OIL), 5e5, rel_tol=1e-3)


@pytest.mark.parametrize("leak", [0.0, 1e-13])
@pytest.mark.parametrize("crack", [0.0, 5e5])
def test_a_valve_without_bleed_passes_nothing_at_no_drop(crack: float, leak: float) -> None:
    valve = replace(VALVE, bleed_area=0.0, crack_pressure=crack, leak=leak)
    flow = valve_flow_and_slope(valve=valve, pressure_drop=0.0, oil=OIL)
    assert flow == (0.0, leak / OIL.dynamic_viscosity)


@given(valves, st.floats(1e-7, 3e-3), oils)
def test_parts_of_a_valve_add_up_to_its_flow_and_drop(valve: Valve, flow: float, oil: Oil) -> None:
    state = valve_state(valve=valve, flow=flow, oil=oil)
    assert isclose(state.bleed_flow + state.leak_flow + state.disc_flow, flow, rel_tol=1e-12)
    assert isclose(state.port_drop + state.disc_drop, state.pressure_drop, rel_tol=1e-12)
    assert 0.0 <= state.lift <= valve.max_lift


def test_regimes_follow_one_another_with_the_flow() -> None:
    regimes = [
        valve_state(valve=VALVE, flow=flow, oil=OIL).regime for flow in (0.0, 1e-5, 2e-4, 4e-3)
    ]
    assert regimes == ["shut", "bleed", "opening", "port"]


@given(valves, valves, st.floats(-2e7, 2e7), oils)
def test_a_pair_uses_the_valve_of_each_direction(
    one: Valve, other: Valve, drop: float, oil: Oil
) -> None:
    assume(abs(drop) > 1.0)
    pair = ValvePair(compression=one, rebound=other)
    flow, slope = pair_flow_and_slope(pair=pair, pressure_drop=drop, oil=oil)
    valve = one if drop > 0.0 else other
    assert abs(flow) == valve_flow(valve=valve, pressure_drop=abs(drop), oil=oil)
    assert slope > 0.0
    assert isclose(pair_pressure_drop(pair=pair, flow=flow, oil=oil), drop, rel_tol=1e-9)


def test_an_adjuster_changes_only_its_own_direction() -> None:
    pair = scaled_bleed(pair=ValvePair(VALVE, VALVE), scale=2.0, direction="rebound")
    assert pair.compression == VALVE
    assert pair.rebound.bleed_area == 2.0 * VALVE.bleed_area


def test_a_valve_without_any_passage_is_refused() -> None:
    with pytest.raises(ConflictError, match="no passage"):
        replace(VALVE, bleed_area=0.0, port_area=0.0)


@pytest.mark.parametrize("name", ["bleed_area", "port_area", "crack_pressure", "compliance"])
@pytest.mark.parametrize("value", [-1e-9, nan, inf])
def test_impossible_sizes_are_refused(name: str, value: float) -> None:
    sizes: dict[str, Any] = {
        "bleed_area": 1e-6,
        "port_area": 1e-5,
        "disc_diameter": 0.02,
        "crack_pressure": 1e5,
        "compliance": 1e-10,
        "max_lift": 1e-3,
    }
    with pytest.raises(OutOfRangeError):
        Valve(**(sizes | {name: value}))


@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_drops_and_flows_that_are_no_numbers_are_refused(value: float) -> None:
    with pytest.raises(InputError):
        valve_flow(valve=VALVE, pressure_drop=value, oil=OIL)
    with pytest.raises(InputError):
        valve_pressure_drop(valve=VALVE, flow=value, oil=OIL)
