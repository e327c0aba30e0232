"""The gas behind the oil: pressure, rod force, rate, and the charge read backwards.

The charge is stated as gauge pressure at 20 °C with the rod fully extended, as
it is filled and checked. A rod force is positive when it drives the rod out.
Nitrogen is taken as an ideal gas.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)
from calculators.physics.area import circle_area

__all__ = [
    "P_ATM",
    "T_REFERENCE",
    "GasState",
    "atmosphere_pressure",
    "charge_from_rod_force",
    "charge_state",
    "gas_spring_rate",
    "polytropic_pressure",
    "pressure_at_temperature",
    "ride_height_lift",
    "rod_force",
]

P_ATM = 101_325.0  # Pa, standard atmosphere, ISO 2533
T_REFERENCE = 293.15  # K, 20 °C, temperature at which a charge is stated

_T_SEA_LEVEL = 288.15  # K, ISO 2533
_LAPSE_RATE = 0.0065  # K/m, ISO 2533, 0 to 11 000 m
_GRAVITY = 9.80665  # m/s², ISO 2533
_GAS_CONSTANT_AIR = 287.05287  # J/(kg·K), ISO 2533
_TROPOPAUSE = 11_000.0  # m, geopotential, ISO 2533

_EXPONENT_ADVICE = "1 slow, 1.4 fast; fast nitrogen above 25 bar 1.44 and more."


@dataclass(frozen=True, slots=True, kw_only=True)
class GasState:
    """The gas at one position of the rod and one temperature.

    Attributes
    ----------
    pressure : float
        p, absolute pressure [Pa], > 0.
    pressure_gauge : float
        p − p_amb, gauge pressure against the ambient air [Pa], any finite value.
    volume : float
        V, gas volume [m³], > 0.
    rod_force : float
        F, push of the gas on the rod, positive driving it out [N], any finite
        value.
    rate : float
        dF/dx, gas spring rate at this position [N/m], > 0.

    References
    ----------
    derivation: fields of `charge_state`.
    """

    pressure: float
    pressure_gauge: float
    volume: float
    rod_force: float
    rate: float


def polytropic_pressure(
    *, pressure: float, volume: float, volume_new: float, polytropic_exponent: float = 1.0
) -> float:
    """Return the pressure after a change of volume.

    p₂ = p₁ (V₁ / V₂)ⁿ

    Parameters
    ----------
    pressure : float
        p₁, absolute pressure before [Pa], > 0.
    volume : float
        V₁, gas volume before [m³], > 0.
    volume_new : float
        V₂, gas volume after [m³], > 0.
    polytropic_exponent : float
        n, 1 (slow, heat passes) to 1.4 (fast, low pressure) [1], 1 to 1.67.

    Returns
    -------
    float
        p₂, absolute pressure after [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: ideal gas. Real nitrogen squeezed fast to 0.6 of its volume is 3 %
    higher from 25 bar and 8 % higher from 60 bar than n = 1.4 says.

    References
    ----------
    derivation: p Vⁿ = const.
    book: Y. A. Çengel and M. A. Boles, Thermodynamics, polytropic process (section:
        value from memory).

    Examples
    --------
    By hand: half the volume, n = 1, twice the pressure.

    >>> polytropic_pressure(pressure=600_000.0, volume=0.0002, volume_new=0.0001)
    1200000.0
    """
    require_above(0.0, pressure / 1e5, "Gas pressure", "bar", "Absolute: gauge plus atmosphere.")
    require_above(0.0, volume * 1e6, "Gas volume before", "cm³")
    require_above(0.0, volume_new * 1e6, "Gas volume after", "cm³")
    _require_exponent(polytropic_exponent)
    return float(pressure * (volume / volume_new) ** polytropic_exponent)


def pressure_at_temperature(
    *, pressure: float, temperature: float, temperature_new: float
) -> float:
    """Return the pressure of the same gas in the same volume at another temperature.

    p₂ = p₁ T₂ / T₁

    Parameters
    ----------
    pressure : float
        p₁, absolute pressure before [Pa], > 0.
    temperature : float
        T₁, absolute temperature before [K], > 0.
    temperature_new : float
        T₂, absolute temperature after [K], > 0.

    Returns
    -------
    float
        p₂, absolute pressure after [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: ideal gas, volume fixed. In a damper the oil expands too and takes
    gas volume away: `charge_state` counts both.

    References
    ----------
    derivation: p V = m R T with V and m fixed.

    Examples
    --------
    By hand: 2 600 000 · 366.4375 / 293.15 = 2 600 000 · 1.25.

    >>> pressure_at_temperature(
    ...     pressure=2_600_000.0, temperature=293.15, temperature_new=366.4375)
    3250000.0
    """
    require_above(0.0, pressure / 1e5, "Gas pressure", "bar", "Absolute: gauge plus atmosphere.")
    require_above(0.0, temperature, "Temperature before", "K")
    require_above(0.0, temperature_new, "Temperature after", "K")
    return pressure * (temperature_new / temperature)


def atmosphere_pressure(*, altitude: float) -> float:
    """Return the air pressure of the standard atmosphere at an altitude.

    p = p₀ (1 − β H / T₀)^(g / (β R))

    Less air outside means more gauge pressure from the same gas, and an earlier
    start of cavitation in a damper with little charge.

    Parameters
    ----------
    altitude : float
        H, geopotential altitude above sea level [m], −2 000 to 11 000.

    Returns
    -------
    float
        p, absolute air pressure [Pa], 22 632 to 127 774.

    Raises
    ------
    OutOfRangeError
        If the altitude is outside the troposphere of the standard.

    Notes
    -----
    Limits: the weather moves the true pressure by a few percent. Geopotential and
    geometric altitude differ by 0.03 % at 2 000 m.

    References
    ----------
    standard: ISO 2533 Standard Atmosphere, layer 0 to 11 000 m (T₀ = 288.15 K,
        β = 6.5 K/km, g = 9.80665 m/s², R = 287.05287 J/(kg·K)).

    Examples
    --------
    At sea level the standard atmosphere itself.

    >>> atmosphere_pressure(altitude=0.0)
    101325.0
    """
    advice = "The formula holds from 2 km below sea level to 11 km above it."
    require_between(-2_000.0, _TROPOPAUSE, altitude, "Altitude", "m", advice)
    exponent = _GRAVITY / (_LAPSE_RATE * _GAS_CONSTANT_AIR)
    return float(P_ATM * (1.0 - _LAPSE_RATE * altitude / _T_SEA_LEVEL) ** exponent)


def rod_force(*, pressure: float, rod_diameter: float, pressure_ambient: float = P_ATM) -> float:
    """Return the force with which the gas drives the rod out.

    F = (p − p_amb) A_r

    The gas presses on both sides of the piston; only the rod's own section is
    left without oil on the outside, so the rod is pushed out.

    Parameters
    ----------
    pressure : float
        p, absolute gas pressure [Pa], > 0.
    rod_diameter : float
        d, rod diameter [m], > 0.
    pressure_ambient : float
        p_amb, absolute air pressure outside [Pa], > 0.

    Returns
    -------
    float
        F, rod force, positive driving the rod out [N], any finite value.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: rod at rest. Seal friction, of the order of tens of newtons, adds when
    the rod goes in and takes off when it comes out.

    References
    ----------
    derivation: balance of pressures on piston and rod.

    Examples
    --------
    By hand: 2 000 000 · π/4 · 0.02² = 200 π.

    >>> round(rod_force(pressure=2_101_325.0, rod_diameter=0.02), 4)
    628.3185
    """
    require_above(0.0, pressure / 1e5, "Gas pressure", "bar", "Absolute: gauge plus atmosphere.")
    require_above(0.0, rod_diameter * 1e3, "Rod diameter", "mm", "A through rod has no rod force.")
    require_above(0.0, pressure_ambient / 1e5, "Ambient pressure", "bar", "Absolute.")
    return (pressure - pressure_ambient) * circle_area(diameter=rod_diameter)


def gas_spring_rate(
    *, pressure: float, volume: float, rod_diameter: float, polytropic_exponent: float = 1.0
) -> float:
    """Return how fast the rod force grows as the rod moves in.

    k_g = n p A_r² / V

    Parameters
    ----------
    pressure : float
        p, absolute gas pressure at this position [Pa], > 0.
    volume : float
        V, gas volume at this position [m³], > 0.
    rod_diameter : float
        d, rod diameter [m], ≥ 0.
    polytropic_exponent : float
        n, 1 (slow) to 1.4 (fast nitrogen) [1], 1 to 1.67.

    Returns
    -------
    float
        k_g, gas spring rate along the damper [N/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: ideal gas, oil that does not compress. Times the motion ratio squared
    it adds to the wheel rate.

    References
    ----------
    derivation: dF/dx = A_r dp/dx with p Vⁿ = const and dV = −A_r dx.

    Examples
    --------
    By hand: 1 · 2 000 000 · (π · 0.0001)² / 0.0001.

    >>> round(gas_spring_rate(pressure=2_000_000.0, volume=0.0001, rod_diameter=0.02), 3)
    1973.921
    """
    require_above(0.0, pressure / 1e5, "Gas pressure", "bar", "Absolute: gauge plus atmosphere.")
    require_above(0.0, volume * 1e6, "Gas volume", "cm³")
    _require_exponent(polytropic_exponent)
    area = circle_area(diameter=rod_diameter)
    return polytropic_exponent * pressure * area**2 / volume


def ride_height_lift(*, rod_force: float, motion_ratio: float, wheel_rate: float) -> float:
    """Return how far the rod force of one damper lifts the body at its wheel.

    Δz = F MR / k_w

    Parameters
    ----------
    rod_force : float
        F, rod force at ride height, positive driving the rod out [N], any finite
        value.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.
    wheel_rate : float
        k_w, spring rate at the wheel [N/m], > 0.

    Returns
    -------
    float
        Δz, lift of the body against a damper without gas [m], any finite value.

    Raises
    ------
    OutOfRangeError
        If ratio or rate is not above zero, or the force is not finite.

    Notes
    -----
    Limits: small against the travel: the gas force at the new height is taken as
    that at the old one. Two dampers at a wheel lift twice.

    References
    ----------
    derivation: the spring gives back the force that the damper takes over.

    Examples
    --------
    By hand: 500 · 0.8 / 20 000.

    >>> ride_height_lift(rod_force=500.0, motion_ratio=0.8, wheel_rate=20_000.0)
    0.02
    """
    require_finite(rod_force, "Rod force", "N")
    require_above(0.0, motion_ratio, "Motion ratio", "", "Damper travel over wheel travel.")
    require_above(0.0, wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
    return rod_force * motion_ratio / wheel_rate


def charge_state(
    *,
    charge_pressure_gauge: float,
    gas_volume_extended: float,
    rod_diameter: float,
    compression: float = 0.0,
    temperature: float = T_REFERENCE,
    oil_volume: float = 0.0,
    expansion_coefficient: float = 0.0,
    polytropic_exponent: float = 1.0,
    pressure_ambient: float = P_ATM,
) -> GasState:
    """Return pressure, volume, rod force and rate at a rod position and temperature.

    V_T = V₀ − V_oil β (T − T₀), p_T = p₀ (T/T₀)(V₀/V_T),
    p = p_T (V_T / (V_T − A_r x))ⁿ

    Two steps: the damper warms through at full extension, the oil growing into
    the gas; then the rod moves in by x.

    Parameters
    ----------
    charge_pressure_gauge : float
        p₀ − 101 325 Pa, charge at full extension and 20 °C, gauge against the
        standard atmosphere [Pa], > −101 325.
    gas_volume_extended : float
        V₀, gas volume at full extension and 20 °C [m³], > 0.
    rod_diameter : float
        d, rod diameter [m], > 0.
    compression : float
        x, travel of the rod in from full extension [m], ≥ 0.
    temperature : float
        T, temperature of oil and gas [K], > 0.
    oil_volume : float
        V_oil, all the oil in the damper at 20 °C [m³], ≥ 0; 0 leaves its
        expansion out.
    expansion_coefficient : float
        β, volume expansion of the oil against its 20 °C volume [1/K], ≥ 0.
    polytropic_exponent : float
        n, for the stroke: 1 (slow) to 1.4 (fast nitrogen) [1], 1 to 1.67.
    pressure_ambient : float
        p_amb, absolute air pressure where the damper works [Pa], > 0.

    Returns
    -------
    GasState
        State of the gas there.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no gas volume is left: hot oil or the rod has filled the chamber.

    Notes
    -----
    Limits: ideal gas; oil and gas at one temperature; metal does not stretch or
    grow; no gas dissolves in the oil (in a twin-tube some does, and the pressure
    falls after filling).

    References
    ----------
    derivation: p V = m R T for the soak, p Vⁿ = const for the stroke, dV = −A_r dx.

    Examples
    --------
    By hand: V = 0.0002 − π · 0.0001 · 1/π = 0.0001, so p = 2 · 600 000.

    >>> from math import pi
    >>> state = charge_state(
    ...     charge_pressure_gauge=498_675.0,
    ...     gas_volume_extended=0.0002,
    ...     rod_diameter=0.02,
    ...     compression=1.0 / pi,
    ... )
    >>> round(state.pressure, 3), round(state.volume, 9)
    (1200000.0, 0.0001)
    """
    advice = "Gauge pressure; a perfect vacuum is −1.013 25 bar."
    require_above(-P_ATM / 1e5, charge_pressure_gauge / 1e5, "Gas charge", "bar", advice)
    require_above(0.0, pressure_ambient / 1e5, "Ambient pressure", "bar", "Absolute.")
    area = circle_area(diameter=rod_diameter)
    per_charge, volume = _pressure_factor(
        gas_volume_extended=gas_volume_extended,
        rod_diameter=rod_diameter,
        compression=compression,
        temperature=temperature,
        oil_volume=oil_volume,
        expansion_coefficient=expansion_coefficient,
        polytropic_exponent=polytropic_exponent,
    )
    pressure = (charge_pressure_gauge + P_ATM) * per_charge
    return GasState(
        pressure=pressure,
        pressure_gauge=pressure - pressure_ambient,
        volume=volume,
        rod_force=(pressure - pressure_ambient) * area,
        rate=polytropic_exponent * pressure * area**2 / volume,
    )


def charge_from_rod_force(
    *,
    rod_force: float,
    rod_diameter: float,
    gas_volume_extended: float,
    compression: float = 0.0,
    temperature: float = T_REFERENCE,
    oil_volume: float = 0.0,
    expansion_coefficient: float = 0.0,
    polytropic_exponent: float = 1.0,
    pressure_ambient: float = P_ATM,
) -> float:
    """Return the charge at full extension and 20 °C from a rod force measured elsewhere.

    p₀ = (F / A_r + p_amb) / ((T/T₀)(V₀/V_T)(V_T/(V_T − A_r x))ⁿ)

    The inverse of `charge_state`: what does the force on the bench say about the
    filling?

    Parameters
    ----------
    rod_force : float
        F, rod force at rest, mean of pushing in and letting out, so that seal
        friction drops out; positive driving the rod out [N], > −p_amb A_r.
    rod_diameter : float
        d, rod diameter [m], > 0.
    gas_volume_extended : float
        V₀, gas volume at full extension and 20 °C [m³], > 0.
    compression : float
        x, travel of the rod in from full extension at the measurement [m], ≥ 0.
    temperature : float
        T, temperature of oil and gas at the measurement [K], > 0.
    oil_volume : float
        V_oil, all the oil in the damper at 20 °C [m³], ≥ 0; 0 leaves its
        expansion out.
    expansion_coefficient : float
        β, volume expansion of the oil against its 20 °C volume [1/K], ≥ 0.
    polytropic_exponent : float
        n, 1 if the rod was held until the reading stood still [1], 1 to 1.67.
    pressure_ambient : float
        p_amb, absolute air pressure at the measurement [Pa], > 0.

    Returns
    -------
    float
        Charge at full extension and 20 °C, gauge against the standard atmosphere
        [Pa], > −101 325.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range, or the force needs less than vacuum.
    ConflictError
        If no gas volume is left at this position and temperature.

    Notes
    -----
    Limits: those of `charge_state`. An error of the force F gives the same share
    of error in the gauge pressure.

    References
    ----------
    derivation: the inverse of `charge_state`, linear in the pressure.

    Examples
    --------
    By hand, at full extension and 20 °C: F / A_r = 200 π / (π · 0.0001).

    >>> from math import pi
    >>> round(charge_from_rod_force(
    ...     rod_force=200.0 * pi, rod_diameter=0.02, gas_volume_extended=0.0001), 3)
    2000000.0
    """
    require_above(0.0, rod_diameter * 1e3, "Rod diameter", "mm", "A through rod has no rod force.")
    require_above(0.0, pressure_ambient / 1e5, "Ambient pressure", "bar", "Absolute.")
    area = circle_area(diameter=rod_diameter)
    advice = "Count it positive when the gas drives the rod out."
    require_above(-pressure_ambient * area, rod_force, "Rod force", "N", advice)
    per_charge, _ = _pressure_factor(
        gas_volume_extended=gas_volume_extended,
        rod_diameter=rod_diameter,
        compression=compression,
        temperature=temperature,
        oil_volume=oil_volume,
        expansion_coefficient=expansion_coefficient,
        polytropic_exponent=polytropic_exponent,
    )
    return (rod_force / area + pressure_ambient) / per_charge - P_ATM


def _pressure_factor(
    *,
    gas_volume_extended: float,
    rod_diameter: float,
    compression: float,
    temperature: float,
    oil_volume: float,
    expansion_coefficient: float,
    polytropic_exponent: float,
) -> tuple[float, float]:
    """Return p / p₀ and the gas volume at this position and temperature."""
    require_above(
        0.0, gas_volume_extended * 1e6, "Gas volume", "cm³", "At full extension and 20 °C."
    )
    require_above(0.0, rod_diameter * 1e3, "Rod diameter", "mm", "A through rod has no rod force.")
    require_at_least(
        0.0, compression * 1e3, "Compression", "mm", "Count from full extension, inwards."
    )
    require_above(0.0, temperature, "Temperature", "K", "Absolute temperature.")
    require_at_least(0.0, oil_volume * 1e6, "Oil volume", "cm³")
    require_at_least(0.0, expansion_coefficient, "Thermal expansion of the oil", "1/K")
    _require_exponent(polytropic_exponent)
    area = circle_area(diameter=rod_diameter)
    growth = oil_volume * expansion_coefficient * (temperature - T_REFERENCE)
    volume_soaked = gas_volume_extended - growth
    if volume_soaked <= 0.0:
        message = (
            f"At {temperature - 273.15:.4g} °C the oil has grown by {growth * 1e6:.4g} cm³ and "
            f"leaves no gas: the chamber holds {gas_volume_extended * 1e6:.4g} cm³ of it at full "
            "extension. Give the gas more room, or use less oil."
        )
        raise ConflictError(message, inputs=("gas_volume_extended", "temperature", "oil_volume"))
    volume = volume_soaked - area * compression
    if volume <= 0.0:
        message = (
            f"No gas is left from a compression of {volume_soaked / area * 1e3:.5g} mm on, but "
            f"{compression * 1e3:.5g} mm is asked for. Give the gas more room, shorten the stroke "
            "or use a thinner rod."
        )
        raise ConflictError(message, inputs=("gas_volume_extended", "compression", "rod_diameter"))
    soak = temperature / T_REFERENCE * (gas_volume_extended / volume_soaked)
    return soak * (volume_soaked / volume) ** polytropic_exponent, volume


def _require_exponent(exponent: float) -> None:
    require_between(1.0, 1.67, exponent, "Polytropic exponent", "", _EXPONENT_ADVICE)
