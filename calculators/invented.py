"""Invented bench files: what the virtual bench would record, as CSV marked as invented.

This module needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from calculators.physics.diagnosis import PARTS, changed
from calculators.physics.synthetic import Faults, invented_trace
from calculators.quantities import from_si
from calculators.table_file import csv_line

if TYPE_CHECKING:
    from random import Random

    from calculators.physics.bench import Specimen
    from calculators.physics.diagnosis import Part

__all__ = ["Recording", "altered", "trace_text", "varied"]

_SPREAD = 0.03  # 1, standard deviation of a part from unit to unit, of invented units


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """How an invented trace is run and recorded.

    Attributes
    ----------
    speeds : tuple of float
        Peak speeds [m/s], a slow one for the gas force first.
    temperature : float
        In the middle of the record [K].
    amplitude : float
        Half of the stroke [m].
    sample_rate : float
        Samples in a second [Hz].
    cycles : int
        Cycles at each speed [1].
    noise : float
        Standard deviation of the load cell's noise [N]; spikes are 400 times as high.
    """

    speeds: tuple[float, ...]
    temperature: float
    amplitude: float = 0.025
    sample_rate: float = 1_000.0
    cycles: int = 5
    noise: float = 5.0


def altered(specimen: Specimen, part: Part, factor: float) -> Specimen:
    """Return a damper with one part made wrong."""
    damper, oil, gas = changed(
        damper=specimen.damper,
        oil=specimen.oil,
        gas_pressure=specimen.filling.gas_pressure,
        part=part,
        factor=factor,
    )
    return replace(
        specimen, damper=damper, oil=oil, filling=replace(specimen.filling, gas_pressure=gas)
    )


def varied(specimen: Specimen, random: Random) -> Specimen:
    """Return one unit of a batch: every part a little off, as the random numbers say."""
    for part in PARTS:
        specimen = altered(specimen, part, 1.0 + random.gauss(0.0, _SPREAD))
    return specimen


def trace_text(specimen: Specimen, recording: Recording, *, seed: int) -> str:
    """Return an invented trace as CSV: noise, offset, spikes and drift, the same for each seed."""
    noise, amplitude = recording.noise, recording.amplitude
    trace = invented_trace(
        specimen=specimen, amplitude=amplitude, speeds=recording.speeds, cycles=recording.cycles,
        sample_rate=recording.sample_rate, seed=seed,
        faults=Faults(
            force_noise=noise, displacement_noise=amplitude / 2_000.0,
            displacement_offset=amplitude / 10.0, spikes=8, spike_force=400.0 * noise,
            temperature_start=recording.temperature - 2.0, temperature_rise=4.0,
        ),
    )  # fmt: skip
    lines = [
        f"Invented by the virtual bench: no real damper. Number {seed}.\n",
        csv_line(("time [s]", "displacement [mm]", "force [N]", "temperature [°C]")),
    ]
    lines += [
        f"{t:.5f},{from_si(x, unit='mm', quantity='length'):.4f},{f:.2f},"
        f"{from_si(warm, unit='°C', quantity='temperature'):.2f}\n"
        for t, x, f, warm in zip(
            trace.time, trace.displacement, trace.force, trace.temperature, strict=True
        )
    ]
    return "".join(lines)
