"""References for chamber, bench and loop: the same equations in pressure form, by scipy.

The bench carries amounts of oil in steps of fixed length. Here the pressures themselves
are integrated with step control by an implicit method of scipy, from
dp/dt = (inflow of volume) / (N C), and valves are solved by root search.
"""

from __future__ import annotations

import json
from functools import cache
from math import cos, pi, sin
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from scipy.differentiate import derivative
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import brentq

from tests.evidence.reference_flow import valve_flow
from tests.evidence.reference_network import force as steady_force

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from numpy.typing import NDArray

    Record = Mapping[str, Any]
    Motion = Callable[[float], tuple[float, float]]
    Series = NDArray[np.float64]

_ATMOSPHERE = 101_325.0  # Pa, ISO 2533
_RTOL = 1e-8
_SAMPLES = 4_000  # in one cycle


def relative_volume(oil: Record, pressure: Any) -> Any:  # noqa: ANN401  float or array
    """Return the volume of liquid and bubbles, each by itself."""
    reference, share = oil.get("reference_pressure", _ATMOSPHERE), oil["free_gas"]
    liquid = (1.0 - share) - (1.0 - share) * (pressure - reference) / oil["bulk_modulus"]
    return liquid + share * (reference / pressure) ** (1.0 / oil.get("gas_exponent", 1.0))


def compliance(oil: Record, pressure: float) -> float:
    """Return the slope of the volume, by numerical differentiation."""
    slope = derivative(lambda p: relative_volume(oil, p), pressure, initial_step=0.1 * pressure)
    return -float(slope.df)


def bulk_modulus_aerated(oil: Record, pressure: float) -> float:
    """Return volume over slope."""
    return float(relative_volume(oil, pressure)) / compliance(oil, pressure)


def pressure_work(oil: Record, pressure: float) -> float:
    """Return the integral of the volume over the pressure, by quadrature."""
    start = oil.get("reference_pressure", _ATMOSPHERE)
    work, _ = quad(lambda p: relative_volume(oil, p), start, pressure, epsrel=1e-12)
    return float(work)


class Cycle(NamedTuple):
    """The last cycle, finely sampled."""

    displacement: Series
    velocity: Series
    force: Series
    gas_force: Series
    head: Series
    rod: Series
    gas: Series


def _compliance(oil: Record, pressure: float) -> float:
    """Return C as PHYSICS prints it."""
    share, power = oil["free_gas"], 1.0 / oil.get("gas_exponent", 1.0)
    reference = oil.get("reference_pressure", _ATMOSPHERE)
    gas = share * power * reference**power * pressure ** (-power - 1.0)
    return float((1.0 - share) / oil["bulk_modulus"] + gas)


def _pair_flow(pair: Record, drop: float, oil: Record) -> float:
    if drop >= 0.0:
        return valve_flow(pair["compression"], drop, oil) if drop > 0.0 else 0.0
    return -valve_flow(pair["rebound"], -drop, oil)


def _areas(damper: Record) -> tuple[float, float]:
    bore, rod = damper["piston_diameter"], damper["rod_diameter"]
    return pi / 4.0 * bore**2, pi / 4.0 * rod**2


def _at_rest(damper: Record, filling: Record, oil: Record, x: float) -> float:
    """Return the one pressure at which all oil fits in at a displacement."""
    _, rod = _areas(damper)
    charge, volume = filling["gas_pressure"], filling["gas_volume"]
    oil_at_zero = filling["head_volume"] + filling["rod_volume"]
    swell = relative_volume(oil, charge)

    def excess(p: float) -> float:
        gas = volume * (charge / p) ** (1.0 / filling.get("gas_exponent", 1.4))
        in_chambers = (oil_at_zero - rod * x) / relative_volume(oil, p)
        return float(in_chambers + (volume - gas) / swell - oil_at_zero / swell)

    return float(brentq(excess, 0.01 * charge, 100.0 * charge, xtol=1e-6, rtol=1e-14))


