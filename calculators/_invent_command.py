"""The command ``invent-trace``, and how the bench commands read sizes and pairs."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

from calculators._job_commands import job_from
from calculators._terminal import Answer, RefusedError, write_text
from calculators.errors import CalculatorError
from calculators.quantities import parse

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

__all__ = ["add", "pairs_from", "size_from"]

_SPEEDS = "0.01 0.025 0.05 0.1 0.13 0.26 0.39 0.52 1.0"  # m/s, a slow one for the gas first


def add(commands: Any) -> None:  # noqa: ANN401  argparse names no type for it
    """Add the command to a parser."""
    invent = commands.add_parser(
        "invent-trace",
        help="write invented bench traces of a job's damper, with noise",
        description="What the virtual bench would record, with noise, offset, spikes and drift. "
        "Each file says in its first line that it is invented. The same number gives the same "
        "trace.",
    )
    invent.add_argument("job", metavar="JOB")
    invent.add_argument("out", metavar="CSV", help="with --units: unit-01.csv and so on")
    invent.add_argument("--number", type=int, default=1, help="seed of noise and spread")
    invent.add_argument(
        "--units", type=int, default=0, help="that many units, each a little different"
    )
    invent.add_argument(
        "--part", metavar="PART=FACTOR", action="append", default=[],
        help="a part made wrong, as bleed=0.8 or 'rebound stack=1.2'",
    )  # fmt: skip
    invent.add_argument("--speeds", default=_SPEEDS, help="peak speeds in m/s, parted by blanks")
    invent.add_argument("--amplitude", default="25 mm", help="half of the stroke")
    invent.add_argument("--rate", type=float, default=1000.0, help="samples in a second")
    invent.add_argument("--noise", default="5 N", help="of the load cell")
    invent.set_defaults(act=_invent)


def size_from(text: str, quantity: str, unit: str, what: str) -> float:
    """Return the SI value of an option, or refuse it by name."""
    try:
        return parse(text, quantity=quantity, unit=unit).value
    except CalculatorError as error:
        message = f"{what}: {error}"
        raise RefusedError(message) from error


def pairs_from(words: Sequence[str], form: str) -> list[tuple[str, str]]:
    """Return what stands on both sides of the equals sign in each word."""
    pairs = []
    for word in words:
        role, equals, text = word.partition("=")
        if not equals:
            message = f"{word}: write {form}."
            raise RefusedError(message)
        pairs.append((role.strip(), text.strip()))
    return pairs


def _invent(options: argparse.Namespace) -> Answer:
    from calculators import bench_job, invented  # noqa: PLC0415  with what needs numpy
    from calculators.physics.diagnosis import PARTS  # noqa: PLC0415

    job = job_from(options.job)
    try:
        specimen, warm = bench_job.specimen_of_job(job), bench_job.temperature_of(job)
        parts = pairs_from(options.part, "PART=FACTOR")
        for name, text in parts:
            part = next((one for one in PARTS if one == name), None)
            if part is None:
                message = f"{name}: write one of {', '.join(PARTS)}."
                raise RefusedError(message)
            specimen = invented.altered(specimen, part, float(text))
        recording = invented.Recording(
            speeds=tuple(float(word) for word in options.speeds.replace(",", ".").split()),
            temperature=warm,
            amplitude=size_from(options.amplitude, "length", "mm", "--amplitude"),
            sample_rate=options.rate,
            noise=size_from(options.noise, "force", "N", "--noise"),
        )
        if options.units < 0:
            message = f"--units {options.units}: give a number of units."
            raise RefusedError(message)
        written = []
        random = Random(options.number)  # noqa: S311  invented units, and no secret
        for unit in range(max(1, options.units)):
            made, path = specimen, options.out
            if options.units:
                stem = Path(options.out)
                path = str(stem.with_name(f"{stem.stem}-{unit + 1:02d}{stem.suffix or '.csv'}"))
                made = invented.varied(specimen, random)
            write_text(path, invented.trace_text(made, recording, seed=options.number + unit))
            written.append(f"{path}: invented")
    except (ValueError, CalculatorError) as error:
        message = f"{options.job}: {error}"
        raise RefusedError(message) from error
    return Answer(written)
