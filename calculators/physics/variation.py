"""How the force-velocity curve varies: adjuster settings and making tolerances."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from itertools import product
from math import sqrt
from typing import TYPE_CHECKING

from calculators.errors import require_at_least, require_between
from calculators.physics.gas import P_ATM
from calculators.physics.network import Damper, ForceVelocityCurve, force_velocity_curve
from calculators.physics.pair import Direction, ValvePair, scaled_bleed

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil
    from calculators.physics.valve import Valve

__all__ = ["ToleranceBand", "Tolerances", "adjuster_family", "tolerance_band"]


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Half widths of what may differ from unit to unit, or from day to day.

    Attributes
    ----------
    piston_diameter : float
        ± on the bore of the working tube [m], ≥ 0.
    bleed_area : float
        ± share of each bleed area [1], 0 to 1.
    crack_pressure : float
        ± share of each crack pressure [1], 0 to 1.
    compliance : float
        ± share of each disc compliance [1], 0 to 1.
    dynamic_viscosity : float
        ± share of the oil's viscosity [1], 0 to 1.
    gas_pressure : float
        ± share of the absolute gas pressure [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    piston_diameter: float = 0.0
    bleed_area: float = 0.0
    crack_pressure: float = 0.0
    compliance: float = 0.0
    dynamic_viscosity: float = 0.0
    gas_pressure: float = 0.0

    def __post_init__(self) -> None:
        require_at_least(0.0, self.piston_diameter, "Bore tolerance", "m", "Half the width.")
        for field in fields(self)[1:]:
            label = f"{field.name.replace('_', ' ').capitalize()} tolerance"
            require_between(0.0, 1.0, getattr(self, field.name), label, "", "A share: 0.05 is 5 %.")


@dataclass(frozen=True, slots=True)
class ToleranceBand:
    """Band of the force-velocity curve that tolerances leave.

    Attributes
    ----------
    velocity : tuple of float
        speeds [m/s].
    nominal : tuple of float
        forces without deviation [N].
    spread : tuple of float
        root-sum-square half width [N]: if each tolerance is 3 standard deviations of
        an independent quantity, this is 3 standard deviations of the force.
    lowest, highest : tuple of float
        forces of the worst combination of limits at each speed [N].
    effects : tuple of tuple of float
        half width that each tolerance alone leaves at each speed, with the sign of
        its increase [N], in the order of the attributes of Tolerances.
    """

    velocity: tuple[float, ...]
    nominal: tuple[float, ...]
    spread: tuple[float, ...]
    lowest: tuple[float, ...]
    highest: tuple[float, ...]
    effects: tuple[tuple[float, ...], ...]


def tolerance_band(
    *,
    damper: Damper,
    velocities: tuple[float, ...],
    gas_pressure: float,
    oil: Oil,
    tolerances: Tolerances,
    pressure_ambient: float = P_ATM,
) -> ToleranceBand:
    """Return the band in which the curves of made dampers lie.

    effect_i = (F(+t_i) − F(−t_i)) / 2,  spread = √(Σ effect_i²),
    lowest and highest over all 2ⁿ combinations of +t_i and −t_i

    The root-sum-square band holds nearly all units of a steady production; the
    outer band holds every unit within its drawing.

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves as drawn.
    velocities : tuple of float
        Speeds of the rod, positive in compression [m/s], any sign, at least one.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > 0.
    oil : Oil
        Density and viscosity at working temperature.
    tolerances : Tolerances
        Half widths; those at zero cost no time.
    pressure_ambient : float
        p_ambient, absolute pressure of the air outside [Pa], > 0.

    Returns
    -------
    ToleranceBand
        Nominal forces, both bands and the part of each tolerance.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no speed is given, or a limit makes an impossible damper.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: each deviation applies to all valves of the damper alike. The
    root-sum-square takes the force as a straight line within each tolerance; near
    cracking it bends, and the outer band tells more.

    References
    ----------
    standard: JCGM 100:2008 (GUM), 5.1, combined uncertainty of independent quantities.

    Examples
    --------
    Without tolerances there is no band.

    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> damper = Damper(
    ...     piston_diameter=0.046, rod_diameter=0.014,
    ...     piston=ValvePair(compression=valve, rebound=valve),
    ... )
    >>> tolerance_band(
    ...     damper=damper, velocities=(0.1,), gas_pressure=1e6,
    ...     oil=Oil(density=850.0, dynamic_viscosity=0.012), tolerances=Tolerances(),
    ... ).spread
    (0.0,)
    """

    def forces(shares: tuple[float, ...]) -> tuple[float, ...]:
        shifted, shifted_oil, shifted_gas = _deviated(damper, oil, gas_pressure, shares)
        return force_velocity_curve(
            damper=shifted,
            velocities=velocities,
            gas_pressure=shifted_gas,
            oil=shifted_oil,
            pressure_ambient=pressure_ambient,
        ).force

    widths = tuple(getattr(tolerances, field.name) for field in fields(Tolerances))
    still = (0.0,) * len(widths)
    nominal = forces(still)
    effects = []
    for place, width in enumerate(widths):
        if width == 0.0:
            effects.append((0.0,) * len(nominal))
            continue
        more, less = (
            forces((*still[:place], sign * width, *still[place + 1 :])) for sign in (1.0, -1.0)
        )
        effects.append(tuple((up - down) / 2.0 for up, down in zip(more, less, strict=True)))
    ends = [(-width, width) if width > 0.0 else (0.0,) for width in widths]
    corners = [forces(shares) for shares in product(*ends)]
    return ToleranceBand(
        velocity=velocities,
        nominal=nominal,
        spread=tuple(
            sqrt(sum(part * part for part in parts)) for parts in zip(*effects, strict=True)
        ),
        lowest=tuple(min(column) for column in zip(*corners, strict=True)),
        highest=tuple(max(column) for column in zip(*corners, strict=True)),
        effects=tuple(effects),
    )


def adjuster_family(
    *,
    damper: Damper,
    bleed_scales: tuple[float, ...],
    velocities: tuple[float, ...],
    gas_pressure: float,
    oil: Oil,
    pressure_ambient: float = P_ATM,
    direction: Direction = "both",
) -> tuple[ForceVelocityCurve, ...]:
    """Return one force-velocity curve for each setting of a bleed adjuster.

    A_b → scale · A_b at the piston, then force_velocity_curve

    Parameters
    ----------
    damper : Damper
        Bore, rod and valves at the setting called 1.
    bleed_scales : tuple of float
        Bleed area at each setting / bleed area at setting 1 [1], ≥ 0.
    velocities : tuple of float
        Speeds of the rod, positive in compression [m/s], any sign, at least one.
    gas_pressure : float
        p_gas, absolute pressure of the gas at this rod position [Pa], > 0.
    oil : Oil
        Density and viscosity at working temperature.
    pressure_ambient : float
        p_ambient, absolute pressure of the air outside [Pa], > 0.
    direction : str
        Which bleed the adjuster moves: "compression", "rebound" or "both" [-], one of these.

    Returns
    -------
    tuple of ForceVelocityCurve
        One curve for each setting, in the same order.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no speed is given, or the bleed at a setting doesn't fit the piston.
    NoSolutionError
        If a valve can't pass its flow; the message names the speed.

    Notes
    -----
    Limits: those of operating_point and scaled_bleed.

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
    ...     piston_diameter=0.046, rod_diameter=0.014,
    ...     piston=ValvePair(compression=valve, rebound=valve),
    ... )
    >>> soft, firm = adjuster_family(
    ...     damper=damper, bleed_scales=(2.0, 0.5), velocities=(0.1,), gas_pressure=1e6,
    ...     oil=Oil(density=850.0, dynamic_viscosity=0.012),
    ... )
    >>> firm.force[0] > soft.force[0]
    True
    """
    return tuple(
        force_velocity_curve(
            damper=replace(
                damper, piston=scaled_bleed(pair=damper.piston, scale=scale, direction=direction)
            ),
            velocities=velocities,
            gas_pressure=gas_pressure,
            oil=oil,
            pressure_ambient=pressure_ambient,
        )
        for scale in bleed_scales
    )


def _deviated(
    damper: Damper, oil: Oil, gas_pressure: float, deviation: tuple[float, ...]
) -> tuple[Damper, Oil, float]:
    """Return damper, oil and gas pressure with each deviation, in the order of Tolerances."""
    bore, bleed, crack, compliance, viscosity, gas = deviation

    def built(pair: ValvePair) -> ValvePair:
        def made(valve: Valve) -> Valve:
            return replace(
                valve,
                bleed_area=valve.bleed_area * (1.0 + bleed),
                crack_pressure=valve.crack_pressure * (1.0 + crack),
                compliance=valve.compliance * (1.0 + compliance),
            )

        return ValvePair(compression=made(pair.compression), rebound=made(pair.rebound))

    return (
        replace(
            damper,
            piston_diameter=damper.piston_diameter + bore,
            piston=built(damper.piston),
            reserve=None if damper.reserve is None else built(damper.reserve),
        ),
        replace(oil, dynamic_viscosity=oil.dynamic_viscosity * (1.0 + viscosity)),
        gas_pressure * (1.0 + gas),
    )
