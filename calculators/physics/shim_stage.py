"""Two stacks of shims with a gap: soft at first, stiffer once the first has closed the gap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above
from calculators.physics._shim_plate import (
    ShimStress,
    check_use,
    deflection_at,
    seat_radius,
    stack_of,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.physics.plate import PlateSolution

__all__ = ["TwoStageState", "two_stage_state"]


@dataclass(frozen=True, slots=True)
class TwoStageState:
    """Two stacks with a gap between them, under one pressure difference.

    Attributes
    ----------
    crack_pressure : float
        Pressure difference at which the first stack leaves its seat [Pa], ≥ 0.
    compliance : float
        Movement at the seat for each pascal before the stacks touch [m/Pa], > 0.
    contact_pressure : float
        Pressure difference at which the stacks touch, for a stack that is free
        to move: below the crack pressure they touch already on the seat [Pa], > 0.
    contact_lift : float
        Gap at the seat at that moment, 0 if they touch while closed [m], ≥ 0.
    compliance_after_contact : float
        Movement at the seat for each pascal once they touch [m/Pa], > 0.
    lift : float
        Gap at the seat, 0 while closed [m], ≥ 0.
    seat_force : float
        Force with which the seat still carries the first stack [N], ≥ 0.
    contact_force : float
        Force between the stacks, 0 before they touch [N], ≥ 0.
    first : tuple of ShimStress
        Shims of the first stack, in the order given.
    second : tuple of ShimStress
        Shims of the second stack, in the order given.
    """

    crack_pressure: float
    compliance: float
    contact_pressure: float
    contact_lift: float
    compliance_after_contact: float
    lift: float
    seat_force: float
    contact_force: float
    first: tuple[ShimStress, ...]
    second: tuple[ShimStress, ...]


def two_stage_state(  # noqa: PLR0913  geometry, load and strength of two stacks
    *,
    first_clamp_diameter: float,
    first_diameters: Sequence[float],
    first_thicknesses: Sequence[float],
    gap: float,
    second_clamp_diameter: float,
    second_diameters: Sequence[float],
    second_thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
    port_inner_diameter: float,
    port_outer_diameter: float,
    seat_diameter: float,
    pressure: float,
    preload_deflection: float = 0.0,
    yield_strength: float,
    fatigue_limit: float,
    contact_diameter: float | None = None,
) -> TwoStageState:
    """Return lift, forces and stresses of two stacks with a gap shim between them.

    R = (p u_1 - h) / (c_1 + c_2) at the contact ring, once p u_1 > h

    The first stack opens alone and soft. When its deflection at the contact ring has
    closed the gap h, the second stack bends with it and the opening goes on slower:
    two straight lines, steep and then flat. u_1 is the first stack's movement there
    for each pascal, c_1 and c_2 are the movements for each newton of contact force R.

    Parameters
    ----------
    first_clamp_diameter : float
        Diameter of the gap shim (crossover), which clamps the first stack [m], > 0.
    first_diameters : sequence of float
        Outer diameters of the first stack, the one on the seat [m], > first_clamp_diameter.
    first_thicknesses : sequence of float
        Thicknesses of the first stack [m], > 0.
    gap : float
        h, free distance between the stacks where they touch: the thickness of the gap shim,
        and of the shims of a tapered stack that do not reach so far [m], > 0.
    second_clamp_diameter : float
        Diameter inside which the second stack is held flat [m], > 0.
    second_diameters : sequence of float
        Outer diameters of the second stack [m], > second_clamp_diameter.
    second_thicknesses : sequence of float
        Thicknesses of the second stack [m], > 0.
    youngs_modulus : float
        E of all shims [Pa], > 0.
    poisson_ratio : float
        ν of all shims [1], 0 to 0.5.
    port_inner_diameter : float
        Where the pressure band begins [m], ≥ first_clamp_diameter.
    port_outer_diameter : float
        Where the pressure band ends [m], up to the largest shim of the first stack.
    seat_diameter : float
        Where the first stack rests [m], above its clamp, up to its largest shim.
    pressure : float
        Δp across the first stack, positive to open [Pa], ≥ 0.
    preload_deflection : float
        δ, deflection from flat at the seat when closed [m], ≥ 0.
    yield_strength : float
        Of the shim steel [Pa], > 0.
    fatigue_limit : float
        Highest stress of a load swinging between zero and it (R = 0) [Pa], > 0.
    contact_diameter : float or None
        Where the stacks touch; None takes the smaller of their outer diameters [m], above both
        clamps, under both stacks.

    Returns
    -------
    TwoStageState
        The two straight lines, lift, forces and stresses [various units], see there.

    Raises
    ------
    OutOfRangeError
        If a single value is outside its range.
    ConflictError
        If the lists differ in length, port or seat are not under the first stack, or the
        stacks do not overlap outside both clamps.

    Notes
    -----
    Limits: those of `stack_compliance`. The stacks touch on one ring only. Stacks of equal
    shims touch at the smaller of their outer radii first, and later the contact rolls inwards
    and the opening is softer than computed. In the pair of the evidence table that begins
    at a lift of 3 gaps, and is 4 % of the lift at 9 gaps. The port pressure acts on the
    first stack alone.

    References
    ----------
    derivation: equal movement of both stacks at the contact ring less the gap.

    Examples
    --------
    Before contact the second stack carries nothing.

    >>> state = two_stage_state(
    ...     first_clamp_diameter=0.016, first_diameters=(0.03,), first_thicknesses=(0.15e-3,),
    ...     gap=0.2e-3, second_clamp_diameter=0.012, second_diameters=(0.028,),
    ...     second_thicknesses=(0.3e-3,), youngs_modulus=210e9, poisson_ratio=0.3,
    ...     port_inner_diameter=0.018, port_outer_diameter=0.026, seat_diameter=0.028,
    ...     pressure=1e4, yield_strength=1.5e9, fatigue_limit=0.9e9)
    >>> state.contact_force, state.second[0].peak_radial_stress
    (0.0, 0.0)
    """
    first = stack_of(
        first_clamp_diameter, first_diameters, first_thicknesses, youngs_modulus, poisson_ratio
    )
    second = stack_of(
        second_clamp_diameter, second_diameters, second_thicknesses, youngs_modulus, poisson_ratio
    )
    seat = seat_radius(first, seat_diameter)
    require_above(0.0, gap, "Gap", "m", "Without a gap the two are one stack.")
    check_use(pressure, preload_deflection, yield_strength, fatigue_limit)
    reach = min(max(first.radii), max(second.radii))
    ring = reach if contact_diameter is None else contact_diameter / 2.0
    if not max(first.clamp_radius, second.clamp_radius) < ring <= reach:
        message = "The two stacks do not overlap outside their clamps, so they cannot touch."
        raise ConflictError(message, inputs=("first_diameters", "second_diameters"))

    # Movements at (seat, ring) for one pascal, one newton on the seat, one newton of contact.
    places = (seat, ring)
    inner, outer = port_inner_diameter / 2.0, port_outer_diameter / 2.0
    by_pressure = first.solve(band=(inner, outer, 1.0), stations=places)
    by_seat = first.solve(rings=((seat, 1.0),), stations=places)
    by_contact = first.solve(rings=((ring, 1.0),), stations=places)
    softness = deflection_at(by_contact, 1) + deflection_at(
        second.solve(rings=((ring, 1.0),), stations=(ring,))
    )

    def joined(solution: PlateSolution) -> float:
        """Movement at the seat for the same load once the stacks touch."""
        return (
            deflection_at(solution)
            - deflection_at(solution, 1) * deflection_at(by_contact) / softness
        )

    compliance, compliance_after = deflection_at(by_pressure), joined(by_pressure)
    pushed_back = (
        gap * deflection_at(by_contact) / softness
    )  # constant part of w(seat) after contact
    contact_pressure = gap / deflection_at(by_pressure, 1)

    def free_seat(load: float) -> float:
        """Deflection at the seat with the seat force left out."""
        if load <= contact_pressure:
            return compliance * load
        return compliance_after * load + pushed_back

    cracks_alone = preload_deflection <= free_seat(contact_pressure)
    crack = (
        preload_deflection / compliance
        if cracks_alone
        else (preload_deflection - pushed_back) / compliance_after
    )
    beyond_seat = free_seat(pressure) - preload_deflection
    seat_force = 0.0
    if beyond_seat < 0.0:
        seat_force = (preload_deflection - compliance * pressure) / deflection_at(by_seat)
        if deflection_at(by_pressure, 1) * pressure + deflection_at(by_seat, 1) * seat_force > gap:
            seat_force = (preload_deflection - compliance_after * pressure - pushed_back) / joined(
                by_seat
            )
    free = deflection_at(by_pressure, 1) * pressure + deflection_at(by_seat, 1) * seat_force
    contact_force = max(0.0, free - gap) / softness

    bent_first = first.solve(
        band=(inner, outer, pressure), rings=((seat, seat_force), (ring, -contact_force))
    )
    bent_second = second.solve(rings=((ring, contact_force),))
    return TwoStageState(
        crack_pressure=crack,
        compliance=compliance,
        contact_pressure=contact_pressure,
        contact_lift=max(0.0, free_seat(contact_pressure) - preload_deflection),
        compliance_after_contact=compliance_after,
        lift=max(0.0, beyond_seat),
        seat_force=seat_force,
        contact_force=contact_force,
        first=first.stresses(bent_first.rings, yield_strength, fatigue_limit),
        second=second.stresses(bent_second.rings, yield_strength, fatigue_limit),
    )
