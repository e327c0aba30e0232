"""Heat by radiation: what a warm tube gives to its surroundings, and what the sun adds."""

from __future__ import annotations

from calculators.errors import ConflictError, require_above, require_at_least, require_between

__all__ = ["STEFAN_BOLTZMANN", "concentric_radiation", "radiated_power", "solar_power"]

STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m²·K⁴), CODATA 2018
_PAINT = "Paint of any colour: about 0.9; clean bare metal: 0.1 to 0.3."


def radiated_power(
    *, area: float, emissivity: float, temperature: float, temperature_surroundings: float
) -> float:
    """Return the net heat that a surface radiates to large surroundings.

    P = ε σ A (T⁴ − T_sur⁴)

    Parameters
    ----------
    area : float
        A, surface that sees the surroundings [m²], ≥ 0.
    emissivity : float
        ε [1], 0 to 1.
    temperature : float
        T, of the surface [K], > 0.
    temperature_surroundings : float
        T_sur, of what the surface sees [K], > 0.

    Returns
    -------
    float
        P, net heat given off, negative if the surroundings are hotter [W], any sign.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: surroundings much larger than the damper and all at one temperature; a
    hot exhaust pipe or brake disc nearby sends far more than it takes.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 1 (equation
        for a small surface in a large enclosure; chapter: value from memory).

    Examples
    --------
    By hand: 5.670 374·10⁻⁸ · (400⁴ − 300⁴) = 5.670 374 · 175.

    >>> round(radiated_power(
    ...     area=1.0, emissivity=1.0, temperature=400.0, temperature_surroundings=300.0), 2)
    992.32
    """
    require_at_least(0.0, area, "Surface", "m²", "Outside of the tube.")
    require_between(0.0, 1.0, emissivity, "Emissivity", "", _PAINT)
    require_above(0.0, temperature, "Surface temperature", "K", "In kelvin.")
    require_above(0.0, temperature_surroundings, "Temperature of the surroundings", "K")
    return emissivity * STEFAN_BOLTZMANN * area * _fourth(temperature, temperature_surroundings)


def concentric_radiation(
    *,
    area: float,
    diameter_ratio: float,
    emissivity: float,
    temperature_inner: float,
    temperature_outer: float,
) -> float:
    """Return the heat that radiates from an inner tube to the tube around it.

    P = σ A_i (T_i⁴ − T_o⁴) / (1/ε + (1/ε − 1) D_i/D_o)

    Through the gas of a twin-tube's reserve; both walls have the same emissivity.

    Parameters
    ----------
    area : float
        A_i, outside of the inner tube [m²], ≥ 0.
    diameter_ratio : float
        D_i/D_o, inner tube outside over outer tube inside [1], > 0 and below 1.
    emissivity : float
        ε, of both walls [1], 0 to 1.
    temperature_inner : float
        T_i [K], > 0.
    temperature_outer : float
        T_o [K], > 0.

    Returns
    -------
    float
        P, from the inner to the outer tube [W], any sign.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the inner tube is not smaller than the outer.

    Notes
    -----
    Limits: long grey tubes; the gas between doesn't absorb (nitrogen and air don't).

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 13, table of
        two-surface enclosures, concentric cylinders (chapter: value from memory).

    Examples
    --------
    Two black tubes: 5.670 374 · 175.

    >>> round(concentric_radiation(
    ...     area=1.0, diameter_ratio=0.5, emissivity=1.0,
    ...     temperature_inner=400.0, temperature_outer=300.0), 2)
    992.32
    """
    require_at_least(0.0, area, "Surface", "m²", "Outside of the inner tube.")
    require_above(0.0, diameter_ratio, "Diameter ratio", "", "Inner over outer.")
    require_between(0.0, 1.0, emissivity, "Emissivity", "", _PAINT)
    require_above(0.0, temperature_inner, "Temperature of the inner tube", "K")
    require_above(0.0, temperature_outer, "Temperature of the outer tube", "K")
    if diameter_ratio >= 1.0:
        message = "The inner tube must be smaller than the tube around it."
        raise ConflictError(message, inputs=("diameter_ratio",))
    if emissivity == 0.0:
        return 0.0
    resistance = 1.0 / emissivity + (1.0 / emissivity - 1.0) * diameter_ratio
    return STEFAN_BOLTZMANN * area * _fourth(temperature_inner, temperature_outer) / resistance


def solar_power(*, irradiance: float, absorptivity: float, projected_area: float) -> float:
    """Return the heat that the sun puts into a surface.

    P = α G A_proj

    Parameters
    ----------
    irradiance : float
        G, sunlight on a surface square to it; clear noon about 1 000 (common
        practice) [W/m²], 0 to 1400.
    absorptivity : float
        α, black paint about 0.95, white 0.2 to 0.3 [1], 0 to 1.
    projected_area : float
        A_proj, shadow of the part: diameter × length of a cylinder [m²], ≥ 0.

    Returns
    -------
    float
        P [W], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: sun square to the tube's axis, the largest case; under the vehicle a
    damper mostly hangs in the shade: then give zero.

    References
    ----------
    derivation: sunlight intercepted, times the share absorbed.
    common practice: sunlight and absorptivity of paints.

    Examples
    --------
    By hand: 1 000 · 0.9 · 0.02.

    >>> solar_power(irradiance=1_000.0, absorptivity=0.9, projected_area=0.02)
    18.0
    """
    require_between(0.0, 1400.0, irradiance, "Sunlight", "W/m²", "Clear noon: about 1 000 W/m².")
    require_between(0.0, 1.0, absorptivity, "Absorptivity", "", "Black paint: about 0.95.")
    require_at_least(0.0, projected_area, "Shadow area", "m²", "Diameter × length.")
    return irradiance * absorptivity * projected_area


def _fourth(hot: float, cold: float) -> float:
    """Return T_1⁴ − T_2⁴ without losing digits when they are close."""
    return (hot - cold) * (hot + cold) * (hot * hot + cold * cold)
