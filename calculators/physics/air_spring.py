"""An air spring about its ride height."""

from __future__ import annotations

from calculators.errors import (
    require_above,
    require_between,
    require_finite,
)
from calculators.physics.gas import P_ATM

__all__ = ["air_spring_rate"]


def air_spring_rate(
    *,
    pressure: float,
    effective_area: float,
    volume: float,
    polytropic_exponent: float = 1.4,
    area_gradient: float = 0.0,
    pressure_ambient: float = P_ATM,
) -> float:
    """Return the rate of an air spring about its ride height.

    k = n p A_e² / V + (p − p_amb) dA_e/dz

    At constant ride height the pressure follows the load, and so does the rate:
    the body frequency then hardly changes between empty and loaded.

    Parameters
    ----------
    pressure : float
        p, absolute pressure in the spring [Pa], > 0.
    effective_area : float
        A_e, force over gauge pressure at this height [m²], > 0.
    volume : float
        V, air volume at this height, extra tank included [m³], > 0.
    polytropic_exponent : float
        n, 1 (slow) to 1.4 (fast, no time for heat to pass) [1], 1 to 1.67.
    area_gradient : float
        dA_e/dz, change of the effective area with compression, m² per m [m], any
        finite value.
    pressure_ambient : float
        p_amb, air pressure outside, absolute [Pa], > 0.

    Returns
    -------
    float
        k, rate along the spring's axis [N/m], any finite value.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: small travel; air as an ideal gas; the wall of the bellows adds its
    own stiffness, which is left out.

    References
    ----------
    derivation: F = (p − p_amb) A_e with p Vⁿ = const and dV = −A_e dz.

    Examples
    --------
    By hand: 1.25 · 600 000 · 0.02² / 0.01.

    >>> round(air_spring_rate(
    ...     pressure=600_000.0, effective_area=0.02, volume=0.01,
    ...     polytropic_exponent=1.25), 6)
    30000.0
    """
    require_above(0.0, pressure, "Air spring pressure", "Pa", "Absolute: gauge plus atmosphere.")
    require_above(0.0, effective_area, "Effective area", "m²", "Load over gauge pressure.")
    require_above(0.0, volume, "Air volume", "m³", "At ride height, extra tank included.")
    require_between(1.0, 1.67, polytropic_exponent, "Polytropic exponent", "", "1 slow, 1.4 fast.")
    require_finite(area_gradient, "Change of the effective area", "m")
    require_above(0.0, pressure_ambient, "Ambient pressure", "Pa", "Absolute.")
    gas_rate = polytropic_exponent * pressure * effective_area**2 / volume
    return gas_rate + (pressure - pressure_ambient) * area_gradient
