"""Shim stacks: the flat steel springs that open a damper's valves.

A stack of shims is clamped inside and lifts at the seat outside. Each shim slides
on the next without friction and all share one deflection, so that rigidities add
wherever a shim reaches. Friction between real shims makes a stack stiffer on the
way up and softer on the way back (hysteresis), and shims that part from each other
make it softer; both are left out here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import require_above, require_at_least
from calculators.physics._shim_plate import (
    ShimStress,
    check_use,
    deflection_at,
    seat_radius,
    stack_of,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.physics.plate import PlateState

__all__ = [
    "ShimStress",
    "StackState",
    "crack_pressure",
    "seat_stiffness",
    "stack_compliance",
    "stack_state",
]


@dataclass(frozen=True, slots=True)
class StackState:
    """A single stack under one pressure difference.

    Attributes
    ----------
    compliance : float
        Movement at the seat radius for each pascal [m/Pa], > 0.
    crack_pressure : float
        Pressure difference at which the stack leaves its seat [Pa], ≥ 0.
    lift : float
        Gap at the seat, 0 while closed [m], ≥ 0.
    seat_force : float
        Force with which the seat still carries the stack, 0 when open [N], ≥ 0.
    seat_deflection : float
        Deflection from flat at the seat radius: preload plus lift [m], ≥ 0.
    edge_deflection : float
        Deflection from flat of the outer edge [m], finite.
    clamp_force : float
        Whole force that the clamp carries [N], ≥ 0.
    clamp_moment : float
        Radial moment per metre at the clamp, all shims together [N], finite.
    deflection_share : float
        Edge deflection over the thinnest shim's thickness: far above 1 the plate
        also stretches and is stiffer than computed [1], ≥ 0.
    shims : tuple of ShimStress
        In the order given.
    profile : tuple of PlateState
        At the stations asked for.
    """

    compliance: float
    crack_pressure: float
    lift: float
    seat_force: float
    seat_deflection: float
    edge_deflection: float
    clamp_force: float
    clamp_moment: float
    deflection_share: float
    shims: tuple[ShimStress, ...]
    profile: tuple[PlateState, ...]


def stack_compliance(
    *,
    clamp_diameter: float,
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
    port_inner_diameter: float,
    port_outer_diameter: float,
    seat_diameter: float,
) -> float:
    """Return how far a shim stack moves at its seat for each pascal on its port.

    lift at the seat = compliance · pressure difference

    The one number that a valve needs of its stack: with the crack pressure it gives
    the opening at any pressure, y = compliance · (Δp - p_c).

    Parameters
    ----------
    clamp_diameter : float
        Diameter inside which the stack is held flat [m], > 0.
    diameters : sequence of float
        Outer diameter of each shim, in any order [m], > clamp_diameter.
    thicknesses : sequence of float
        Thickness of each shim [m], > 0.
    youngs_modulus : float
        E of the shims, steel about 210 GPa [Pa], > 0.
    poisson_ratio : float
        ν of the shims, steel about 0.3 [1], 0 to 0.5.
    port_inner_diameter : float
        Where the pressure band begins [m], ≥ clamp_diameter.
    port_outer_diameter : float
        Where the pressure band ends [m], up to the largest shim.
    seat_diameter : float
        Where the lift is measured [m], above clamp_diameter, up to the largest shim.

    Returns
    -------
    float
        Compliance at the seat [m/Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If a single value is outside its range.
    ConflictError
        If the lists differ in length, or port or seat are not under the stack.

    Notes
    -----
    Limits: those of `solve_plate`; no friction between shims, none parts from the next,
    pressure equal all round the band (separate ports load it in patches), and the same
    band open as closed.

    References
    ----------
    book: S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, ch. 3.
    book: W. C. Young and R. G. Budynas, Roark's Formulas for Stress and Strain, table 11.2,
        case 2l (outer edge free, inner edge fixed; number: value from memory).

    Examples
    --------
    Eight times softer with half the thickness.

    >>> def lift(thickness):
    ...     return stack_compliance(
    ...         clamp_diameter=0.012, diameters=(0.03,), thicknesses=(thickness,),
    ...         youngs_modulus=210e9, poisson_ratio=0.3, port_inner_diameter=0.018,
    ...         port_outer_diameter=0.026, seat_diameter=0.028)
    >>> round(lift(0.1e-3) / lift(0.2e-3), 9)
    8.0
    """
    stack = stack_of(clamp_diameter, diameters, thicknesses, youngs_modulus, poisson_ratio)
    seat = seat_radius(stack, seat_diameter)
    band = (port_inner_diameter / 2.0, port_outer_diameter / 2.0, 1.0)
    return deflection_at(stack.solve(band=band, stations=(seat,)))


def seat_stiffness(
    *,
    clamp_diameter: float,
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
    seat_diameter: float,
) -> float:
    """Return the force on the seat ring that moves the stack there by one metre.

    k = F / w(seat) for a load that goes round at the seat diameter

    With a dished piston the seat force of the closed valve is k times the preload.

    Parameters
    ----------
    clamp_diameter : float
        Diameter inside which the stack is held flat [m], > 0.
    diameters : sequence of float
        Outer diameter of each shim [m], > clamp_diameter.
    thicknesses : sequence of float
        Thickness of each shim [m], > 0.
    youngs_modulus : float
        E of the shims [Pa], > 0.
    poisson_ratio : float
        ν of the shims [1], 0 to 0.5.
    seat_diameter : float
        Where the ring load acts [m], above clamp_diameter, up to the largest shim.

    Returns
    -------
    float
        Stiffness at the seat [N/m], > 0.

    Raises
    ------
    OutOfRangeError
        If a single value is outside its range.
    ConflictError
        If the lists differ in length, or the seat is not under the stack.

    Notes
    -----
    Limits: those of `stack_compliance`.

    References
    ----------
    book: W. C. Young and R. G. Budynas, Roark's Formulas for Stress and Strain, table 11.2,
        case 1l (line load; outer edge free, inner edge fixed; number: value from memory).

    Examples
    --------
    Two equal shims are twice as stiff as one.

    >>> def stiffness(count):
    ...     return seat_stiffness(
    ...         clamp_diameter=0.012, diameters=(0.03,) * count, thicknesses=(0.2e-3,) * count,
    ...         youngs_modulus=210e9, poisson_ratio=0.3, seat_diameter=0.028)
    >>> round(stiffness(2) / stiffness(1), 9)
    2.0
    """
    stack = stack_of(clamp_diameter, diameters, thicknesses, youngs_modulus, poisson_ratio)
    seat = seat_radius(stack, seat_diameter)
    return 1.0 / deflection_at(stack.solve(rings=((seat, 1.0),), stations=(seat,)))


def crack_pressure(*, preload_deflection: float, compliance: float) -> float:
    """Return the pressure difference at which a preloaded stack leaves its seat.

    p_c = δ / compliance

    A dished piston face holds the closed stack bent by δ. The pressure has first to
    bend it as far by itself; only then does it open.

    Parameters
    ----------
    preload_deflection : float
        δ, deflection from flat at the seat when closed [m], ≥ 0.
    compliance : float
        Movement at the seat for each pascal, pressure band as when closed [m/Pa], > 0.

    Returns
    -------
    float
        p_c, crack pressure [Pa], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: a stack whose stages touch before it opens needs `two_stage_state`.

    References
    ----------
    derivation: the seat force is zero when pressure alone gives w(seat) = δ.

    Examples
    --------
    By hand: 0.1 mm with 0.5 mm/MPa is 0.2 MPa.

    >>> crack_pressure(preload_deflection=0.1e-3, compliance=0.5e-9)
    200000.0
    """
    require_at_least(0.0, preload_deflection, "Preload", "m", "A flat seat has no preload.")
    require_above(0.0, compliance, "Compliance", "m/Pa", "Compute it from the stack.")
    return preload_deflection / compliance


def stack_state(  # noqa: PLR0913  geometry, load and strength of one stack
    *,
    clamp_diameter: float,
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
    port_inner_diameter: float,
    port_outer_diameter: float,
    seat_diameter: float,
    pressure: float,
    preload_deflection: float = 0.0,
    yield_strength: float,
    fatigue_limit: float,
    stations: Sequence[float] = (),
) -> StackState:
    """Return lift, forces and stresses of a single stack under one pressure difference.

    closed: w(seat) = δ, seat force = k (δ - C Δp);   open: lift = C Δp - δ

    Each shim carries the share of the moment that its rigidity is of the whole:
    M_i = M D_i / ΣD, and its stress is σ_i = 6 M_i / t_i². So a thicker shim in a
    mixed stack is stressed more, in the ratio of thicknesses.

    Parameters
    ----------
    clamp_diameter : float
        Diameter inside which the stack is held flat [m], > 0.
    diameters : sequence of float
        Outer diameter of each shim [m], > clamp_diameter.
    thicknesses : sequence of float
        Thickness of each shim [m], > 0.
    youngs_modulus : float
        E of the shims [Pa], > 0.
    poisson_ratio : float
        ν of the shims [1], 0 to 0.5.
    port_inner_diameter : float
        Where the pressure band begins [m], ≥ clamp_diameter.
    port_outer_diameter : float
        Where the pressure band ends [m], up to the largest shim.
    seat_diameter : float
        Where the stack rests [m], above clamp_diameter, up to the largest shim.
    pressure : float
        Δp across the stack, positive to open [Pa], ≥ 0.
    preload_deflection : float
        δ, deflection from flat at the seat when closed [m], ≥ 0.
    yield_strength : float
        Of the shim steel [Pa], > 0.
    fatigue_limit : float
        Highest stress of a load swinging between zero and it that the steel
        stands for ever (stress ratio R = 0) [Pa], > 0.
    stations : sequence of float
        Radii for the profile [m], between clamp and edge.

    Returns
    -------
    StackState
        Lift, forces, stresses and profile [various units], see there.

    Raises
    ------
    OutOfRangeError
        If a single value is outside its range.
    ConflictError
        If the lists differ in length, or port, seat or a station is not under the stack.

    Notes
    -----
    Limits: those of `stack_compliance`. While closed, the seat is a ring that carries
    force and does not yield. Left out of the stress: notches and edges, pressing at the
    clamp, contact of one shim's edge on the next, waves and impact on closing. Preload
    makes the swing smaller than 0 to peak, so the fatigue share is on the safe side.

    References
    ----------
    derivation: superposition of pressure band and seat ring on one linear plate.
    book: S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, ch. 3.

    Examples
    --------
    Closed and unloaded, the seat carries the whole clamp force.

    >>> state = stack_state(
    ...     clamp_diameter=0.012, diameters=(0.03, 0.026), thicknesses=(0.2e-3, 0.2e-3),
    ...     youngs_modulus=210e9, poisson_ratio=0.3, port_inner_diameter=0.018,
    ...     port_outer_diameter=0.026, seat_diameter=0.028, pressure=0.0,
    ...     preload_deflection=0.05e-3, yield_strength=1.5e9, fatigue_limit=0.9e9)
    >>> state.lift, round(state.seat_force / state.clamp_force, 9)
    (0.0, 1.0)
    """
    stack = stack_of(clamp_diameter, diameters, thicknesses, youngs_modulus, poisson_ratio)
    seat = seat_radius(stack, seat_diameter)
    check_use(pressure, preload_deflection, yield_strength, fatigue_limit)
    inner, outer = port_inner_diameter / 2.0, port_outer_diameter / 2.0
    compliance = deflection_at(stack.solve(band=(inner, outer, 1.0), stations=(seat,)))
    stiffness = 1.0 / deflection_at(stack.solve(rings=((seat, 1.0),), stations=(seat,)))

    beyond_seat = compliance * pressure - preload_deflection
    seat_force = stiffness * max(0.0, -beyond_seat)
    solution = stack.solve(
        band=(inner, outer, pressure), rings=((seat, seat_force),), stations=stations
    )
    return StackState(
        compliance=compliance,
        crack_pressure=preload_deflection / compliance,
        lift=max(0.0, beyond_seat),
        seat_force=seat_force,
        seat_deflection=preload_deflection + max(0.0, beyond_seat),
        edge_deflection=solution.edge_deflection,
        clamp_force=solution.clamp_force,
        clamp_moment=solution.clamp_moment,
        deflection_share=abs(solution.edge_deflection) / min(thicknesses),
        shims=stack.stresses(solution.rings, yield_strength, fatigue_limit),
        profile=solution.stations,
    )
