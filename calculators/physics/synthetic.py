"""Invented bench traces: what the virtual bench would record, with the faults of a real one.

The truth is known, so these traces try the measuring. This module needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

import numpy as np

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)
from calculators.physics.bench import SineMotion, run_sine

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from calculators.physics.bench import Specimen

    Array = NDArray[np.float64]

__all__ = ["Faults", "Invented", "invented_trace"]

_STEPS = 200  # in a cycle of the virtual bench
_CYCLES = 2  # of the virtual bench: one settles, the last is repeated


@dataclass(frozen=True, slots=True)
class Faults:
    """What is wrong with a recorded trace.

    Attributes
    ----------
    force_noise : float
        Standard deviation of the load cell's noise [N], ≥ 0.
    displacement_noise : float
        Standard deviation of the displacement's noise [m], ≥ 0.
    displacement_offset : float
        Reading in the middle of the stroke [m], any finite value.
    spikes : int
        Samples that jump away [1], ≥ 0.
    spike_force : float
        How far [N], ≥ 0.
    fade : float
        Share of the damping force that is lost over the record [1], 0 to 0.9.
    temperature_start : float
        Of the damper [K], > 0.
    temperature_rise : float
        Over the record [K], any finite value.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    force_noise: float = 0.0
    displacement_noise: float = 0.0
    displacement_offset: float = 0.0
    spikes: int = 0
    spike_force: float = 0.0
    fade: float = 0.0
    temperature_start: float = 293.15
    temperature_rise: float = 0.0

    def __post_init__(self) -> None:
        require_at_least(0.0, self.force_noise, "Noise of the force", "N")
        require_at_least(0.0, self.displacement_noise, "Noise of the displacement", "m")
        require_finite(self.displacement_offset, "Offset", "m")
        require_at_least(0.0, self.spikes, "Number of spikes", "")
        require_at_least(0.0, self.spike_force, "Force of a spike", "N")
        require_between(0.0, 0.9, self.fade, "Fade", "", "A share of the force.")
        require_above(0.0, self.temperature_start, "Temperature", "K")
        require_finite(self.temperature_rise, "Rise", "K")


@dataclass(frozen=True, slots=True)
class Invented:
    """An invented trace, and the truth behind it.

    Attributes
    ----------
    time, displacement, force, temperature : array
        As a bench would record them [s], [m], [N], [K].
    speeds : tuple of float
        Peak speeds that were run [m/s].
    compression, rebound : tuple of float
        Damping forces at mid-stroke before noise and fade, gas left out, without sign [N].
    gas_force : float
        At mid-stroke, at rest [N].
    """

    time: Array
    displacement: Array
    force: Array
    temperature: Array
    speeds: tuple[float, ...]
    compression: tuple[float, ...]
    rebound: tuple[float, ...]
    gas_force: float


def invented_trace(
    *,
    specimen: Specimen,
    amplitude: float,
    speeds: tuple[float, ...],
    cycles: int = 5,
    sample_rate: float = 1_000.0,
    faults: Faults | None = None,
    seed: int = 1,
) -> Invented:
    """Return an invented bench trace: a stepped sine of the virtual bench, with faults.

    x = −X cos 2πft, one speed after another, f = v̂ / (2π X)

    Parameters
    ----------
    specimen : Specimen
        Damper, filling and oil.
    amplitude : float
        X, half of the stroke [m], > 0.
    speeds : tuple of float
        v̂, peak speeds [m/s], each > 0, at least one.
    cycles : int
        Cycles at each speed [1], ≥ 3.
    sample_rate : float
        Samples in a second [Hz], > 0, at least 20 in the fastest cycle.
    faults : Faults or None
        What is wrong with the record; None: nothing.
    seed : int
        Number of the noise: the same number, the same trace [1], ≥ 0.

    Returns
    -------
    Invented
        Trace and truth.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no speed is given, the sampling is too slow, or the motion does not fit in.
    NoSolutionError
        If the virtual bench finds no pressures.

    Notes
    -----
    Limits: those of the virtual bench. Each speed is one settled cycle, repeated; fade
    falls evenly over the record and leaves the gas force alone.

    References
    ----------
    derivation: as in run_sine.
    """
    wrong = Faults() if faults is None else faults
    if not speeds:
        message = "No speeds were given; give at least one."
        raise ConflictError(message, inputs=("speeds",))
    require_above(0.0, amplitude, "Amplitude", "m", "Half of the stroke.")
    require_at_least(3.0, cycles, "Cycles at each speed", "", "One to settle, two to measure.")
    require_above(0.0, sample_rate, "Sample rate", "Hz", "1 000 Hz is usual.")
    fastest = max(speeds) / (2.0 * pi * amplitude)
    if sample_rate < 20.0 * fastest:
        message = (
            f"{sample_rate:g} samples a second leave {sample_rate / fastest:.1f} in a cycle; at "
            "least 20 are needed."
        )
        raise ConflictError(message, inputs=("sample_rate",))
    pieces: list[tuple[Array, Array, Array]] = []
    inward, outward = [], []
    for speed in speeds:
        frequency = speed / (2.0 * pi * amplitude)
        run = run_sine(
            specimen=specimen,
            motion=SineMotion(frequency, amplitude),
            cycles=_CYCLES,
            steps=_STEPS,
        )
        damping = np.array(run.damping_force[-_STEPS - 1 :])
        gas = np.array(run.gas_force[-_STEPS - 1 :])
        inward.append(float(damping[_STEPS // 4]))
        outward.append(-float(damping[3 * _STEPS // 4]))
        count = round(cycles * sample_rate / frequency)
        phase = np.arange(count) * frequency / sample_rate
        at = (phase % 1.0) * _STEPS
        grid = np.arange(_STEPS + 1.0)
        pieces.append(
            (
                -amplitude * np.cos(2.0 * pi * phase),
                np.interp(at, grid, damping),
                np.interp(at, grid, gas),
            )
        )
    displacement, damping, gas = (np.concatenate(parts) for parts in zip(*pieces, strict=True))
    time = np.arange(len(displacement)) / sample_rate
    share = time / time[-1]
    force = damping * (1.0 - wrong.fade * share) + gas
    # this generator, unlike the newer ones, gives the same numbers in every version
    random = np.random.RandomState(seed)
    force += random.normal(0.0, wrong.force_noise, len(force))
    displacement += random.normal(0.0, wrong.displacement_noise, len(displacement))
    struck = random.randint(0, len(force), wrong.spikes)
    force[struck] += wrong.spike_force * random.choice((-1.0, 1.0), wrong.spikes)
    damper, filling = specimen.damper, specimen.filling
    return Invented(
        time=time,
        displacement=displacement + wrong.displacement_offset,
        force=force,
        temperature=wrong.temperature_start + wrong.temperature_rise * share,
        speeds=speeds,
        compression=tuple(inward),
        rebound=tuple(outward),
        gas_force=(filling.gas_pressure - filling.pressure_ambient) * damper.rod_area,
    )
