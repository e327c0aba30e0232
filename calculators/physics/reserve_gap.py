"""Heat through the reserve of a twin-tube damper: oil below, gas above, between two tubes."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_between
from calculators.physics.air import GRAVITY, air
from calculators.physics.radiation import concentric_radiation

if TYPE_CHECKING:
    from calculators.physics.oil_line import ThermalOil

__all__ = ["GapHeat", "ReserveGap", "gap_heat"]

LEAST_RAYLEIGH, GREATEST_RAYLEIGH = 1e4, 1e7  # 1, MacGregor and Emery, as Incropera quotes
LEAST_ASPECT, GREATEST_ASPECT = 10.0, 40.0  # 1, same place


@dataclass(frozen=True, slots=True)
class ReserveGap:
    """The ring between working tube and reserve tube.

    Attributes
    ----------
    inner_diameter : float
        outside of the working tube [m], > 0.
    outer_diameter : float
        inside of the reserve tube [m], > inner_diameter.
    length : float
        length of the ring [m], > 0.
    oil_share : float
        part of the length that stands in oil [1], 0 to 1.
    oil : ThermalOil
        The oil near its working temperature.
    emissivity : float
        of both walls above the oil; oily steel about 0.3 (common practice) [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the inner tube is not smaller than the outer.
    """

    inner_diameter: float
    outer_diameter: float
    length: float
    oil_share: float
    oil: ThermalOil
    emissivity: float = 0.3

    def __post_init__(self) -> None:
        require_above(0.0, self.inner_diameter, "Outside of the working tube", "m")
        require_above(0.0, self.outer_diameter, "Inside of the reserve tube", "m")
        require_above(0.0, self.length, "Length of the reserve", "m")
        require_between(0.0, 1.0, self.oil_share, "Oil share of the reserve", "", "Full: 1.")
        require_between(0.0, 1.0, self.emissivity, "Emissivity", "", "Oily steel: about 0.3.")
        if self.inner_diameter >= self.outer_diameter:
            message = (
                f"The working tube ({self.inner_diameter:g} m outside) doesn't fit into the "
                f"reserve tube ({self.outer_diameter:g} m inside)."
            )
            raise ConflictError(message, inputs=("inner_diameter", "outer_diameter"))


@dataclass(frozen=True, slots=True)
class GapHeat:
    """Heat from the working tube to the reserve tube.

    Attributes
    ----------
    power : float
        all of it, outwards [W].
    oil_power : float
        through the oil [W].
    gas_power : float
        through the gas by conduction [W].
    radiation_power : float
        across the gas by radiation [W].
    nusselt : float
        how many times the circulating oil carries what oil at rest would [1].
    in_range : bool
        Whether the oil's equation is proven here, or the oil is taken at rest.
    """

    power: float
    oil_power: float
    gas_power: float
    radiation_power: float
    nusselt: float
    in_range: bool


def gap_heat(*, gap: ReserveGap, temperature_inner: float, temperature_outer: float) -> GapHeat:
    """Return the heat that passes through a twin-tube's reserve.

    P = 2π L (s Nu λ_oil + (1 − s) λ_gas)(T_i − T_o)/ln(D_o/D_i) + P_radiation,
    Nu = max(1, 0.42 Ra^¼ Pr^0.012 (H/δ)^(−0.3))

    This is the resistance that a monotube doesn't have. The part in oil carries most
    of the heat; the part in gas is nearly an insulator.

    Parameters
    ----------
    gap : ReserveGap
        The ring and its oil.
    temperature_inner : float
        T_i, of the working tube [K], 223.15 to 573.15.
    temperature_outer : float
        T_o, of the reserve tube [K], 223.15 to 573.15.

    Returns
    -------
    GapHeat
        Power, its parts and the Nusselt number of the oil.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside its range.

    Notes
    -----
    Limits: a simple model. Oil circulates in the ring as between two upright plates
    (ring much narrower than its diameter); the foot valve's stirring is left out, so
    the real damper runs somewhat cooler. Gas conducts as air does and is taken at
    rest, which holds in gaps of a few millimetres. Tube walls add nothing.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 9, tall
        rectangular cavity after MacGregor and Emery, and ch. 3, radial conduction
        (chapters: value from memory).

    Examples
    --------
    >>> from calculators.physics.oil_line import ThermalOil
    >>> oil = ThermalOil(
    ...     density=850.0, kinematic_viscosity=10e-6, thermal_expansion=7e-4,
    ...     thermal_conductivity=0.13, specific_heat=2000.0)
    >>> gap = ReserveGap(
    ...     inner_diameter=0.036, outer_diameter=0.048, length=0.3, oil_share=0.6, oil=oil)
    >>> heat = gap_heat(gap=gap, temperature_inner=350.0, temperature_outer=330.0)
    >>> heat.oil_power > 5.0 * heat.gas_power
    True
    """
    drop = temperature_inner - temperature_outer
    mean = air(temperature=0.5 * (temperature_inner + temperature_outer))
    nusselt, in_range = _circulation(gap, abs(drop))
    conductance = 2.0 * pi * gap.length / log(gap.outer_diameter / gap.inner_diameter)
    in_oil = conductance * gap.oil_share * nusselt * gap.oil.thermal_conductivity * drop
    in_gas = conductance * (1.0 - gap.oil_share) * mean.thermal_conductivity * drop
    radiated = concentric_radiation(
        area=pi * gap.inner_diameter * gap.length * (1.0 - gap.oil_share),
        diameter_ratio=gap.inner_diameter / gap.outer_diameter,
        emissivity=gap.emissivity,
        temperature_inner=temperature_inner,
        temperature_outer=temperature_outer,
    )
    return GapHeat(
        power=in_oil + in_gas + radiated,
        oil_power=in_oil,
        gas_power=in_gas,
        radiation_power=radiated,
        nusselt=nusselt,
        in_range=in_range,
    )


def _circulation(gap: ReserveGap, drop: float) -> tuple[float, bool]:
    """Return the Nusselt number of the oil and whether its equation is proven there."""
    width = 0.5 * (gap.outer_diameter - gap.inner_diameter)
    aspect = gap.oil_share * gap.length / width
    if aspect == 0.0:
        return 1.0, True
    oil = gap.oil
    diffusion = oil.kinematic_viscosity * oil.thermal_diffusivity
    rayleigh = GRAVITY * oil.thermal_expansion * drop * width**3 / diffusion
    prandtl = oil.kinematic_viscosity / oil.thermal_diffusivity
    moving = 0.42 * rayleigh**0.25 * prandtl**0.012 * aspect**-0.3
    if moving <= 1.0:
        return 1.0, True
    proven = LEAST_RAYLEIGH <= rayleigh <= GREATEST_RAYLEIGH
    return moving, proven and LEAST_ASPECT <= aspect <= GREATEST_ASPECT
