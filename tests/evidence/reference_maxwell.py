"""References for a spring in series with a dashpot, by scipy.signal and scipy.integrate."""

from __future__ import annotations

from cmath import phase
from math import cos, pi

from scipy.integrate import solve_ivp
from scipy.signal import freqs


def _force_over_velocity(frequency: float, stiffness: float, damping: float) -> complex:
    """Return F/v of c K / (c s + K)."""
    _, values = freqs([damping * stiffness], [damping, stiffness], worN=[2.0 * pi * frequency])
    return complex(values[0])


def force_phase(frequency: float, stiffness: float, damping: float) -> float:
    """Return the lag of the force behind the velocity."""
    return -phase(_force_over_velocity(frequency, stiffness, damping))


def effective_damping(frequency: float, stiffness: float, damping: float) -> float:
    """Return the real part of F/v."""
    return _force_over_velocity(frequency, stiffness, damping).real


def storage_stiffness(frequency: float, stiffness: float, damping: float) -> float:
    """Return the real part of F/x."""
    return (2j * pi * frequency * _force_over_velocity(frequency, stiffness, damping)).real


def loss_stiffness(frequency: float, stiffness: float, damping: float) -> float:
    """Return the imaginary part of F/x."""
    return (2j * pi * frequency * _force_over_velocity(frequency, stiffness, damping)).imag


def energy_per_cycle(frequency: float, amplitude: float, stiffness: float, damping: float) -> float:
    """Return the work of one cycle after the start has died away, by integration in time."""
    omega = 2.0 * pi * frequency

    def rates(time: float, state: list[float]) -> tuple[float, float]:
        velocity = amplitude * omega * cos(omega * time)
        return stiffness * (velocity - state[0] / damping), state[0] * velocity

    period = 1.0 / frequency
    settled = solve_ivp(rates, (0.0, 40.0 * period), (0.0, 0.0), rtol=1e-10, atol=1e-9)
    state = (float(settled.y[0, -1]), 0.0)
    last = solve_ivp(rates, (0.0, period), state, rtol=1e-10, atol=1e-9)
    return float(last.y[1, -1])


def lost_stroke(velocity: float, stiffness: float, damping: float, force_share: float) -> float:
    """Return the travel after a reversal until the force has arrived, by integration in time."""

    def rate(_time: float, state: list[float]) -> tuple[float]:
        return (stiffness * (velocity - state[0] / damping),)

    def arrived(_time: float, state: list[float]) -> float:
        return state[0] - force_share * damping * velocity

    end = 50.0 * damping / stiffness
    start = (-damping * velocity,)
    done = solve_ivp(rate, (0.0, end), start, events=arrived, rtol=1e-11, atol=1e-9)
    return float(done.t_events[0][0]) * velocity
