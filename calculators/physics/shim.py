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

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.plate import (
    PlateRing,
    PlateSolution,
    PlateState,
    flexural_rigidity,
    solve_plate,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "ShimStress",
    "StackState",
    "TwoStageState",
    "crack_pressure",
    "seat_stiffness",
    "stack_compliance",
    "stack_state",
    "two_stage_state",
]


@dataclass(frozen=True, slots=True)
class ShimStress:
    """One shim's highest bending stresses and how much of its strength they use.

    Attributes
    ----------
    diameter : float
        Outer diameter [m], > 0.
    thickness : float
        t [m], > 0.
    peak_radial_stress : float
        Largest absolute radial bending stress at its faces [Pa], ≥ 0.
    peak_radius : float
        Radius where that is [m], > 0.
    peak_tangential_stress : float
        Largest absolute tangential bending stress at its faces [Pa], ≥ 0.
    yield_share : float
        Larger of the two stresses over the yield strength [1], ≥ 0.
    fatigue_share : float
        Larger of the two stresses over the fatigue limit [1], ≥ 0.
    """

    diameter: float
    thickness: float
    peak_radial_stress: float
    peak_radius: float
    peak_tangential_stress: float
    yield_share: float
    fatigue_share: float


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


@dataclass(frozen=True, slots=True)
class _Stack:
    """The plate that a stack of shims makes, and its loads by name."""

    clamp_radius: float
    radii: tuple[float, ...]
    thicknesses: tuple[float, ...]
    rigidities: tuple[float, ...]
    poisson_ratio: float

    def solve(
        self,
        *,
        band: tuple[float, float, float] | None = None,
        rings: Sequence[tuple[float, float]] = (),
        stations: Sequence[float] = (),
    ) -> PlateSolution:
        """Solve for pressure on one band and forces on rings."""
        ends = sorted(set(self.radii))
        return solve_plate(
            inner_radius=self.clamp_radius,
            outer_radii=ends,
            rigidities=[self._rigidity_up_to(end) for end in ends],
            poisson_ratio=self.poisson_ratio,
            band_inner_radii=() if band is None else (band[0],),
            band_outer_radii=() if band is None else (band[1],),
            band_pressures=() if band is None else (band[2],),
            ring_radii=[radius for radius, _ in rings],
            ring_forces=[force for _, force in rings],
            stations=stations,
        )

    def _rigidity_up_to(self, end: float) -> float:
        shims = zip(self.radii, self.rigidities, strict=True)
        return sum(rigidity for radius, rigidity in shims if radius >= end)

    def stresses(
        self, rings: Sequence[PlateRing], yield_strength: float, fatigue_limit: float
    ) -> tuple[ShimStress, ...]:
        """Share each ring's moment by rigidity and find every shim's worst place."""
        return tuple(
            self._stress(index, rings, yield_strength, fatigue_limit)
            for index in range(len(self.radii))
        )

    def _stress(
        self, index: int, rings: Sequence[PlateRing], yield_strength: float, fatigue_limit: float
    ) -> ShimStress:
        radius, thickness = self.radii[index], self.thicknesses[index]
        stress_per_rigidity = 6.0 * self.rigidities[index] / thickness**2
        reached = [ring for ring in rings if ring.outer_radius <= radius]
        radial, place = max(
            (ring.peak_radial_moment / ring.rigidity, ring.peak_radial_moment_radius)
            for ring in reached
        )
        tangential = max(ring.peak_tangential_moment / ring.rigidity for ring in reached)
        worst = stress_per_rigidity * max(radial, tangential)
        return ShimStress(
            diameter=2.0 * radius,
            thickness=thickness,
            peak_radial_stress=stress_per_rigidity * radial,
            peak_radius=place,
            peak_tangential_stress=stress_per_rigidity * tangential,
            yield_share=worst / yield_strength,
            fatigue_share=worst / fatigue_limit,
        )


