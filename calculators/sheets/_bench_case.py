"""Two dampers for the virtual bench, as the inputs describe them, and their traces.

Twin-tube and monotube share bore, rod, piston valves, chambers and motion; they differ
in foot valve, gas and bubbles. A trace takes tens of milliseconds and is asked for by
results, charts and drawing alike, so the last ones are kept.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from math import ceil, pi
from typing import TYPE_CHECKING, Literal, TypeAlias

from calculators.errors import ConflictError, NoSolutionError
from calculators.physics import bench, gas
from calculators.physics.chamber import AeratedOil
from calculators.physics.target import BENCH_SPEEDS
from calculators.sheets._valving import damper_of, expansion_of, oil_at

if TYPE_CHECKING:
    from calculators.physics.bench import BenchTrace, SineMotion, Specimen
    from calculators.physics.gas import GasState
    from calculators.sheet import Given

__all__ = [
    "KINDS",
    "Kind",
    "failed_steps",
    "gas_at_rest",
    "motion_of",
    "oil_inside",
    "specimen_of",
    "stepped_speeds",
    "steps_of",
    "sweep",
    "trace_of",
]

Kind: TypeAlias = Literal["twin-tube", "monotube"]
KINDS: tuple[Kind, Kind] = ("twin-tube", "monotube")

_CYCLES, _STEPS = 3, 200  # two cycles settle, the third is measured
_SWEPT_CYCLES, _SWEPT_STEPS = 2, 100  # coarser: a curve over many speeds
_FASTEST = 10.0  # m/s, beyond any damper


def oil_inside(given: Given, kind: Kind) -> float:
    """Return the volume of all the oil in a damper."""
    damper = damper_of(given, kind)
    chambers = damper.piston_area * given["head_length"] + damper.annulus_area * given["rod_length"]
    return chambers + (given["reserve_oil"] if kind == "twin-tube" else 0.0)


def gas_at_rest(given: Given, kind: Kind) -> GasState:
    """Return the gas at the middle of the stroke and the working temperature, at rest."""
    twin = kind == "twin-tube"
    return gas.charge_state(
        charge_pressure_gauge=given["charge_at_20_twin_tube" if twin else "charge_at_20"],
        gas_volume_extended=given["gas_volume_twin_tube" if twin else "gas_volume_monotube"],
        rod_diameter=given["rod_diameter"], compression=given["rod_travel"],
        temperature=given["temperature"], oil_volume=oil_inside(given, kind),
        expansion_coefficient=expansion_of(given),
    )  # fmt: skip


def specimen_of(given: Given, kind: Kind) -> Specimen:
    """Return the damper of a construction as it is clamped into the bench."""
    damper, state = damper_of(given, kind), gas_at_rest(given, kind)
    return bench.Specimen(
        damper=damper,
        filling=bench.Filling(
            head_volume=damper.piston_area * given["head_length"],
            rod_volume=damper.annulus_area * given["rod_length"],
            gas_pressure=state.pressure, gas_volume=state.volume,
            gas_exponent=given["polytropic_exponent"],
        ),
        oil=oil_at(given, given["temperature"]),
        chamber_oil=AeratedOil(
            bulk_modulus=given["oil_bulk_modulus"],
            free_gas=given[f"free_gas_{kind.replace('-', '_')}"],
        ),
    )  # fmt: skip


def motion_of(given: Given, speed: float | None = None) -> SineMotion | None:
    """Return the sine that moves the rod, at a driving speed if one is named; None for a record."""
    kind = "corrugation" if speed is not None else given.choice("motion")
    if kind == "trace":
        return None
    if kind == "sine":
        return bench.SineMotion(given["frequency"], given["amplitude"])
    if kind == "stepped":
        return _at_speed(given, _top_step(given))
    return bench.corrugation(
        wavelength=given["wavelength"], amplitude=given["road_amplitude"],
        speed=given["speed"] if speed is None else speed, motion_ratio=given["motion_ratio"],
    )  # fmt: skip


@lru_cache(maxsize=4)
def _sine(specimen: Specimen, motion: SineMotion) -> BenchTrace:
    return bench.run_sine(specimen=specimen, motion=motion, cycles=_CYCLES, steps=_STEPS)


def _at_speed(given: Given, speed: float) -> SineMotion:
    """Return the sine of the bench's stroke with a peak speed."""
    return bench.SineMotion(speed / (2.0 * pi * given["amplitude"]), given["amplitude"])


def stepped_speeds(given: Given) -> tuple[float, ...]:
    """Return the customary speeds up to the highest one, and that one."""
    top = given["top_speed"]
    return (*(speed for speed in BENCH_SPEEDS if speed < top * (1.0 - 1e-9)), top)


