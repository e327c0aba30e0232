"""Bolts for information: stress area, proof load, and what a torque makes of them."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import Literal, TypeAlias

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
)

__all__ = [
    "BoltStrength",
    "Preload",
    "PropertyClass",
    "bolt_strength",
    "slip_force",
    "stress_area",
    "torque_for_preload",
    "torque_preload",
]

PropertyClass: TypeAlias = Literal["8.8", "10.9", "12.9"]

THICK = 0.016  # m, class 8.8 is stronger above this diameter, ISO 898-1
# Pa: proof stress, 0.2 % proof strength and tensile strength, least values, ISO 898-1
_THIN_8_8 = (580e6, 640e6, 800e6)
_THICK_8_8 = (600e6, 660e6, 830e6)
_OTHERS = {"10.9": (830e6, 940e6, 1040e6), "12.9": (970e6, 1100e6, 1220e6)}

_DIAMETER = "Nominal diameter: M12 is 0.012 m."


@dataclass(frozen=True, slots=True)
class BoltStrength:
    """What a bolt carries by its standard.

    Attributes
    ----------
    area : float
        A_s, stress area [m²].
    proof_stress : float
        S_p, stress it must bear without lasting stretch [Pa].
    yield_strength : float
        R_p0.2, least [Pa].
    tensile_strength : float
        R_m, least [Pa].
    proof_load : float
        S_p · A_s [N].
    """

    area: float
    proof_stress: float
    yield_strength: float
    tensile_strength: float
    proof_load: float


@dataclass(frozen=True, slots=True)
class Preload:
    """Preload that a torque brings, with its scatter.

    Attributes
    ----------
    mean : float
        with the nut factor as given [N].
    least : float
        with the largest nut factor [N].
    most : float
        with the smallest nut factor [N].
    """

    mean: float
    least: float
    most: float


def stress_area(*, diameter: float, pitch: float) -> float:
    """Return the stress area of a metric thread.

    A_s = π/4 · ((d₂ + d₃)/2)²,   d₂ = d − 0.649 519 P,   d₃ = d − 1.226 869 P

    Parameters
    ----------
    diameter : float
        d, nominal [m], > 0.
    pitch : float
        P; coarse: M8 1.25, M10 1.5, M12 1.75, M14 and M16 2 mm [m], > 0.

    Returns
    -------
    float
        A_s [m²], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.
    ConflictError
        If the thread would leave no core.

    Notes
    -----
    Limits: ISO metric threads. A bolt in shear should have its plain shank, not its
    thread, in the joint.

    References
    ----------
    standard: ISO 68-1 and ISO 724, profile and basic dimensions; ISO 898-1, stress area.
    derivation: d₂ = d − ¾ H and d₃ = d − 17/12 H with H = √3/2 P.

    Examples
    --------
    M12: 84.3 mm².

    >>> round(1e6 * stress_area(diameter=0.012, pitch=0.00175), 1)
    84.3
    """
    require_above(0.0, diameter, "Bolt diameter", "m", _DIAMETER)
    require_above(0.0, pitch, "Pitch", "m", "M12 coarse: 0.00175 m.")
    height = 0.5 * sqrt(3.0) * pitch
    core = diameter - height * 17.0 / 12.0
    if core <= 0.0:
        message = f"A pitch of {pitch:g} m leaves no core in a bolt of {diameter:g} m."
        raise ConflictError(message, inputs=("pitch", "diameter"))
    return 0.25 * pi * (0.5 * (diameter - 0.75 * height + core)) ** 2


def bolt_strength(*, diameter: float, pitch: float, property_class: PropertyClass) -> BoltStrength:
    """Return stress area, proof stress and proof load of a bolt.

    F_p = S_p A_s

    Parameters
    ----------
    diameter : float
        d, nominal [m], 0.005 to 0.039.
    pitch : float
        P [m], > 0.
    property_class : str
        One of "8.8", "10.9", "12.9", as stamped on the head.

    Returns
    -------
    BoltStrength
        Area, stresses and proof load.

    Raises
    ------
    OutOfRangeError
        If the diameter or pitch is outside its range.
    ConflictError
        If the class is not one of the three.

    Notes
    -----
    Limits: for information. Fasteners are tightened to the vehicle maker's manual,
    whose figures win over anything here, and replaced where it says so.

    References
    ----------
    standard: ISO 898-1, mechanical properties of bolts (least values: value from memory).

    Examples
    --------
    >>> bolt_strength(diameter=0.012, pitch=0.00175, property_class="10.9").proof_stress
    830000000.0
    """
    require_between(0.005, 0.039, diameter, "Bolt diameter", "m", _DIAMETER)
    area = stress_area(diameter=diameter, pitch=pitch)
    if property_class == "8.8":
        stresses = _THICK_8_8 if diameter > THICK else _THIN_8_8
    elif property_class in _OTHERS:
        stresses = _OTHERS[property_class]
    else:
        message = f"Class {property_class} is not known here; take 8.8, 10.9 or 12.9."
        raise ConflictError(message, inputs=("property_class",))
    proof, yielding, tensile = stresses
    return BoltStrength(
        area=area,
        proof_stress=proof,
        yield_strength=yielding,
        tensile_strength=tensile,
        proof_load=proof * area,
    )


def torque_preload(
    *, torque: float, diameter: float, nut_factor: float = 0.2, scatter: float = 0.3
) -> Preload:
    """Return the preload that a tightening torque brings.

    F = T/(K d)

    Nine tenths of the torque go into friction, so the same torque may bring half or
    twice the preload: oil on a dry thread can be enough to break the bolt.

    Parameters
    ----------
    torque : float
        T [N·m], ≥ 0.
    diameter : float
        d, nominal [m], > 0.
    nut_factor : float
        K, dry steel 0.2, lightly oiled 0.15 (common practice) [1], 0.05 to 0.5.
    scatter : float
        of K, either way, 0.25 to 0.3 with a torque wrench (common practice) [1], 0 to 0.9.

    Returns
    -------
    Preload
        Mean, least and most.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: for information. Fasteners are tightened to the vehicle maker's manual,
    whose figures win over anything here. Rubber bushes are tightened at static height.

    References
    ----------
    book: J. E. Shigley, Mechanical Engineering Design, chapter on bolted joints:
        T = K F d (chapter: value from memory).
    common practice: K and its scatter.

    Examples
    --------
    By hand: 80/(0.2 · 0.012) = 33 333.3.

    >>> round(torque_preload(torque=80.0, diameter=0.012).mean, 1)
    33333.3
    """
    require_at_least(0.0, torque, "Torque", "N·m")
    _require_friction(diameter, nut_factor)
    require_between(0.0, 0.9, scatter, "Scatter of the nut factor", "", "Torque wrench: 0.3.")
    mean = torque / (nut_factor * diameter)
    return Preload(mean=mean, least=mean / (1.0 + scatter), most=mean / (1.0 - scatter))


def torque_for_preload(*, preload: float, diameter: float, nut_factor: float = 0.2) -> float:
    """Return the torque that brings a preload.

    T = K d F

    Parameters
    ----------
    preload : float
        F [N], ≥ 0.
    diameter : float
        d, nominal [m], > 0.
    nut_factor : float
        K, dry steel 0.2, lightly oiled 0.15 (common practice) [1], 0.05 to 0.5.

    Returns
    -------
    float
        T [N·m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: for information; the vehicle maker's manual wins over anything here.

    References
    ----------
    book: J. E. Shigley, Mechanical Engineering Design, chapter on bolted joints:
        T = K F d (chapter: value from memory).

    Examples
    --------
    By hand: 0.2 · 0.012 · 30 000.

    >>> round(torque_for_preload(preload=30_000.0, diameter=0.012), 9)
    72.0
    """
    require_at_least(0.0, preload, "Preload", "N")
    _require_friction(diameter, nut_factor)
    return nut_factor * diameter * preload


def slip_force(*, preload: float, friction: float, faces: int = 2) -> float:
    """Return the side force at which a clamped joint begins to slip.

    F_slip = μ n F

    A damper eye should be held by friction between its sleeve and the bracket; the
    shank of the bolt is only there if that fails.

    Parameters
    ----------
    preload : float
        F, the least one of `torque_preload` [N], ≥ 0.
    friction : float
        μ, dry steel on steel 0.1 to 0.2 (common practice) [1], 0 to 1.
    faces : int
        n, faces that would slide: two in a clevis [1], ≥ 1.

    Returns
    -------
    float
        F_slip [N], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: bracket so limp that the whole preload clamps the sleeve; paint and
    settling take part of it.

    References
    ----------
    derivation: Coulomb friction on each face.

    Examples
    --------
    By hand: 0.15 · 2 · 30 000.

    >>> slip_force(preload=30_000.0, friction=0.15)
    9000.0
    """
    require_at_least(0.0, preload, "Preload", "N")
    require_between(0.0, 1.0, friction, "Coefficient of friction", "", "Dry steel: 0.15.")
    require_at_least(1.0, faces, "Faces that slide", "", "Clevis: 2.")
    return friction * faces * preload


def _require_friction(diameter: float, nut_factor: float) -> None:
    require_above(0.0, diameter, "Bolt diameter", "m", _DIAMETER)
    require_between(0.05, 0.5, nut_factor, "Nut factor", "", "Dry steel: 0.2.")
