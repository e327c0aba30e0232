"""Damper oil: viscosity with temperature, and the ISO classes."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log10

from calculators.errors import (
    ConflictError,
    require_above,
    require_between,
)

__all__ = [
    "VISCOSITY_GRADES",
    "ViscosityGrade",
    "ViscosityLine",
    "dynamic_viscosity",
    "kinematic_viscosity",
    "temperature_at_viscosity",
    "viscosity_grade",
    "viscosity_line",
]

MM2 = 1e6  # mm²/s in one m²/s: the sources' equations are written for mm²/s
LEAST_VISCOSITY = 0.21  # mm²/s, lower end of the equation, ASTM D341-09
GREATEST_VISCOSITY = 2e7  # mm²/s, upper end of the equation, ASTM D341-09 (value from memory)

VISCOSITY_GRADES = {  # class -> midpoint in mm²/s at 40 °C, ISO 3448
    2: 2.2,
    3: 3.2,
    5: 4.6,
    7: 6.8,
    **{grade: float(grade) for grade in (10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680)},
    **{grade: float(grade) for grade in (1000, 1500)},
}


@dataclass(frozen=True, slots=True)
class ViscosityGrade:
    """One ISO viscosity class, at 40 °C.

    Attributes
    ----------
    midpoint : float
        Kinematic viscosity in the middle of the class [m²/s], > 0.
    minimum : float
        Midpoint less 10 % [m²/s], > 0.
    maximum : float
        Midpoint plus 10 % [m²/s], > 0.
    """

    midpoint: float
    minimum: float
    maximum: float


@dataclass(frozen=True, slots=True)
class ViscosityLine:
    """The straight line of one oil on the viscosity-temperature chart.

    Attributes
    ----------
    intercept : float
        A in log log Z = A - B log T, T in kelvin, Z in mm²/s [1], > 0.
    slope : float
        B; the smaller, the less the oil thins when hot [1], > 0.
    """

    intercept: float
    slope: float


def viscosity_grade(*, grade: int) -> ViscosityGrade:
    """Return the range of kinematic viscosity that an ISO VG class allows at 40 °C.

    midpoint ± 10 %

    The class number is the midpoint in mm²/s, rounded. Oils between two ranges have
    no class. Damper oils are often VG 7 to VG 22 (common practice).

    Parameters
    ----------
    grade : int
        Number of the class: 2, 3, 5, 7, 10, 15, 22, 32, 46, 68, 100 … 1500 [1], > 0.

    Returns
    -------
    ViscosityGrade
        Midpoint and limits [m²/s], > 0.

    Raises
    ------
    ConflictError
        If there is no such class.

    Notes
    -----
    Limits: says nothing about any other temperature, nor about quality.

    References
    ----------
    standard: ISO 3448, Industrial liquid lubricants, ISO viscosity classification.

    Examples
    --------
    >>> viscosity_grade(grade=32).midpoint
    3.2e-05
    """
    if grade not in VISCOSITY_GRADES:
        classes = ", ".join(str(known) for known in VISCOSITY_GRADES)
        message = f"Viscosity class is {grade}; allowed: {classes}. Take the nearest class."
        raise ConflictError(message, inputs=("grade",))
    midpoint = VISCOSITY_GRADES[grade]
    return ViscosityGrade(midpoint / MM2, 0.9 * midpoint / MM2, 1.1 * midpoint / MM2)


def viscosity_line(
    *, temperature_1: float, viscosity_1: float, temperature_2: float, viscosity_2: float
) -> ViscosityLine:
    """Return the line through two measured viscosities on the chart of ASTM D341.

    log log Z = A - B log T,   Z = ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²)

    Logarithms to base 10, T in kelvin, ν in mm²/s. On this chart a mineral oil is
    straight, so two points are enough for all temperatures.

    Parameters
    ----------
    temperature_1 : float
        Of the first point [K], > 0.
    viscosity_1 : float
        Kinematic viscosity there [m²/s], 0.21e-6 to 20.
    temperature_2 : float
        Of the second point, different from the first [K], > 0.
    viscosity_2 : float
        Kinematic viscosity there [m²/s], 0.21e-6 to 20.

    Returns
    -------
    ViscosityLine
        A and B [1], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the temperatures are equal or the hotter point is not the thinner one.

    Notes
    -----
    Limits: liquid petroleum oils between cloud point and beginning of boiling. The usual
    short form without the exponential is the same within 0.04 % from 2 mm²/s up.
    Oils with thickening polymers, esters and silicones are straight only near the two
    points, and thin further in the fast shear of a valve.

    References
    ----------
    standard: ASTM D341-09, Viscosity-Temperature Charts for Liquid Petroleum Products.

    Examples
    --------
    By hand, short form: (log log 32.7 - log log 6.1) / (log 373.15 - log 313.15)
    = (0.180 28 + 0.104 95) / 0.076 13.

    >>> line = viscosity_line(
    ...     temperature_1=313.15, viscosity_1=32e-6, temperature_2=373.15, viscosity_2=5.4e-6)
    >>> round(line.slope, 2)
    3.75
    """
    for temperature in (temperature_1, temperature_2):
        require_above(0.0, temperature, "Temperature", "K", "Absolute temperature.")
    for viscosity in (viscosity_1, viscosity_2):
        _check_viscosity(viscosity)
    (cold, thick), (hot, thin) = sorted(
        ((temperature_1, viscosity_1), (temperature_2, viscosity_2))
    )
    if cold == hot or thick <= thin:
        message = (
            f"{thick * MM2:g} mm²/s at {cold:g} K and {thin * MM2:g} mm²/s at {hot:g} K make no "
            "line. Give two temperatures, the hotter one with the lower viscosity."
        )
        raise ConflictError(message, inputs=("temperature_2", "viscosity_2"))
    height = log10(log10(_z_from_viscosity(thick * MM2)))
    fall = height - log10(log10(_z_from_viscosity(thin * MM2)))
    slope = fall / log10(hot / cold)
    return ViscosityLine(intercept=height + slope * log10(cold), slope=slope)


def kinematic_viscosity(
    *,
    temperature: float,
    temperature_1: float,
    viscosity_1: float,
    temperature_2: float,
    viscosity_2: float,
) -> float:
    """Return an oil's kinematic viscosity at any temperature, from two measured points.

    log log Z = A - B log T, then ν from Z = ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²)

    Z is solved for ν exactly; the standard gives an approximation for that step.

    Parameters
    ----------
    temperature : float
        Where the viscosity is wanted [K], such that the result is 0.21e-6 to 20 m²/s.
    temperature_1 : float
        Of the first point [K], > 0.
    viscosity_1 : float
        Kinematic viscosity there [m²/s], 0.21e-6 to 20.
    temperature_2 : float
        Of the second point [K], > 0.
    viscosity_2 : float
        Kinematic viscosity there [m²/s], 0.21e-6 to 20.

    Returns
    -------
    float
        ν [m²/s], 0.21e-6 to 20.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range, or the result would be outside the equation's.
    ConflictError
        If the two points make no line.

    Notes
    -----
    Limits: those of `viscosity_line`. The further outside the two points, the less sure;
    near the pour point an oil is thicker than this.

    References
    ----------
    standard: ASTM D341-09, Viscosity-Temperature Charts for Liquid Petroleum Products.

    Examples
    --------
    The two points come back.

    >>> round(1e6 * kinematic_viscosity(
    ...     temperature=313.15, temperature_1=313.15, viscosity_1=15e-6,
    ...     temperature_2=373.15, viscosity_2=3.8e-6), 9)
    15.0
    """
    line = viscosity_line(
        temperature_1=temperature_1,
        viscosity_1=viscosity_1,
        temperature_2=temperature_2,
        viscosity_2=viscosity_2,
    )
    require_between(
        _temperature_on(line, GREATEST_VISCOSITY),
        _temperature_on(line, LEAST_VISCOSITY),
        temperature,
        "Temperature",
        "K",
        "Outside, the equation for the oil does not hold.",
    )
    z = 10.0**10.0 ** (line.intercept - line.slope * log10(temperature))
    return _viscosity_from_z(z) / MM2


def temperature_at_viscosity(
    *,
    viscosity: float,
    temperature_1: float,
    viscosity_1: float,
    temperature_2: float,
    viscosity_2: float,
) -> float:
    """Return the temperature at which an oil has a given kinematic viscosity.

    log T = (A - log log Z) / B

    Shows how cold it may get before a damper turns stiff, or how hot before it fades.

    Parameters
    ----------
    viscosity : float
        Kinematic viscosity wanted [m²/s], 0.21e-6 to 20.
    temperature_1 : float
        Of the first point [K], > 0.
    viscosity_1 : float
        Kinematic viscosity there [m²/s], 0.21e-6 to 20.
    temperature_2 : float
        Of the second point [K], > 0.
    viscosity_2 : float
        Kinematic viscosity there [m²/s], 0.21e-6 to 20.

    Returns
    -------
    float
        T [K], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the two points make no line.

    Notes
    -----
    Limits: those of `viscosity_line`.

    References
    ----------
    standard: ASTM D341-09, Viscosity-Temperature Charts for Liquid Petroleum Products.

    Examples
    --------
    >>> round(temperature_at_viscosity(
    ...     viscosity=3.8e-6, temperature_1=313.15, viscosity_1=15e-6,
    ...     temperature_2=373.15, viscosity_2=3.8e-6), 6)
    373.15
    """
    _check_viscosity(viscosity)
    line = viscosity_line(
        temperature_1=temperature_1,
        viscosity_1=viscosity_1,
        temperature_2=temperature_2,
        viscosity_2=viscosity_2,
    )
    return _temperature_on(line, viscosity * MM2)


def _check_viscosity(viscosity: float) -> None:
    require_between(
        LEAST_VISCOSITY / MM2,
        GREATEST_VISCOSITY / MM2,
        viscosity,
        "Kinematic viscosity",
        "m²/s",
        "1 mm²/s is 1e-6 m²/s.",
    )


def _temperature_on(line: ViscosityLine, viscosity: float) -> float:
    height = log10(log10(_z_from_viscosity(viscosity)))
    return float(10.0 ** ((line.intercept - height) / line.slope))


def _z_from_viscosity(viscosity: float) -> float:
    """Return Z for a viscosity in mm²/s."""
    return viscosity + 0.7 + _low_viscosity_term(viscosity)


def _low_viscosity_term(viscosity: float) -> float:
    return exp(-1.47 - (1.84 + 0.51 * viscosity) * viscosity)


def _viscosity_from_z(z: float) -> float:
    """Return the viscosity in mm²/s: Newton's method, which comes down on the one root."""
    viscosity = z - 0.7
    while True:
        term = _low_viscosity_term(viscosity)
        step = (viscosity + 0.7 + term - z) / (1.0 - (1.84 + 1.02 * viscosity) * term)
        viscosity -= step
        if abs(step) <= 1e-14 * viscosity:
            return viscosity


def dynamic_viscosity(*, kinematic_viscosity: float, density: float) -> float:
    """Return the dynamic viscosity, which sets the force of laminar flow.

    μ = ν ρ

    Parameters
    ----------
    kinematic_viscosity : float
        ν [m²/s], > 0.
    density : float
        ρ at the same temperature [kg/m³], > 0.

    Returns
    -------
    float
        μ [Pa·s], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: none, it is the definition; both at the same temperature and pressure.

    References
    ----------
    standard: ISO 3104, definition of kinematic viscosity.

    Examples
    --------
    By hand: 20 mm²/s · 850 kg/m³.

    >>> round(dynamic_viscosity(kinematic_viscosity=20e-6, density=850.0), 9)
    0.017
    """
    require_above(0.0, kinematic_viscosity, "Kinematic viscosity", "m²/s", "1 mm²/s is 1e-6 m²/s.")
    require_above(0.0, density, "Density", "kg/m³", "Damper oils: 820 to 900 kg/m³.")
    return kinematic_viscosity * density
