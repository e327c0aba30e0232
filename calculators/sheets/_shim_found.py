"""What the plate solver finds of a shim stack at one pressure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.chart import grid
from calculators.errors import ConflictError
from calculators.physics import plate, shim, shim_stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.sheet import Given, RowValues

__all__ = [
    "BAR",
    "Bent",
    "Found",
    "check",
    "contact_of",
    "find",
    "lists_of",
    "number_of",
    "rigidity_of",
    "shape_of",
    "worst_of",
]

BAR = 1e5  # Pa, load at which the working shows movements


@dataclass(frozen=True, slots=True)
class _Line:
    """The two straight lines of the lift: before and after the stages touch."""

    preload: float
    compliance: float
    compliance_after: float
    contact_pressure: float
    pushed_back: float

    def free(self, pressure: float) -> float:
        """Return the deflection at the seat that the pressure alone makes."""
        if pressure <= self.contact_pressure:
            return self.compliance * pressure
        return self.compliance_after * pressure + self.pushed_back

    def lift(self, pressure: float) -> float:
        return max(self.free(pressure) - self.preload, 0.0)


@dataclass(frozen=True, slots=True)
class _Contact:
    """Where the two stages touch first, and how far apart they are there when flat."""

    radius: float
    clearance: float


@dataclass(frozen=True, slots=True)
class Found:
    """What the plate solver found at one pressure."""

    line: _Line
    crack_pressure: float
    lift: float
    seat_force: float
    contact_force: float
    first: tuple[shim.ShimStress, ...]
    second: tuple[shim.ShimStress, ...]
    contact: _Contact | None = None

    @property
    def shims(self) -> tuple[shim.ShimStress, ...]:
        return self.first + self.second


def lists_of(rows: RowValues) -> tuple[tuple[float, ...], tuple[float, ...]]:
    return tuple(row[0] for row in rows), tuple(row[1] for row in rows)


def check(given: Given) -> None:
    """Refuse geometries that cannot be, in the words of this form."""
    clamp, inner, outer, seat = (
        given[name]
        for name in (
            "clamp_diameter",
            "port_inner_diameter",
            "port_outer_diameter",
            "seat_diameter",
        )
    )
    first = given.rows("shims")[0][0]
    if any(row[0] <= clamp for row in given.rows("shims")):
        message = (
            "A shim is not larger than the clamp, so it cannot bend: leave it out, or correct the "
            "clamp diameter."
        )
        raise ConflictError(message, inputs=("shims",))
    if not clamp <= inner < outer <= seat:
        message = (
            "From inside out there must be clamp, inner and outer diameter of the ports, and the "
            "seat: correct their diameters."
        )
        raise ConflictError(message, inputs=("port_inner_diameter",))
    if seat > first:
        message = (
            "The first shim does not reach its seat: make it larger, or correct the seat diameter."
        )
        raise ConflictError(message, inputs=("shims",))
    if given.choice("stages") == "two":
        second = given.rows("second_shims")
        if any(row[0] <= given["second_clamp_diameter"] for row in second):
            message = (
                "A shim of the second stage is not larger than its clamp, so it cannot bend: leave "
                "it out."
            )
            raise ConflictError(message, inputs=("second_shims",))
        largest = min(max(row[0] for row in rows) for rows in (given.rows("shims"), second))
        if largest <= max(clamp, given["second_clamp_diameter"]):
            message = "The two stacks do not overlap outside their clamps, so they cannot touch."
            raise ConflictError(message, inputs=("second_shims",))


def find(given: Given, pressure: float) -> Found:
    diameters, thicknesses = lists_of(given.rows("shims"))
    if given.choice("stages") == "one":
        one = shim.stack_state(
            clamp_diameter=given["clamp_diameter"],
            diameters=diameters,
            thicknesses=thicknesses,
            pressure=pressure,
            preload_deflection=given["preload"],
            youngs_modulus=given["youngs_modulus"],
            poisson_ratio=given["poisson_ratio"],
            port_inner_diameter=given["port_inner_diameter"],
            port_outer_diameter=given["port_outer_diameter"],
            seat_diameter=given["seat_diameter"],
            yield_strength=given["yield_strength"],
            fatigue_limit=given["fatigue_limit"],
        )
        line = _Line(given["preload"], one.compliance, one.compliance, float("inf"), 0.0)
        return Found(line, one.crack_pressure, one.lift, one.seat_force, 0.0, one.shims, ())
    second_diameters, second_thicknesses = lists_of(given.rows("second_shims"))
    contact = contact_of(given)
    two = shim_stage.two_stage_state(
        first_clamp_diameter=given["clamp_diameter"],
        first_diameters=diameters,
        first_thicknesses=thicknesses,
        gap=contact.clearance,
        contact_diameter=2.0 * contact.radius,
        second_clamp_diameter=given["second_clamp_diameter"],
        second_diameters=second_diameters,
        second_thicknesses=second_thicknesses,
        pressure=pressure,
        preload_deflection=given["preload"],
        youngs_modulus=given["youngs_modulus"],
        poisson_ratio=given["poisson_ratio"],
        port_inner_diameter=given["port_inner_diameter"],
        port_outer_diameter=given["port_outer_diameter"],
        seat_diameter=given["seat_diameter"],
        yield_strength=given["yield_strength"],
        fatigue_limit=given["fatigue_limit"],
    )
    back = (two.compliance - two.compliance_after_contact) * two.contact_pressure
    line = _Line(
        given["preload"], two.compliance, two.compliance_after_contact, two.contact_pressure, back
    )
    return Found(
        line,
        two.crack_pressure,
        two.lift,
        two.seat_force,
        two.contact_force,
        two.first,
        two.second,
        contact,
    )


@dataclass(frozen=True, slots=True)
class Bent:
    """The shape of one stage under the forces that were found."""

    radii: tuple[float, ...]
    deflections: tuple[float, ...]
    edge_deflection: float
    clamp_force: float


def _bent(
    given: Given,
    rows: RowValues,
    clamp: float,
    rings: Sequence[tuple[float, float]],
    pressure: float = 0.0,
    stations: tuple[float, ...] = (),
) -> Bent:
    ends = sorted({row[0] / 2.0 for row in rows})
    rigidities = [
        sum(rigidity_of(given, row[1]) for row in rows if row[0] / 2.0 >= end) for end in ends
    ]
    stations = stations or (*grid(clamp / 2.0, ends[-1], 41)[:-1], ends[-1])
    solution = plate.solve_plate(
        inner_radius=clamp / 2.0,
        outer_radii=ends,
        rigidities=rigidities,
        poisson_ratio=given["poisson_ratio"],
        band_inner_radii=(given["port_inner_diameter"] / 2.0,) if pressure else (),
        band_outer_radii=(given["port_outer_diameter"] / 2.0,) if pressure else (),
        band_pressures=(pressure,) if pressure else (),
        ring_radii=[radius for radius, _ in rings],
        ring_forces=[force for _, force in rings],
        stations=stations,
    )
    return Bent(
        stations,
        tuple(state.deflection for state in solution.stations),
        solution.edge_deflection,
        solution.clamp_force,
    )


def rigidity_of(given: Given, thickness: float) -> float:
    return plate.flexural_rigidity(
        youngs_modulus=given["youngs_modulus"],
        poisson_ratio=given["poisson_ratio"],
        thickness=thickness,
    )


def contact_of(given: Given) -> _Contact:
    """Return where the first stage meets the second: at a shim's edge, where the clearance closes first."""
    first, second = given.rows("shims"), given.rows("second_shims")
    held = max(given["clamp_diameter"], given["second_clamp_diameter"])
    reach = min(max(row[0] for row in stack) for stack in (first, second))
    edges = tuple(sorted({row[0] / 2.0 for row in (*first, *second) if held < row[0] <= reach}))
    moved = _bent(given, first, given["clamp_diameter"], (), BAR, edges).deflections
    places = [
        _Contact(edge, given["gap"] + _missing(first[::-1], edge) + _missing(second, edge))
        for edge in edges
    ]
    closed = [place.clearance / way for place, way in zip(places, moved, strict=True)]
    return places[closed.index(min(closed))]