def _pressures(
    specimen: Record, motion: Motion, times: Series, method: str, rtol: float
) -> tuple[Series, Series, Series]:
    """Return head-side, rod-side and gas pressure at rising times, at rest at the first."""
    damper, filling = specimen["damper"], specimen["filling"]
    oil, aerated = specimen["oil"], specimen["chamber_oil"]
    bore, rod = _areas(damper)
    ring = bore - rod
    charge, exponent = filling["gas_pressure"], filling.get("gas_exponent", 1.4)
    swell = float(relative_volume(aerated, charge))
    valve = damper.get("reserve")

    def gas_pressure(volume: Any) -> Any:  # noqa: ANN401  float or array
        return charge * (filling["gas_volume"] / volume) ** exponent

    def gas_volume(pressure: float) -> float:
        return float(filling["gas_volume"] * (charge / pressure) ** (1.0 / exponent))

    def rates(time: float, state: Series) -> list[float]:
        x, v = motion(time)
        head, behind = float(state[0]), float(state[1])
        head_v = float(relative_volume(aerated, head))
        rod_v = float(relative_volume(aerated, behind))
        head_n = (filling["head_volume"] - bore * x) / head_v
        rod_n = (filling["rod_volume"] + ring * x) / rod_v
        through = _pair_flow(damper["piston"], head - behind, oil)
        from_head = through if through > 0.0 else through * head_v / rod_v
        into_rod = through * rod_v / head_v if through > 0.0 else through
        rod_rate = (into_rod - ring * v) / (rod_n * _compliance(aerated, behind))
        head_room = head_n * _compliance(aerated, head)
        if valve is None:
            head_room += head_v / swell * gas_volume(head) / (exponent * head)
            return [(bore * v - from_head) / head_room, rod_rate]
        back = _pair_flow(valve, head - float(gas_pressure(state[2])), oil)
        out = back if back > 0.0 else back * head_v / swell
        gas_rate = -back * swell / head_v if back > 0.0 else -back
        return [(bore * v - from_head - out) / head_room, rod_rate, gas_rate]

    start = _at_rest(damper, filling, aerated, motion(float(times[0]))[0])
    state, scale = [start, start], [1.0, 1.0]
    if valve is not None:
        state, scale = [*state, gas_volume(start)], [*scale, 1e-12]
    solved = solve_ivp(
        rates,
        (float(times[0]), float(times[-1])),
        state,
        method=method,
        rtol=rtol,
        atol=scale,
        t_eval=times,
        max_step=float(times[-1] - times[0]) / 100.0,
    )
    head, behind = solved.y[0], solved.y[1]
    return head, behind, head if valve is None else gas_pressure(solved.y[2])


def _rod_force(specimen: Record, head: Any, behind: Any, velocity: Any) -> Any:  # noqa: ANN401  float or array
    """Return the force from the pressures on both faces of the piston and the friction."""
    damper = specimen["damper"]
    bore, rod = _areas(damper)
    ambient = specimen["filling"].get("pressure_ambient", _ATMOSPHERE)
    friction = damper.get("seal_friction", 0.0) * np.sign(velocity)
    return (head - ambient) * bore - (behind - ambient) * (bore - rod) + friction


