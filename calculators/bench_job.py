"""What a job says of the damper on the bench, and which part of it explains a trace."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import TYPE_CHECKING, NamedTuple

from calculators.errors import ConflictError, InputError
from calculators.physics import bench, diagnosis
from calculators.sheet import evaluate
from calculators.sheets import load
from calculators.sheets._bench_case import specimen_of

if TYPE_CHECKING:
    from calculators.job import Job
    from calculators.physics.bench import Specimen
    from calculators.physics.diagnosis import Diagnosis
    from calculators.physics.trace import TraceReport
    from calculators.sheet import Given, Working

__all__ = ["Lag", "explain", "gas_force_of", "lag_of", "specimen_of_job", "temperature_of"]

_BENCH = "virtual-bench"
_SOFT = 1.5  # 1, measured over designed compliance that calls for a look (our choice)
_SHARE = 0.02  # 1, of what the damping yields, below which a compliance is not looked at


def specimen_of_job(job: Job, *, temperature: float | None = None) -> Specimen:
    """Return the damper of a job as the virtual bench clamps it in.

    Parameters
    ----------
    job : Job
        With the virtual bench in use.
    temperature : float, optional
        Of oil and gas [K]; without it, that of the job.

    Raises
    ------
    InputError
        If the job does not use the virtual bench, or its inputs are not allowed.
    """
    if _BENCH not in job.sheets:
        message = f"The job does not use {_BENCH}, which describes the damper on the bench."
        raise InputError(message)
    values = {name: held.value for name, held in job.resolve(_BENCH).items()}
    if temperature is not None:
        values["temperature"] = temperature
    # the inputs are checked as ever; what the calculator would find is not needed
    given = evaluate(replace(load(_BENCH), calculate=_nothing), values).given
    construction = job.resolve("force-velocity")["construction"].value
    twin = specimen_of(given, "twin-tube")
    if construction == "twin-tube":
        return twin
    mono = specimen_of(given, "monotube")
    if construction == "reservoir":  # its valve is described where the twin-tube's foot valve is
        mono = replace(mono, damper=replace(mono.damper, reserve=twin.damper.reserve))
    return mono


def _nothing(_given: Given, _work: Working) -> dict[str, float | None]:
    return dict.fromkeys(output.name for output in load(_BENCH).outputs)


def temperature_of(job: Job) -> float:
    """Return the temperature of the oil on the bench [K]."""
    value = job.resolve(_BENCH)["temperature"].value
    assert isinstance(value, float)
    return value


def gas_force_of(specimen: Specimen) -> float:
    """Return the gas force in the middle of the stroke, at rest [N]."""
    filling = specimen.filling
    return (filling.gas_pressure - filling.pressure_ambient) * specimen.damper.rod_area


class Lag(NamedTuple):
    """How soft the damper is in series with its damping, at the fastest speed.

    `measured` and `designed` in m/N; `yields` is 1/(ω c), the size that counts.
    """

    measured: float
    designed: float
    yields: float

    @property
    def soft(self) -> bool:
        """Whether it is softer than designed: bubbles in the oil, soft bushes, a soft frame."""
        more = self.measured - self.designed
        return self.measured > _SOFT * self.designed and more > _SHARE * self.yields


def lag_of(job: Job, report: TraceReport) -> Lag:
    """Return the compliance of a trace and that of the design in the same motion."""
    point = report.points[-1]
    measured, damping = diagnosis.series_compliance(
        displacement=point.loop.displacement, force=point.loop.force, frequency=point.frequency
    )
    motion = bench.SineMotion(point.frequency, point.amplitude)
    run = bench.run_sine(specimen=specimen_of_job(job), motion=motion)
    cycle = slice(-run.cycle_steps - 1, -1)
    designed, _ = diagnosis.series_compliance(
        displacement=run.displacement[cycle],
        force=run.damping_force[cycle],
        frequency=point.frequency,
    )
    return Lag(measured, designed, 1.0 / (2.0 * pi * point.frequency * damping))


def explain(job: Job, report: TraceReport) -> Diagnosis:
    """Return which part explains a trace, at the temperature of the trace if it has one.

    Raises
    ------
    ConflictError
        If the trace has no speed with damping in both directions.
    """
    warm = report.temperature_start, report.temperature_end
    mean = None if warm[0] is None or warm[1] is None else 0.5 * (warm[0] + warm[1])
    specimen = specimen_of_job(job, temperature=mean)
    points = [one for one in report.points if one.compression > 0.0 and one.rebound > 0.0]
    if not points:
        message = "The trace shows no damping in both directions; there is nothing to explain."
        raise ConflictError(message)
    return diagnosis.diagnose(
        measured=diagnosis.Measured(
            tuple(one.velocity for one in points),
            tuple(one.compression for one in points),
            tuple(one.rebound for one in points),
            report.gas_force,
        ),
        damper=specimen.damper,
        oil=specimen.oil,
        gas_pressure=specimen.filling.gas_pressure,
        pressure_ambient=specimen.filling.pressure_ambient,
    )
