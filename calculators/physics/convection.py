"""Heat from a tube to the air: wind across it, still air around it, and both."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt

from calculators.errors import require_above, require_at_least
from calculators.physics.air import GRAVITY, air
from calculators.physics.gas import P_ATM

__all__ = [
    "Convection",
    "cylinder_convection",
    "nusselt_cross_flow",
    "nusselt_horizontal",
    "nusselt_vertical",
    "nusselt_vertical_slender",
]

LEAST_PECLET = 0.2  # Re Pr, Churchill and Bernstein (1977)
GREATEST_RAYLEIGH = 1e12  # Churchill and Chu (1975)
MIXING_EXPONENT = 4.0  # Incropera, combined free and forced convection, flow across cylinders


@dataclass(frozen=True, slots=True)
class Convection:
    """Heat transfer from a tube to the air, and whether its equations are proven there.

    Attributes
    ----------
    coefficient : float
        h, of wind and warm air together [W/(m²·K)].
    coefficient_forced : float
        share of the wind alone [W/(m²·K)].
    coefficient_natural : float
        share of the rising warm air alone [W/(m²·K)].
    reynolds : float
        Re = w D/ν [1].
    rayleigh : float
        Ra, on the diameter (lying tube) or the length (standing tube) [1].
    prandtl : float
        Pr, of the air at the mean of surface and air temperature [1].
    in_range : bool
        Whether each equation in use is inside the range of its experiments.
    """

    coefficient: float
    coefficient_forced: float
    coefficient_natural: float
    reynolds: float
    rayleigh: float
    prandtl: float
    in_range: bool


def nusselt_cross_flow(*, reynolds: float, prandtl: float) -> float:
    """Return the Nusselt number of a cylinder in a wind across its axis.

    Nu = 0.3 + 0.62 Re^½ Pr^⅓ / (1 + (0.4/Pr)^⅔)^¼ · (1 + (Re/282 000)^⅝)^⅘

    Parameters
    ----------
    reynolds : float
        Re, on the diameter, air at film temperature [1], ≥ 0.
    prandtl : float
        Pr, at film temperature [1], > 0.

    Returns
    -------
    float
        Nu = h D/λ, mean around the cylinder [1], ≥ 0.3.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: proven for Re · Pr above 0.2, long cylinder, smooth wind; the scatter of
    the experiments is about 20 % (Incropera). Turbulent air under a vehicle carries
    away more.

    References
    ----------
    paper: S. W. Churchill and M. Bernstein, Journal of Heat Transfer 99 (1977) 300-306.
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 7, cylinder in
        cross flow (chapter: value from memory).

    Examples
    --------
    Incropera's cylinder in the wind tunnel prints 40.6.

    >>> round(nusselt_cross_flow(reynolds=6_071.0, prandtl=0.70), 1)
    40.6
    """
    require_at_least(0.0, reynolds, "Reynolds number", "", "Speed × diameter / viscosity.")
    require_above(0.0, prandtl, "Prandtl number", "", "Air: about 0.7.")
    laminar = 0.62 * sqrt(reynolds) * prandtl ** (1.0 / 3.0)
    laminar /= (1.0 + (0.4 / prandtl) ** (2.0 / 3.0)) ** 0.25
    return float(0.3 + laminar * (1.0 + (reynolds / 282_000.0) ** 0.625) ** 0.8)


def nusselt_horizontal(*, rayleigh: float, prandtl: float) -> float:
    """Return the Nusselt number of a lying cylinder in still air.

    Nu = (0.60 + 0.387 Ra^⅙ / (1 + (0.559/Pr)^(9/16))^(8/27))²

    Parameters
    ----------
    rayleigh : float
        Ra, on the diameter [1], ≥ 0.
    prandtl : float
        Pr, at film temperature [1], > 0.

    Returns
    -------
    float
        Nu = h D/λ, mean around the cylinder [1], ≥ 0.36.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: proven for Ra up to 10¹², long cylinder at one temperature.

    References
    ----------
    paper: S. W. Churchill and H. H. S. Chu, International Journal of Heat and Mass
        Transfer 18 (1975) 1049-1053.

    Examples
    --------
    By hand, without any buoyancy: 0.60².

    >>> round(nusselt_horizontal(rayleigh=0.0, prandtl=0.7), 4)
    0.36
    """
    return (0.60 + 0.387 * _buoyancy(rayleigh, prandtl, 0.559)) ** 2


def nusselt_vertical(*, rayleigh: float, prandtl: float) -> float:
    """Return the Nusselt number of an upright plate or wide cylinder in still air.

    Nu = (0.825 + 0.387 Ra^⅙ / (1 + (0.492/Pr)^(9/16))^(8/27))²

    Parameters
    ----------
    rayleigh : float
        Ra, on the height [1], ≥ 0.
    prandtl : float
        Pr, at film temperature [1], > 0.

    Returns
    -------
    float
        Nu = h H/λ, mean over the height [1], ≥ 0.68.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: proven for Ra up to 10¹²; a cylinder counts as wide if D/H ≥ 35/Gr^¼,
    which a damper is not: `nusselt_vertical_slender`.

    References
    ----------
    paper: S. W. Churchill and H. H. S. Chu, International Journal of Heat and Mass
        Transfer 18 (1975) 1323-1329.

    Examples
    --------
    By hand, without any buoyancy: 0.825² = 0.680 625.

    >>> round(nusselt_vertical(rayleigh=0.0, prandtl=0.7), 4)
    0.6806
    """
    return (0.825 + 0.387 * _buoyancy(rayleigh, prandtl, 0.492)) ** 2


def nusselt_vertical_slender(
    *, rayleigh: float, prandtl: float, height: float, diameter: float
) -> float:
    """Return the Nusselt number of a slender upright cylinder in still air.

    Nu = Nu_plate (1 + B (√32 Gr^(−¼) H/D)^C),
    B = 0.057 132 2 + 0.203 05 Pr^(−0.43),
    C = 0.916 5 − 0.004 3 √Pr + 0.013 33 ln Pr + 0.000 480 9/Pr

    Warm air clings to a thin tube in a layer as thick as the tube itself, which
    makes each square metre worth more than on a wide wall.

    Parameters
    ----------
    rayleigh : float
        Ra, on the height [1], > 0.
    prandtl : float
        Pr, at film temperature [1], > 0.
    height : float
        H [m], > 0.
    diameter : float
        D [m], > 0.

    Returns
    -------
    float
        Nu = h H/λ, mean over the height [1], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: proven for Pr of 0.01 to 100 and laminar flow.

    References
    ----------
    paper: C. O. Popiel, J. Wojtkowiak and K. Bober, Experimental Thermal and Fluid
        Science 32 (2007) 607-613.

    Examples
    --------
    >>> thin = nusselt_vertical_slender(rayleigh=1e8, prandtl=0.7, height=0.4, diameter=0.05)
    >>> thin > nusselt_vertical(rayleigh=1e8, prandtl=0.7)
    True
    """
    require_above(0.0, rayleigh, "Rayleigh number", "", "Needs a temperature difference.")
    require_above(0.0, height, "Height", "m")
    require_above(0.0, diameter, "Diameter", "m")
    plate = nusselt_vertical(rayleigh=rayleigh, prandtl=prandtl)
    share = 0.0571322 + 0.20305 * prandtl**-0.43
    power = 0.9165 - 0.0043 * sqrt(prandtl) + 0.01333 * log(prandtl) + 0.0004809 / prandtl
    layer = sqrt(32.0) * (rayleigh / prandtl) ** -0.25 * height / diameter
    return float(plate * (1.0 + share * layer**power))


def cylinder_convection(
    *,
    diameter: float,
    length: float,
    temperature: float,
    air_temperature: float,
    air_speed: float = 0.0,
    vertical: bool = False,
    pressure: float = P_ATM,
) -> Convection:
    """Return the heat transfer coefficient of a tube in wind, still air, or both.

    h⁴ = h_forced⁴ + h_natural⁴

    The larger of the two rules. Natural convection alone is left when the vehicle
    stands still after hard work.

    Parameters
    ----------
    diameter : float
        D, outside [m], > 0.
    length : float
        H, length of the tube [m], > 0.
    temperature : float
        T_s, of the surface [K], > 0.
    air_temperature : float
        T_a [K], > 0; the mean of T_s and T_a within 223.15 to 573.15.
    air_speed : float
        w, speed of the air that really reaches the tube, square to it [m/s], ≥ 0.
    vertical : bool
        True if the tube stands closer to upright than to level.
    pressure : float
        p, absolute air pressure [Pa], > 0.

    Returns
    -------
    Convection
        Coefficients, characteristic numbers and whether the equations are in range.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: air properties at the mean of surface and air temperature. Behind a wheel
    or axle the air is much slower than the vehicle, often a third (common practice).
    A tube along the wind loses less than one across it.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 9, combined free
        and forced convection, exponent 4 for flow across cylinders (chapter and
        exponent: value from memory).
    paper: S. W. Churchill and M. Bernstein (1977), wind; S. W. Churchill and
        H. H. S. Chu (1975), still air.

    Examples
    --------
    >>> still = cylinder_convection(
    ...     diameter=0.05, length=0.3, temperature=350.0, air_temperature=300.0)
    >>> still.coefficient == still.coefficient_natural
    True
    """
    require_above(0.0, diameter, "Diameter", "m", "Outside of the tube.")
    require_above(0.0, length, "Length", "m", "Length of the tube.")
    require_above(0.0, temperature, "Surface temperature", "K", "In kelvin.")
    require_above(0.0, air_temperature, "Air temperature", "K", "In kelvin.")
    require_at_least(0.0, air_speed, "Air speed", "m/s", "Zero: still air.")
    film = air(temperature=0.5 * (temperature + air_temperature), pressure=pressure)
    size = length if vertical else diameter
    drive = GRAVITY * abs(temperature - air_temperature) / film.temperature
    rayleigh = drive * size**3 / (film.kinematic_viscosity * film.thermal_diffusivity)
    reynolds = air_speed * diameter / film.kinematic_viscosity
    if not vertical:
        nusselt = nusselt_horizontal(rayleigh=rayleigh, prandtl=film.prandtl)
    elif rayleigh > 0.0:
        nusselt = nusselt_vertical_slender(
            rayleigh=rayleigh, prandtl=film.prandtl, height=length, diameter=diameter
        )
    else:
        nusselt = nusselt_vertical(rayleigh=0.0, prandtl=film.prandtl)
    natural = nusselt * film.thermal_conductivity / size
    forced = 0.0
    if air_speed > 0.0:
        forced = nusselt_cross_flow(reynolds=reynolds, prandtl=film.prandtl)
        forced *= film.thermal_conductivity / diameter
    wind_proven = air_speed == 0.0 or reynolds * film.prandtl > LEAST_PECLET
    mixed = (forced**MIXING_EXPONENT + natural**MIXING_EXPONENT) ** (1.0 / MIXING_EXPONENT)
    return Convection(
        coefficient=mixed if forced > 0.0 else natural,
        coefficient_forced=forced,
        coefficient_natural=natural,
        reynolds=reynolds,
        rayleigh=rayleigh,
        prandtl=film.prandtl,
        in_range=wind_proven and rayleigh <= GREATEST_RAYLEIGH,
    )


def _buoyancy(rayleigh: float, prandtl: float, fluid: float) -> float:
    require_at_least(0.0, rayleigh, "Rayleigh number", "", "Zero: no temperature difference.")
    require_above(0.0, prandtl, "Prandtl number", "", "Air: about 0.7.")
    slowed: float = (1.0 + (fluid / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return float(rayleigh ** (1.0 / 6.0)) / slowed
