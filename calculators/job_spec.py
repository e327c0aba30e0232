"""One job as a document to print: what is to be built, what it must do, and what stands behind it.

Everything in it comes out of the job; nothing is typed again. `specification` holds the
forces with their limits, and writes the document as JSON.
"""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING, Any

from calculators import specification
from calculators.docstring import qualified_name
from calculators.errors import CalculatorError
from calculators.field import in_use
from calculators.job import DEFAULT, order
from calculators.job_drawing import Damper, Reservoir, sketch
from calculators.job_file import dumps
from calculators.job_view import followed, page_of, value_words
from calculators.quantities import format_number, format_value, from_si
from calculators.sheet import Choice, Level, evaluate
from calculators.sheets import load
from calculators.view import present

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.field import Field
    from calculators.job import Held, Job
    from calculators.sheet import Result
    from calculators.view import Units

__all__ = ["spec"]

# What is to be built, by heading; of several inputs in a pair the one in use is shown.
_BUILD: Mapping[str, Mapping[str, str]] = {
    "Construction": {
        "rod-displacement": (
            "construction chamber_diameter chamber_length dividing_piston_length gas_column "
            "reserve_inner_diameter working_outer_diameter reserve_length oil_level "
            "foot_valve_height"
        ),
        "force-velocity": "piston_diameter rod_diameter",
        "heat-and-fade": (
            "body_diameter wall body_length reservoir reservoir_diameter reservoir_length "
            "fin_count fin_diameter fin_thickness"
        ),
    },
    "Lengths and stroke": {
        "mount-geometry": "closed_length extended_length reserve",
        "rod-displacement": "stroke",
    },
    "Mounts": {
        "mount-geometry": "upper_limit lower_limit",
        "lag": "upper_bush lower_bush",
        "rod-and-bolt": "size grade eye_width torque",
    },
    "Oil": {"force-velocity": "viscosity_40 viscosity_100 density_15 oil_volume"},
    "Gas": {
        "force-velocity": "charge_at_20 charge_at_20_twin_tube gas_volume",
        "gas-charge": "tolerance",
    },
}
_MARGINS: Mapping[str, str] = {
    "cavitation-margin": "margin_compression margin_rebound charge_needed",
    "lag": "phase damping_share lost_stroke",
    "ride-run": "load_coefficient airborne_share travel_used peak_velocity",
    "heat-and-fade": "oil_temperature time_earliest force_loss",
    "mount-geometry": "margin_closed margin_extended",
    "gas-force": "rod_force_extended rod_force_compressed pressure_hot",
    "rod-and-bolt": "column_safety neck_use slip_safety",
}
_CAUTIONS = (
    (
        "This is a calculated design. A qualified engineer tests it and signs it off before it "
        "goes on a road."
    ),
    (
        "A gas-charged damper can extend with force. Do not open, drill or heat it, and do not "
        "throw it into a fire."
    ),
    (
        "Never work under a vehicle that stands on a jack alone. A damper fresh from rough road "
        "can burn."
    ),
    (
        "Tighten fasteners to the vehicle maker's manual; its figures win over anything here. "
        "Where local law says so, this work belongs to licensed practice."
    ),
)


def spec(
    job: Job, units: Units, progress: Callable[[float], object] | None = None
) -> dict[str, Any]:
    """Return the specification of a job as plain data in the reader's units."""
    held = {name: job.resolve(name) for name in order(job.sheets)}
    results = _results(held, progress)
    status = job.status()
    late = [load(name).title for name, one in status.items() if not one.up_to_date]
    return {
        "title": job.title,
        "notes": job.notes,
        "mark": sha256(dumps(job).encode()).hexdigest()[:12],
        "late": late,
        "build": _build(held, units),
        "drawing": _drawing(held, units),
        "margins": _margins(job, results, units),
        "findings": _findings(results, units),
        "assumptions": _assumptions(held, units),
        "evidence": _evidence(results),
        "cautions": list(_CAUTIONS),
        **_demands(job, units),
    }


def _results(
    held: Mapping[str, Mapping[str, Held]], progress: Callable[[float], object] | None
) -> dict[str, Result]:
    """Return the results of a job's calculators; one that refuses or needs more is left out."""
    found = {}
    for number, (name, inputs) in enumerate(held.items(), start=1):
        sheet = load(name)
        if not sheet.needs:
            try:
                found[name] = evaluate(sheet, {key: one.value for key, one in inputs.items()})
            except CalculatorError:
                continue  # said where it is missing: the document lists what is out of date
        if progress is not None:
            progress(number / len(held))
    return found


def _used(name: str, held: Mapping[str, Held]) -> list[Field]:
    choices: dict[str, str] = {}
    used: list[Field] = []
    for item in load(name).inputs:
        if in_use(item, choices):
            used.append(item)
            if isinstance(item, Choice):
                choices[item.name] = str(held[item.name].value)
    return used


def _origin(held: Held) -> str:
    return f"from {followed(held.origin)}" if held.followed else held.origin


def _build(held: Mapping[str, Mapping[str, Held]], units: Units) -> list[dict[str, Any]]:
    groups = []
    for title, sheets in _BUILD.items():
        rows = []
        for name, wanted in sheets.items():
            if name not in held:
                continue
            for item in _used(name, held[name]):
                one = held[name][item.name]
                if item.name in wanted.split() and one.value is not None:
                    text = value_words(item, one.value, units)
                    rows.append({"label": item.label, "text": text, "origin": _origin(one)})
        if rows:
            groups.append({"title": title, "rows": rows})
    return groups


