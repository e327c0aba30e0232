"""Longer reference computations: the damper network, its limits and its sizing, by scipy."""

from __future__ import annotations

from functools import cache
from math import pi
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.optimize import brentq, least_squares

from tests.evidence.reference_flow import valve_flow, valve_pressure_drop

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_SIZES = ("bleed_area", "crack_pressure", "compliance", "port_area")


def _areas(damper: Mapping[str, Any]) -> tuple[float, float]:
    bore, rod = damper["piston_diameter"], damper["rod_diameter"]
    return pi / 4.0 * (bore**2 - rod**2), pi / 4.0 * rod**2


def _pressure_step(pair: Mapping[str, Any], flow: float, oil: Mapping[str, Any]) -> float:
    """Return the drop at which a pair of valves balances a flow, by a root search."""
    valve, size = (pair["compression"], flow) if flow > 0.0 else (pair["rebound"], -flow)
    drop = brentq(lambda p: valve_flow(valve, p, oil) - size, 1e-3, 1e9, xtol=1e-7, rtol=1e-13)
    return float(drop if flow > 0.0 else -drop)


def pressures(
    damper: Mapping[str, Any], velocity: float, gas_pressure: float, oil: Mapping[str, Any]
) -> tuple[float, float]:
    """Return head-side and rod-side pressure from the volume balances of both chambers."""
    ring, rod = _areas(damper)
    head = gas_pressure
    if "reserve" in damper:
        head += _pressure_step(damper["reserve"], rod * velocity, oil)
    return head, head - _pressure_step(damper["piston"], ring * velocity, oil)


def force(
    damper: Mapping[str, Any],
    velocity: float,
    gas_pressure: float,
    oil: Mapping[str, Any],
    pressure_ambient: float,
) -> float:
    """Return the rod force from the pressures on both faces of the piston and the air."""
    ring, rod = _areas(damper)
    head, behind = pressures(damper, velocity, gas_pressure, oil)
    friction = damper.get("seal_friction", 0.0) * (1.0 if velocity > 0.0 else -1.0)
    return float(head * (ring + rod) - behind * ring - pressure_ambient * rod + friction)


def adjusted_force(
    damper: Mapping[str, Any],
    scale: float,
    velocity: float,
    gas_pressure: float,
    oil: Mapping[str, Any],
) -> float:
    """Return the rod force with both bleeds of the piston opened to a share of their area."""
    piston = {
        way: {**valve, "bleed_area": scale * valve["bleed_area"]}
        for way, valve in damper["piston"].items()
    }
    return force({**damper, "piston": piston}, velocity, gas_pressure, oil, 101_325.0)


def lowest_pressure(
    damper: Mapping[str, Any], velocity: float, gas_pressure: float, oil: Mapping[str, Any]
) -> float:
    """Return the lower one of the chamber pressures."""
    return min(pressures(damper, velocity, gas_pressure, oil))


def margin(
    damper: Mapping[str, Any],
    velocity: float,
    gas_pressure: float,
    oil: Mapping[str, Any],
    release_pressure: float,
) -> float:
    """Return the lower chamber pressure above release."""
    return lowest_pressure(damper, velocity, gas_pressure, oil) - release_pressure


def shortfall(
    damper: Mapping[str, Any],
    velocity: float,
    gas_pressure: float,
    oil: Mapping[str, Any],
    release_pressure: float,
) -> float:
    """Return what the lower chamber pressure lacks to release, or zero."""
    return max(0.0, -margin(damper, velocity, gas_pressure, oil, release_pressure))


def ratio(
    damper: Mapping[str, Any], velocity: float, gas_pressure: float, oil: Mapping[str, Any]
) -> float:
    """Return the pressure step at the reserve valve over the one at the piston."""
    head, behind = pressures(damper, velocity, gas_pressure, oil)
    return (head - gas_pressure) / (head - behind)


