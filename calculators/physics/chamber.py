"""Oil with a little free gas in it: volume, compliance and stored work at a pressure.

One volume of aerated oil, measured at the reference pressure p₀, takes up

    v(p) = (1 − α₀) (1 − (p − p₀)/β) + α₀ (p₀/p)^(1/n)

at the pressure p. Its slope is the compliance C(p) = −dv/dp. At high pressure the
bubbles are squeezed away and the oil alone is left; at low pressure they swell and
the chamber turns soft. All volumes of oil are counted at p₀, so that what leaves
one chamber arrives in the next, whatever their pressures.

Free gas is a fixed amount here: no air dissolves and none is released. The law
keeps p above zero, and below atmospheric pressure its swelling bubbles stand for
released air and vapour alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from calculators.errors import require_above, require_between
from calculators.physics.gas import P_ATM

__all__ = [
    "AeratedOil",
    "bulk_modulus_aerated",
    "compliance",
    "free_gas_share",
    "pressure_work",
    "relative_volume",
]

_MOST_GAS = 0.5  # 1, above this the mixture is a foam and no oil with bubbles


@dataclass(frozen=True, slots=True)
class AeratedOil:
    """How the oil in the chambers gives way to pressure.

    Attributes
    ----------
    bulk_modulus : float
        β, of the oil without gas [Pa], > 0.
    free_gas : float
        α₀, share of free gas in the volume at the reference pressure [1], 0 to 0.5.
    reference_pressure : float
        p₀, absolute [Pa], > 0.
    gas_exponent : float
        n of the bubbles, 1 (small, at oil temperature) to 1.4 [1], 1 to 1.67.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    bulk_modulus: float
    free_gas: float
    reference_pressure: float = P_ATM
    gas_exponent: float = 1.0

    def __post_init__(self) -> None:
        require_above(0.0, self.bulk_modulus, "Bulk modulus", "Pa", "Mineral oil: about 1.5 GPa.")
        require_between(
            0.0, _MOST_GAS, self.free_gas, "Free-gas share", "", "Worked twin-tube: some percent."
        )
        require_above(0.0, self.reference_pressure, "Reference pressure", "Pa", "Absolute.")
        require_between(1.0, 1.67, self.gas_exponent, "Exponent of the bubbles", "", "1 slow.")


def relative_volume(*, oil: AeratedOil, pressure: float) -> float:
    """Return the volume of aerated oil at a pressure over its volume at p₀.

    v = (1 − α₀) (1 − (p − p₀)/β) + α₀ (p₀/p)^(1/n)

    Parameters
    ----------
    oil : AeratedOil
        Bulk modulus and free gas.
    pressure : float
        p, absolute [Pa], > 0.

    Returns
    -------
    float
        v, relative volume [1], > 0 well below β.

    Raises
    ------
    OutOfRangeError
        If the pressure is not a finite number above zero.

    Notes
    -----
    Limits: bulk modulus the same at all pressures (a secant value from p₀); a fixed
    amount of free gas, evenly spread, at the pressure of the oil.

    References
    ----------
    derivation: volumes of oil and gas add up; −dv/dp is the compliance.

    Examples
    --------
    By hand, bubbles of 2 % squeezed from 1 to 4 bar, stiff oil: 0.98 + 0.005.

    >>> oil = AeratedOil(bulk_modulus=1e20, free_gas=0.02, reference_pressure=1e5)
    >>> round(relative_volume(oil=oil, pressure=4e5), 9)
    0.985
    """
    require_above(0.0, pressure, "Pressure", "Pa", "Absolute: gauge plus atmosphere.")
    liquid = 1.0 - (pressure - oil.reference_pressure) / oil.bulk_modulus
    return (1.0 - oil.free_gas) * liquid + _gas(oil, pressure)


def compliance(*, oil: AeratedOil, pressure: float) -> float:
    """Return how much volume a pressure rise takes from oil with bubbles.

    C = (1 − α₀)/β + (α₀/n) p₀^(1/n) p^(−1/n − 1)

    For a volume of one at p₀. A chamber that holds the oil volume N (at p₀) needs
    the inflow N C dp/dt to raise its pressure.

    Parameters
    ----------
    oil : AeratedOil
        Bulk modulus and free gas.
    pressure : float
        p, absolute [Pa], > 0.

    Returns
    -------
    float
        C, compliance [1/Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If the pressure is not a finite number above zero.

    Notes
    -----
    Limits: those of relative_volume. Walls and hoses are rigid.

    References
    ----------
    derivation: C = −dv/dp of relative_volume.
    book: H. E. Merritt, Hydraulic Control Systems, ch. 2, effective bulk modulus of oil
        with entrapped air (chapter: value from memory).

    Examples
    --------
    By hand, n = 1 and p = p₀: 0.98 / 10⁹ + 0.02 / 10⁵.

    >>> oil = AeratedOil(bulk_modulus=1e9, free_gas=0.02, reference_pressure=1e5)
    >>> round(compliance(oil=oil, pressure=1e5), 14)
    2.0098e-07
    """
    require_above(0.0, pressure, "Pressure", "Pa", "Absolute: gauge plus atmosphere.")
    gas = _gas(oil, pressure) / (oil.gas_exponent * pressure)
    return (1.0 - oil.free_gas) / oil.bulk_modulus + gas