def _integrate(
    specimen: Record, motion: Mapping[str, float], cycles: int, method: str, rtol: float
) -> Cycle:
    amplitude, omega = motion["amplitude"], 2.0 * pi * motion["frequency"]

    def moved(time: float) -> tuple[float, float]:
        return -amplitude * cos(omega * time), amplitude * omega * sin(omega * time)

    samples = np.linspace(0.0, cycles / motion["frequency"], cycles * _SAMPLES + 1)
    everything = _pressures(specimen, moved, samples, method, rtol)
    times = samples[-_SAMPLES - 1 :]
    head, behind, gas = (column[-_SAMPLES - 1 :] for column in everything)
    _, rod = _areas(specimen["damper"])
    ambient = specimen["filling"].get("pressure_ambient", _ATMOSPHERE)
    velocity = amplitude * omega * np.sin(omega * times)
    velocity[[0, _SAMPLES // 2, _SAMPLES]] = 0.0
    force = _rod_force(specimen, head, behind, velocity)
    place = -amplitude * np.cos(omega * times)
    return Cycle(place, velocity, force, (gas - ambient) * rod, head, behind, gas)


@cache
def _cycle(specimen: str, motion: str, cycles: int, method: str, rtol: float) -> Cycle:
    return _integrate(json.loads(specimen), json.loads(motion), cycles, method, rtol)


def last_cycle(
    specimen: Record, motion: Record, cycles: int, method: str = "Radau", rtol: float = _RTOL
) -> Cycle:
    """Return the last cycle of a sine that starts at rest with the rod out."""
    return _cycle(json.dumps(specimen), json.dumps(motion), cycles, method, rtol)


def force_at(specimen: Record, motion: Record, cycles: int, quarter: int) -> float:
    """Return the force a number of quarter turns into the last cycle."""
    return float(last_cycle(specimen, motion, cycles).force[quarter * _SAMPLES // 4])


def force_at_speed(
    specimen: Record, amplitude: float, speed: float, cycles: int, quarter: int
) -> float:
    """Return the same for a sine that is told by its peak speed."""
    motion = {"frequency": speed / (2.0 * pi * amplitude), "amplitude": amplitude}
    return force_at(specimen, motion, cycles, quarter)


def record_force(
    specimen: Record, times: list[float], displacements: list[float], at: float
) -> float:
    """Return the force at a time of a record; its curve from scipy, its slopes from numpy."""
    slopes = np.gradient(displacements, times, edge_order=2)
    curve = CubicHermiteSpline(times, displacements, slopes)
    slope = curve.derivative()

    def moved(time: float) -> tuple[float, float]:
        return float(curve(time)), float(slope(time))

    ends = np.array([times[0], at])
    head, behind, _ = _pressures(specimen, moved, ends, "Radau", _RTOL)
    return float(_rod_force(specimen, head[-1], behind[-1], moved(at)[1]))


def peak_compression(specimen: Record, motion: Record, cycles: int) -> float:
    """Return the largest force against compression."""
    return float(np.max(last_cycle(specimen, motion, cycles).force))


def peak_rebound(specimen: Record, motion: Record, cycles: int) -> float:
    """Return the largest force against rebound."""
    return -float(np.min(last_cycle(specimen, motion, cycles).force))


def energy(specimen: Record, motion: Record, cycles: int) -> float:
    """Return the area of the force-displacement loop."""
    cycle = last_cycle(specimen, motion, cycles)
    return float(np.trapezoid(cycle.force, cycle.displacement))


def hysteresis(specimen: Record, motion: Record, cycles: int) -> float:
    """Return the difference of the damping force between the two reversals."""
    cycle = last_cycle(specimen, motion, cycles)
    damping = cycle.force - cycle.gas_force
    return abs(float(damping[-1] - damping[_SAMPLES // 2]))


def phase(specimen: Record, motion: Record, cycles: int) -> float:
    """Return the lag of the damping force at the driving frequency, by the FFT."""
    cycle = last_cycle(specimen, motion, cycles)
    damping = cycle.force - cycle.gas_force
    damping[0] = 0.5 * (damping[0] + damping[-1])  # ends not yet equal after few cycles
    spectrum = np.fft.rfft(damping[:-1])[1]
    return float(np.angle(np.fft.rfft(cycle.velocity[:-1])[1] / spectrum))


def lowest_pressure_rod(specimen: Record, motion: Record, cycles: int) -> float:
    """Return the lowest pressure of the rod side."""
    return float(np.min(last_cycle(specimen, motion, cycles).rod))


def lost_stroke(
    specimen: Record, motion: Record, cycles: int, *, rebound: bool, share: float = 0.5
) -> float:
    """Return the travel after a reversal until the force has come, at the fine samples."""
    cycle = last_cycle(specimen, motion, cycles)
    damper = {**specimen["damper"], "seal_friction": 0.0}
    friction = specimen["damper"].get("seal_friction", 0.0)
    begin, sign = (_SAMPLES // 2, -1.0) if rebound else (0, 1.0)
    _, rod = _areas(damper)
    for i in range(begin + 1, begin + _SAMPLES // 2):
        v, gas = float(cycle.velocity[i]), float(cycle.gas[i])
        still = (gas - _ATMOSPHERE) * rod
        steady = steady_force(damper, v, gas, specimen["oil"], _ATMOSPHERE) - still
        real = float(cycle.force[i] - cycle.gas_force[i]) - sign * friction
        if sign * real >= share * sign * steady:
            return float(abs(cycle.displacement[i] - cycle.displacement[begin]))
    message = "the force never came"
    raise ArithmeticError(message)
