"""Round fins on a tube: how much of their area really works."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, pi, sqrt

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
)
from calculators.physics._bessel import i_scaled, k_scaled

__all__ = ["FinnedArea", "Fins", "fin_efficiency", "finned_area"]

_THIN = 1e-4  # m × radius below which the efficiency differs from 1 by less than 1e-8


@dataclass(frozen=True, slots=True)
class Fins:
    """Round fins of constant thickness on a tube.

    Attributes
    ----------
    count : int
        number of fins [1], ≥ 1.
    tip_diameter : float
        outside diameter of the fins [m], > 0.
    thickness : float
        thickness of one fin [m], > 0.
    conductivity : float
        thermal conductivity; aluminium alloy about 170 [W/(m·K)], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is not above zero.
    """

    count: int
    tip_diameter: float
    thickness: float
    conductivity: float

    def __post_init__(self) -> None:
        require_at_least(1.0, self.count, "Number of fins", "", "Leave the fins out for none.")
        require_above(0.0, self.tip_diameter, "Outside diameter of the fins", "m")
        require_above(0.0, self.thickness, "Thickness of a fin", "m")
        require_above(0.0, self.conductivity, "Thermal conductivity", "W/(m·K)", "Aluminium: 170.")


@dataclass(frozen=True, slots=True)
class FinnedArea:
    """Areas of a finned tube and what they are worth.

    Attributes
    ----------
    fin_area : float
        area of all fins, both sides and edge [m²].
    bare_area : float
        tube between the fins [m²].
    efficiency : float
        η of one fin [1].
    effective_area : float
        bare area that would give off the same heat [m²].
    gap : float
        free width between two fins [m].
    """

    fin_area: float
    bare_area: float
    efficiency: float
    effective_area: float
    gap: float

    @property
    def overall_efficiency(self) -> float:
        """Effective area over real area [1]."""
        return self.effective_area / (self.fin_area + self.bare_area)


def fin_efficiency(
    *,
    root_diameter: float,
    tip_diameter: float,
    thickness: float,
    conductivity: float,
    coefficient: float,
) -> float:
    """Return the efficiency of a round fin: its real heat over that of a fin hot to the edge.

    η = 2 r₁/(m (r₂² − r₁²)) · (K₁(m r₁) I₁(m r₂) − I₁(m r₁) K₁(m r₂))
    / (I₀(m r₁) K₁(m r₂) + K₀(m r₁) I₁(m r₂)),   m = √(2h/(λ t))

    The tip is cooler than the root, so the last millimetres of a tall thin fin do
    little; above 0.9 the fin is short, thick or conductive enough.

    Parameters
    ----------
    root_diameter : float
        2 r₁, outside of the tube [m], > 0.
    tip_diameter : float
        2 r₂, outside of the fin; add the thickness to count the edge [m], > root_diameter.
    thickness : float
        t [m], > 0.
    conductivity : float
        λ, of the fin [W/(m·K)], > 0.
    coefficient : float
        h, heat transfer coefficient on the fin [W/(m²·K)], ≥ 0.

    Returns
    -------
    float
        η [1], > 0 and at most 1.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the fin is not larger than its root.

    Notes
    -----
    Limits: no heat through the edge (give the corrected diameter), same coefficient
    all over the fin, perfect joint between fin and tube.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 3, fins of
        nonuniform cross section, annular fin (chapter: value from memory).
    library: ht, fin_efficiency_Kern_Kraus, the same equation.

    Examples
    --------
    >>> round(fin_efficiency(
    ...     root_diameter=0.0254, tip_diameter=0.05715, thickness=3.8e-4,
    ...     conductivity=200.0, coefficient=58.0), 6)
    0.841259
    """
    require_above(0.0, root_diameter, "Root diameter", "m", "Outside of the tube.")
    require_above(0.0, tip_diameter, "Tip diameter", "m", "Outside of the fin.")
    require_above(0.0, thickness, "Thickness of a fin", "m")
    require_above(0.0, conductivity, "Thermal conductivity", "W/(m·K)", "Aluminium: about 170.")
    require_at_least(0.0, coefficient, "Heat transfer coefficient", "W/(m²·K)")
    if tip_diameter <= root_diameter:
        message = (
            f"The fins ({tip_diameter:g} m) must be larger than the tube ({root_diameter:g} m). "
            "Give the outside diameter of the fins."
        )
        raise ConflictError(message, inputs=("tip_diameter", "root_diameter"))
    m = sqrt(2.0 * coefficient / (conductivity * thickness))
    root, tip = 0.5 * m * root_diameter, 0.5 * m * tip_diameter
    if tip < _THIN:
        return 1.0
    fall = exp(2.0 * (root - tip))  # puts the scaled functions on one scale
    i1_tip, k1_tip = i_scaled(1, tip), k_scaled(1, tip) * fall
    heat = k_scaled(1, root) * i1_tip - i_scaled(1, root) * k1_tip
    height = i_scaled(0, root) * k1_tip + k_scaled(0, root) * i1_tip
    return min(1.0, 2.0 * root / ((tip - root) * (tip + root)) * heat / height)


def finned_area(
    *, root_diameter: float, length: float, fins: Fins, coefficient: float
) -> FinnedArea:
    """Return the areas of a finned tube and the bare area that would be as good.

    A_eff = A_bare + η A_fin,   A_fin = N · 2π (r₂c² − r₁²),   r₂c = r₂ + t/2

    Parameters
    ----------
    root_diameter : float
        outside of the tube between the fins [m], > 0.
    length : float
        length of the finned tube [m], > 0.
    fins : Fins
        The fins.
    coefficient : float
        h, heat transfer coefficient [W/(m²·K)], ≥ 0.

    Returns
    -------
    FinnedArea
        Areas, efficiency and gap.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the fins are not larger than the tube or too many for its length.

    Notes
    -----
    Limits: the same coefficient between the fins as on a plain tube. In still air
    gaps below about 6 mm choke the flow, and mud fills any gap (common practice).

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 3, overall
        surface efficiency and corrected tip radius (chapter: value from memory).

    Examples
    --------
    Ten fins of 2 mm leave 80 mm of a tube of 100 mm bare, in ten gaps.

    >>> fins = Fins(count=10, tip_diameter=0.08, thickness=0.002, conductivity=170.0)
    >>> area = finned_area(root_diameter=0.05, length=0.1, fins=fins, coefficient=40.0)
    >>> round(area.gap, 6)
    0.008
    """
    require_above(0.0, length, "Length", "m", "Length of the finned tube.")
    free = length - fins.count * fins.thickness
    if free <= 0.0:
        message = (
            f"{fins.count} fins of {fins.thickness:g} m don't fit on {length:g} m. "
            "Use fewer or thinner fins."
        )
        raise ConflictError(message, inputs=("count", "thickness", "length"))
    corrected = fins.tip_diameter + fins.thickness
    efficiency = fin_efficiency(
        root_diameter=root_diameter,
        tip_diameter=corrected,
        thickness=fins.thickness,
        conductivity=fins.conductivity,
        coefficient=coefficient,
    )
    fin_area = fins.count * 0.5 * pi * (corrected - root_diameter) * (corrected + root_diameter)
    bare_area = pi * root_diameter * free
    return FinnedArea(
        fin_area=fin_area,
        bare_area=bare_area,
        efficiency=efficiency,
        effective_area=bare_area + efficiency * fin_area,
        gap=free / fins.count,
    )
