"""Which part explains a trace: seeded cases, and the cases that cannot be told."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi
from random import Random
from typing import TYPE_CHECKING

import numpy as np
import pytest

from calculators import demo
from calculators.bench_job import explain, lag_of, specimen_of_job
from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.bench import SineMotion, run_sine
from calculators.physics.diagnosis import (
    PARTS,
    Diagnosis,
    Measured,
    changed,
    diagnose,
    series_compliance,
)
from calculators.physics.network import force_velocity_curve
from calculators.physics.synthetic import Faults, invented_trace
from calculators.physics.trace import measure

if TYPE_CHECKING:
    from calculators.physics.bench import Specimen
    from calculators.physics.diagnosis import Part
    from calculators.physics.trace import TraceReport

SPEEDS = (0.01, 0.05, 0.1, 0.13, 0.26, 0.52, 1.0)
NOISE = Faults(force_noise=5.0, displacement_noise=2e-5, spikes=10, spike_force=2_000.0)
CASES = 20


@cache
def _specimen(name: str) -> Specimen:
    return specimen_of_job(demo.read(name))


def _made(specimen: Specimen, part: Part, factor: float) -> Specimen:
    damper, oil, gas = changed(
        damper=specimen.damper, oil=specimen.oil, gas_pressure=specimen.filling.gas_pressure,
        part=part, factor=factor,
    )  # fmt: skip
    filling = replace(specimen.filling, gas_pressure=gas)
    return replace(specimen, damper=damper, oil=oil, filling=filling)


def _measured(specimen: Specimen, seed: int) -> TraceReport:
    trace = invented_trace(
        specimen=specimen, amplitude=0.025, speeds=SPEEDS, cycles=3, faults=NOISE, seed=seed
    )
    return measure(time=trace.time, displacement=trace.displacement, force=trace.force)


@pytest.mark.parametrize("name", demo.NAMES)
def test_the_damper_on_the_bench_has_the_forces_of_the_job(name: str) -> None:
    rows = demo.read(name).sheets["force-velocity"].handed["forces"]
    assert isinstance(rows, tuple)
    for velocity, inward, outward in rows:
        motion = SineMotion(velocity / (2.0 * pi * 0.03), 0.03)
        force = run_sine(specimen=_specimen(name), motion=motion, cycles=2).damping_force[-201:]
        assert max(force) == pytest.approx(inward, rel=2e-3)
        assert -min(force) == pytest.approx(outward, rel=2e-3)


def _case(seed: int) -> tuple[str, Part, float]:
    """Return the design, the part that is made wrong and by which factor."""
    random = Random(seed)  # noqa: S311  seeded cases, and no secret
    part = PARTS[seed % len(PARTS)]
    # oil of the next classes is off by half or the double; the others by making
    factor = random.choice((0.5, 2.0)) if part == "oil" else random.choice((0.7, 0.75, 1.3, 1.4))
    return demo.NAMES[seed % 2], part, factor


@cache
def _answers() -> tuple[tuple[Part, float, Diagnosis], ...]:
    found = []
    for seed in range(CASES):
        name, part, factor = _case(seed)
        job = demo.read(name)
        report = _measured(_made(_specimen(name), part, factor), seed)
        found.append((part, factor, explain(job, report)))
    return tuple(found)


def test_the_part_is_right_in_at_least_18_of_20_seeded_cases() -> None:
    right = [
        part for part, _, diagnosis in _answers()
        if diagnosis.answer == "part" and diagnosis.candidates == (part,)
    ]  # fmt: skip
    assert len(right) >= 18


def test_no_seeded_case_is_answered_with_a_wrong_part() -> None:
    for part, _, diagnosis in _answers():
        assert diagnosis.answer != "part" or diagnosis.candidates == (part,)


def test_the_factor_comes_back_within_four_of_its_uncertainties() -> None:
    for part, factor, diagnosis in _answers():
        best = diagnosis.suspects[0]
        if best.part == part:
            assert abs(best.factor / factor - 1.0) <= 4.0 * best.uncertainty, part


@pytest.mark.parametrize("name", demo.NAMES)
@pytest.mark.parametrize("seed", [101, 102])
def test_a_damper_as_designed_is_called_that(name: str, seed: int) -> None:
    job = demo.read(name)
    diagnosis = explain(job, _measured(_specimen(name), seed))
    assert diagnosis.answer == "as designed"
    assert diagnosis.candidates == ()


def _curve(specimen: Specimen, speeds: tuple[float, ...]) -> Measured:
    """Return exact forces of a damper."""
    filling = specimen.filling
    curve = force_velocity_curve(
        damper=specimen.damper, velocities=(*speeds, *(-v for v in speeds)),
        gas_pressure=filling.gas_pressure, oil=specimen.oil,
        pressure_ambient=filling.pressure_ambient,
    )  # fmt: skip
    sizes = [abs(force) for force in curve.damping_force]
    half = len(speeds)
    return Measured(speeds, tuple(sizes[:half]), tuple(sizes[half:]), curve.points[0].gas_force)


def _diagnosed(made: Specimen, speeds: tuple[float, ...]) -> Diagnosis:
    design = _specimen("trailer")
    return diagnose(
        measured=_curve(made, speeds), damper=design.damper, oil=design.oil,
        gas_pressure=design.filling.gas_pressure,
        pressure_ambient=design.filling.pressure_ambient,
    )  # fmt: skip


def test_one_speed_cannot_tell_preload_from_stack() -> None:
    made = _made(_specimen("trailer"), "rebound stack", 0.7)
    diagnosis = _diagnosed(made, (0.39,))
    assert diagnosis.answer == "unclear"
    assert {"rebound preload", "rebound stack"} <= set(diagnosis.candidates)


def test_two_faults_at_once_are_not_put_on_one_part() -> None:
    made = _made(_specimen("trailer"), "rebound stack", 0.7)
    diagnosis = _diagnosed(_made(made, "charge", 0.7), SPEEDS)
    assert diagnosis.answer == "none"


@pytest.mark.parametrize("part", PARTS)
def test_exact_forces_give_the_part_and_its_factor(part: Part) -> None:
    made = _made(_specimen("trailer"), part, 1.5)
    best = _diagnosed(made, SPEEDS).suspects[0]
    assert best.part == part
    assert best.factor == pytest.approx(1.5, rel=1e-3)


def test_a_part_that_does_nothing_has_no_certain_factor() -> None:
    made = _made(_specimen("trailer"), "charge", 1.2)
    slow = _diagnosed(made, (0.001, 0.002))
    stack = next(one for one in slow.suspects if one.part == "rebound stack")
    assert stack.uncertainty > 1.0


def test_what_is_measured_has_to_belong_together() -> None:
    with pytest.raises(ConflictError):
        Measured((0.1,), (), (1.0,), 0.0)
    with pytest.raises(OutOfRangeError):
        Measured((0.1,), (1.0,), (1.0,), 0.0, share=0.0)


@pytest.mark.parametrize("frequency", [0.5, 5.0, 20.0])
def test_a_spring_in_series_is_found_in_the_loop(frequency: float) -> None:
    stiffness, damping, amplitude = 2.0e6, 5_000.0, 0.01
    omega = 2.0 * np.pi * frequency
    turn = 2.0 * np.pi * np.arange(180) / 180.0
    # a Maxwell element: F = X i ω c / (1 + i ω c / K), by hand
    answer = 1j * omega * damping / (1.0 + 1j * omega * damping / stiffness)
    force = np.real(answer * amplitude * np.exp(1j * turn))
    compliance, found = series_compliance(
        displacement=list(amplitude * np.cos(turn)), force=list(force), frequency=frequency
    )
    assert compliance == pytest.approx(1.0 / stiffness, rel=1e-9)
    assert found == pytest.approx(damping, rel=1e-9)


@pytest.mark.parametrize(("gas", "soft"), [(0.03, False), (0.2, True)], ids=["design", "foam"])
def test_bubbles_in_the_oil_show_as_a_soft_damper(gas: float, soft: bool) -> None:  # noqa: FBT001
    design = _specimen("pickup")
    foamy = replace(design, chamber_oil=replace(design.chamber_oil, free_gas=gas))
    trace = invented_trace(specimen=foamy, amplitude=0.025, speeds=(0.01, 0.52), cycles=4)
    report = measure(time=trace.time, displacement=trace.displacement, force=trace.force)
    assert lag_of(demo.read("pickup"), report).soft is soft


@pytest.mark.parametrize(
    ("travel", "force"),
    [([0.0] * 4, [0.0] * 4), ([0.0] * 9, [0.0] * 8), ([1.0] * 8, [0.0] * 8)],
    ids=["short", "uneven", "no force"],
)
def test_a_loop_that_says_nothing_is_refused(travel: list[float], force: list[float]) -> None:
    with pytest.raises(ConflictError):
        series_compliance(displacement=travel, force=force, frequency=1.0)
