"""The rod as a column: what it carries before it bows out, and its stresses."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import Literal

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)
from calculators.physics.area import annulus_area

__all__ = ["ColumnLoad", "RodStress", "column_load", "rod_stress"]

YOUNGS_MODULUS = 205e9  # Pa, steel, common practice (200 to 210 GPa)
_STRENGTH = "From the material's certificate, at the thinnest section."


@dataclass(frozen=True, slots=True)
class ColumnLoad:
    """What a round rod carries as a column.

    Attributes
    ----------
    critical_force : float
        at which it buckles or yields [N].
    critical_stress : float
        that force over the section [Pa].
    slenderness : float
        effective length over radius of gyration [1].
    slenderness_transition : float
        above it Euler holds, below it Johnson [1].
    regime : str
        "euler" or "johnson".
    """

    critical_force: float
    critical_stress: float
    slenderness: float
    slenderness_transition: float
    regime: Literal["euler", "johnson"]

    def safety(self, force: float) -> float:
        """Return critical force over a compressive force [1]."""
        require_above(0.0, force, "Force", "N", "Compression, as a positive number.")
        return self.critical_force / force


@dataclass(frozen=True, slots=True)
class RodStress:
    """Stress in a rod under an axial force and a bending moment.

    Attributes
    ----------
    axial : float
        force over section, compression positive [Pa].
    bending : float
        at the outer fibre [Pa].
    largest : float
        their sum on the worse side [Pa].
    use : float
        largest stress over yield strength [1].
    """

    axial: float
    bending: float
    largest: float
    use: float


def column_load(
    *,
    diameter: float,
    length: float,
    yield_strength: float,
    end_factor: float = 1.0,
    bore_diameter: float = 0.0,
    youngs_modulus: float = YOUNGS_MODULUS,
) -> ColumnLoad:
    """Return the compressive force at which a rod buckles.

    s = K L/i,   s_t = √(2π² E/S_y)
    slender, s ≥ s_t (Euler): σ = π² E/s²
    stocky, s < s_t (Johnson): σ = S_y − (S_y s/2π)²/E

    A damper rod is longest, and weakest, when it is extended; that is when a sudden
    compression stroke catches it.

    Parameters
    ----------
    diameter : float
        of the rod, outside [m], > 0.
    length : float
        L, free length between its supports [m], > 0.
    yield_strength : float
        S_y [Pa], > 0.
    end_factor : float
        K, effective over free length: both ends pinned 1, one fixed and one pinned
        0.7 (theory) to 0.8, both fixed 0.5 to 0.65, free end 2 [1], 0.5 to 2.5.
    bore_diameter : float
        of a hollow rod; zero: solid [m], ≥ 0.
    youngs_modulus : float
        E, steel 200 to 210 GPa (common practice) [Pa], > 0.

    Returns
    -------
    ColumnLoad
        Force, stress, slenderness and regime.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the bore leaves no rod.

    Notes
    -----
    Limits: straight rod, force along its axis. A factor of 3 or more on the largest
    force is usual for a rod that may be knocked from the side (common practice); test
    and sign-off by a qualified engineer come before road use.

    References
    ----------
    book: J. E. Shigley, Mechanical Engineering Design, chapter on columns: Euler, and
        the parabolic equation of J. B. Johnson (chapter: value from memory).
    derivation: both curves give S_y/2 at s_t.

    Examples
    --------
    By hand: 0.9/(0.02/4) = 180, above π √(2 · 205/0.4) = 100.6.

    >>> load = column_load(diameter=0.02, length=0.9, yield_strength=400e6)
    >>> load.regime, round(load.slenderness, 3)
    ('euler', 180.0)
    """
    require_above(0.0, diameter, "Rod diameter", "m")
    require_above(0.0, length, "Free length", "m", "Between the supports.")
    require_above(0.0, yield_strength, "Yield strength", "Pa", _STRENGTH)
    require_between(0.5, 2.5, end_factor, "End factor", "", "Both ends pinned: 1.")
    require_at_least(0.0, bore_diameter, "Bore of the rod", "m", "Solid: zero.")
    require_above(0.0, youngs_modulus, "Young's modulus", "Pa", "Steel: about 205 GPa.")
    _require_wall(diameter, bore_diameter)
    gyration = 0.25 * sqrt(diameter**2 + bore_diameter**2)
    slenderness = end_factor * length / gyration
    transition = pi * sqrt(2.0 * youngs_modulus / yield_strength)
    slender = slenderness >= transition
    if slender:
        stress = youngs_modulus * (pi / slenderness) ** 2
    else:
        stress = yield_strength - (yield_strength * slenderness / (2.0 * pi)) ** 2 / youngs_modulus
    section = annulus_area(outer_diameter=diameter, inner_diameter=bore_diameter)
    return ColumnLoad(
        critical_force=stress * section,
        critical_stress=stress,
        slenderness=slenderness,
        slenderness_transition=transition,
        regime="euler" if slender else "johnson",
    )


def rod_stress(
    *,
    diameter: float,
    axial_force: float,
    yield_strength: float,
    bending_moment: float = 0.0,
    bore_diameter: float = 0.0,
) -> RodStress:
    """Return the stress in a rod under an axial force and a bending moment.

    σ_a = F/A,   σ_b = M d/(2 I),   I = π (d⁴ − d_i⁴)/64

    Side force bends the rod: a damper that leans, a bush that is too stiff, or a
    strut that guides the wheel.

    Parameters
    ----------
    diameter : float
        d, at the section in question; in a thread, its root [m], > 0.
    axial_force : float
        F, compression positive [N], any finite value.
    yield_strength : float
        S_y [Pa], > 0.
    bending_moment : float
        M, side force times lever [N·m], any finite value.
    bore_diameter : float
        d_i, zero: solid [m], ≥ 0.

    Returns
    -------
    RodStress
        Stresses and their share of the yield strength.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the bore leaves no rod.

    Notes
    -----
    Limits: nominal stress. Notches (thread, groove, edge of the chrome) and load
    that repeats call for a fatigue check, which this is not.

    References
    ----------
    derivation: bar and beam theory.

    Examples
    --------
    By hand: 10 000/(π/4 · 0.02²) = 31.830 989 MPa.

    >>> stress = rod_stress(diameter=0.02, axial_force=10_000.0, yield_strength=400e6)
    >>> round(stress.axial / 1e6, 6)
    31.830989
    """
    require_above(0.0, diameter, "Rod diameter", "m")
    require_finite(axial_force, "Axial force", "N")
    require_above(0.0, yield_strength, "Yield strength", "Pa", _STRENGTH)
    require_finite(bending_moment, "Bending moment", "N·m")
    require_at_least(0.0, bore_diameter, "Bore of the rod", "m", "Solid: zero.")
    _require_wall(diameter, bore_diameter)
    axial = axial_force / annulus_area(outer_diameter=diameter, inner_diameter=bore_diameter)
    bending = 32.0 * abs(bending_moment) * diameter / (pi * (diameter**4 - bore_diameter**4))
    largest = abs(axial) + bending
    return RodStress(axial=axial, bending=bending, largest=largest, use=largest / yield_strength)


def _require_wall(diameter: float, bore_diameter: float) -> None:
    if bore_diameter >= diameter:
        message = (
            f"A bore of {bore_diameter:g} m leaves nothing of a rod of {diameter:g} m. "
            "Make the bore smaller."
        )
        raise ConflictError(message, inputs=("bore_diameter", "diameter"))
