"""Shim stack: how far the spring discs of a valve open, from which pressure on, and how hard they are worked."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import plate, shim
from calculators.picture import Picture
from calculators.sheet import Level, Measure, Sheet
from calculators.sheets._shim_form import COLUMNS, INPUTS, OUTPUTS
from calculators.sheets._shim_picture import Section, Stage, draw_section

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from calculators.picture import Sketch
    from calculators.sheet import Given, Result, RowValues, Working
    from calculators.view import Units

__all__ = ["SHEET"]


_BAR = 1e5  # Pa, load at which the working shows movements


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
class _Found:
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


def _lists(rows: RowValues) -> tuple[tuple[float, ...], tuple[float, ...]]:
    return tuple(row[0] for row in rows), tuple(row[1] for row in rows)


def _check(given: Given) -> None:
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


def _find(given: Given, pressure: float) -> _Found:
    diameters, thicknesses = _lists(given.rows("shims"))
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
        return _Found(line, one.crack_pressure, one.lift, one.seat_force, 0.0, one.shims, ())
    second_diameters, second_thicknesses = _lists(given.rows("second_shims"))
    contact = _contact(given)
    two = shim.two_stage_state(
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
    return _Found(
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
class _Bent:
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
) -> _Bent:
    ends = sorted({row[0] / 2.0 for row in rows})
    rigidities = [
        sum(_rigidity(given, row[1]) for row in rows if row[0] / 2.0 >= end) for end in ends
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
    return _Bent(
        stations,
        tuple(state.deflection for state in solution.stations),
        solution.edge_deflection,
        solution.clamp_force,
    )


def _rigidity(given: Given, thickness: float) -> float:
    return plate.flexural_rigidity(
        youngs_modulus=given["youngs_modulus"],
        poisson_ratio=given["poisson_ratio"],
        thickness=thickness,
    )


def _contact(given: Given) -> _Contact:
    """Return where the first stage meets the second: at a shim's edge, where the clearance closes first."""
    first, second = given.rows("shims"), given.rows("second_shims")
    held = max(given["clamp_diameter"], given["second_clamp_diameter"])
    reach = min(max(row[0] for row in stack) for stack in (first, second))
    edges = tuple(sorted({row[0] / 2.0 for row in (*first, *second) if held < row[0] <= reach}))
    moved = _bent(given, first, given["clamp_diameter"], (), _BAR, edges).deflections
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


def _shape(given: Given, found: _Found, pressure: float) -> tuple[_Bent, ...]:
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


def _show_rigidity(given: Given, work: Working) -> None:
    """Record how the rigidities of the shims add up where all of them reach."""
    counted = Counter(row[1] for row in given.rows("shims"))
    parts = []
    for number, (thickness, count) in enumerate(counted.items(), start=1):
        work.let(f"t_{number}", thickness, quantity="length", unit="mm")
        work.let(f"n_{number}", count, quantity="count")
        work.step(
            "Bending rigidity of one shim",
            f"D_{number} = E*t_{number}**3/(12*(1 - nu**2))",
            _rigidity(given, thickness),
            quantity="flexural_rigidity",
            source=plate.flexural_rigidity,
        )
        parts.append(f"n_{number}*D_{number}")
    work.step(
        "Rigidity of the stack where all shims reach",
        f"D = {' + '.join(parts)}",
        sum(_rigidity(given, row[1]) for row in given.rows("shims")),
        quantity="flexural_rigidity",
        source=shim.stack_compliance,
    )