def limiting_speed(
    damper: Mapping[str, Any],
    sign: float,
    gas_pressure: float,
    oil: Mapping[str, Any],
    release_pressure: float,
    maximum_speed: float,
) -> float:
    """Return the speed at which the margin passes zero, by a root search."""
    return float(
        brentq(
            lambda v: margin(damper, sign * v, gas_pressure, oil, release_pressure),
            1e-3,
            maximum_speed,
            xtol=1e-10,
        )
    )


def charge(
    damper: Mapping[str, Any],
    velocity: float,
    oil: Mapping[str, Any],
    release_pressure: float,
    kept: float,
) -> float:
    """Return the gas pressure at which the margin is the one to keep, by a root search."""
    return float(
        brentq(
            lambda p: margin(damper, velocity, p, oil, release_pressure) - kept,
            1e3,
            1e9,
            xtol=1e-6,
        )
    )


def fitted(
    flows: Sequence[float],
    pressure_drops: Sequence[float],
    frame: Mapping[str, float],
    oil: Mapping[str, float],
    name: str,
) -> float:
    """Return one size of the best-fitting valve, by the least squares of scipy."""
    sizes = _fit(tuple(flows), tuple(pressure_drops), tuple(frame.items()), tuple(oil.items()))
    return sizes[_SIZES.index(name)]


@cache
def _fit(
    flows: tuple[float, ...],
    pressure_drops: tuple[float, ...],
    frame_items: tuple[tuple[str, float], ...],
    oil_items: tuple[tuple[str, float], ...],
) -> tuple[float, ...]:
    frame, oil = dict(frame_items), dict(oil_items)
    lowest = np.log((1e-9, 1e3, 1e-14, 1e-7))
    highest = np.log((1e-4, max(pressure_drops), 1e-6, frame["port_limit"]))
    fixed = {key: frame[key] for key in ("disc_diameter", "max_lift")}

    def residuals(unknowns: Sequence[float]) -> list[float]:
        valve = fixed | dict(zip(_SIZES, np.exp(unknowns), strict=True))
        return [
            float(np.log(valve_pressure_drop(valve, flow, oil) / wanted))
            for flow, wanted in zip(flows, pressure_drops, strict=True)
        ]

    start = np.log((1e-6, 0.8 * pressure_drops[1], 1e-10, 3e-5))
    best = least_squares(residuals, start, bounds=(lowest, highest), xtol=1e-10, ftol=1e-10)
    return tuple(float(size) for size in np.exp(best.x))


def spread(
    damper: Mapping[str, Any],
    velocity: float,
    gas_pressure: float,
    oil: Mapping[str, Any],
    tolerances: Mapping[str, float],
    seed: int,
) -> float:
    """Return three standard deviations of the force by Monte Carlo, t = three of each input."""
    draw = np.random.default_rng(seed)
    forces = []
    for _ in range(400):
        share = {key: width / 3.0 * draw.standard_normal() for key, width in tolerances.items()}

        def changed(valve: Mapping[str, Any], share: Mapping[str, float] = share) -> dict[str, Any]:
            sizes = ("bleed_area", "crack_pressure", "compliance")
            return {**valve, **{key: valve[key] * (1.0 + share.get(key, 0.0)) for key in sizes}}

        unit = {
            "piston_diameter": damper["piston_diameter"] + share.get("piston_diameter", 0.0),
            "rod_diameter": damper["rod_diameter"],
            "piston": {
                key: changed(valve) for key, valve in damper["piston"].items() if key != "class"
            },
        }
        thin = {
            "density": oil["density"],
            "dynamic_viscosity": oil["dynamic_viscosity"]
            * (1.0 + share.get("dynamic_viscosity", 0.0)),
        }
        gas = gas_pressure * (1.0 + share.get("gas_pressure", 0.0))
        forces.append(force(unit, velocity, gas, thin, 101_325.0))
    return float(3.0 * np.std(forces, ddof=1))