def bulk_modulus_aerated(*, oil: AeratedOil, pressure: float) -> float:
    """Return the bulk modulus of oil with bubbles at a pressure.

    K = v / C

    Parameters
    ----------
    oil : AeratedOil
        Bulk modulus and free gas.
    pressure : float
        p, absolute [Pa], > 0.

    Returns
    -------
    float
        K, tangent bulk modulus of the mixture [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If the pressure is not a finite number above zero.

    Notes
    -----
    Limits: those of relative_volume.

    References
    ----------
    derivation: K = −v dp/dv.

    Examples
    --------
    Without gas, at the reference pressure, it is the oil's own.

    >>> round(bulk_modulus_aerated(oil=AeratedOil(1.5e9, 0.0), pressure=101_325.0))
    1500000000
    """
    volume = relative_volume(oil=oil, pressure=pressure)
    return volume / compliance(oil=oil, pressure=pressure)


def free_gas_share(*, oil: AeratedOil, pressure: float) -> float:
    """Return the share of the volume that is free gas at a pressure.

    α = α₀ (p₀/p)^(1/n) / v

    Parameters
    ----------
    oil : AeratedOil
        Bulk modulus and free gas.
    pressure : float
        p, absolute [Pa], > 0.

    Returns
    -------
    float
        α, share of free gas [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If the pressure is not a finite number above zero.

    Notes
    -----
    Limits: those of relative_volume: nothing dissolves, nothing is released.

    References
    ----------
    derivation: gas volume over whole volume.

    Examples
    --------
    By hand, stiff oil, half the reference pressure: 0.04 / (0.98 + 0.04).

    >>> oil = AeratedOil(bulk_modulus=1e20, free_gas=0.02, reference_pressure=1e5)
    >>> round(free_gas_share(oil=oil, pressure=5e4), 6)
    0.039216
    """
    volume = relative_volume(oil=oil, pressure=pressure)
    return _gas(oil, pressure) / volume


def pressure_work(*, oil: AeratedOil, pressure: float) -> float:
    """Return the work that carries one volume of oil (at p₀) from p₀ to a pressure.

    h = ∫ v dp from p₀ to p

    A valve turns the difference of h between its two sides into heat; without gas
    and compressibility that is the pressure drop times the volume.

    Parameters
    ----------
    oil : AeratedOil
        Bulk modulus and free gas.
    pressure : float
        p, absolute [Pa], > 0.

    Returns
    -------
    float
        h, work for each m³ of oil, in J/m³ [Pa], any sign.

    Raises
    ------
    OutOfRangeError
        If the pressure is not a finite number above zero.

    Notes
    -----
    Limits: those of relative_volume; the bubbles follow one polytrope there and back,
    so they take no heat of their own out of the cycle.

    References
    ----------
    derivation: integral of relative_volume term by term.

    Examples
    --------
    By hand, stiff oil without gas: 3 × 10⁵ − 10⁵.

    >>> oil = AeratedOil(bulk_modulus=1e20, free_gas=0.0, reference_pressure=1e5)
    >>> round(pressure_work(oil=oil, pressure=3e5), 3)
    200000.0
    """
    require_above(0.0, pressure, "Pressure", "Pa", "Absolute: gauge plus atmosphere.")
    rise = pressure - oil.reference_pressure
    ratio = pressure / oil.reference_pressure
    power = 1.0 - 1.0 / oil.gas_exponent
    squeezed = (ratio**power - 1.0) / power if power > 0.0 else log(ratio)
    liquid = (1.0 - oil.free_gas) * (rise - rise * rise / (2.0 * oil.bulk_modulus))
    return liquid + oil.free_gas * oil.reference_pressure * squeezed


def _gas(oil: AeratedOil, pressure: float) -> float:
    """Return the volume of the bubbles in one volume of oil at p₀."""
    ratio: float = (oil.reference_pressure / pressure) ** (1.0 / oil.gas_exponent)
    return oil.free_gas * ratio