def _show_opening(given: Given, work: Working, found: _Found) -> None:
    """Record compliance, crack pressure and lift; the movements come from the plate equation."""
    line, two = found.line, given.choice("stages") == "two"
    whole = shim.two_stage_state if two else shim.stack_state
    work.let("w_1", line.compliance * _BAR, quantity="length", unit="mm")
    work.step(
        "Compliance: movement at the seat by 1 bar on the ports, from the plate equation",
        "C = w_1/100000",
        line.compliance,
        quantity="compliance",
        unit="mm/MPa",
        source=shim.stack_compliance,
    )
    opening = "C*p - delta"
    early = True
    if two:
        assert found.contact is not None
        work.let("t_g", found.contact.clearance - given["gap"], quantity="length", unit="mm")
        work.step(
            "Clearance where the stages touch: the gap, and shims that do not reach so far",
            "h_t = h + t_g",
            found.contact.clearance,
            quantity="length",
            unit="mm",
            source=whole,
        )
        work.let(
            "u_t",
            found.contact.clearance / line.contact_pressure,
            quantity="compliance",
            unit="mm/MPa",
        )
        work.step(
            "Contact: there the first stack has moved by the clearance",
            "p_t = h_t/u_t",
            line.contact_pressure,
            quantity="pressure_difference",
            unit="bar",
            source=whole,
        )
        work.let("w_2", line.compliance_after * _BAR, quantity="length", unit="mm")
        work.step(
            "Compliance with both stages bending",
            "C_2 = w_2/100000",
            line.compliance_after,
            quantity="compliance",
            unit="mm/MPa",
            source=whole,
        )
        work.step(
            "Where the second line starts",
            "w_0 = (C - C_2)*p_t",
            line.pushed_back,
            quantity="length",
            unit="mm",
            source=whole,
        )
        early = given["preload"] <= line.compliance * line.contact_pressure
        opening = (
            "C*p - delta" if given["pressure"] <= line.contact_pressure else "C_2*p + w_0 - delta"
        )
    work.step(
        "Crack pressure",
        "p_c = delta/C" if early else "p_c = (delta - w_0)/C_2",
        found.crack_pressure,
        quantity="pressure_difference",
        unit="bar",
        source=shim.crack_pressure if early else whole,
    )
    work.step(
        "Lift at the seat",
        f"y = max({opening}, 0)",
        found.lift,
        quantity="length",
        unit="mm",
        source=whole,
    )


def _show_stress(
    given: Given, work: Working, found: _Found, shapes: tuple[_Bent, ...]
) -> Mapping[str, float | None]:
    """Record forces, stresses and the share of strength, and return their outputs."""
    whole = shim.two_stage_state if found.second else shim.stack_state
    work.let("F_s", found.seat_force, quantity="force")
    work.let("F_t", found.contact_force, quantity="force")
    work.step(
        "Force on the clamp: pressure on the ports, and what the seat still carries"
        + (", less what the second stage carries" if found.second else ""),
        "F_k = p*pi*(d_p**2 - d_i**2)/4 + F_s" + (" - F_t" if found.second else ""),
        shapes[0].clamp_force,
        quantity="force",
        source=plate.solve_plate,
    )
    worst = max(found.shims, key=lambda one: one.peak_radial_stress)
    work.let("t_m", worst.thickness, quantity="length", unit="mm")
    work.let("M_m", worst.peak_radial_stress * worst.thickness**2 / 6.0, quantity="force")
    work.step(
        "Peak radial stress, from the moment per metre in that shim",
        "sigma_r = 6*M_m/t_m**2",
        worst.peak_radial_stress,
        quantity="stress",
        unit="MPa",
        source=whole,
    )
    work.let("r_m", worst.peak_radius, quantity="length", unit="mm")
    work.step(
        "Diameter of the peak",
        "d_m = 2*r_m",
        2.0 * worst.peak_radius,
        quantity="length",
        unit="mm",
        source=whole,
    )
    work.let(
        "sigma_t",
        max(one.peak_tangential_stress for one in found.shims),
        quantity="stress",
        unit="MPa",
    )
    shares = {
        name: work.step(f"Share of the {words}", f"{symbol} = max(sigma_r, sigma_t)/{limit}",
                        max(getattr(one, name) for one in found.shims), quantity="percent",
                        unit="%", source=whole)
        for name, words, symbol, limit in (("yield_share", "yield strength", "S_y", "sigma_y"),
                                           ("fatigue_share", "fatigue limit", "S_f", "sigma_f"))
    }  # fmt: skip
    stacks = [given.rows("shims"), *([given.rows("second_shims")] if found.second else [])]
    edge, thinnest = max(
        (
            (abs(shape.edge_deflection), min(row[1] for row in rows))
            for shape, rows in zip(shapes, stacks, strict=True)
        ),
        key=lambda pair: pair[0] / pair[1],
    )
    work.let("w_e", edge, quantity="length", unit="mm")
    work.let("t_e", thinnest, quantity="length", unit="mm")
    share = work.step(
        "Edge deflection over the thinnest shim",
        "e = w_e/t_e",
        edge / thinnest,
        quantity="ratio",
        source=plate.solve_plate,
    )
    return {
        "peak_radial_stress": worst.peak_radial_stress,
        "peak_diameter": 2.0 * worst.peak_radius,
        "deflection_share": share,
        **shares,
    }


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    _check(given)
    found = _find(given, given["pressure"])
    shapes = _shape(given, found, given["pressure"])
    _show_rigidity(given, work)
    _show_opening(given, work, found)
    stresses = _show_stress(given, work, found, shapes)
    _table(work, found)
    two = bool(found.second)
    outputs = {
        "lift": found.lift,
        "crack_pressure": found.crack_pressure,
        "compliance": found.line.compliance,
        "contact_pressure": found.line.contact_pressure if two else None,
        "compliance_after": found.line.compliance_after if two else None,
        **stresses,
    }
    _judge(given, work, found, outputs)
    return outputs