def _drawing(held: Mapping[str, Mapping[str, Held]], units: Units) -> dict[str, Any] | None:
    """Return the drawing, None if the job does not have all that it shows."""

    def size(sheet: str, name: str) -> float:
        value = held[sheet][name].value
        if not isinstance(value, float):
            raise KeyError(name)
        return value

    try:
        twin = held["rod-displacement"]["construction"].value == "twin-tube"
        bore = size("force-velocity", "piston_diameter")
        damper = Damper(
            closed_length=size("mount-geometry", "closed_length"),
            extended_length=size("mount-geometry", "extended_length"),
            stroke=size("rod-displacement", "stroke"),
            body_length=size("heat-and-fade", "body_length"),
            body_diameter=size("heat-and-fade", "body_diameter")
            if twin
            else bore + 2.0 * size("heat-and-fade", "wall"),
            bore=bore,
            rod_diameter=size("force-velocity", "rod_diameter"),
            twin=twin,
            reservoir=_reservoir(held["rod-displacement"], held["heat-and-fade"]),
        )
    except KeyError:
        return None
    drawn = sketch(damper, units)
    return {"width": drawn.width, "height": drawn.height, "elements": list(drawn.elements)}


def _reservoir(oil: Mapping[str, Held], heat: Mapping[str, Held]) -> Reservoir | None:
    """Return the reservoir that heat knows of, for a construction that has one."""
    construction, kind = oil["construction"].value, heat["reservoir"].value
    names = ("reservoir_diameter", "reservoir_length", "fin_count", "fin_diameter", "fin_thickness")
    sizes = [heat[name].value for name in names]
    if construction not in {"hose", "piggyback"} or kind == "none":
        return None
    diameter, length, count, tip, thickness = (
        size if isinstance(size, float) else 0.0 for size in sizes
    )
    fins = round(count) if kind == "finned" else 0
    return Reservoir(
        diameter=diameter, length=length, fins=fins, fin_diameter=tip, fin_thickness=thickness,
        hose=construction == "hose",
    )  # fmt: skip


def _demands(job: Job, units: Units) -> dict[str, Any]:
    """Return the force table with its limits, and the whole as JSON; or why there is none."""
    try:
        whole = specification.from_job(job)
        json = specification.dumps(whole, job)
    except CalculatorError as error:
        return {"forces": None, "gas": None, "json": "", "forces_missing": str(error)}
    speed, force = units.of("velocity", "m/s"), units.of("force", "N")

    def told(value: float) -> str:
        return format_number(from_si(value, unit=force, quantity="force"), digits=4)

    found: dict[float, dict[str, list[str]]] = {}
    gas = None
    for demand in whole.demands:
        low, high = demand.band.around(demand.force)
        cells = [told(low), told(demand.force), told(high)]
        if demand.side == "gas":
            gas = cells
        else:
            found.setdefault(demand.velocity, {})[demand.side] = cells
    none = ["—"] * 3
    rows = [
        [
            format_number(from_si(velocity, unit=speed, quantity="velocity"), digits=3),
            *sides.get("compression", none),
            *sides.get("rebound", none),
        ]
        for velocity, sides in sorted(found.items())
    ]
    shown = {"forces": rows, "gas": gas, "speed_unit": speed, "force_unit": force}
    return {**shown, "json": json, "forces_missing": ""}


def _margins(job: Job, results: Mapping[str, Result], units: Units) -> list[dict[str, Any]]:
    """Return what the design leaves in hand, as the job last calculated it."""
    found = []
    for name, wanted in _MARGINS.items():
        if name not in job.sheets:
            continue
        sheet, outputs = load(name), job.sheets[name].outputs
        for output in sheet.outputs:
            value = outputs.get(output.name)
            if output.name not in wanted.split() or value is None:
                continue
            unit = units.of(output.quantity, output.unit)
            text = format_value(value, unit=unit, quantity=output.quantity, digits=3)
            found.append({"sheet": sheet.title, "label": output.label, "text": text})
        if name not in results:
            found.append({"sheet": sheet.title, "label": "cannot be calculated", "text": "—"})
    return found


def _findings(results: Mapping[str, Result], units: Units) -> list[dict[str, str]]:
    """Return what calls for a look, the gravest first."""
    found = [
        {"sheet": load(name).title, **finding}
        for name, result in results.items()
        for finding in present(result, units, working=False)["findings"]
        if finding["level"] != Level.FINE.value
    ]
    return sorted(found, key=lambda one: one["level"] != Level.DO_NOT_BUILD.value)


def _assumptions(held: Mapping[str, Mapping[str, Held]], units: Units) -> list[dict[str, Any]]:
    """Return what nobody typed and nothing gave: the handbook's own values."""
    found = []
    for name, inputs in held.items():
        sheet = load(name)
        kept = [
            f"{item.label} {value_words(item, inputs[item.name].value, units)}"
            for item in _used(name, inputs)
            if inputs[item.name].origin == DEFAULT and inputs[item.name].value is not None
        ]
        if kept:
            found.append({"title": sheet.title, "page": page_of(sheet), "values": kept})
    return found


def _evidence(results: Mapping[str, Result]) -> list[dict[str, Any]]:
    """Return the formulas that each calculator used."""
    found = []
    for name, result in results.items():
        used = list(dict.fromkeys(qualified_name(step.source) for step in result.steps))
        if used:
            found.append({"title": load(name).title, "functions": used})
    return found
