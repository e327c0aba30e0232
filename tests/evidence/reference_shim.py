"""References for plates and shim stacks, none of which shares a line with our solution.

`shooting_*` integrate the plate's differential equations with SciPy. `two_stage_lift`
builds both stacks from finite elements and lets them touch anywhere. `roark_*` write out
the general formulas of Roark's Formulas for Stress and Strain, table 11.2.
"""

from __future__ import annotations

from itertools import pairwise
from math import log, pi
from typing import TYPE_CHECKING

import numpy as np
from scipy.integrate import solve_ivp
from scipy.linalg import cholesky, solve_triangular
from scipy.optimize import nnls

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]


def _rigidity(radius: float, outer_radii: Sequence[float], rigidities: Sequence[float]) -> float:
    return next(d for end, d in zip(outer_radii, rigidities, strict=True) if radius <= end)


def _shoot(
    inner_radius: float,
    outer_radii: Sequence[float],
    rigidities: Sequence[float],
    poisson_ratio: float,
    band: tuple[float, float, float],
    ring: tuple[float, float],
    station: float,
) -> tuple[float, float]:
    """Return deflection at the station and radial moment at the clamp."""
    nu = poisson_ratio
    band_inner, band_outer, pressure = band
    cuts = sorted({inner_radius, *outer_radii, band_inner, band_outer, ring[0], station})
    edge = outer_radii[-1]

    def run(moment: float, scale: float) -> tuple[float, float]:
        state, seen = [0.0, 0.0, moment], 0.0
        for start, end in pairwise(r for r in cuts if inner_radius <= r <= edge):
            middle = 0.5 * (start + end)
            d = _rigidity(middle, outer_radii, rigidities)

            def slope(
                r: float, y: Array, d: float = d, middle: float = middle
            ) -> tuple[float, float, float]:
                low = min(max(r, band_inner), band_outer)
                outside = pi * pressure * (band_outer**2 - low**2)
                outside += ring[1] if middle < ring[0] else 0.0
                shear = scale * outside / (2.0 * pi * r)
                return (
                    y[1],
                    y[2] / d - nu * y[1] / r,
                    -(1.0 - nu) * y[2] / r + d * (1.0 - nu**2) * y[1] / r**2 - shear,
                )

            done = solve_ivp(slope, (start, end), state, method="DOP853", rtol=1e-11, atol=1e-15)
            state = [float(v) for v in done.y[:, -1]]
            if end <= station:
                seen = state[0]
        return seen, state[2]

    seen_loaded, end_loaded = run(0.0, 1.0)
    seen_moment, end_moment = run(1.0, 0.0)
    clamp_moment = -end_loaded / end_moment
    return seen_loaded + clamp_moment * seen_moment, clamp_moment


def shooting_deflection(
    inner_radius: float,
    outer_radii: Sequence[float],
    rigidities: Sequence[float],
    poisson_ratio: float,
    band: tuple[float, float, float],
    ring: tuple[float, float],
    station: float,
) -> float:
    """Return the deflection at a radius of a stepped plate, by scipy.integrate.solve_ivp."""
    return _shoot(inner_radius, outer_radii, rigidities, poisson_ratio, band, ring, station)[0]


def shooting_clamp_moment(
    inner_radius: float,
    outer_radii: Sequence[float],
    rigidities: Sequence[float],
    poisson_ratio: float,
    band: tuple[float, float, float],
    ring: tuple[float, float],
) -> float:
    """Return the radial moment at the clamp of a stepped plate, by scipy.integrate.solve_ivp."""
    edge = outer_radii[-1]
    return _shoot(inner_radius, outer_radii, rigidities, poisson_ratio, band, ring, edge)[1]


def _stack_plate(
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
) -> tuple[list[float], list[float]]:
    """Return where each ring of a stack ends and its rigidity."""
    factor = youngs_modulus / (12.0 * (1.0 - poisson_ratio**2))
    ends = sorted({d / 2.0 for d in diameters})
    shims = list(zip(diameters, thicknesses, strict=True))
    return ends, [factor * sum(t**3 for d, t in shims if d / 2.0 >= end) for end in ends]


