"""The damper as a network: chambers, valves and gas, at steady speed.

One network serves both constructions. The piston's valves join head side and rod
side; the reserve valve (foot valve, reservoir valve, or none) joins the head side
to oil at gas pressure. With the speed v positive in compression,

    p_head = p_gas + Δp_reserve(A_r v),   p_rod = p_head − Δp_piston(A_a v),
    F = p_head A_p − p_rod A_a − p_ambient A_r + friction · sign(v).

The flows are given by the rod's movement, so nothing but each valve is solved.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import copysign
from typing import TYPE_CHECKING, Literal

from calculators.errors import (
    ConflictError,
    NoSolutionError,
    require_above,
    require_at_least,
    require_finite,
)
from calculators.physics.area import annulus_area, circle_area
from calculators.physics.gas import P_ATM
from calculators.physics.pair import Regime, ValvePair, valve_state

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil

__all__ = [
    "Damper",
    "ForceVelocityCurve",
    "OperatingPoint",
    "force_velocity_curve",
    "operating_point",
]


@dataclass(frozen=True, slots=True)
class Damper:
    """Bore, rod and valves of one damper, monotube or twin-tube.

    Monotube: reserve is None, or the valve of its reservoir. Twin-tube: reserve is
    the foot valve (compression) with its intake (rebound).

    Attributes
    ----------
    piston_diameter : float
        D, bore of the working tube [m], > 0.
    rod_diameter : float
        d, rod diameter [m], ≥ 0 and < D.
    piston : ValvePair
        Valves between head side and rod side.
    reserve : ValvePair or None
        Valves between head side and reserve; None: an open connection.
    seal_friction : float
        friction of rod seal, guide and piston band [N], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If a size is outside its range.
    ConflictError
        If the rod fills the bore, or the holes don't fit on the piston.
    """

    piston_diameter: float
    rod_diameter: float
    piston: ValvePair
    reserve: ValvePair | None = None
    seal_friction: float = 0.0

    def __post_init__(self) -> None:
        require_above(0.0, self.piston_diameter, "Piston diameter", "m", "Bore of the tube.")
        require_at_least(0.0, self.rod_diameter, "Rod diameter", "m", "Zero: no rod.")
        require_at_least(0.0, self.seal_friction, "Seal friction", "N", "Zero: no friction.")
        if self.rod_diameter >= self.piston_diameter:
            message = (
                f"The rod ({self.rod_diameter * 1e3:.4g} mm) fills the bore "
                f"({self.piston_diameter * 1e3:.4g} mm). Make the rod thinner or the bore wider."
            )
            raise ConflictError(message, inputs=("rod_diameter", "piston_diameter"))
        _require_room("piston's", self.piston, self.annulus_area, "annulus")
        if self.reserve is not None:
            _require_room("reserve valve's", self.reserve, self.piston_area, "bore")

    @property
    def piston_area(self) -> float:
        """A_p, full piston area [m²]."""
        return circle_area(diameter=self.piston_diameter)

    @property
    def rod_area(self) -> float:
        """A_r, rod section [m²]."""
        return circle_area(diameter=self.rod_diameter)

    @property
    def annulus_area(self) -> float:
        """A_a, piston area on the rod side [m²]."""
        return annulus_area(outer_diameter=self.piston_diameter, inner_diameter=self.rod_diameter)


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """State of the damper at one steady speed.

    Attributes
    ----------
    velocity : float
        speed of the rod, positive in compression [m/s].
    force : float
        force on the rod, positive against compression, gas and friction included [N].
    gas_force : float
        part of it that stands at rest, (p_gas − p_ambient) · A_r [N].
    pressure_head, pressure_rod, pressure_reserve : float
        absolute pressures of the chambers [Pa]; below the oil's vapour pressure the
        damper cavitates and the other figures don't hold.
    piston_flow, reserve_flow : float
        flows, positive as in compression [m³/s].
    piston_drop, reserve_drop : float
        pressure drops with the sign of the flow [Pa].
    piston_regime, reserve_regime : str
        "shut", "bleed", "opening" or "port"; "open" without a reserve valve.
    """

    velocity: float
    force: float
    gas_force: float
    pressure_head: float
    pressure_rod: float
    pressure_reserve: float
    piston_flow: float
    reserve_flow: float
    piston_drop: float
    reserve_drop: float
    piston_regime: Regime
    reserve_regime: Regime | Literal["open"]


@dataclass(frozen=True, slots=True)
class ForceVelocityCurve:
    """Operating points of one damper over a list of speeds.

    Attributes
    ----------
    points : tuple of OperatingPoint
        in the order of the speeds.
    """

    points: tuple[OperatingPoint, ...]

    @property
    def velocity(self) -> tuple[float, ...]:
        """Speeds, positive in compression [m/s]."""
        return tuple(point.velocity for point in self.points)

    @property
    def force(self) -> tuple[float, ...]:
        """Forces on the rod, gas and friction included [N]."""
        return tuple(point.force for point in self.points)

    @property
    def damping_force(self) -> tuple[float, ...]:
        """Forces less the gas force at rest [N]."""
        return tuple(point.force - point.gas_force for point in self.points)


def operating_point(
    *,
    damper: Damper,
    velocity: float,
    gas_pressure: float,
    oil: Oil,
    pressure_ambient: float = P_ATM,
) -> OperatingPoint:
    """Return pressures, flows, regimes and force of a damper at one steady speed.

    F = p_head A_p − p_rod A_a − p_ambient A_r + friction · sign(v)

    In compression the rod pushes A_r v through the reserve valve and A_a v through
    the piston; in rebound the same flows come back.

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
    pressure_ambient : float
        p_ambient, absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    OperatingPoint
        Force, pressures, flows, drops and regimes.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If a valve can't pass its flow; the message names speed and pressures.

    Notes
    -----
    Limits: steady flow of an incompressible liquid that fills the chambers; the
    bench with compressible oil tells lag and hysteresis. The gas pressure moves
    with the stroke: give the value at the rod position in question. Oil that a
    twin-tube's rod guide returns to the reserve is left out.

    References
    ----------
    derivation: volume balance of head side and rod side; balance of forces on the
        piston and rod.

    Examples
    --------
    At rest only the gas pushes: (10⁶ − 10⁵) · π/4 · 0.02² = 90 π.

    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> damper = Damper(
    ...     piston_diameter=0.046, rod_diameter=0.02,
    ...     piston=ValvePair(compression=valve, rebound=valve),
    ... )
    >>> point = operating_point(
    ...     damper=damper, velocity=0.0, gas_pressure=1e6, pressure_ambient=1e5,
    ...     oil=Oil(density=850.0, dynamic_viscosity=0.012),
    ... )
    >>> round(point.force, 3)
    282.743
    """
    require_finite(velocity, "Velocity", "m/s")
    require_above(
        0.0, gas_pressure / 1e5, "Gas pressure", "bar", "Absolute: gauge + ambient pressure."
    )
    require_above(0.0, pressure_ambient / 1e5, "Ambient pressure", "bar", "Absolute, 1.013 at sea.")
    piston_flow = damper.annulus_area * velocity
    reserve_flow = damper.rod_area * velocity
    at = f"{velocity:g} m/s with the gas at {gas_pressure / 1e5:.4g} bar absolute"
    piston_drop, piston_regime = _pass(damper.piston, piston_flow, oil, at)
    reserve_drop = 0.0
    reserve_regime: Regime | Literal["open"] = "open"
    if damper.reserve is not None:
        reserve_drop, reserve_regime = _pass(damper.reserve, reserve_flow, oil, at)
    head = gas_pressure + reserve_drop
    rod = head - piston_drop
    friction = copysign(damper.seal_friction, velocity) if velocity != 0.0 else 0.0
    # p_head A_p − p_rod A_a, with the large pressures cancelled by hand
    force = (head - pressure_ambient) * damper.rod_area + piston_drop * damper.annulus_area
    return OperatingPoint(
        velocity=velocity,
        force=force + friction,
        gas_force=(gas_pressure - pressure_ambient) * damper.rod_area,
        pressure_head=head,
        pressure_rod=rod,
        pressure_reserve=gas_pressure,
        piston_flow=piston_flow,
        reserve_flow=reserve_flow,
        piston_drop=piston_drop,
        reserve_drop=reserve_drop,
        piston_regime=piston_regime,
        reserve_regime=reserve_regime,
    )


def force_velocity_curve(
    *,
    damper: Damper,
    velocities: tuple[float, ...],
    gas_pressure: float,
    oil: Oil,
    pressure_ambient: float = P_ATM,
) -> ForceVelocityCurve:
    """Return the force-velocity curve of a damper at one rod position.

    operating_point at each speed

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves.
    velocities : tuple of float
        Speeds of the rod, positive in compression [m/s], any sign, at least one.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > 0.
    oil : Oil
        Density and viscosity at working temperature.
    pressure_ambient : float
        p_ambient, absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    ForceVelocityCurve
        One operating point for each speed.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no speed is given.
    NoSolutionError
        If a valve can't pass its flow; the message names speed and pressures.

    Notes
    -----
    Limits: those of operating_point.

    References
    ----------
    derivation: as in operating_point.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> damper = Damper(
    ...     piston_diameter=0.046, rod_diameter=0.0,
    ...     piston=ValvePair(compression=valve, rebound=valve),
    ... )
    >>> curve = force_velocity_curve(
    ...     damper=damper, velocities=(-0.3, 0.3), gas_pressure=1e6,
    ...     oil=Oil(density=850.0, dynamic_viscosity=0.012),
    ... )
    >>> sum(curve.force)
    0.0
    """
    if not velocities:
        message = "No speeds were given; give at least one."
        raise ConflictError(message, inputs=("velocities",))
    return ForceVelocityCurve(
        points=tuple(
            operating_point(
                damper=damper,
                velocity=velocity,
                gas_pressure=gas_pressure,
                oil=oil,
                pressure_ambient=pressure_ambient,
            )
            for velocity in velocities
        )
    )


def _pass(pair: ValvePair, flow: float, oil: Oil, at: str) -> tuple[float, Regime]:
    """Return drop and regime of a pair at a flow; an error says `at` what speed and pressure."""
    try:
        valve = pair.compression if flow >= 0.0 else pair.rebound
        state = valve_state(valve=valve, flow=abs(flow), oil=oil)
    except NoSolutionError as error:
        message = f"No steady state at {at}. {error}"
        raise NoSolutionError(message) from error
    return copysign(state.pressure_drop, flow), state.regime


def _require_room(name: str, pair: ValvePair, area: float, place: str) -> None:
    bleed = max(pair.compression.bleed_area, pair.rebound.bleed_area)
    holes = pair.compression.port_area + pair.rebound.port_area + bleed
    if holes >= area:
        message = (
            f"The {name} ports and bleed ({holes * 1e6:.4g} mm²) don't fit on the {place} "
            f"({area * 1e6:.4g} mm²). Make them smaller or the bore wider."
        )
        raise ConflictError(message, inputs=("port_area", "bleed_area"))
