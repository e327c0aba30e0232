"""References for frequency.py: the linear quarter car as a state space, by numpy and scipy.

States are what springs and masses hold: tyre deflection, wheel velocity, suspension travel,
body velocity, and bush deflection if there is one. The input is the road's velocity.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.integrate import quad
from scipy.linalg import eigh, solve_continuous_lyapunov

from tests.evidence.reference_comfort import weighting

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    Record = Mapping[str, Any]
    Matrix = NDArray[np.float64]

_OUTPUTS = ("body_acceleration", "travel", "tyre_force", "damper_velocity", "body", "wheel")


def _state_space(car: Record) -> tuple[Matrix, Matrix, Matrix, Matrix]:
    m_s, m_u = car["sprung_mass"], car["unsprung_mass"]
    k, k_t, c_t = car["wheel_rate"], car["tyre_rate"], car.get("tyre_damping", 0.0)
    c, ratio, bush = car["damping"], car.get("motion_ratio", 1.0), car.get("bush_rate", inf)
    soft = bush != inf
    # Rows of coefficients of (tyre deflection, wheel velocity, travel, body velocity, bush).
    rate = np.array([0.0, 1.0, 0.0, -1.0, 0.0])
    deflection = np.array([0.0, 0.0, 0.0, 0.0, 1.0])
    rod = bush / c * deflection if soft else ratio * rate
    spring = np.array([0.0, 0.0, k, 0.0, 0.0]) + ratio * c * rod
    tyre = np.array([k_t, -c_t, 0.0, 0.0, 0.0])
    a = np.array(
        [
            [0.0, -1.0, 0.0, 0.0, 0.0],
            (tyre - spring) / m_u,
            rate,
            spring / m_s,
            ratio * rate - rod if soft else 0.0 * rate,
        ]
    )
    b = np.array([[1.0], [c_t / m_u], [0.0], [0.0], [0.0]])
    outputs = np.array([spring / m_s, [0.0, 0.0, 1.0, 0.0, 0.0], tyre, rod])
    through = np.array([[0.0], [0.0], [c_t], [0.0]])
    states = 5 if soft else 4
    return a[:states, :states], b[:states], outputs[:, :states], through


def _gains(car: Record, frequency: float) -> dict[str, complex]:
    """Return the responses to a road of 1 m at one frequency."""
    a, b, c, d = _state_space(car)
    omega = 2.0 * np.pi * frequency
    states = np.linalg.solve(1j * omega * np.eye(len(a)) - a, b)
    found = [complex(value) * 1j * omega for value in (c @ states + d)[:, 0]]
    acceleration, travel, force, rod = found
    body = -acceleration / omega**2
    return dict(zip(_OUTPUTS, (acceleration, travel, force, rod, body, body + travel), strict=True))


def amplitude(name: str, car: Record, frequency: float, road: float) -> float:
    """Return the size of one response to a corrugation."""
    if name == "damper_power":
        return 0.5 * float(car["damping"]) * amplitude("damper_velocity", car, frequency, road) ** 2
    return road * abs(_gains(car, frequency)[name])


def part(name: str, which: str, car: Record, frequency: float) -> float:
    """Return the real or imaginary part ("real", "imag") of one response to 1 m."""
    return float(getattr(_gains(car, frequency)[name], which))


def natural_frequency(car: Record, which: int) -> float:
    """Return the first (0) or second (1) undamped frequency, by the matrix pair M, K."""
    k, k_t = car["wheel_rate"], car["tyre_rate"]
    stiffness = np.array([[k, -k], [-k, k + k_t]])
    squares = eigh(
        stiffness, np.diag([car["sprung_mass"], car["unsprung_mass"]]), eigvals_only=True
    )
    return float(np.sqrt(squares[which]) / (2.0 * np.pi))


def _level(roughness: float, speed: float) -> float:
    return float((2.0 * np.pi * 0.1) ** 2 * roughness * speed)


def rms_all_waves(name: str, car: Record, roughness: float, speed: float) -> float:
    """Return an rms value under white road velocity, by the Lyapunov equation of the states."""
    a, b, c, _ = _state_space(car)
    spread = solve_continuous_lyapunov(a, -0.5 * _level(roughness, speed) * (b @ b.T))
    output = c[_OUTPUTS.index("damper_velocity" if name == "damper_power" else name)]
    square = float(output @ spread @ output)
    return float(car["damping"]) * square if name == "damper_power" else float(np.sqrt(square))


def rms_in_band(
    name: str, car: Record, roughness: float, speed: float, shortest: float, longest: float
) -> float:
    """Return an rms value within a band of wavelengths, by adaptive quadrature."""
    level = _level(roughness, speed)

    def density(frequency: float) -> float:
        output = {"weighted_acceleration": "body_acceleration", "damper_power": "damper_velocity"}
        gain = abs(_gains(car, frequency)[output.get(name, name)]) / (2.0 * np.pi * frequency)
        if name == "weighted_acceleration":
            gain *= weighting(frequency)
        return float(gain**2 * level)

    ends = (speed / longest, speed / shortest)
    marks = [
        f for f in (natural_frequency(car, 0), natural_frequency(car, 1)) if ends[0] < f < ends[1]
    ]
    square, _ = quad(density, *ends, points=marks, epsrel=1e-6, limit=200)
    return float(car["damping"]) * square if name == "damper_power" else float(np.sqrt(square))