def shooting_compliance(
    clamp_diameter: float,
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
    port: tuple[float, float],
    seat_diameter: float,
) -> float:
    """Return lift at the seat per pascal of a shim stack, by scipy.integrate.solve_ivp."""
    ends, rigidities = _stack_plate(diameters, thicknesses, youngs_modulus, poisson_ratio)
    band = (port[0] / 2.0, port[1] / 2.0, 1.0)
    inner, seat = clamp_diameter / 2.0, seat_diameter / 2.0
    return shooting_deflection(inner, ends, rigidities, poisson_ratio, band, (ends[-1], 0.0), seat)


class _Mesh:
    """A ring plate of cubic (Hermite) elements, clamped inside."""

    def __init__(
        self, clamp: float, ends: list[float], rigidities: list[float], nu: float, nodes: Array
    ) -> None:
        self.nodes = nodes[(nodes >= clamp) & (nodes <= ends[-1])]
        count = 2 * len(self.nodes)
        self.stiffness = np.zeros((count, count))
        points, weights = np.polynomial.legendre.leggauss(5)
        for index, (low, high) in enumerate(pairwise(self.nodes)):
            length = high - low
            d = _rigidity(0.5 * (low + high), ends, rigidities)
            part = np.zeros((4, 4))
            for x, weight in zip(0.5 * (points + 1.0), 0.5 * weights, strict=True):
                r = low + x * length
                first = _first(x, length) / r
                second = _second(x, length)
                both = np.outer(first, second)
                energy = np.outer(second, second) + np.outer(first, first) + nu * (both + both.T)
                part += 2.0 * pi * r * d * weight * length * energy
            place = slice(2 * index, 2 * index + 4)
            self.stiffness[place, place] += part

    def band(self, low: float, high: float, pressure: float) -> Array:
        """Return the nodal loads of pressure on elements inside a band."""
        loads = np.zeros(2 * len(self.nodes))
        points, weights = np.polynomial.legendre.leggauss(5)
        for index, (start, end) in enumerate(pairwise(self.nodes)):
            if not low <= 0.5 * (start + end) <= high:
                continue
            for x, weight in zip(0.5 * (points + 1.0), 0.5 * weights, strict=True):
                r = start + x * (end - start)
                share = 2.0 * pi * r * pressure * weight * (end - start)
                loads[2 * index : 2 * index + 4] += share * _shape(x, end - start)
        return loads

    def solve(self, loads: Array) -> Array:
        """Return deflections and slopes; the first node is held."""
        result = np.zeros_like(loads)
        result[2:] = np.linalg.solve(self.stiffness[2:, 2:], loads[2:])
        return result

    def node(self, radius: float) -> int:
        """Return the number of the node at a radius."""
        return int(np.argmin(np.abs(self.nodes - radius)))


def _shape(x: float, length: float) -> Array:
    return np.array(
        [
            1 - 3 * x**2 + 2 * x**3,
            length * (x - 2 * x**2 + x**3),
            3 * x**2 - 2 * x**3,
            length * (x**3 - x**2),
        ]
    )


def _first(x: float, length: float) -> Array:
    return np.array(
        [
            (-6 * x + 6 * x**2) / length,
            1 - 4 * x + 3 * x**2,
            (6 * x - 6 * x**2) / length,
            3 * x**2 - 2 * x,
        ]
    )


def _second(x: float, length: float) -> Array:
    return np.array(
        [
            (-6 + 12 * x) / length**2,
            (-4 + 6 * x) / length,
            (6 - 12 * x) / length**2,
            (6 * x - 2) / length,
        ]
    )


