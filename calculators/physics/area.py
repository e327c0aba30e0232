"""Areas of round parts: the piston, the rod and the ring between them."""

from __future__ import annotations

from math import pi

from calculators.errors import ConflictError, require_above, require_at_least

__all__ = ["annulus_area", "circle_area"]


def circle_area(*, diameter: float) -> float:
    """Return the area of a full circle.

    A = π d² / 4

    Parameters
    ----------
    diameter : float
        d, diameter of the circle [m], ≥ 0.

    Returns
    -------
    float
        A, area [m²], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the diameter is negative or not a finite number.

    Notes
    -----
    Limits: none; a diameter of zero is allowed and gives zero, so that a through
    rod or a missing rod needs no special case.

    References
    ----------
    derivation: area of a circle, π r² with r = d/2.

    Examples
    --------
    By hand: π/4 · 0.02² = π · 0.0001.

    >>> round(circle_area(diameter=0.02) * 1e6, 3)
    314.159
    """
    require_at_least(0.0, diameter * 1e3, "Diameter", "mm", "A diameter cannot be negative.")
    return pi * diameter * diameter / 4.0


def annulus_area(*, outer_diameter: float, inner_diameter: float) -> float:
    """Return the area of the ring between two concentric circles.

    A = π (D² − d²) / 4 = π (D − d) (D + d) / 4

    It is the rod side of a piston (bore and rod), or the reserve space of a
    twin-tube damper (reserve tube and working tube).

    Parameters
    ----------
    outer_diameter : float
        D, outer edge of the ring [m], > 0.
    inner_diameter : float
        d, inner edge of the ring [m], ≥ 0 and < D.

    Returns
    -------
    float
        A, area of the ring [m²], > 0.

    Raises
    ------
    OutOfRangeError
        If a diameter is negative or not a finite number.
    ConflictError
        If the inner diameter is not smaller than the outer one.

    Notes
    -----
    Limits: the circles share one centre. The product form keeps its digits when
    the ring is thin.

    References
    ----------
    derivation: difference of two circles, factored.

    Examples
    --------
    By hand: π/4 · (0.05² − 0.03²) = π · 0.0004.

    >>> round(annulus_area(outer_diameter=0.05, inner_diameter=0.03) * 1e6, 3)
    1256.637
    """
    require_above(0.0, outer_diameter * 1e3, "Outer diameter", "mm", "Measure the outer edge.")
    require_at_least(0.0, inner_diameter * 1e3, "Inner diameter", "mm", "Use 0 for a full circle.")
    if inner_diameter >= outer_diameter:
        message = (
            f"The inner diameter ({inner_diameter * 1e3:.6g} mm) must be smaller than the outer "
            f"diameter ({outer_diameter * 1e3:.6g} mm): no ring is left between them. "
            "Make the inner part thinner or the outer one wider."
        )
        raise ConflictError(message, inputs=("outer_diameter", "inner_diameter"))
    return pi * (outer_diameter - inner_diameter) * (outer_diameter + inner_diameter) / 4.0
