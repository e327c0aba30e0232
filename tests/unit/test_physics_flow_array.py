"""Valves for whole arrays: entry by entry what the plain functions say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import InputError, NoSolutionError
from calculators.physics.flow_array import valve_flows, valve_pressure_drops
from calculators.physics.fluid import Oil
from calculators.physics.leak import annular_leak, capillary
from calculators.physics.valve import Valve, valve_flow, valve_pressure_drop

OIL = Oil(density=850.0, dynamic_viscosity=0.012)
GAP = annular_leak(diameter=0.046, clearance=3e-5, length=0.008)
VALVES = {
    "orifice": Valve(1.5e-6, 0.0, 0.02, 0.0, 0.0, 0.0, bleed_count=2),
    "annular leak": Valve(0.0, 0.0, 0.02, 0.0, 0.0, 0.0, leak=GAP),
    "capillary": Valve(0.0, 0.0, 0.02, 0.0, 0.0, 0.0, leak=capillary(diameter=1e-3, length=0.03)),
    "preloaded disc": Valve(1.5e-6, 3e-5, 0.028, 5e5, 1e-10, 1e-3, port_count=6, leak=GAP),
    "disc at its stop": Valve(1.5e-6, 3e-5, 0.028, 5e5, 2e-9, 2e-4, port_count=6),
    "check valve": Valve(1e-6, 5e-5, 0.03, 5e3, 4e-8, 1.5e-3, check=True),
}
EACH = pytest.mark.parametrize("valve", VALVES.values(), ids=VALVES)


@EACH
def test_the_flows_are_those_of_the_plain_function(valve: Valve) -> None:
    drops = np.concatenate([-np.geomspace(1e7, 1.0, 30), [0.0], np.geomspace(1.0, 3e7, 60)])
    flows = valve_flows(valve=valve, pressure_drops=drops, oil=OIL)
    plain = [valve_flow(valve=valve, pressure_drop=float(drop), oil=OIL) for drop in drops]
    assert flows == pytest.approx(plain, rel=1e-11, abs=1e-22)


@EACH
def test_the_drops_are_those_of_the_plain_function(valve: Valve) -> None:
    flows = np.concatenate([[0.0], np.geomspace(1e-9, 1e-2, 70)])
    if not valve.check:
        flows = np.concatenate([-flows[:0:-1], flows])
    drops = valve_pressure_drops(valve=valve, flows=flows, oil=OIL)
    plain = [valve_pressure_drop(valve=valve, flow=float(flow), oil=OIL) for flow in flows]
    assert drops == pytest.approx(plain, rel=1e-11)


@EACH
def test_flow_rises_with_the_drop_and_comes_back_from_it(valve: Valve) -> None:
    drops = np.geomspace(1e2, 2e7, 200)
    flows = valve_flows(valve=valve, pressure_drops=drops, oil=OIL)
    assert np.all(np.diff(flows) > 0.0)
    back = valve_pressure_drops(valve=valve, flows=flows, oil=OIL)
    assert back == pytest.approx(drops, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-1e7, 1e7), min_size=1, max_size=20))
def test_the_order_of_the_entries_does_not_matter(drops: list[float]) -> None:
    valve = VALVES["preloaded disc"]
    there = valve_flows(valve=valve, pressure_drops=drops, oil=OIL)
    back = valve_flows(valve=valve, pressure_drops=drops[::-1], oil=OIL)
    assert list(there) == list(back[::-1])


def test_a_check_valve_refuses_flows_backwards() -> None:
    with pytest.raises(NoSolutionError, match="6 L/min"):
        valve_pressure_drops(valve=VALVES["check valve"], flows=[1e-4, -1e-4], oil=OIL)


def test_an_entry_that_is_no_number_is_refused_with_its_place() -> None:
    with pytest.raises(InputError, match="number 2"):
        valve_flows(valve=VALVES["orifice"], pressure_drops=[1.0, float("nan")], oil=OIL)
