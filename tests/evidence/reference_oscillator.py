"""Longer reference computations for the rows of oscillator.toml, by general-purpose libraries."""

from __future__ import annotations

import control
import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.signal import step

_POINTS = 40_001


def _second_order(frequency: float, ratio: float) -> control.TransferFunction:
    omega = 2.0 * np.pi * frequency
    return control.TransferFunction([omega**2], [1.0, 2.0 * ratio * omega, omega**2])


def damping_by_poles(mass: float, damping: float, stiffness: float, which: int) -> float:
    """Return frequency [Hz] (which = 0) or damping ratio (1) of m, c, k by control.damp."""
    system = control.TransferFunction([1.0], [mass, damping, stiffness])
    frequencies, ratios, _ = control.damp(system, doprint=False)
    return float(frequencies[0] / (2.0 * np.pi) if which == 0 else ratios[0])


def critical_by_poles(mass: float, stiffness: float) -> float:
    """Return the damping at which the poles of m, c, k stop having an imaginary part."""

    def imaginary(damping: float) -> float:
        # Signed: half the distance of the poles, squared.
        first, second = np.roots([mass, damping, stiffness])
        return float(np.real((first - second) ** 2))

    return float(brentq(imaginary, 1.0, 1e6, xtol=1e-9))


def swing_frequency(frequency: float, ratio: float) -> float:
    """Return the imaginary part of the roots as a frequency."""
    omega = 2.0 * np.pi * frequency
    return float(np.max(np.imag(np.roots([1.0, 2.0 * ratio * omega, omega**2]))) / (2.0 * np.pi))


def step_figure(frequency: float, ratio: float, end: float, figure: str) -> float:
    """Return a figure of control.step_info, sampled from 0 to `end` seconds."""
    times = np.linspace(0.0, end, _POINTS)
    info = control.step_info(_second_order(frequency, ratio), timepts=times)
    return float(info[figure])


def step_value(frequency: float, ratio: float, time: float) -> float:
    """Return the unit step response at one instant, by scipy.signal.step."""
    omega = 2.0 * np.pi * frequency
    system = ([omega**2], [1.0, 2.0 * ratio * omega, omega**2])
    return float(step(system, T=np.array([0.0, time]))[1][-1])


def _motion(ratio: float, end: float) -> tuple[list[float], list[float]]:
    """Return instants (ω_n t) and travels of the extremes after a release from 1."""

    def slope(_time: float, state: np.ndarray) -> list[float]:
        return [state[1], -state[0] - 2.0 * ratio * state[1]]

    def at_rest(_time: float, state: np.ndarray) -> float:
        return float(state[1])

    solution = solve_ivp(
        slope, (0.0, end), [1.0, 0.0], method="DOP853", rtol=1e-12, atol=1e-14, events=at_rest
    )
    return list(solution.t_events[0]), [float(state[0]) for state in solution.y_events[0]]


def decrement_of_peaks(ratio: float) -> float:
    """Return ln of two successive peaks of an integrated motion."""
    _, extremes = _motion(ratio, 20.0)
    peaks = [value for value in extremes if 0.0 < value < 1.0 - 1e-9]
    return float(np.log(peaks[0] / peaks[1]))


def release_value(frequency: float, ratio: float, time: float) -> float:
    """Return the travel after a release from 1, integrated by scipy.integrate.solve_ivp."""
    omega = 2.0 * np.pi * frequency

    def slope(_time: float, state: np.ndarray) -> list[float]:
        return [state[1], -(omega**2) * state[0] - 2.0 * ratio * omega * state[1]]

    solution = solve_ivp(slope, (0.0, time), [1.0, 0.0], method="DOP853", rtol=1e-12, atol=1e-14)
    return float(solution.y[0, -1])


def envelope_crossing(frequency: float, ratio: float, band: float) -> float:
    """Return the instant at which the modulus of the complex motion falls to the band."""
    omega = 2.0 * np.pi * frequency
    root = np.roots([1.0, 2.0 * ratio * omega, omega**2])[0]
    height = abs(root.conjugate() / (root - root.conjugate())) * 2.0

    def excess(time: float) -> float:
        return float(height * abs(np.exp(root * time)) - band)

    return float(brentq(excess, 0.0, 1e3 / (ratio * omega), xtol=1e-13))


def step_overshoot(frequency: float, ratio: float, end: float) -> float:
    """Return the overshoot of control.step_info as a share instead of percent."""
    return step_figure(frequency, ratio, end, "Overshoot") / 100.0
