"""The plate that a stack of shims makes: its rigidity ring by ring, and the stress of each shim."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics.plate import PlateRing, PlateSolution, flexural_rigidity, solve_plate

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["ShimStress", "Stack", "check_use", "deflection_at", "seat_radius", "stack_of"]


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
class Stack:
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


def stack_of(
    clamp_diameter: float,
    diameters: Sequence[float],
    thicknesses: Sequence[float],
    youngs_modulus: float,
    poisson_ratio: float,
) -> Stack:
    """Check the stack and make its plate."""
    require_above(0.0, clamp_diameter, "Clamp diameter", "m", "Give the pivot's outer diameter.")
    if not diameters or len(diameters) != len(thicknesses):
        message = "Each shim needs one outer diameter and one thickness; give at least one shim."
        raise ConflictError(message, inputs=("diameters", "thicknesses"))
    for diameter in diameters:
        require_above(
            clamp_diameter, diameter, "Shim diameter", "m", "A shim must reach past its clamp."
        )
    return Stack(
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


def seat_radius(stack: Stack, seat_diameter: float) -> float:
    """Return the seat radius, if it is under the stack."""
    edge = max(stack.radii)
    if not stack.clamp_radius < seat_diameter / 2.0 <= edge:
        message = (
            f"Seat diameter {seat_diameter:g} m is not under the stack; allowed: above the clamp "
            f"diameter {2.0 * stack.clamp_radius:g} m and up to the largest shim {2.0 * edge:g} m."
        )
        raise ConflictError(message, inputs=("seat_diameter",))
    return seat_diameter / 2.0


def deflection_at(solution: PlateSolution, index: int = 0) -> float:
    return solution.stations[index].deflection


def check_use(
    pressure: float, preload_deflection: float, yield_strength: float, fatigue_limit: float
) -> None:
    require_at_least(0.0, pressure, "Pressure difference", "Pa", "Positive opens the valve.")
    require_at_least(0.0, preload_deflection, "Preload", "m", "A flat seat has no preload.")
    require_above(0.0, yield_strength, "Yield strength", "Pa", "See the steel's data sheet.")
    require_above(0.0, fatigue_limit, "Fatigue limit", "Pa", "See the steel's data sheet.")
