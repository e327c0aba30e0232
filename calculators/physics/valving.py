"""All valves of a damper from one target table: piston, foot valve and intake."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.area import annulus_area, circle_area
from calculators.physics.drill import nearest_drilling
from calculators.physics.gas import P_ATM
from calculators.physics.network import Damper, force_velocity_curve
from calculators.physics.orifice import orifice_area
from calculators.physics.pair import ValvePair
from calculators.physics.sizing import Duty, MadeValve, ValveFrame, make_valves
from calculators.physics.valve import Valve

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil

__all__ = ["FootTask", "ForceTarget", "SizedDamper", "intake_valve", "size_damper"]

_INTAKE_SHARE = 0.45  # 1, share of the allowed drop for ports and for the disc each
_INTAKE_CRACK = 0.1  # 1, crack pressure of the intake as a share of the allowed drop


@dataclass(frozen=True, slots=True)
class ForceTarget:
    """The damping forces wanted at a list of speeds.

    Attributes
    ----------
    speeds : tuple of float
        rod speeds, rising [m/s], each > 0, at least four.
    compression, rebound : tuple of float
        forces at the damper without gas force and friction, rising [N], each > 0.

    Raises
    ------
    ConflictError
        If the three lists are not equally long.
    """

    speeds: tuple[float, ...]
    compression: tuple[float, ...]
    rebound: tuple[float, ...]

    def __post_init__(self) -> None:
        if not len(self.speeds) == len(self.compression) == len(self.rebound):
            message = (
                f"{len(self.speeds)} speeds, {len(self.compression)} compression forces and "
                f"{len(self.rebound)} rebound forces were given; give as many of each."
            )
            raise ConflictError(message, inputs=("speeds", "compression", "rebound"))


@dataclass(frozen=True, slots=True)
class FootTask:
    """What the reserve valve of a twin-tube has to do.

    Attributes
    ----------
    ratio : float
        wanted Δp_reserve / Δp_piston in compression [1], > 0; 1 keeps the rod side at
        gas pressure.
    frame : ValveFrame
        room for the foot valve.
    intake_frame : ValveFrame
        room for the intake.
    intake_drop : float
        largest drop of the intake at the highest rebound speed [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    ratio: float
    frame: ValveFrame
    intake_frame: ValveFrame
    intake_drop: float

    def __post_init__(self) -> None:
        require_above(
            0.0, self.ratio, "Pressure ratio", "", "1 keeps the rod side at gas pressure."
        )
        require_above(0.0, self.intake_drop, "Intake drop", "Pa", "Well below the gas pressure.")


@dataclass(frozen=True, slots=True)
class SizedDamper:
    """A damper in sizes that can be made, and how well it meets its target.

    Attributes
    ----------
    damper : Damper
        bore, rod and made valves.
    compression, rebound : MadeValve
        the piston's valves, with the same bleed.
    foot : MadeValve or None
        compression valve of the reserve; None without one.
    speeds : tuple of float
        speeds of the target [m/s].
    force_compression, force_rebound : tuple of float
        damping forces that the made damper gives, positive in both directions [N].
    deviation_compression, deviation_rebound : tuple of float
        made force / wanted force − 1 [1].
    """

    damper: Damper
    compression: MadeValve
    rebound: MadeValve
    foot: MadeValve | None
    speeds: tuple[float, ...]
    force_compression: tuple[float, ...]
    force_rebound: tuple[float, ...]
    deviation_compression: tuple[float, ...]
    deviation_rebound: tuple[float, ...]


def intake_valve(
    *, flow: float, pressure_drop: float, frame: ValveFrame, oil: Oil, bleed: Valve
) -> Valve:
    """Return an intake (a check valve with a soft disc) that keeps a drop small.

    ports and disc take 45 % of the allowed drop each; it cracks at a tenth of it

    Parameters
    ----------
    flow : float
        Q, largest intake flow, A_r · rebound speed [m³/s], > 0.
    pressure_drop : float
        Δp, largest drop allowed at it [Pa], > 0.
    frame : ValveFrame
        Room for the intake.
    oil : Oil
        Density and viscosity at working temperature, the coldest that matters.
    bleed : Valve
        The foot valve; its bleed passes oil in this direction too.

    Returns
    -------
    Valve
        Intake with drilled ports.

    Raises
    ------
    OutOfRangeError
        If flow or drop is not above zero.
    ConflictError
        If the ports or the lift need more room than there is; the message says how much.

    Notes
    -----
    Limits: the disc drop is worked out without its viscous part; the tenth that is
    left of the drop covers it in warm oil.

    References
    ----------
    derivation: orifice_area for ports and curtain.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.valve import valve_pressure_drop
    >>> oil = Oil(density=850.0, dynamic_viscosity=0.012)
    >>> frame = ValveFrame(disc_diameter=0.02, max_lift=1e-3, port_limit=1e-4)
    >>> foot = Valve(5e-7, 2e-5, 0.012, 5e5, 1e-10, 1e-3)
    >>> intake = intake_valve(flow=1.5e-4, pressure_drop=4e4, frame=frame, oil=oil, bleed=foot)
    >>> valve_pressure_drop(valve=intake, flow=1.5e-4, oil=oil) < 4e4
    True
    """
    require_above(0.0, flow, "Intake flow", "m³/s", "Rod area × rebound speed.")
    require_above(0.0, pressure_drop, "Intake drop", "Pa", "Well below the gas pressure.")
    share = _INTAKE_SHARE * pressure_drop
    crack = _INTAKE_CRACK * pressure_drop
    cd = frame.discharge_coefficient
    port = orifice_area(flow=flow, pressure_drop=share, oil=oil, discharge_coefficient=cd)
    edge = cd * pi * frame.disc_diameter
    lift = flow / (edge * sqrt(2.0 * share / oil.density))
    if port > frame.port_limit or lift > frame.max_lift:
        message = (
            f"The intake needs {port * 1e6:.4g} mm² of ports and {lift * 1e3:.4g} mm of lift; "
            f"there is room for {frame.port_limit * 1e6:.4g} mm² and {frame.max_lift * 1e3:.4g} "
            "mm. Allow a larger drop, more room, or a thinner rod."
        )
        raise ConflictError(message, inputs=("intake_drop", "port_limit", "max_lift"))
    ports = nearest_drilling(area=port, counts=frame.port_counts, largest=frame.largest_port)
    return Valve(
        bleed_area=bleed.bleed_area,
        port_area=ports.area,
        disc_diameter=frame.disc_diameter,
        crack_pressure=crack,
        compliance=lift / (share - crack),
        max_lift=frame.max_lift,
        discharge_coefficient=cd,
        bleed_count=bleed.bleed_count,
        port_count=ports.count,
        leak=frame.leak,
    )


def size_damper(
    *,
    target: ForceTarget,
    piston_diameter: float,
    rod_diameter: float,
    frames: tuple[ValveFrame, ValveFrame],
    oil: Oil,
    preload_step: float,
    foot: FootTask | None = None,
    seal_friction: float = 0.0,
) -> SizedDamper:
    """Return the valves that bring a damper nearest to its target, in makeable sizes.

    Δp_piston,c = F_c / (A_a + r A_r),  Δp_reserve = r Δp_piston,c,  Δp_piston,r as below

    In rebound the head side stands Δp_intake below gas pressure, which adds
    Δp_intake · A_r to the force: small, and counted in the deviations.

    Parameters
    ----------
    target : ForceTarget
        Speeds and damping forces.
    piston_diameter : float
        D, bore of the working tube [m], > 0.
    rod_diameter : float
        d, rod diameter [m], ≥ 0 and < D; above zero with a foot valve.
    frames : tuple of ValveFrame
        Room for the compression and for the rebound valve of the piston.
    oil : Oil
        Density and viscosity at working temperature.
    preload_step : float
        Smallest change of crack pressure that can be built [Pa], > 0.
    foot : FootTask or None
        The reserve valve of a twin-tube; None for an open connection to the gas.
    seal_friction : float
        Friction that the made damper will have; not part of the target [N], ≥ 0.

    Returns
    -------
    SizedDamper
        Damper, its valves, real forces and deviations.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If sizes don't fit each other, or a list of the target doesn't rise.
    NoSolutionError
        If a least-squares fit doesn't settle.

    Notes
    -----
    Limits: one oil temperature; cavitation is a question of its own. The piston's
    bleed is always open, so one bleed serves both directions.

    References
    ----------
    derivation: operating_point solved for the drops; Δp_piston,r = F_r / A_a.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> frame = ValveFrame(disc_diameter=0.028, max_lift=1e-3, port_limit=3e-4)
    >>> sized = size_damper(
    ...     target=ForceTarget(
    ...         speeds=(0.05, 0.13, 0.26, 0.52), compression=(150.0, 290.0, 430.0, 640.0),
    ...         rebound=(300.0, 750.0, 1150.0, 1700.0),
    ...     ),
    ...     piston_diameter=0.046, rod_diameter=0.014, frames=(frame, frame),
    ...     oil=Oil(density=850.0, dynamic_viscosity=0.012), preload_step=5e4,
    ... )
    >>> max(abs(share) for share in sized.deviation_rebound) < 0.1
    True
    """
    require_at_least(0.0, seal_friction, "Seal friction", "N", "Zero: no friction.")
    ring = annulus_area(outer_diameter=piston_diameter, inner_diameter=rod_diameter)
    rod = circle_area(diameter=rod_diameter)
    ratio = 0.0 if foot is None else foot.ratio
    flows = tuple(ring * speed for speed in target.speeds)
    drops = tuple(force / (ring + ratio * rod) for force in target.compression)
    compression, rebound = make_valves(
        duties=(
            Duty(flows, drops, ring),
            Duty(flows, tuple(force / ring for force in target.rebound), ring),
        ),
        frames=frames,
        oil=oil,
        preload_step=preload_step,
    )
    made_foot = reserve = None
    if foot is not None:
        through = tuple(rod * speed for speed in target.speeds)
        duty = Duty(through, tuple(ratio * drop for drop in drops), rod)
        (made_foot,) = make_valves(
            duties=(duty,), frames=(foot.frame,), oil=oil, preload_step=preload_step
        )
        intake = intake_valve(
            flow=through[-1],
            pressure_drop=foot.intake_drop,
            frame=foot.intake_frame,
            oil=oil,
            bleed=made_foot.valve,
        )
        reserve = ValvePair(compression=made_foot.valve, rebound=intake)
    damper = Damper(
        piston_diameter=piston_diameter,
        rod_diameter=rod_diameter,
        piston=ValvePair(compression=compression.valve, rebound=rebound.valve),
        reserve=reserve,
        seal_friction=seal_friction,
    )
    inwards, outwards = (
        tuple(sign * force - seal_friction for force in _damping(damper, target, oil, sign))
        for sign in (1.0, -1.0)
    )
    return SizedDamper(
        damper=damper,
        compression=compression,
        rebound=rebound,
        foot=made_foot,
        speeds=target.speeds,
        force_compression=inwards,
        force_rebound=outwards,
        deviation_compression=_deviation(inwards, target.compression),
        deviation_rebound=_deviation(outwards, target.rebound),
    )


def _damping(damper: Damper, target: ForceTarget, oil: Oil, sign: float) -> tuple[float, ...]:
    velocities = tuple(sign * speed for speed in target.speeds)
    curve = force_velocity_curve(damper=damper, velocities=velocities, gas_pressure=P_ATM, oil=oil)
    return curve.damping_force


def _deviation(made: tuple[float, ...], wanted: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(real / aim - 1.0 for real, aim in zip(made, wanted, strict=True))
