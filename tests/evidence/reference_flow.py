"""Longer reference computations for flow.toml: holes, gaps and valves by fluids and scipy."""

from __future__ import annotations

from math import cos, pi, sqrt
from typing import TYPE_CHECKING

import numpy as np
from fluids.flow_meter import differential_pressure_meter_solver, flow_meter_discharge
from fluids.friction import friction_laminar
from scipy.differentiate import derivative
from scipy.integrate import quad
from scipy.optimize import brentq

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

_WIDE = 1_000.0  # pipe / hole, so that the velocity of approach vanishes
_DELTA_ROUND = 0.2  # laminar coefficients, Merritt, ch. 3 (value from memory)
_DELTA_SLIT = 0.157


def turbulent_flow(area: float, pressure_drop: float, density: float, coefficient: float) -> float:
    """Return the volume flow of an orifice plate in a very wide pipe, by fluids."""
    hole = sqrt(4.0 * area / pi)
    mass_flow = flow_meter_discharge(  # type: ignore[no-untyped-call]
        D=_WIDE * hole, Do=hole, P1=pressure_drop, P2=0.0, rho=density, C=coefficient
    )
    return float(mass_flow / density)


def turbulent_area(flow: float, pressure_drop: float, density: float, coefficient: float) -> float:
    """Return the hole area for a flow, by a root search on the plate of fluids."""
    return float(
        brentq(
            lambda area: turbulent_flow(area, pressure_drop, density, coefficient) - flow,
            1e-9,
            1e-3,
            xtol=1e-18,
        )
    )


def standard_orifice(
    hole: float, pipe: float, pressure_drop: float, density: float, viscosity: float
) -> float:
    """Return the volume flow of an ISO 5167 orifice plate with corner taps, by fluids."""
    mass_flow = differential_pressure_meter_solver(
        D=pipe,
        D2=hole,
        P1=pressure_drop + 1e5,
        P2=1e5,
        rho=density,
        mu=viscosity,
        k=1.3,
        meter_type="ISO 5167 orifice",
        taps="corner",
        epsilon_specified=1.0,
    )
    return float(mass_flow / density)


def darcy_conductance(diameter: float, length: float) -> float:
    """Return μ Q / Δp of a pipe from the laminar Darcy friction factor of fluids."""
    density, viscosity, speed = 850.0, 0.01, 0.1
    factor = friction_laminar(density * speed * diameter / viscosity)
    drop = factor * length / diameter * density * speed**2 / 2.0
    return float(viscosity * speed * pi * diameter**2 / 4.0 / drop)


def gap_conductance(diameter: float, clearance: float, length: float, eccentricity: float) -> float:
    """Return μ Q / Δp of an eccentric gap: plane flow added up round the gap by scipy."""
    total, _ = quad(
        lambda angle: (clearance * (1.0 + eccentricity * cos(angle))) ** 3, 0.0, 2.0 * pi
    )
    return float(total * diameter / 2.0 / (12.0 * length))


def valve_flow(valve: Mapping[str, float], pressure_drop: float, oil: Mapping[str, float]) -> float:
    """Return the flow of a valve: bleed and leak, and the disc path by a search on its flow."""
    density, viscosity = oil["density"], oil["dynamic_viscosity"]
    coefficient = valve.get("discharge_coefficient", 0.61)

    def loss(flow: float, area: float, hydraulic_diameter: float, delta: float) -> float:
        inertial = density * (flow / (coefficient * area)) ** 2 / 2.0
        return inertial + viscosity * flow / (2.0 * delta**2 * area * hydraulic_diameter)

    def hole_loss(flow: float, area: float, holes: float) -> float:
        return loss(flow, area, sqrt(4.0 * area / holes / pi), _DELTA_ROUND)

    def search(excess: Callable[[float], float], top: float) -> float:
        return float(brentq(excess, 0.0, top, xtol=1e-20, rtol=1e-14))

    def ideal(area: float) -> float:
        return 1.01 * coefficient * area * sqrt(2.0 * pressure_drop / density)

    total = valve.get("leak", 0.0) * pressure_drop / viscosity
    bleed, holes = valve["bleed_area"], valve.get("bleed_count", 1)
    if bleed > 0.0:
        total += search(lambda q: hole_loss(q, bleed, holes) - pressure_drop, ideal(bleed))
    if pressure_drop <= valve["crack_pressure"]:
        return total
    port, ports = valve["port_area"], valve.get("port_count", 1)

    def excess(flow: float) -> float:
        disc_drop = pressure_drop - hole_loss(flow, port, ports)
        lift = min(valve["compliance"] * (disc_drop - valve["crack_pressure"]), valve["max_lift"])
        if lift <= 0.0:
            return 1e12
        curtain = pi * valve["disc_diameter"] * lift
        return loss(flow, curtain, 2.0 * lift, _DELTA_SLIT) - disc_drop

    return total + search(excess, ideal(port))


def valve_slope(
    valve: Mapping[str, float], pressure_drop: float, oil: Mapping[str, float]
) -> float:
    """Return the slope of the flow to the drop, by numerical differentiation."""
    flows = np.vectorize(lambda drop: valve_flow(valve, float(drop), oil))
    slope = derivative(flows, pressure_drop, initial_step=0.01 * pressure_drop)
    return float(slope.df)


def disc_lift(valve: Mapping[str, float], flow: float, oil: Mapping[str, float]) -> float:
    """Return the lift of the disc at a flow, from what the holes leave of the drop to it."""
    drop = valve_pressure_drop(valve, flow, oil)
    shut = {**valve, "crack_pressure": 10.0 * drop}
    through = flow - valve_flow(shut, drop, oil)
    ports = {**shut, "bleed_area": valve["port_area"], "bleed_count": valve.get("port_count", 1)}
    ports["leak"] = 0.0
    port_drop = brentq(
        lambda p: valve_flow({**ports, "crack_pressure": 10.0 * drop}, p, oil) - through, 1.0, drop
    )
    lifted = valve["compliance"] * (drop - port_drop - valve["crack_pressure"])
    return float(min(lifted, valve["max_lift"]))


def valve_pressure_drop(valve: Mapping[str, float], flow: float, oil: Mapping[str, float]) -> float:
    """Return the drop of a valve at a flow by a root search on valve_flow."""
    return float(
        brentq(lambda drop: valve_flow(valve, drop, oil) - flow, 1.0, 1e9, xtol=1e-7, rtol=1e-13)
    )
