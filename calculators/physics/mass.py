"""The mass of the round parts of a damper: tubes, rods, oil."""

from __future__ import annotations

from math import pi

from calculators.errors import ConflictError, require_above, require_at_least

__all__ = ["STEEL_DENSITY", "rod_mass", "tube_mass"]

STEEL_DENSITY = 7850.0  # kg/m³, unalloyed steel, as in EN 10220's masses of tubes


def tube_mass(*, outer_diameter: float, wall: float, length: float) -> float:
    """Return the mass of a steel tube.

    m = ρ π (D − T) T L

    Parameters
    ----------
    outer_diameter : float
        D, outer diameter [m], > 0.
    wall : float
        T, thickness of the wall [m], > 0 and at most half of the outer diameter.
    length : float
        L, length of the tube [m], ≥ 0.

    Returns
    -------
    float
        m, mass of the tube [kg], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the wall is thicker than half of the tube.

    Notes
    -----
    Limits: plain ends, unalloyed steel of 7 850 kg/m³, no brackets, no closures.

    References
    ----------
    derivation: the ring π (D² − (D − 2T)²)/4 = π (D − T) T.
    standard: EN 10220, masses per unit length by M = 0.024 661 5 (D − T) T (value from memory).

    Examples
    --------
    By hand: 7 850 · π · 0.0475 · 0.0025 = 2.928 55.

    >>> round(tube_mass(outer_diameter=0.050, wall=0.0025, length=1.0), 3)
    2.929
    """
    require_above(0.0, outer_diameter, "Outer diameter", "m", "Measure the tube.")
    require_above(0.0, wall, "Wall", "m", "Measure the tube.")
    require_at_least(0.0, length, "Length", "m", "Measure the tube.")
    if 2.0 * wall > outer_diameter:
        message = "The wall is thicker than half of the tube. Give a thinner wall or a wider tube."
        raise ConflictError(message, inputs=("outer_diameter", "wall"))
    return STEEL_DENSITY * pi * (outer_diameter - wall) * wall * length


def rod_mass(*, diameter: float, length: float) -> float:
    """Return the mass of a solid steel rod.

    m = ρ π d² L / 4

    Parameters
    ----------
    diameter : float
        d, diameter of the rod [m], > 0.
    length : float
        L, length of the rod [m], ≥ 0.

    Returns
    -------
    float
        m, mass of the rod [kg], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a solid rod of unalloyed steel, 7 850 kg/m³, no thread and no eye.

    References
    ----------
    derivation: density times the volume of a cylinder.

    Examples
    --------
    >>> round(rod_mass(diameter=0.020, length=1.0), 3)
    2.466
    """
    require_above(0.0, diameter, "Diameter", "m", "Measure the rod.")
    require_at_least(0.0, length, "Length", "m", "Measure the rod.")
    return STEEL_DENSITY * pi * diameter**2 * length / 4.0
