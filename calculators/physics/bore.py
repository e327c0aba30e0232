"""Choosing bore and rod: pressures, flows, heat and rod share for each pair of sizes."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.area import annulus_area, circle_area
from calculators.physics.gas import P_ATM
from calculators.physics.orifice import DISCHARGE_COEFFICIENT, orifice_area

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil

__all__ = [
    "CUSTOMARY_BORES",
    "CUSTOMARY_RODS",
    "BoreOption",
    "BoreTask",
    "bore_option",
    "bore_table",
]

# m, working-tube bores met in vehicle dampers (common practice)
CUSTOMARY_BORES = (0.025, 0.030, 0.032, 0.035, 0.036, 0.040, 0.045, 0.046, 0.050, 0.055, 0.060)
# m, rod diameters met in vehicle dampers (common practice)
CUSTOMARY_RODS = (0.010, 0.011, 0.012, 0.014, 0.016, 0.018, 0.020, 0.022, 0.025)


@dataclass(frozen=True, slots=True)
class BoreTask:
    """What a damper has to do, whatever its bore and rod.

    Attributes
    ----------
    force_compression, force_rebound : float
        damping forces at the design speed, gas force left out [N], > 0.
    speed : float
        design speed of the rod [m/s], > 0.
    gas_pressure : float
        absolute gas pressure at this rod position [Pa], > 0.
    release_pressure : float
        absolute vapour or air-release pressure of the oil [Pa], ≥ 0.
    power : float
        mean heat to shed [W], ≥ 0.
    body_length : float
        length of body that sheds it [m], > 0.
    wall : float
        from the bore to the outer surface, on the radius [m], ≥ 0; a twin-tube counts
        its reserve space.
    pressure_ambient : float
        absolute pressure of the air outside [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    force_compression: float
    force_rebound: float
    speed: float
    gas_pressure: float
    release_pressure: float
    power: float
    body_length: float
    wall: float
    pressure_ambient: float = P_ATM

    def __post_init__(self) -> None:
        require_above(0.0, self.force_compression, "Compression force", "N", "A positive size.")
        require_above(0.0, self.force_rebound, "Rebound force", "N", "A positive size.")
        require_above(0.0, self.speed, "Design speed", "m/s", "A positive size.")
        require_above(0.0, self.gas_pressure, "Gas pressure", "Pa", "Absolute pressure.")
        require_at_least(0.0, self.release_pressure, "Release pressure", "Pa", "Absolute.")
        require_at_least(0.0, self.power, "Heat", "W", "Mean damping power.")
        require_above(0.0, self.body_length, "Body length", "m", "Surface that sheds heat.")
        require_at_least(0.0, self.wall, "Wall", "m", "Outer radius less bore radius.")
        require_above(0.0, self.pressure_ambient, "Ambient pressure", "Pa", "Absolute.")


@dataclass(frozen=True, slots=True)
class BoreOption:
    """What one bore and rod mean for the task.

    Attributes
    ----------
    piston_diameter, rod_diameter : float
        D and d [m].
    drop_compression, drop_rebound : float
        piston pressure drop that makes each force, F / A_a [Pa].
    peak_pressure : float
        highest chamber pressure, absolute: p_gas + Δp_rebound on the rod side [Pa].
    margin_compression : float
        rod-side pressure above release in compression without a reserve valve [Pa];
        negative: a reserve valve must hold at least this much.
    flow : float
        piston flow at the design speed [m³/s], both directions.
    reserve_flow : float
        flow to and from the reserve at the design speed [m³/s].
    jet_compression, jet_rebound : float
        speed of the oil jet behind the valve edge, √(2 Δp / ρ) [m/s].
    opening_compression, opening_rebound : float
        hole area that makes each force, as a share of the ring of the piston [1].
    rod_share : float
        A_r / A_p: share of the oil that goes to the reserve [1].
    gas_force : float
        push of the gas on the rod, (p_gas − p_ambient) A_r [N].
    heat_flux : float
        heat per outer surface of the body [W/m²].
    """

    piston_diameter: float
    rod_diameter: float
    drop_compression: float
    drop_rebound: float
    peak_pressure: float
    margin_compression: float
    flow: float
    reserve_flow: float
    jet_compression: float
    jet_rebound: float
    opening_compression: float
    opening_rebound: float
    rod_share: float
    gas_force: float
    heat_flux: float


def bore_option(
    *,
    task: BoreTask,
    piston_diameter: float,
    rod_diameter: float,
    oil: Oil,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
) -> BoreOption:
    """Return pressures, flows, heat and rod share of one bore and rod.

    Δp = F / A_a,  p_peak = p_gas + Δp_rebound,  q = P / (π (D + 2 w) L)

    A larger bore asks less pressure for the same force and sheds more heat; a
    thicker rod pushes more and moves more oil to the reserve.

    Parameters
    ----------
    task : BoreTask
        Forces, speed, gas, heat and body.
    piston_diameter : float
        D, bore of the working tube [m], > 0.
    rod_diameter : float
        d, rod diameter [m], ≥ 0 and < D.
    oil : Oil
        Density and viscosity at working temperature.
    discharge_coefficient : float
        C_d, for the hole that makes the force [1], > 0.

    Returns
    -------
    BoreOption
        The figures of this pair of sizes.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the rod is not thinner than the bore.

    Notes
    -----
    Limits: the whole damping force comes from the piston valve (no foot valve), which
    is the hardest case for the piston. Strength of the rod is another calculation.

    References
    ----------
    derivation: balance of forces on the piston; steady orifice flow.

    Examples
    --------
    By hand: 400 π N on a ring of π/4 (0.05² − 0.03²) = 0.0004 π m² is 10⁶ Pa.

    >>> from calculators.physics.fluid import Oil
    >>> task = BoreTask(
    ...     force_compression=400.0 * pi, force_rebound=1200.0 * pi, speed=0.5,
    ...     gas_pressure=2e6, release_pressure=3e4, power=50.0, body_length=0.3, wall=0.002,
    ... )
    >>> option = bore_option(
    ...     task=task, piston_diameter=0.05, rod_diameter=0.03, oil=Oil(850.0, 0.012)
    ... )
    >>> round(option.drop_compression), round(option.peak_pressure)
    (1000000, 5000000)
    """
    require_above(0.0, piston_diameter, "Piston diameter", "m", "Bore of the tube.")
    ring = annulus_area(outer_diameter=piston_diameter, inner_diameter=rod_diameter)
    rod = circle_area(diameter=rod_diameter)
    flow = ring * task.speed
    compression = task.force_compression / ring
    rebound = task.force_rebound / ring
    openings = [
        orifice_area(
            flow=flow, pressure_drop=drop, oil=oil, discharge_coefficient=discharge_coefficient
        )
        / ring
        for drop in (compression, rebound)
    ]
    return BoreOption(
        piston_diameter=piston_diameter,
        rod_diameter=rod_diameter,
        drop_compression=compression,
        drop_rebound=rebound,
        peak_pressure=task.gas_pressure + rebound,
        margin_compression=task.gas_pressure - compression - task.release_pressure,
        flow=flow,
        reserve_flow=rod * task.speed,
        jet_compression=sqrt(2.0 * compression / oil.density),
        jet_rebound=sqrt(2.0 * rebound / oil.density),
        opening_compression=openings[0],
        opening_rebound=openings[1],
        rod_share=rod / circle_area(diameter=piston_diameter),
        gas_force=(task.gas_pressure - task.pressure_ambient) * rod,
        heat_flux=task.power / (pi * (piston_diameter + 2.0 * task.wall) * task.body_length),
    )


def bore_table(
    *,
    task: BoreTask,
    oil: Oil,
    bores: tuple[float, ...] = CUSTOMARY_BORES,
    rods: tuple[float, ...] = CUSTOMARY_RODS,
) -> tuple[BoreOption, ...]:
    """Return every possible pair of bore and rod with its figures, small bores first.

    bore_option for each bore and each rod thinner than it

    Parameters
    ----------
    task : BoreTask
        Forces, speed, gas, heat and body.
    oil : Oil
        Density and viscosity at working temperature.
    bores : tuple of float
        Bores to choose from [m], each > 0.
    rods : tuple of float
        Rod diameters to choose from [m], each ≥ 0.

    Returns
    -------
    tuple of BoreOption
        One row for each pair in which the rod is thinner than the bore.

    Raises
    ------
    OutOfRangeError
        If a size is outside its range.
    ConflictError
        If no rod is thinner than any bore.

    Notes
    -----
    Limits: those of bore_option. Pairs with a rod as thick as the bore are left out,
    since they don't exist; nothing else is left out, so that the reader chooses.

    References
    ----------
    common practice: the customary bores and rods.
    derivation: as in bore_option.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> task = BoreTask(
    ...     force_compression=800.0, force_rebound=2400.0, speed=0.52,
    ...     gas_pressure=2e6, release_pressure=3e4, power=50.0, body_length=0.3, wall=0.002,
    ... )
    >>> len(bore_table(task=task, oil=Oil(850.0, 0.012), bores=(0.03, 0.04), rods=(0.01, 0.03)))
    3
    """
    options = tuple(
        bore_option(task=task, piston_diameter=bore, rod_diameter=rod, oil=oil)
        for bore in sorted(bores)
        for rod in sorted(rods)
        if rod < bore
    )
    if not options:
        message = "No rod is thinner than any of the bores. Offer wider bores or thinner rods."
        raise ConflictError(message, inputs=("bores", "rods"))
    return options
