"""Up to four dampers side by side: each criterion a computed number with its meaning.

A candidate is a job, with a few inputs changed for the comparison alone. There is no
hidden score: only where the reader gives weights are points worked out, and shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from calculators.errors import CalculatorError, InputError
from calculators.job import Job, order, upstream
from calculators.job_file import loads
from calculators.physics import mass
from calculators.quantities import format_number, format_value, parse
from calculators.sheet import Level
from calculators.sheets import load
from calculators.view import Units, present, present_error, read

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from calculators.field import Value

__all__ = ["CHANGES", "CRITERIA", "Criterion", "compare"]

MOST = 4
_HIGHEST_CLASS = 5.0
_HEAVIEST = 100.0  # weight

# What may be changed for the comparison: key, and the input that it is typed into.
CHANGES: Mapping[str, tuple[str, str]] = {
    "construction": ("rod-displacement", "construction"),
    "bore": ("bore-choice", "bore_diameter"),
    "rod": ("bore-choice", "rod_diameter"),
    "body": ("heat-and-fade", "body_diameter"),
    "charge": ("gas-force", "charge_pressure"),
}


@dataclass(frozen=True, slots=True)
class Criterion:
    """One line of the comparison.

    Attributes
    ----------
    key, label, meaning : str
        Its name, its words, and what the number means to a buyer or a driver.
    sheet : str
        The calculator that it comes from; empty for the class of cost.
    quantity, unit : str
        Of the number.
    better : str
        ``more`` or ``less``.
    read : callable
        From a job that is up to date to the SI value; None where it does not arise.
    """

    key: str
    label: str
    meaning: str
    sheet: str
    quantity: str
    unit: str
    better: str
    read: Callable[[Job], float | None]


def _output(sheet: str, name: str) -> Callable[[Job], float | None]:
    return lambda job: job.sheets[sheet].outputs.get(name)


def _number(job: Job, sheet: str, name: str) -> float:
    value = job.resolve(sheet)[name].value
    assert isinstance(value, float)
    return value


def _twin(job: Job) -> bool:
    return job.resolve("rod-displacement")["construction"].value == "twin-tube"


def _margin(job: Job) -> float | None:
    outputs = job.sheets["cavitation-margin"].outputs
    found = [outputs.get(f"margin_{way}") for way in ("compression", "rebound")]
    return min((one for one in found if one is not None), default=None)


def _mass(job: Job) -> float:
    wall, length = (_number(job, "heat-and-fade", name) for name in ("wall", "body_length"))
    bore = _number(job, "force-velocity", "piston_diameter")
    rod = _number(job, "force-velocity", "rod_diameter")
    oil = _number(job, "force-velocity", "oil_volume") * _number(
        job, "force-velocity", "density_15"
    )
    tubes = mass.tube_mass(outer_diameter=bore + 2.0 * wall, wall=wall, length=length)
    if _twin(job):
        outer = _number(job, "heat-and-fade", "body_diameter")
        tubes += mass.tube_mass(outer_diameter=outer, wall=wall, length=length)
    return tubes + mass.rod_mass(diameter=rod, length=length) + oil


def _protection(job: Job) -> float:
    return (2.0 if _twin(job) else 1.0) * _number(job, "heat-and-fade", "wall")


CRITERIA = (
    Criterion("contact", "Contact: swing of the tyre load",
              "Rms change of the load on the road over the load at rest. The less, the more "
              "even the grip on the job's road.",
              "ride-run", "percent", "%", "less", _output("ride-run", "load_coefficient")),
    Criterion("airborne", "Contact: time off the ground",
              "Share of the drive in which the tyre neither steers nor brakes.",
              "ride-run", "percent", "%", "less", _output("ride-run", "airborne_share")),
    Criterion("heat", "Heat: settled oil",
              "Where the oil's temperature ends if the road goes on. Seals and oil have limits.",
              "heat-and-fade", "temperature", "°C", "less",
              _output("heat-and-fade", "oil_temperature")),
    Criterion("lag", "Lag of the force",
              "How far the force runs behind the motion. At 45° half of the damping is gone.",
              "lag", "angle", "°", "less", _output("lag", "phase")),
    Criterion("cavitation", "Cavitation margin",
              "Lowest pressure in a chamber above the oil's release pressure, at the fastest rod "
              "speed of the road. Below zero the force breaks off.",
              "cavitation-margin", "pressure_difference", "bar", "more", _margin),
    Criterion("mass", "Mass of tubes, rod and oil",
              "Steel tubes over the length of the body, a solid rod of the same length, and the "
              "oil. Mounts, valves and spring come on top.",
              "heat-and-fade", "mass", "kg", "less", _mass),
    Criterion("protection", "Protection: steel around the bore",
              "Thickness of all walls between a stone and the bore. In a twin-tube the outer "
              "tube takes the dent and the piston still runs.",
              "heat-and-fade", "length", "mm", "more", _protection),
)  # fmt: skip
_COST = Criterion(
    "cost", "Relative class of cost", "As you class it: 1 the cheapest, 5 the dearest.",
    "", "ratio", "1", "less", lambda _: None,
)  # fmt: skip


def _needed(job: Job) -> tuple[str, ...]:
    """Return the calculators that the criteria stand on, of those that the job uses."""
    wanted = {criterion.sheet for criterion in CRITERIA}
    while True:
        more = wanted.union(*(upstream(sheet) for sheet in wanted))
        if more == wanted:
            return order(wanted & set(job.sheets))
        wanted = more


def _changed(job: Job, candidate: Mapping[str, Any], units: Units) -> None:
    for key, (sheet, name) in CHANGES.items():
        text = str(candidate.get(key) or "").strip()[:200]
        if text:
            value: Value = read(load(sheet), {name: text}, units).values[name]
            job.enter(sheet, name, value)


def _limited(text: str, label: str, most: float) -> float | None:
    """Return a plain number from 0 to `most`; None for an empty text."""
    if not text.strip():
        return None
    value = parse(text[:40], quantity="ratio", unit="1").value
    if not 0.0 <= value <= most:
        message = f"{label} is {format_number(value)}; allowed: 0 to {format_number(most)}."
        raise InputError(message)
    return value


class _Column:
    """One candidate, calculated: the value of each criterion, or why there is none."""

    def __init__(
        self, candidate: Mapping[str, Any], units: Units, told: Callable[[], object]
    ) -> None:
        self.values: dict[str, float | None] = {}
        self.reasons: dict[str, str] = {}
        self.warnings: list[str] = []
        job = loads(str(candidate["text"]))
        self.title = str(candidate.get("label") or job.title)[:200]
        try:
            _changed(job, candidate, units)
            cost = _limited(str(candidate.get("cost") or ""), _COST.label, _HIGHEST_CLASS)
        except CalculatorError as error:
            message = f"{self.title}: {error}"
            raise InputError(message) from error
        needed = _needed(job)
        for sheet in needed:
            job.sheets[sheet].current = False
        failed: dict[str, str] = {}
        for done in job.recalculate(needed):
            told()
            declaration = load(done.sheet)
            if done.error is not None:
                said = present_error(declaration, done.error, units)
                failed[done.sheet] = " ".join(one["message"] for one in said)
            elif done.result is not None:
                self.warnings += [
                    f"{declaration.title}: {finding['text']}"
                    for finding in present(done.result, units, working=False)["findings"]
                    if finding["level"] == Level.DO_NOT_BUILD.value
                ]
        for criterion in CRITERIA:
            self._read(criterion, job, failed)
        self.values["cost"] = cost
        self.reasons["cost"] = "" if cost is not None else "not entered"

    def _read(self, criterion: Criterion, job: Job, failed: Mapping[str, str]) -> None:
        value, reason = None, failed.get(criterion.sheet, "")
        if criterion.sheet not in job.sheets:
            reason = f"{load(criterion.sheet).title} is not in this job."
        elif not reason:
            try:
                value = criterion.read(job)
            except CalculatorError as error:
                reason = str(error)
        self.values[criterion.key] = value
        self.reasons[criterion.key] = "" if value is not None else reason or "does not arise"


def _points(values: Sequence[float], *, more: bool) -> list[float]:
    """Return 1 for the best, 0 for the worst, and in between in proportion; 1 for all alike."""
    best, worst = (max(values), min(values)) if more else (min(values), max(values))
    return [1.0 if best == worst else (value - worst) / (best - worst) for value in values]


def compare(
    candidates: Sequence[Mapping[str, Any]],
    weights: Mapping[str, str],
    units: Units,
    progress: Callable[[float], object] | None = None,
) -> dict[str, Any]:
    """Return the comparison as plain data.

    Parameters
    ----------
    candidates : sequence of mappings
        Up to four: ``text`` of a job, ``label``, ``cost`` class, and the texts of `CHANGES`.
    weights : mapping
        Text of the weight by key of a criterion; empty texts weigh nothing.
    units : Units
        Of the reader.
    progress : callable, optional
        Called with the share of the work done.

    Raises
    ------
    InputError
        If there are none or too many, or if a change or a weight cannot be used.
    FileFormatError
        If a job cannot be read.
    """
    if not 1 <= len(candidates) <= MOST:
        message = f"{len(candidates)} candidates; allowed: 1 to {MOST}."
        raise InputError(message)
    criteria = (*CRITERIA, _COST)
    heavy = {
        one.key: weight
        for one in criteria
        if (weight := _limited(str(weights.get(one.key, "")), f"Weight of {one.label}", _HEAVIEST))
    }
    count, total = 0, sum(len(_needed(loads(str(one["text"])))) for one in candidates)

    def told() -> None:
        nonlocal count
        count += 1
        if progress is not None:
            progress(min(1.0, count / max(1, total)))

    columns = [_Column(candidate, units, told) for candidate in candidates]
    points = {}
    for criterion in criteria:
        values = [column.values[criterion.key] for column in columns]
        known = [value for value in values if value is not None]
        if criterion.key in heavy and len(known) == len(values):
            points[criterion.key] = _points(known, more=criterion.better == "more")
    return {
        "columns": [
            {"title": column.title, "warnings": column.warnings} for column in columns
        ],
        "rows": [_row(one, columns, heavy, points, units) for one in criteria],
        "totals": _totals(columns, heavy, points),
        "left_out": [one.label for one in criteria if one.key in heavy and one.key not in points],
    }  # fmt: skip


def _row(
    criterion: Criterion, columns: Sequence[_Column], heavy: Mapping[str, float],
    points: Mapping[str, Sequence[float]], units: Units,
) -> dict[str, Any]:  # fmt: skip
    unit = units.of(criterion.quantity, criterion.unit)
    scored = points.get(criterion.key)
    cells = []
    for place, column in enumerate(columns):
        value = column.values[criterion.key]
        text = (
            "—"
            if value is None
            else format_value(value, unit=unit, quantity=criterion.quantity, digits=3)
        )
        cells.append({
            "text": text,
            "reason": column.reasons[criterion.key],
            "points": "" if scored is None else format_number(scored[place], digits=2),
        })  # fmt: skip
    return {
        "key": criterion.key,
        "label": criterion.label,
        "meaning": criterion.meaning,
        "better": f"{criterion.better} is better",
        "weight": format_number(heavy[criterion.key]) if criterion.key in heavy else "",
        "cells": cells,
    }


def _totals(
    columns: Sequence[_Column],
    heavy: Mapping[str, float],
    points: Mapping[str, Sequence[float]],
) -> list[str]:
    """Return the weighted mean of each candidate's points; empty without weights."""
    whole = sum(heavy[key] for key in points)
    if whole == 0.0:
        return []
    return [
        format_number(sum(heavy[key] * points[key][place] for key in points) / whole, digits=2)
        for place in range(len(columns))
    ]
