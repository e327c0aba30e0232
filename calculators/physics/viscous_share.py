"""What is left of a force when only a part of it depends on the oil's viscosity."""

from __future__ import annotations

from calculators.errors import require_at_least, require_between

__all__ = ["force_left"]


def force_left(*, viscous_share: float, viscosity_ratio: float) -> float:
    """Return the share of a force that is left when the viscosity of the oil has changed.

    R = s_v μ/μ_n + 1 − s_v

    A leak or a long narrow way gives its part of the force in proportion to the
    viscosity; preload, discs and edges give theirs without it.

    Parameters
    ----------
    viscous_share : float
        s_v, part of the normal force that follows the viscosity [1], 0 to 1.
    viscosity_ratio : float
        μ/μ_n, dynamic viscosity over that at the normal temperature [1], ≥ 0.

    Returns
    -------
    float
        R, force over normal force at the same speed [1], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: one share for all speeds; the small change of the edges' part with density
    is left out (about 0.07 % for each kelvin). `fade` solves the valves instead.

    References
    ----------
    derivation: two pressure drops in series at the same flow, one of them laminar.

    Examples
    --------
    By hand: 0.2 · 0.4 + 0.8.

    >>> round(force_left(viscous_share=0.2, viscosity_ratio=0.4), 12)
    0.88
    """
    require_between(0.0, 1.0, viscous_share, "Viscous share", "", "A part of the force.")
    require_at_least(0.0, viscosity_ratio, "Viscosity over normal viscosity", "")
    return viscous_share * viscosity_ratio + 1.0 - viscous_share