def _number(found: _Found, index: int) -> str:
    if not found.second:
        return str(index + 1)
    first = len(found.first)
    return f"{index + 1} of stage 1" if index < first else f"{index + 1 - first} of stage 2"


def _worst(found: _Found) -> tuple[int, ...]:
    """Return the shims that are worked hardest; those of one thickness share their stress."""
    top = max(one.yield_share for one in found.shims)
    return tuple(
        index for index, one in enumerate(found.shims) if one.yield_share >= top * (1.0 - 1e-9)
    )


def _table(work: Working, found: _Found) -> None:
    work.table(
        "shims",
        "Stresses in each shim, from the seat upwards",
        COLUMNS,
        tuple(
            (
                _number(found, index),
                one.diameter,
                one.thickness,
                one.peak_radial_stress,
                2.0 * one.peak_radius,
                one.peak_tangential_stress,
                one.yield_share,
                one.fatigue_share,
            )
            for index, one in enumerate(found.shims)
        ),
    )


def _judge(given: Given, work: Working, found: _Found, outputs: Mapping[str, float | None]) -> None:
    _judge_opening(given, work, found)
    hardest = _worst(found)
    worst = {"worst": Measure(2.0 * found.shims[hardest[0]].peak_radius, "length", "mm")}
    name = (
        f"shim "
        f"{_number(found, hardest[0])}{' (like the others of its thickness)' if len(hardest) > 1 else ''}"
    )
    yields, tires = (outputs[key] or 0.0 for key in ("yield_share", "fatigue_share"))
    if yields > 1.0:
        work.finding(
            Level.DO_NOT_BUILD,
            f"At {{pressure}} {name} goes beyond its yield strength ({{yield_share}}): it stays "
            f"bent and the valve loses its setting. Use more and thinner shims, or a larger clamp.",
            **worst,
        )
    elif tires > 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            f"At {{pressure}} {name} reaches {{fatigue_share}} of its fatigue limit: if this "
            f"pressure comes often, it cracks near diameter {{worst}}. Use more and thinner shims.",
            **worst,
        )
    elif max(yields, tires) > 0.8:  # noqa: PLR2004  a margin of 20 %, common practice
        work.finding(
            Level.LOOK_CLOSER,
            f"At {{pressure}} {name} reaches {{yield_share}} of its yield strength and "
            f"{{fatigue_share}} of its fatigue limit: little is left for shocks, edges and wear.",
            **worst,
        )
    else:
        work.finding(
            Level.FINE,
            f"At {{pressure}} {name} is worked hardest, near diameter {{worst}}: {{yield_share}} "
            f"of its yield strength, {{fatigue_share}} of its fatigue limit.",
            **worst,
        )
    bent = outputs["deflection_share"] or 0.0
    if bent > 3.0:  # noqa: PLR2004  our choice, said in the text
        work.finding(
            Level.LOOK_CLOSER,
            "The edge bends by {deflection_share} times the thinnest shim: the shims also stretch, "
            "and the real stack is clearly stiffer than computed. Take the numbers as an order of "
            "size.",
        )
    elif bent > 1.0:
        work.finding(
            Level.LOOK_CLOSER,
            "The edge bends by {deflection_share} times the thinnest shim: beyond 1 the shims "
            "begin to stretch, and the real stack is somewhat stiffer than computed.",
        )
    for words, rows in (
        ("", given.tables.get("shims", ())),
        (" of the second stage", given.tables.get("second_shims", ())),
    ):
        diameters = [row[0] for row in rows]
        if any(upper > lower for lower, upper in itertools.pairwise(diameters)):
            work.finding(
                Level.LOOK_CLOSER,
                f"A shim{words} is larger than the one below it. Computed are shims that touch "
                f"wherever both reach; a small shim between large ones is a gap, and that is what "
                f"the two stages are for.",
            )


def _judge_opening(given: Given, work: Working, found: _Found) -> None:
    closed = given["pressure"] <= found.crack_pressure
    if closed:
        work.finding(
            Level.FINE, "At {pressure} the stack is on its seat; it opens at {crack_pressure}."
        )
    else:
        work.finding(
            Level.FINE,
            "At {pressure} the stack stands {lift} off its seat; it opened at {crack_pressure}.",
        )
    if found.second:
        if found.contact_force > 0.0:
            work.finding(
                Level.FINE,
                "The stages touch: from {contact_pressure} on both bend, and the opening grows by "
                "{compliance_after} instead of {compliance}.",
            )
        else:
            work.finding(
                Level.FINE,
                "The first stage works alone up to {contact_pressure}; only then does the second "
                "one bend with it.",
            )