@lru_cache(maxsize=4)
def _stepped(
    specimens: tuple[Specimen, ...], motions: tuple[SineMotion, ...]
) -> tuple[tuple[BenchTrace | NoSolutionError, ...], ...]:
    """Return, for each specimen, a trace of each motion, or why there is none."""

    def run(specimen: Specimen, motion: SineMotion) -> BenchTrace | NoSolutionError:
        try:
            return bench.run_sine(
                specimen=specimen, motion=motion, cycles=_SWEPT_CYCLES, steps=_STEPS
            )
        except NoSolutionError as error:
            return error

    return tuple(tuple(run(one, motion) for motion in motions) for one in specimens)


def _all_steps(given: Given, kind: Kind) -> dict[float, BenchTrace | NoSolutionError]:
    speeds = stepped_speeds(given)
    _require_room(given, -given["amplitude"], given["amplitude"], speeds[-1])
    specimens = tuple(specimen_of(given, one) for one in KINDS)
    found = _stepped(specimens, tuple(_at_speed(given, speed) for speed in speeds))
    return dict(zip(speeds, found[KINDS.index(kind)], strict=True))


def steps_of(given: Given, kind: Kind) -> dict[float, BenchTrace]:
    """Return the trace of a construction at each peak speed that has a solution."""
    steps = _all_steps(given, kind)
    return {speed: one for speed, one in steps.items() if not isinstance(one, NoSolutionError)}


def _top_step(given: Given) -> float:
    """Return the highest peak speed with a solution in both constructions."""
    both = steps_of(given, KINDS[0]).keys() & steps_of(given, KINDS[1]).keys()
    if not both:
        raise NoSolutionError(next(iter(failed_steps(given).values())))
    return max(both)


def failed_steps(given: Given) -> dict[float, str]:
    """Return why a peak speed has no solution, in either construction."""
    return {
        speed: f"{kind}: {one}"
        for kind in KINDS
        for speed, one in _all_steps(given, kind).items()
        if isinstance(one, NoSolutionError)
    }


@lru_cache(maxsize=4)
def _record(
    specimen: Specimen, times: tuple[float, ...], travels: tuple[float, ...], substeps: int
) -> BenchTrace:
    return bench.run_displacement(
        specimen=specimen, times=times, displacements=travels, substeps=substeps
    )


def trace_of(given: Given, kind: Kind) -> BenchTrace:
    """Return what the bench records of a construction.

    Raises
    ------
    ConflictError
        If the motion has no room in the damper, or is faster than any damper.
    NoSolutionError
        If no pressures are found; the message says when, how fast and at which pressures.
    """
    motion = motion_of(given)
    if given.choice("motion") == "stepped":
        return steps_of(given, kind)[_top_step(given)]
    if motion is not None:
        _require_room(given, -motion.amplitude, motion.amplitude, motion.peak_velocity)
        return _sine(specimen_of(given, kind), motion)
    times, travels = zip(*given.rows("record"), strict=True)
    for (t_a, x_a), (t_b, x_b) in pairwise(given.rows("record")):
        if not t_b > t_a:
            message = f"The times must rise; {t_b:g} s follows {t_a:g} s."
            raise ConflictError(message, inputs=("record",))
        _require_room(given, min(x_a, x_b), max(x_a, x_b), abs(x_b - x_a) / (t_b - t_a))
    return _record(specimen_of(given, kind), times, travels, ceil(_CYCLES * _STEPS / len(times)))


def _require_room(given: Given, out: float, inward: float, velocity: float) -> None:
    """Raise unless the rod stays inside its damper and below the speed of any damper."""
    names = {
        "corrugation": ("speed", "wavelength", "road_amplitude"),
        "sine": ("frequency", "amplitude"),
        "stepped": ("top_speed", "amplitude"),
        "trace": ("record",),
    }[given.choice("motion")]
    if velocity > _FASTEST:
        message = f"The rod would run at {velocity:.4g} m/s; allowed: up to {_FASTEST:g} m/s, beyond any damper."
        raise ConflictError(message, inputs=names)
    travel, rod, head = given["rod_travel"], given["rod_length"], given["head_length"]
    if rod < travel:
        message = (
            f"At the middle the rod stands {travel * 1e3:.4g} mm in, but its side is only {rod * 1e3:.4g} mm long. "
            "Make the rod side at least as long as the rod travel."
        )
        raise ConflictError(message, inputs=("rod_length", "rod_travel"))
    if -out > travel or inward >= head:
        message = (
            f"The rod would move from {out * 1e3:.4g} to {inward * 1e3:.4g} mm; there is room from "
            f"{-travel * 1e3:.4g} mm to {head * 1e3:.4g} mm. Shorten the motion, or lengthen the chambers."
        )
        raise ConflictError(message, inputs=names)


@lru_cache(maxsize=32)
def _swept(specimen: Specimen, motion: SineMotion) -> BenchTrace:
    return bench.run_sine(
        specimen=specimen, motion=motion, cycles=_SWEPT_CYCLES, steps=_SWEPT_STEPS
    )


def sweep(given: Given, kind: Kind, speed: float) -> BenchTrace:
    """Return a coarser trace of a construction on the corrugated road at a driving speed."""
    motion = motion_of(given, speed)
    assert motion is not None
    return _swept(specimen_of(given, kind), motion)
