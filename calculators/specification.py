"""What a damper has to do on the bench, taken from a job, as JSON.

The force table is the target of the force-velocity calculator with its allowed deviation;
the gas force is that of the virtual bench in the middle of the stroke, with the tolerance
of the gas-charge calculator.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, NoReturn

from calculators.bench_job import gas_force_of, specimen_of_job
from calculators.errors import CalculatorError, FileFormatError, InputError
from calculators.field import Choice, Input
from calculators.physics.acceptance import Band, Demand, Specification
from calculators.quantities import QUANTITIES
from calculators.sheets import load

if TYPE_CHECKING:
    from calculators.job import Job
    from calculators.physics.acceptance import Side

__all__ = ["FORMAT", "VERSION", "described", "dumps", "from_job", "loads"]

FORMAT = "strokebook-specification"
VERSION = 1
_LARGEST = 1_000_000  # characters
_MOST_DEMANDS = 200
_DIRECTIONS: tuple[tuple[int, Side], ...] = ((1, "compression"), (2, "rebound"))
_SIDES = ("compression", "rebound", "gas")
# What the specification says of the design besides the forces, in this order.
_DESIGN = {
    "force-velocity": (
        "construction piston_diameter rod_diameter viscosity_40 viscosity_100 density_15 "
        "charge_at_20 charge_at_20_twin_tube gas_volume oil_volume temperature"
    ),
    "rod-displacement": "stroke",
    "mount-geometry": "closed_length extended_length",
}


def from_job(
    job: Job, *, share: float | None = None, force: float = 0.0, gas_share: float | None = None
) -> Specification:
    """Return the specification of a job.

    Parameters
    ----------
    job : Job
        With the force-velocity calculator in use.
    share : float, optional
        Half width of the band as a share; without it, the deviation that the calculator allows.
    force : float
        Half width of the band as a force [N]; the wider of the two counts.
    gas_share : float, optional
        The same for the gas force; without it, the tolerance of the gas-charge calculator.

    Raises
    ------
    InputError
        If the job has no target forces.
    """
    if "force-velocity" not in job.sheets:
        message = "The job does not use force-velocity, which holds the target forces."
        raise InputError(message)
    held = job.resolve("force-velocity")
    rows = held["target_forces"].value
    if not isinstance(rows, tuple) or not rows:
        message = "The force-velocity curve of the job has no target forces. Give it some."
        raise InputError(message)
    wide = held["deviation_allowed"].value if share is None else share
    tolerance = job.resolve("gas-charge")["tolerance"].value if gas_share is None else gas_share
    assert isinstance(wide, float)
    assert isinstance(tolerance, float)
    band = Band(wide, force)
    demands = [
        Demand(side, speed, size, band)
        for place, side in _DIRECTIONS
        for row in rows
        for speed, size in ((row[0], row[place]),)
    ]
    gas = gas_force_of(specimen_of_job(job)) if "virtual-bench" in job.sheets else 0.0
    if gas > 0.0:
        demands.append(Demand("gas", 0.0, gas, Band(tolerance, force)))
    return Specification(job.title, tuple(demands))


def described(job: Job) -> list[dict[str, Any]]:
    """Return what the specification says of the design: label, SI value, unit, where from."""
    found = []
    for sheet, words in _DESIGN.items():
        held, declaration = job.resolve(sheet), load(sheet)
        construction = held.get("construction")
        for name in words.split():
            item, one = declaration.input(name), held[name]
            twin = construction is not None and construction.value == "twin-tube"
            if name == ("charge_at_20" if twin else "charge_at_20_twin_tube"):
                continue
            unit = ""
            if isinstance(item, Input):
                unit = QUANTITIES[item.quantity].units[0].symbol
            shown = one.value
            if isinstance(item, Choice):
                shown = next(option.label for option in item.options if option.key == one.value)
            found.append(
                {"label": item.label, "value": shown, "si_unit": unit, "from": one.origin}
                | {"key": f"{sheet}.{name}"}
            )
    return found


def dumps(specification: Specification, job: Job | None = None) -> str:
    """Return a specification as JSON text, with the design of its job if that is given."""
    whole: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "title": specification.title,
        "demands": [asdict(demand) for demand in specification.demands],
    }
    if job is not None:
        whole["notes"] = job.notes
        whole["design"] = described(job)
    return json.dumps(whole, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _refuse(message: str) -> NoReturn:
    raise FileFormatError(message)


def loads(text: str) -> Specification:
    """Return the specification that a text holds.

    Raises
    ------
    FileFormatError
        If it is no sound specification of a known version.
    """
    if len(text) > _LARGEST:
        _refuse(f"The specification is longer than {_LARGEST:,} characters.")
    try:
        data = json.loads(text.removeprefix("\ufeff"))
    except json.JSONDecodeError as error:
        message = f"This is not JSON: {error.msg}."
        raise FileFormatError(message, line=error.lineno, column=error.colno) from error
    except (RecursionError, ValueError) as error:
        message = "The specification cannot be read: it is nested too deeply, or a number is."
        raise FileFormatError(message) from error
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        _refuse(f'This is no specification: its "format" is not "{FORMAT}".')
    if data.get("version") != VERSION or isinstance(data.get("version"), bool):
        _refuse(f'"version" is {str(data.get("version"))[:20]}; this handbook reads {VERSION}.')
    title, demands = data.get("title", ""), data.get("demands")
    if not isinstance(title, str) or not isinstance(demands, list):
        _refuse('"title" has to be a text, and "demands" a list.')
    if not 0 < len(demands) <= _MOST_DEMANDS:
        _refuse(f"A specification has 1 to {_MOST_DEMANDS} demands; this one has {len(demands)}.")
    return Specification(
        title, tuple(_demand(item, number) for number, item in enumerate(demands, start=1))
    )


def _demand(item: object, number: int) -> Demand:
    place = f"Demand {number}"
    if not isinstance(item, dict) or item.get("side") not in _SIDES:
        _refuse(f'{place} needs a "side": {", ".join(_SIDES)}.')
    band = item.get("band")
    if not isinstance(band, dict):
        _refuse(f'{place} needs a "band" with "share" and "force".')
    numbers = [item.get("velocity"), item.get("force"), band.get("share"), band.get("force", 0.0)]
    if any(isinstance(one, bool) or not isinstance(one, int | float) for one in numbers):
        _refuse(f"{place}: velocity, force and the band's share and force are numbers, in SI.")
    try:
        velocity, force, share, wide = (float(one) for one in numbers)
        return Demand(item["side"], velocity, force, Band(share, wide))
    except (CalculatorError, OverflowError) as error:
        message = f"{place}: {error}"
        raise FileFormatError(message) from error
