"""The bolt through a damper's eye: shear, bearing and bending in a clevis."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from calculators.errors import require_above, require_at_least, require_finite
from calculators.physics.area import circle_area

__all__ = ["ClevisStress", "clevis_stress"]


@dataclass(frozen=True, slots=True)
class ClevisStress:
    """Stresses of a clevis joint that carries its load by the bolt's shank.

    Attributes
    ----------
    shear : float
        in the bolt, mean over its two sections [Pa].
    bearing_eye : float
        between bolt and sleeve of the eye, on the projected area [Pa].
    bearing_fork : float
        between bolt and each cheek of the fork [Pa].
    bending : float
        at the middle of the bolt, if it were loose in its holes [Pa].
    """

    shear: float
    bearing_eye: float
    bearing_fork: float
    bending: float


def clevis_stress(
    *,
    force: float,
    bolt_diameter: float,
    eye_width: float,
    cheek_thickness: float,
    gap: float = 0.0,
) -> ClevisStress:
    """Return the stresses of a bolt in double shear.

    τ = F/(2 A),   p_eye = F/(d b),   p_fork = F/(2 d t),
    σ_b = 32 M/(π d³),   M = F/2 · (t/2 + g + b/4)

    Parameters
    ----------
    force : float
        F, largest force of the damper, either direction [N], any finite value.
    bolt_diameter : float
        d, of the shank; of the thread's root if thread lies in the joint [m], > 0.
    eye_width : float
        b, length of the sleeve [m], > 0.
    cheek_thickness : float
        t, of each cheek [m], > 0.
    gap : float
        g, between eye and cheek, each side [m], ≥ 0.

    Returns
    -------
    ClevisStress
        Shear, bearing and bending.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: the joint has slipped and the shank carries all. Bending counts for a
    loose pin; a bolt that clamps the sleeve tight hardly bends. Test and sign-off by
    a qualified engineer come before road use.

    References
    ----------
    book: J. E. Shigley, Mechanical Engineering Design, clevis pin in double shear
        (place: value from memory).
    derivation: load spread evenly over cheeks and eye, beam on two supports.

    Examples
    --------
    By hand: 10 000/(2 · 113.097 3 mm²) = 44.209 71 MPa.

    >>> stress = clevis_stress(
    ...     force=10_000.0, bolt_diameter=0.012, eye_width=0.032, cheek_thickness=0.005)
    >>> round(stress.shear / 1e6, 5)
    44.20971
    """
    require_finite(force, "Force", "N")
    require_above(0.0, bolt_diameter, "Bolt diameter", "m", "Of the shank.")
    require_above(0.0, eye_width, "Width of the eye", "m", "Length of its sleeve.")
    require_above(0.0, cheek_thickness, "Thickness of a cheek", "m")
    require_at_least(0.0, gap, "Gap", "m", "Clamped: zero.")
    load = abs(force)
    moment = 0.5 * load * (0.5 * cheek_thickness + gap + 0.25 * eye_width)
    return ClevisStress(
        shear=0.5 * load / circle_area(diameter=bolt_diameter),
        bearing_eye=load / (bolt_diameter * eye_width),
        bearing_fork=0.5 * load / (bolt_diameter * cheek_thickness),
        bending=32.0 * moment / (pi * bolt_diameter**3),
    )
