"""Cavitation: the speed at which a chamber runs out of pressure.

The oil lets go of its air, and then boils, when a chamber falls to the release
pressure p_v. In compression the rod side is at risk, p_gas + Δp_reserve − Δp_piston;
in rebound the head side, p_gas − Δp_intake. Hot or cold enters with the oil; what
moves the limit is in charge.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.gas import P_ATM
from calculators.physics.network import operating_point

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper, OperatingPoint

__all__ = [
    "CavitationLimit",
    "cavitation_limit",
    "cavitation_margin",
    "largest_compression_force",
]

_SCAN = 200  # 1, even steps of speed in search of the first fault
_HALVINGS = 50  # 1, halvings of that step: the speed is exact to 15 digits


@dataclass(frozen=True, slots=True)
class CavitationLimit:
    """Where cavitation begins in one direction.

    Attributes
    ----------
    direction : str
        "compression" or "rebound".
    speed : float or None
        smallest speed at which a chamber falls to the release pressure [m/s], > 0;
        None if none does up to the largest speed that was asked for.
    force : float or None
        force on the rod at that speed, gas and friction included [N]; None with it.
    chamber : str
        "rod" or "head": the chamber with the lowest pressure.
    lowest_margin : float
        smallest pressure above release up to the largest speed [Pa], negative if
        cavitation begins before.
    searched_to : float
        largest speed that was asked for [m/s].
    """

    direction: Literal["compression", "rebound"]
    speed: float | None
    force: float | None
    chamber: Literal["rod", "head"]
    lowest_margin: float
    searched_to: float


def cavitation_margin(
    *, damper: Damper, velocity: float, gas_pressure: float, oil: Oil, release_pressure: float
) -> float:
    """Return the pressure that is left above release in the emptier chamber.

    margin = min(p_head, p_rod) − p_v

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
    float
        Pressure above release [Pa], any sign: negative where the damper cavitates.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: chamber pressures; jets behind an edge cavitate locally earlier. A negative
    margin only says that the steady state can't exist.

    References
    ----------
    derivation: pressures of operating_point.

    Examples
    --------
    At rest: 6 × 10⁵ − 3 × 10⁴.

    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> cavitation_margin(
    ...     damper=Damper(0.035, 0.014, ValvePair(valve, valve)), velocity=0.0,
    ...     gas_pressure=6e5, oil=Oil(850.0, 0.012), release_pressure=3e4,
    ... )
    570000.0
    """
    _check_release(release_pressure)
    point = operating_point(damper=damper, velocity=velocity, gas_pressure=gas_pressure, oil=oil)
    return min(point.pressure_head, point.pressure_rod) - release_pressure


def cavitation_limit(
    *,
    damper: Damper,
    direction: Literal["compression", "rebound"],
    gas_pressure: float,
    oil: Oil,
    release_pressure: float,
    maximum_speed: float,
    pressure_ambient: float = P_ATM,
) -> CavitationLimit:
    """Return the speed at which cavitation begins in one direction, if it does.

    smallest |v| with min(p_head, p_rod) = p_v

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    direction : str
        "compression" or "rebound" [-], one of these.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > p_v.
    oil : Oil
        Density and viscosity at working temperature.
    release_pressure : float
        p_v, absolute vapour or air-release pressure of the oil [Pa], ≥ 0.
    maximum_speed : float
        largest speed to search to [m/s], > 0.
    pressure_ambient : float
        p_ambient, absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    CavitationLimit
        Speed and force at the limit, or None for both, and the smallest margin.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the gas pressure doesn't exceed the release pressure even at rest.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: searched in 200 even steps, since a strong foot valve can lift the margin
    again at higher speed; a dip narrower than a step is missed. Then halved.

    References
    ----------
    derivation: pressures of operating_point.

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
    >>> cavitation_limit(
    ...     damper=Damper(0.035, 0.014, ValvePair(valve, valve)), direction="rebound",
    ...     gas_pressure=2e6, oil=Oil(850.0, 0.012), release_pressure=3e4, maximum_speed=3.0,
    ... ).speed is None
    True
    """
    _check_release(release_pressure)
    require_above(0.0, maximum_speed, "Largest speed", "m/s", "Say how far to search.")
    if gas_pressure <= release_pressure:
        message = (
            f"The gas pressure ({gas_pressure / 1e5:.4g} bar absolute) doesn't exceed the release "
            f"pressure ({release_pressure / 1e5:.4g} bar absolute): the oil cavitates at rest. "
            "Charge more."
        )
        raise ConflictError(message, inputs=("gas_pressure", "release_pressure"))
    sign = 1.0 if direction == "compression" else -1.0

    def state(speed: float) -> tuple[float, OperatingPoint]:
        point = operating_point(
            damper=damper,
            velocity=sign * speed,
            gas_pressure=gas_pressure,
            oil=oil,
            pressure_ambient=pressure_ambient,
        )
        return min(point.pressure_head, point.pressure_rod) - release_pressure, point

    speeds = tuple(maximum_speed * step / _SCAN for step in range(_SCAN + 1))
    scan = [state(speed) for speed in speeds]
    lowest, worst = min(scan, key=lambda item: item[0])
    first = next((step for step, (margin, _) in enumerate(scan) if margin <= 0.0), None)
    limit = force = None
    if first is not None:
        low, high = speeds[first - 1], speeds[first]
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if state(middle)[0] > 0.0 else (low, middle)
        limit = high
        worst = state(limit)[1]
        force = worst.force
    return CavitationLimit(
        direction=direction,
        speed=limit,
        force=force,
        chamber="rod" if worst.pressure_rod < worst.pressure_head else "head",
        lowest_margin=lowest,
        searched_to=maximum_speed,
    )


def largest_compression_force(
    *,
    damper: Damper,
    gas_pressure: float,
    release_pressure: float,
    pressure_ambient: float = P_ATM,
) -> float:
    """Return the rod force at which a damper without a reserve valve cavitates in compression.

    F = (p_gas − p_v) A_a + (p_gas − p_ambient) A_r

    The piston can't hold more pressure than the gas supplies, whatever its valves.

    Parameters
    ----------
    damper : Damper
        Bore and rod; its valves don't enter.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > 0.
    release_pressure : float
        p_v, absolute vapour or air-release pressure of the oil [Pa], ≥ 0.
    pressure_ambient : float
        p_ambient, absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    float
        F, force on the rod, friction left out [N], any sign.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: open connection to the gas. A reserve valve adds Δp_reserve · A_p.

    References
    ----------
    derivation: force balance of operating_point with p_rod = p_v, p_head = p_gas.

    Examples
    --------
    By hand: 10⁶ · π/4 (0.05² − 0.03²) + 10⁶ · π/4 · 0.03² = 10⁶ · π/4 · 0.05².

    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> force = largest_compression_force(
    ...     damper=Damper(0.05, 0.03, ValvePair(valve, valve)),
    ...     gas_pressure=1.1e6, release_pressure=1e5, pressure_ambient=1e5,
    ... )
    >>> round(force, 3)
    1963.495
    """
    require_above(0.0, gas_pressure, "Gas pressure", "Pa", "Absolute: gauge + ambient pressure.")
    require_above(0.0, pressure_ambient, "Ambient pressure", "Pa", "Absolute, 101 325 Pa at sea.")
    _check_release(release_pressure)
    return (gas_pressure - release_pressure) * damper.annulus_area + (
        gas_pressure - pressure_ambient
    ) * damper.rod_area


def _check_release(pressure: float) -> None:
    require_at_least(
        0.0, pressure / 1e5, "Release pressure", "bar", "Absolute; vapour is nearly zero."
    )
