"""Damper oil: viscosity with temperature, viscosity index, density and bulk modulus."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from math import exp, log10

from calculators.errors import (
    ConflictError,
    NoSolutionError,
    require_above,
    require_at_least,
    require_between,
)
from calculators.physics._viscosity_index import AT_100, INDEX_0_AT_40, INDEX_100_AT_40

__all__ = [
    "VISCOSITY_GRADES",
    "ViscosityGrade",
    "ViscosityLine",
    "bulk_modulus",
    "density",
    "dynamic_viscosity",
    "kinematic_viscosity",
    "lubricant_expansion",
    "temperature_at_viscosity",
    "viscosity_at_100",
    "viscosity_grade",
    "viscosity_index",
    "viscosity_line",
]

MM2 = 1e6  # mm²/s in one m²/s: the sources' equations are written for mm²/s
LEAST_VISCOSITY = 0.21  # mm²/s, lower end of the equation, ASTM D341-09
GREATEST_VISCOSITY = 2e7  # mm²/s, upper end of the equation, ASTM D341-09 (value from memory)
LEAST_INDEXED = 2.0  # mm²/s at 100 °C, below it ASTM D2270 gives no index
T_15 = 288.15  # K, 15 °C, the oil trade's reference temperature for density
P_ATM = 101_325.0  # Pa, standard atmosphere, ISO 2533

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


def viscosity_index(*, viscosity_40: float, viscosity_100: float) -> float:
    """Return the viscosity index of an oil, not rounded.

    up to 100: VI = 100 (L - U) / (L - H);   above: VI = 100 + (10^N - 1) / 0.007 15,
    N = (log H - log U) / log Y

    U and Y are the oil's kinematic viscosities at 40 and 100 °C; L and H those at 40 °C
    of two reference oils that agree with it at 100 °C. A high index thins less.

    Parameters
    ----------
    viscosity_40 : float
        U, at 40 °C [m²/s], > viscosity_100.
    viscosity_100 : float
        Y, at 100 °C [m²/s], ≥ 2e-6.

    Returns
    -------
    float
        VI; the standard rounds it to a whole number [1], finite.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If the oil is not thinner at 100 °C than at 40 °C.

    Notes
    -----
    Limits: no index below 2 mm²/s at 100 °C. L and H are interpolated in the table up to
    70 mm²/s; above, L = 0.835 3 Y² + 14.67 Y - 216 and H = 0.168 4 Y² + 11.85 Y - 97.

    References
    ----------
    standard: ASTM D2270-10, Calculating Viscosity Index from Kinematic Viscosity at 40 and
        100 °C, procedures A and B (ISO 2909 is the same).

    Examples
    --------
    The standard's own example: 73.30 and 8.86 mm²/s, 92.43, rounded 92.

    >>> round(viscosity_index(viscosity_40=73.30e-6, viscosity_100=8.86e-6))
    92
    """
    require_at_least(
        LEAST_INDEXED / MM2,
        viscosity_100,
        "Kinematic viscosity at 100 °C",
        "m²/s",
        "Thinner oils have no viscosity index.",
    )
    require_above(
        0.0, viscosity_40, "Kinematic viscosity at 40 °C", "m²/s", "1 mm²/s is 1e-6 m²/s."
    )
    if viscosity_40 <= viscosity_100:
        message = (
            f"{viscosity_40 * MM2:g} mm²/s at 40 °C is not above {viscosity_100 * MM2:g} mm²/s "
            "at 100 °C. Have the two been exchanged?"
        )
        raise ConflictError(message, inputs=("viscosity_40", "viscosity_100"))
    return _index(viscosity_40 * MM2, viscosity_100 * MM2)


def viscosity_at_100(*, viscosity_40: float, viscosity_index: float) -> float:
    """Return the kinematic viscosity at 100 °C of an oil known by its index.

    the Y at which the viscosity index of U and Y is the one given

    Data sheets often state a class and an index only; with this second point the
    viscosity is known at all temperatures.

    Parameters
    ----------
    viscosity_40 : float
        U, kinematic viscosity at 40 °C [m²/s], > 2e-6.
    viscosity_index : float
        VI [1], 0 to 400.

    Returns
    -------
    float
        Y, kinematic viscosity at 100 °C [m²/s], ≥ 2e-6.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    NoSolutionError
        If the oil would be thinner than 2 mm²/s at 100 °C, where no index is defined.

    Notes
    -----
    Limits: those of `viscosity_index`; an index rounded to a whole number leaves about
    0.1 to 0.2 % of Y open.

    References
    ----------
    standard: ASTM D2270-10, read backwards.

    Examples
    --------
    The standard's example backwards: 73.30 mm²/s and 92.43 belong to 8.86 mm²/s.

    >>> round(1e6 * viscosity_at_100(viscosity_40=73.30e-6, viscosity_index=92.43), 2)
    8.86
    """
    require_above(
        LEAST_INDEXED / MM2,
        viscosity_40,
        "Kinematic viscosity at 40 °C",
        "m²/s",
        "Thinner oils have no viscosity index.",
    )
    require_between(0.0, 400.0, viscosity_index, "Viscosity index", "", "Mineral oils: 90 to 110.")
    thick = viscosity_40 * MM2
    low, high = LEAST_INDEXED, thick
    if _index(thick, low) > viscosity_index:
        message = (
            f"{thick:g} mm²/s at 40 °C with an index of {viscosity_index:g} is below 2 mm²/s at "
            "100 °C, where no index is defined. Give a second measured viscosity instead."
        )
        raise NoSolutionError(message)
    while (middle := 0.5 * (low + high)) not in (low, high):
        if _index(thick, middle) < viscosity_index:
            low = middle
        else:
            high = middle
    return high / MM2


def _index(at_40: float, at_100: float) -> float:
    """Return the index for viscosities in mm²/s."""
    worse, better = _reference_oils(at_100)
    if at_40 >= better:
        return 100.0 * (worse - at_40) / (worse - better)
    antilog: float = 10.0 ** (log10(better / at_40) / log10(at_100))
    return 100.0 + (antilog - 1.0) / 0.00715


def _reference_oils(at_100: float) -> tuple[float, float]:
    """Return L and H in mm²/s."""
    if at_100 > AT_100[-1]:
        return (
            (0.8353 * at_100 + 14.67) * at_100 - 216.0,
            (0.1684 * at_100 + 11.85) * at_100 - 97.0,
        )
    right = min(bisect_right(AT_100, at_100), len(AT_100) - 1)
    left = right - 1
    part = (at_100 - AT_100[left]) / (AT_100[right] - AT_100[left])
    return (
        INDEX_0_AT_40[left] + part * (INDEX_0_AT_40[right] - INDEX_0_AT_40[left]),
        INDEX_100_AT_40[left] + part * (INDEX_100_AT_40[right] - INDEX_100_AT_40[left]),
    )


def lubricant_expansion(*, density_15: float) -> float:
    """Return the thermal expansion that mineral lubricating oils of this density have.

    α = 0.627 8 kg/(m³ K) / ρ_15

    Lighter oils expand more: 0.072 % for each kelvin at 870 kg/m³.

    Parameters
    ----------
    density_15 : float
        ρ_15, density at 15 °C [kg/m³], 801 to 1164.

    Returns
    -------
    float
        α, volume expansion at 15 °C [1/K], > 0.

    Raises
    ------
    OutOfRangeError
        If the density is outside the range of the tables.

    Notes
    -----
    Limits: lubricating oils from petroleum; esters and silicones have their own figures.

    References
    ----------
    standard: API MPMS chapter 11.1 (ASTM D1250), lubricating oils: K_0 = 0,
        K_1 = 0.348 78 for degrees Fahrenheit, which is 0.627 8 for kelvin.

    Examples
    --------
    By hand: 0.6278 / 871.944 4.

    >>> round(lubricant_expansion(density_15=871.9444), 8)
    0.00072
    """
    require_between(
        801.0, 1164.0, density_15, "Density at 15 °C", "kg/m³", "Damper oils: 820 to 900 kg/m³."
    )
    return 0.6278 / density_15


def density(*, temperature: float, density_15: float, thermal_expansion: float) -> float:
    """Return the density of an oil at a temperature; its mass stays the same.

    ρ = ρ_15 exp(-α ΔT (1 + 0.8 α ΔT)),   ΔT = T - 288.15 K

    Near 15 °C that is ρ_15 / (1 + α ΔT); ρ_15 / ρ is also the factor by which the volume
    grows. At 100 °C the plain fraction is 0.4 % too high.

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 423.15.
    density_15 : float
        ρ_15, density at 15 °C [kg/m³], > 0.
    thermal_expansion : float
        α, volume expansion at 15 °C, mineral oil about 0.000 7 [1/K], ≥ 0.

    Returns
    -------
    float
        ρ [kg/m³], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.

    Notes
    -----
    Limits: liquid oil near atmospheric pressure; pressure adds about 0.07 % for 1 MPa.

    References
    ----------
    standard: API MPMS chapter 11.1 (ASTM D1250), volume correction factor. Table D says
        -50 to 150 °C (range: value from memory).

    Examples
    --------
    >>> density(temperature=288.15, density_15=870.0, thermal_expansion=7.2e-4)
    870.0
    """
    require_between(
        223.15, 423.15, temperature, "Oil temperature", "K", "The tables end at -50 and 150 °C."
    )
    require_above(0.0, density_15, "Density at 15 °C", "kg/m³", "Damper oils: 820 to 900 kg/m³.")
    require_at_least(0.0, thermal_expansion, "Thermal expansion", "1/K", "Mineral oil: 0.0007 1/K.")
    growth = thermal_expansion * (temperature - T_15)
    return density_15 * exp(-growth * (1.0 + 0.8 * growth))


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


def bulk_modulus(
    *,
    temperature: float,
    pressure: float,
    reference_modulus: float,
    reference_temperature: float = 293.15,
    temperature_sensitivity: float = 0.0065,
    pressure_sensitivity: float = 11.0,
) -> float:
    """Return the bulk modulus of air-free oil at a temperature and pressure.

    K = K_0 exp(-b (T - T_0)) + m (p - p_atm)

    Hot oil is softer, oil under pressure stiffer. In a damper the air in the oil
    matters far more than either.

    Parameters
    ----------
    temperature : float
        T [K], 223.15 to 423.15.
    pressure : float
        p, absolute [Pa], 0 to 50e6.
    reference_modulus : float
        K_0 at the reference temperature and atmospheric pressure; mineral oil about
        1.4e9 when slow, 1.7e9 when fast (common practice) [Pa], > 0.
    reference_temperature : float
        T_0 [K], 223.15 to 423.15.
    temperature_sensitivity : float
        b, relative loss for each kelvin [1/K], ≥ 0.
    pressure_sensitivity : float
        m, gain for each pascal [1], ≥ 0.

    Returns
    -------
    float
        K, tangent bulk modulus, of the kind (slow or fast) of the reference [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.

    Notes
    -----
    Limits: oil without free air. Slow means isothermal, fast (a stroke of the damper)
    isentropic, stiffer by 10 to 20 % (common practice). Against the reference equation of
    n-dodecane the two defaults are within 2 % up to 60 °C and 20 MPa.

    References
    ----------
    book: S. Bair, High Pressure Rheology for Quantitative Elastohydrodynamics: modulus falls
        by exp(-0.006 5 T/K) and rises by about 11 times the pressure (value from memory).

    Examples
    --------
    >>> bulk_modulus(temperature=293.15, pressure=101_325.0, reference_modulus=1.5e9)
    1500000000.0
    """
    for kelvin in (temperature, reference_temperature):
        require_between(223.15, 423.15, kelvin, "Oil temperature", "K", "-50 to 150 °C.")
    require_between(0.0, 50e6, pressure, "Pressure", "Pa", "Absolute pressure.")
    require_above(0.0, reference_modulus, "Bulk modulus", "Pa", "Mineral oil: about 1.5 GPa.")
    require_at_least(
        0.0, temperature_sensitivity, "Temperature sensitivity", "1/K", "About 0.0065."
    )
    require_at_least(0.0, pressure_sensitivity, "Pressure sensitivity", "", "About 11.")
    by_temperature = exp(-temperature_sensitivity * (temperature - reference_temperature))
    return reference_modulus * by_temperature + pressure_sensitivity * (pressure - P_ATM)
