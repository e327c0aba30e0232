"""What keeps a damper from cavitating: the gas charge, the foot valve, and their balance.

Altitude enters with the ambient pressure at which the charge was set: a sealed gas
keeps its absolute pressure, whatever the air outside does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import require_above, require_at_least, require_finite
from calculators.physics.gas import P_ATM, pressure_at_temperature
from calculators.physics.network import operating_point

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper

__all__ = [
    "PressureBalance",
    "gauge_charge",
    "pressure_balance",
    "required_charge",
    "required_reserve_drop",
]

_RELEASE_ADVICE = "Absolute; vapour is nearly zero."


@dataclass(frozen=True, slots=True)
class PressureBalance:
    """How piston and reserve valve share the pressure at one speed.

    Attributes
    ----------
    velocity : float
        speed of the rod, positive in compression [m/s].
    piston_drop : float
        drop of the piston's valve in its direction of flow [Pa], ≥ 0.
    reserve_drop : float
        drop of the reserve valve in its direction of flow [Pa], ≥ 0.
    ratio : float or None
        reserve drop / piston drop [1]; in compression 1 or more keeps the rod side at
        or above gas pressure. None without a piston drop.
    margin_head, margin_rod : float
        chamber pressures above release [Pa].
    reserve_force, piston_force : float
        parts of the damping force, Δp_reserve A_r and Δp_piston A_a [N], ≥ 0.
    """

    velocity: float
    piston_drop: float
    reserve_drop: float
    ratio: float | None
    margin_head: float
    margin_rod: float
    reserve_force: float
    piston_force: float


def required_charge(
    *, damper: Damper, velocity: float, oil: Oil, release_pressure: float, margin: float = 0.0
) -> float:
    """Return the gas pressure that keeps a speed free of cavitation.

    p_gas = p_v + margin + max(0, p_gas − p_head, p_gas − p_rod)

    The drops don't depend on the gas pressure, so the answer is direct.

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    velocity : float
        v, speed of the rod, positive in compression [m/s], any sign.
    oil : Oil
        Density and viscosity at working temperature.
    release_pressure : float
        p_v, absolute vapour or air-release pressure of the oil [Pa], ≥ 0.
    margin : float
        pressure to keep above release [Pa], ≥ 0.

    Returns
    -------
    float
        p_gas, absolute pressure at this rod position and temperature [Pa], ≥ p_v.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: those of operating_point. gauge_charge turns it into what the gauge must
    show when the damper is filled.

    References
    ----------
    derivation: cavitation_margin solved for the gas pressure.

    Examples
    --------
    At rest the release pressure and the margin are enough.

    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> required_charge(
    ...     damper=Damper(0.035, 0.014, ValvePair(valve, valve)), velocity=0.0,
    ...     oil=Oil(850.0, 0.012), release_pressure=3e4, margin=1e5,
    ... )
    130000.0
    """
    require_at_least(0.0, release_pressure, "Release pressure", "Pa", _RELEASE_ADVICE)
    require_at_least(0.0, margin, "Margin", "Pa", "Zero: the very limit.")
    point = operating_point(damper=damper, velocity=velocity, gas_pressure=P_ATM, oil=oil)
    deficit = max(0.0, -point.reserve_drop, point.piston_drop - point.reserve_drop)
    return release_pressure + margin + deficit


def gauge_charge(
    *,
    pressure: float,
    temperature: float,
    charging_temperature: float,
    pressure_ambient: float = P_ATM,
) -> float:
    """Return what the gauge must show when the damper is filled, for a pressure in use.

    p_gauge = p · T_charging / T − p_ambient,charging

    A charge that must hold in the cold has to be higher when set in a warm workshop.
    At altitude the thinner air makes the same gauge reading a lower absolute charge.

    Parameters
    ----------
    pressure : float
        p, absolute gas pressure needed in use, at the rod position of filling [Pa], > 0.
    temperature : float
        T, gas temperature in use [K], > 0.
    charging_temperature : float
        gas temperature when filled [K], > 0.
    pressure_ambient : float
        absolute pressure of the air where it is filled [Pa], > 0.

    Returns
    -------
    float
        Gauge pressure when filled [Pa], any sign; below zero no charge is needed.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: ideal gas at constant volume; the oil's expansion into the gas left out.

    References
    ----------
    derivation: p / T is constant at constant volume.

    Examples
    --------
    By hand: 10⁶ · 300/250 − 10⁵.

    >>> gauge_charge(
    ...     pressure=1e6, temperature=250.0, charging_temperature=300.0,
    ...     pressure_ambient=1e5,
    ... )
    1100000.0
    """
    require_above(0.0, pressure_ambient, "Ambient pressure", "Pa", "Absolute, 101 325 Pa at sea.")
    filled = pressure_at_temperature(
        pressure=pressure, temperature=temperature, temperature_new=charging_temperature
    )
    return filled - pressure_ambient


def required_reserve_drop(
    *,
    damper: Damper,
    velocity: float,
    gas_pressure: float,
    oil: Oil,
    release_pressure: float,
    margin: float = 0.0,
) -> float:
    """Return the foot-valve drop that a compression speed needs against cavitation.

    Δp_reserve ≥ Δp_piston(A_a v) − (p_gas − p_v) + margin

    Parameters
    ----------
    damper : Damper
        Bore, rod and piston valves; its reserve valve doesn't enter.
    velocity : float
        v, compression speed of the rod [m/s], ≥ 0.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > 0.
    oil : Oil
        Density and viscosity at working temperature.
    release_pressure : float
        p_v, absolute vapour or air-release pressure of the oil [Pa], ≥ 0.
    margin : float
        pressure to keep above release on the rod side [Pa], ≥ 0.

    Returns
    -------
    float
        Smallest drop of the reserve valve at A_r v [Pa], ≥ 0; zero if the gas is enough.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: those of operating_point.

    References
    ----------
    derivation: p_rod = p_v + margin in operating_point, solved for the reserve drop.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> required_reserve_drop(
    ...     damper=Damper(0.035, 0.014, ValvePair(valve, valve)), velocity=0.0,
    ...     gas_pressure=6e5, oil=Oil(850.0, 0.012), release_pressure=3e4,
    ... )
    0.0
    """
    require_at_least(0.0, velocity, "Velocity", "m/s", "Compression: the intake needs no drop.")
    require_at_least(0.0, release_pressure, "Release pressure", "Pa", _RELEASE_ADVICE)
    require_at_least(0.0, margin, "Margin", "Pa", "Zero: the very limit.")
    point = operating_point(damper=damper, velocity=velocity, gas_pressure=gas_pressure, oil=oil)
    return max(0.0, point.piston_drop - (gas_pressure - release_pressure) + margin)


def pressure_balance(
    *, damper: Damper, velocity: float, gas_pressure: float, oil: Oil, release_pressure: float
) -> PressureBalance:
    """Return how piston and reserve valve share the pressure at one speed.

    ratio = Δp_reserve / Δp_piston

    A low-pressure twin-tube leans on its foot valve: while the ratio is 1 or more in
    compression, the rod side stays at gas pressure or above at any speed.

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    velocity : float
        v, speed of the rod, positive in compression [m/s], any sign.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > 0.
    oil : Oil
        Density and viscosity at working temperature.
    release_pressure : float
        p_v, absolute vapour or air-release pressure of the oil [Pa], ≥ 0.

    Returns
    -------
    PressureBalance
        Drops, their ratio, margins and parts of the force.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: those of operating_point.

    References
    ----------
    derivation: p_rod − p_gas = Δp_reserve − Δp_piston.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> pressure_balance(
    ...     damper=Damper(0.035, 0.014, ValvePair(valve, valve)), velocity=0.3,
    ...     gas_pressure=2e6, oil=Oil(850.0, 0.012), release_pressure=3e4,
    ... ).ratio
    0.0
    """
    require_finite(velocity, "Velocity", "m/s")
    require_at_least(0.0, release_pressure, "Release pressure", "Pa", _RELEASE_ADVICE)
    point = operating_point(damper=damper, velocity=velocity, gas_pressure=gas_pressure, oil=oil)
    piston, reserve = abs(point.piston_drop), abs(point.reserve_drop)
    return PressureBalance(
        velocity=velocity,
        piston_drop=piston,
        reserve_drop=reserve,
        ratio=reserve / piston if piston > 0.0 else None,
        margin_head=point.pressure_head - release_pressure,
        margin_rod=point.pressure_rod - release_pressure,
        reserve_force=reserve * damper.rod_area,
        piston_force=piston * damper.annulus_area,
    )