def _missing(rows: RowValues, radius: float) -> float:
    """Return the thickness of the shims, from the gap on, that do not reach out to a radius."""
    missing = 0.0
    for diameter, thickness in rows:
        if diameter / 2.0 >= radius:
            return missing
        missing += thickness
    return missing


def shape_of(given: Given, found: Found, pressure: float) -> tuple[Bent, ...]:
    """Return the shape of each stage."""
    rows, seat = given.rows("shims"), (given["seat_diameter"] / 2.0, found.seat_force)
    if given.choice("stages") == "one":
        return (_bent(given, rows, given["clamp_diameter"], (seat,), pressure),)
    second = given.rows("second_shims")
    assert found.contact is not None
    contact, force = found.contact.radius, found.contact_force
    return (
        _bent(given, rows, given["clamp_diameter"], (seat, (contact, -force)), pressure),
        _bent(given, second, given["second_clamp_diameter"], ((contact, force),)),
    )


def number_of(found: Found, index: int) -> str:
    if not found.second:
        return str(index + 1)
    first = len(found.first)
    return f"{index + 1} of stage 1" if index < first else f"{index + 1 - first} of stage 2"


def worst_of(found: Found) -> tuple[int, ...]:
    """Return the shims that are worked hardest; those of one thickness share their stress."""
    top = max(one.yield_share for one in found.shims)
    return tuple(
        index for index, one in enumerate(found.shims) if one.yield_share >= top * (1.0 - 1e-9)
    )