def two_stage_lift(
    first: tuple[float, Sequence[float], Sequence[float]],
    gap: float,
    second: tuple[float, Sequence[float], Sequence[float]],
    youngs_modulus: float,
    poisson_ratio: float,
    port: tuple[float, float],
    seat_diameter: float,
    pressure: float,
) -> float:
    """Return the deflection at the seat of two stacks that may touch at any node.

    Finite elements (NumPy) and the contact as a linear complementarity problem, solved
    with scipy.optimize.nnls. Each stack is (clamp diameter, diameters, thicknesses).
    """
    plates = [_stack_plate(s[1], s[2], youngs_modulus, poisson_ratio) for s in (first, second)]
    fixed = [first[0], second[0], *port, seat_diameter]
    cuts = sorted({d / 2.0 for d in fixed} | set(plates[0][0]) | set(plates[1][0]))
    nodes = np.unique(np.concatenate([np.linspace(low, high, 13) for low, high in pairwise(cuts)]))
    lower, upper = (
        _Mesh(stack[0] / 2.0, *plate, poisson_ratio, nodes)
        for stack, plate in zip((first, second), plates, strict=True)
    )
    free = lower.solve(lower.band(port[0] / 2.0, port[1] / 2.0, pressure))
    start = max(first[0], second[0]) / 2.0
    shared = [
        r for r in lower.nodes if r > start + 1e-9 and r <= min(plates[0][0][-1], plates[1][0][-1])
    ]
    below = [2 * lower.node(r) for r in shared]
    above = [2 * upper.node(r) for r in shared]
    movement_below = np.linalg.inv(lower.stiffness[2:, 2:])[np.ix_(
        [i - 2 for i in below], [i - 2 for i in below]
    )]  # fmt: skip
    movement_above = np.linalg.inv(upper.stiffness[2:, 2:])[np.ix_(
        [i - 2 for i in above], [i - 2 for i in above]
    )]  # fmt: skip
    softness = movement_below + movement_above
    scale = float(np.trace(softness)) / len(shared)
    root = cholesky(softness / scale + 1e-10 * np.eye(len(shared)))
    target = solve_triangular(root, (free[below] - gap) / gap, trans="T")
    contact = nnls(root, target, maxiter=3000)[0] * gap / scale
    loads = lower.band(port[0] / 2.0, port[1] / 2.0, pressure)
    loads[below] -= contact
    return float(lower.solve(loads)[2 * lower.node(seat_diameter / 2.0)])


def roark_line_load_edge_deflection(
    a: float, b: float, r_o: float, w: float, d: float, nu: float
) -> float:
    """Return y_a of table 11.2, case 1l: line load w at r_o, outer edge free, inner fixed."""
    c_2, c_3, c_8, c_9 = _roark_constants(a, b, nu)
    s = r_o / a
    l_3 = s / 4.0 * ((s**2 + 1.0) * log(1.0 / s) + s**2 - 1.0)
    l_9 = s * ((1.0 + nu) / 2.0 * log(1.0 / s) + (1.0 - nu) / 4.0 * (1.0 - s**2))
    m_rb = -w * a / c_8 * (r_o * c_9 / b - l_9)
    q_b = w * r_o / b
    return m_rb * a**2 / d * c_2 + q_b * a**3 / d * c_3 - w * a**3 / d * l_3


def roark_pressure_edge_deflection(
    a: float, b: float, r_o: float, q: float, d: float, nu: float
) -> float:
    """Return y_a of table 11.2, case 2l: q from r_o to a, outer edge free, inner fixed."""
    c_2, c_3, c_8, c_9 = _roark_constants(a, b, nu)
    s = r_o / a
    l_11 = (
        1.0 + 4.0 * s**2 - 5.0 * s**4 - 4.0 * s**2 * (2.0 + s**2) * log(1.0 / s)
    ) / 64.0  # fmt: skip
    l_17 = 0.25 * (1.0 - (1.0 - nu) / 4.0 * (1.0 - s**4) - s**2 * (1.0 + (1.0 + nu) * log(1.0 / s)))
    m_rb = -q * a**2 / c_8 * (c_9 / (2.0 * a * b) * (a**2 - r_o**2) - l_17)
    q_b = q / (2.0 * b) * (a**2 - r_o**2)
    return m_rb * a**2 / d * c_2 + q_b * a**3 / d * c_3 - q * a**4 / d * l_11


def _roark_constants(a: float, b: float, nu: float) -> tuple[float, float, float, float]:
    s = b / a
    return (
        0.25 * (1.0 - s**2 * (1.0 + 2.0 * log(1.0 / s))),
        s / 4.0 * ((s**2 + 1.0) * log(1.0 / s) + s**2 - 1.0),
        0.5 * (1.0 + nu + (1.0 - nu) * s**2),
        s * ((1.0 + nu) / 2.0 * log(1.0 / s) + (1.0 - nu) / 4.0 * (1.0 - s**2)),
    )