def _stack(
    clamp_diameter: float,
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
) -> _Stack:
    """Check the stack and make its plate."""
    require_above(0.0, clamp_diameter, "Clamp diameter", "m", "Give the pivot's outer diameter.")
    if not diameters or len(diameters) != len(thicknesses):
        message = "Each shim needs one outer diameter and one thickness; give at least one shim."
        raise ConflictError(message, inputs=("diameters", "thicknesses"))
    for diameter in diameters:
        require_above(
            clamp_diameter, diameter, "Shim diameter", "m", "A shim must reach past its clamp."
        )
    return _Stack(
        clamp_radius=clamp_diameter / 2.0,
        radii=tuple(diameter / 2.0 for diameter in diameters),
        thicknesses=tuple(thicknesses),
        rigidities=tuple(
            flexural_rigidity(
                youngs_modulus=youngs_modulus, poisson_ratio=poisson_ratio, thickness=thickness
            )
            for thickness in thicknesses
        ),
        poisson_ratio=poisson_ratio,
    )


def _check_seat(stack: _Stack, seat_diameter: float) -> float:
    """Return the seat radius, if it is under the stack."""
    edge = max(stack.radii)
    if not stack.clamp_radius < seat_diameter / 2.0 <= edge:
        message = (
            f"Seat diameter {seat_diameter:g} m is not under the stack; allowed: above the clamp "
            f"diameter {2.0 * stack.clamp_radius:g} m and up to the largest shim {2.0 * edge:g} m."
        )
        raise ConflictError(message, inputs=("seat_diameter",))
    return seat_diameter / 2.0


def _at(solution: PlateSolution, index: int = 0) -> float:
    return solution.stations[index].deflection


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
    stack = _stack(clamp_diameter, diameters, thicknesses, youngs_modulus, poisson_ratio)
    seat = _check_seat(stack, seat_diameter)
    band = (port_inner_diameter / 2.0, port_outer_diameter / 2.0, 1.0)
    return _at(stack.solve(band=band, stations=(seat,)))


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
    stack = _stack(clamp_diameter, diameters, thicknesses, youngs_modulus, poisson_ratio)
    seat = _check_seat(stack, seat_diameter)
    return 1.0 / _at(stack.solve(rings=((seat, 1.0),), stations=(seat,)))


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
    stack = _stack(clamp_diameter, diameters, thicknesses, youngs_modulus, poisson_ratio)
    seat = _check_seat(stack, seat_diameter)
    _check_use(pressure, preload_deflection, yield_strength, fatigue_limit)
    inner, outer = port_inner_diameter / 2.0, port_outer_diameter / 2.0
    compliance = _at(stack.solve(band=(inner, outer, 1.0), stations=(seat,)))
    stiffness = 1.0 / _at(stack.solve(rings=((seat, 1.0),), stations=(seat,)))

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


def _check_use(
    pressure: float, preload_deflection: float, yield_strength: float, fatigue_limit: float
) -> None:
    require_at_least(0.0, pressure, "Pressure difference", "Pa", "Positive opens the valve.")
    require_at_least(0.0, preload_deflection, "Preload", "m", "A flat seat has no preload.")
    require_above(0.0, yield_strength, "Yield strength", "Pa", "See the steel's data sheet.")
    require_above(0.0, fatigue_limit, "Fatigue limit", "Pa", "See the steel's data sheet.")


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
    first = _stack(
        first_clamp_diameter, first_diameters, first_thicknesses, youngs_modulus, poisson_ratio
    )
    second = _stack(
        second_clamp_diameter, second_diameters, second_thicknesses, youngs_modulus, poisson_ratio
    )
    seat = _check_seat(first, seat_diameter)
    require_above(0.0, gap, "Gap", "m", "Without a gap the two are one stack.")
    _check_use(pressure, preload_deflection, yield_strength, fatigue_limit)
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
    softness = _at(by_contact, 1) + _at(second.solve(rings=((ring, 1.0),), stations=(ring,)))

    def joined(solution: PlateSolution) -> float:
        """Movement at the seat for the same load once the stacks touch."""
        return _at(solution) - _at(solution, 1) * _at(by_contact) / softness

    compliance, compliance_after = _at(by_pressure), joined(by_pressure)
    pushed_back = gap * _at(by_contact) / softness  # constant part of w(seat) after contact
    contact_pressure = gap / _at(by_pressure, 1)

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
        seat_force = (preload_deflection - compliance * pressure) / _at(by_seat)
        if _at(by_pressure, 1) * pressure + _at(by_seat, 1) * seat_force > gap:
            seat_force = (preload_deflection - compliance_after * pressure - pushed_back) / joined(
                by_seat
            )
    free = _at(by_pressure, 1) * pressure + _at(by_seat, 1) * seat_force
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