def _draw_lift(result: Result) -> Drawing:
    given = result.given
    found = _find(given, given["pressure"])
    top = max(1.4 * given["pressure"], 1.5 * found.crack_pressure, _BAR)
    bends = {found.crack_pressure, found.line.contact_pressure}
    pressures = sorted({0.0, top, *(bend for bend in bends if bend < top), *grid(0.0, top, 21)})
    curve = Curve(
        "lift",
        "accent",
        tuple(pressures),
        tuple(found.line.lift(pressure) for pressure in pressures),
    )
    return Drawing((curve,), (Point("here", given["pressure"], found.lift),))


def _draw_shape(result: Result) -> Drawing:
    given = result.given
    found = _find(given, given["pressure"])
    first, *second = _shape(given, found, given["pressure"])
    clearance = found.contact.clearance if found.contact else 0.0
    curves = [Curve("first stage" if second else "stack", "accent", first.radii, first.deflections)]
    curves += [
        Curve("second stage, counted from its clearance up", "rebound", stage.radii,
              tuple(clearance + deflection for deflection in stage.deflections))
        for stage in second
    ]  # fmt: skip
    seat = given["preload"] + found.lift
    return Drawing(tuple(curves), (Point("seat", given["seat_diameter"] / 2.0, seat),))


def _draw_section(result: Result, units: Units) -> Sketch:
    given = result.given
    found, rest = _find(given, given["pressure"]), _find(given, 0.0)
    loaded, still = _shape(given, found, given["pressure"]), _shape(given, rest, 0.0)
    stacks = [(given.rows("shims"), given["clamp_diameter"])]
    if found.second:
        stacks.append((given.rows("second_shims"), given["second_clamp_diameter"]))
    stages: list[Stage] = []
    foot, before, hardest = 0.0, 0, _worst(found)
    for (rows, clamp), now, then in zip(stacks, loaded, still, strict=True):
        foot += given["gap"] if stages else 0.0
        stages.append(
            Stage(
                clamp / 2.0,
                tuple((diameter / 2.0, thickness) for diameter, thickness in rows),
                foot,
                tuple(index - before for index in hardest if before <= index < before + len(rows)),
                (then.radii, then.deflections),
                (now.radii, now.deflections),
            )
        )
        foot += sum(row[1] for row in rows)
        before += len(rows)
    names = ("port_inner_diameter", "port_outer_diameter", "seat_diameter")
    inner, outer, seat = (given[name] / 2.0 for name in names)
    return draw_section(
        Section(
            tuple(stages),
            inner,
            outer,
            seat,
            given["preload"],
            given["pressure"],
            found.lift,
            found.shims[hardest[0]].peak_radius,
        ),
        units,
    )


SHEET = Sheet(
    name="shim-stack",
    title="Shim stack",
    question="From which pressure on does this stack open, how far, and does it last?",
    page="calculate/shim-stack.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="lift", title="Lift over pressure",
            statement="The stack stays on its seat up to the crack pressure and then opens in a "
                      "straight line; a second stage makes the line flatter.",
            x=Axis("Pressure difference", "pressure_difference", "bar", like="pressure"),
            y=Axis("Lift at the seat", "length", "mm", like="lift"), draw=_draw_lift,
        ),
        Chart(
            name="shape", title="Deflection over the radius",
            statement="Flat inside the clamp, the stack bends most near it and runs on almost "
                      "straight to its edge.",
            x=Axis("Radius", "length", "mm"), y=Axis("Deflection from flat", "length", "mm",
                                                     like="lift"),
            draw=_draw_shape,
        ),
    ),
    pictures=(
        Picture(
            name="section", title="The stack in section",
            statement="Left at rest, right under the pressure entered. Widths are to scale; all "
                      "heights, lift and bending too, are drawn larger by the factor given in the "
                      "drawing. An arrow points to the place of the highest stress.",
            draw=_draw_section,
        ),
    ),
    limits=(
        ("Shims slide on each other without friction; real ones are stiffer on the way up and "
        "softer on the way back."),
        ("All shims of a stack share one deflection and touch wherever both reach; none parts from "
        "the next."),
        "Small deflections: up to about the thickness of the thinnest shim.",
        ("The pressure acts all round between the two port diameters; separate ports load the stack "
        "in patches and stress it more between them."),
        "Flow forces, notches, the pressing at the clamp and the impact on closing are left out.",
        ("Two stages touch on one ring; later the contact rolls inwards and the real pair is a "
        "little softer."),
    ),
)  # fmt: skip
