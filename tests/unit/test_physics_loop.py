"""Laws of the loop measures, against closed forms and between constructions."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import atan, cos, isclose, pi

import pytest

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.bench import (
    Filling,
    SineMotion,
    Specimen,
    run_displacement,
    run_sine,
)
from calculators.physics.chamber import AeratedOil
from calculators.physics.fluid import Oil
from calculators.physics.loop import (
    LoopMeasures,
    energy_parts,
    hysteresis_width,
    loop_energy,
    loop_measures,
    phase_lag,
    strokes,
)
from calculators.physics.network import Damper
from calculators.physics.pair import ValvePair
from calculators.physics.valve import Valve
from tests.unit.specimens import MONOTUBE, TWIN_TUBE, corrugated

STIFF = AeratedOil(bulk_modulus=1e15, free_gas=0.0)
SPECIMENS = [pytest.param(MONOTUBE, id="monotube"), pytest.param(TWIN_TUBE, id="twin-tube")]
LEAK = Valve(0.0, 0.0, 0.02, 0.0, 0.0, 0.0, leak=1e-12)


def viscous(bulk_modulus: float) -> tuple[Specimen, float]:
    """Return a damper without rod whose valve is a leak, and its coefficient A² μ / G."""
    damper = Damper(0.04, 0.0, ValvePair(LEAK, LEAK))
    oil = AeratedOil(bulk_modulus=bulk_modulus, free_gas=0.0, reference_pressure=2e6)
    filling = Filling(2e-4, 2e-4, gas_pressure=2e6, gas_volume=1e-4)
    specimen = Specimen(damper, filling, Oil(850.0, 0.01), oil)
    return specimen, damper.piston_area**2 * 0.01 / 1e-12


@cache
def measured(specimen: Specimen, *, kilometres_per_hour: float) -> LoopMeasures:
    motion = corrugated(kilometres_per_hour=kilometres_per_hour)
    return loop_measures(trace=run_sine(specimen=specimen, motion=motion))


def test_the_loop_of_a_linear_damper_is_an_ellipse() -> None:
    specimen, coefficient = viscous(1e15)
    motion = SineMotion(2.0, 0.01)
    measures = loop_measures(trace=run_sine(specimen=specimen, motion=motion))
    omega = 2.0 * pi * 2.0
    assert isclose(measures.energy, pi * coefficient * omega * 0.01**2, rel_tol=2e-4)
    peak = coefficient * motion.peak_velocity
    assert isclose(measures.peak_compression, peak, rel_tol=2e-4)
    assert isclose(measures.mean_power, 0.5 * peak * motion.peak_velocity, rel_tol=2e-4)
    assert abs(measures.phase) < 1e-4
    assert measures.hysteresis < 1e-4 * peak


@pytest.mark.parametrize("frequency", [2.0, 10.0, 30.0])
def test_a_leak_and_soft_oil_lag_like_dashpot_and_spring(frequency: float) -> None:
    specimen, coefficient = viscous(1e8)
    # head side held by the gas, so the spring is the rod side alone: K = β A² / V
    stiffness = 1e8 * specimen.damper.piston_area**2 / 2e-4
    roomy = replace(specimen, filling=replace(specimen.filling, gas_volume=1.0))
    trace = run_sine(specimen=roomy, motion=SineMotion(frequency, 1e-4), cycles=12)
    lag = atan(2.0 * pi * frequency * coefficient / stiffness)
    assert isclose(phase_lag(trace=trace), lag, rel_tol=2e-3)
    energy = pi * coefficient * 2.0 * pi * frequency * 1e-4**2 * cos(lag) ** 2
    assert isclose(loop_energy(trace=trace), energy, rel_tol=2e-3)


@pytest.mark.parametrize("specimen", SPECIMENS)
@pytest.mark.parametrize("speed", [20.0, 80.0])
def test_the_work_is_the_sum_of_its_parts(specimen: Specimen, speed: float) -> None:
    motion = corrugated(kilometres_per_hour=speed)
    parts = energy_parts(trace=run_sine(specimen=specimen, motion=motion))
    found = parts.piston_loss + parts.reserve_loss + parts.friction_loss + parts.stored
    assert isclose(parts.work, found, rel_tol=1e-3)
    assert isclose(parts.friction_loss, 25.0 * 4.0 * motion.amplitude, rel_tol=1e-3)  # F · way
    assert min(parts.piston_loss, parts.friction_loss) > 0.0


def test_work_is_stored_on_the_way_in() -> None:
    times = tuple(0.002 * i for i in range(101))
    path = tuple(0.01 * (1.0 - cos(pi * time / 0.2)) for time in times)
    trace = run_displacement(specimen=TWIN_TUBE, times=times, displacements=path)
    parts = energy_parts(trace=trace)
    found = parts.piston_loss + parts.reserve_loss + parts.friction_loss + parts.stored
    assert isclose(parts.work, found, rel_tol=1e-3)
    assert parts.stored > 0.0


@pytest.mark.parametrize("specimen", SPECIMENS)
def test_stiff_oil_without_gas_loses_less_than_a_step(specimen: Specimen) -> None:
    stiff = replace(specimen, chamber_oil=STIFF)
    trace = run_sine(specimen=stiff, motion=corrugated(kilometres_per_hour=60.0))
    first_step = abs(trace.displacement[1] - trace.displacement[0])
    for stroke in strokes(trace=trace):
        assert stroke.arrives
        assert stroke.lost_stroke <= first_step


def test_more_free_gas_loses_more_stroke() -> None:
    lost = [
        measured(
            replace(TWIN_TUBE, chamber_oil=AeratedOil(1.5e9, share)), kilometres_per_hour=40.0
        ).rebound.lost_stroke
        for share in (0.002, 0.01, 0.03, 0.06)
    ]
    assert lost == sorted(lost)
    assert lost[-1] > 4.0 * lost[0]


def test_more_charge_leaves_more_margin_and_loses_less_stroke() -> None:
    charged = [
        measured(
            replace(TWIN_TUBE, filling=replace(TWIN_TUBE.filling, gas_pressure=pressure)),
            kilometres_per_hour=40.0,
        )
        for pressure in (3e5, 5e5, 8e5, 15e5)
    ]
    margins = [min(m.lowest_pressure_head, m.lowest_pressure_rod) for m in charged]
    assert margins == sorted(margins)
    for lost in (
        [m.rebound.lost_stroke for m in charged],
        [m.compression.lost_stroke for m in charged],
    ):
        assert lost == sorted(lost, reverse=True)


@pytest.mark.parametrize("speed", [20.0, 40.0, 60.0, 80.0])
@pytest.mark.parametrize("share", [0.02, 0.05])
def test_an_aerated_twin_tube_loses_more_stroke_than_a_monotube(speed: float, share: float) -> None:
    twin = replace(TWIN_TUBE, chamber_oil=AeratedOil(1.5e9, share))
    theirs = measured(twin, kilometres_per_hour=speed)
    ours = measured(MONOTUBE, kilometres_per_hour=speed)
    assert theirs.rebound.lost_stroke > 3.0 * ours.rebound.lost_stroke
    assert theirs.compression.lost_stroke > 3.0 * ours.compression.lost_stroke
    assert theirs.phase > 1.5 * ours.phase


@pytest.mark.parametrize("specimen", SPECIMENS)
def test_a_larger_share_takes_more_stroke(specimen: Specimen) -> None:
    trace = run_sine(specimen=specimen, motion=corrugated(kilometres_per_hour=40.0))
    lost = [strokes(trace=trace, force_share=share)[-1].lost_stroke for share in (0.2, 0.5, 0.8)]
    assert lost == sorted(lost)


def test_each_cycle_has_a_stroke_in_and_a_stroke_out() -> None:
    trace = run_sine(specimen=TWIN_TUBE, motion=SineMotion(4.0, 0.02), cycles=2)
    found = strokes(trace=trace)
    assert [stroke.compression for stroke in found] == [True, False, True, False]
    for number, stroke in enumerate(found):
        assert isclose(stroke.travel, 0.04, rel_tol=1e-9)
        assert isclose(stroke.start, number * 0.125, abs_tol=1e-12)
        assert isclose(stroke.lost_share, stroke.lost_stroke / 0.04)


def test_strokes_of_a_record_whose_reversals_fall_between_its_points() -> None:
    times = tuple(0.0017 * i for i in range(300))
    path = tuple(-0.02 * cos(2.0 * pi * 4.0 * time) for time in times)
    recorded = strokes(trace=run_displacement(specimen=TWIN_TUBE, times=times, displacements=path))
    sine = strokes(trace=run_sine(specimen=TWIN_TUBE, motion=SineMotion(4.0, 0.02)))
    assert [stroke.compression for stroke in recorded] == [True, False, True, False, True]
    for theirs, ours in zip(recorded[1:4], sine[1:4], strict=True):
        assert isclose(theirs.travel, 0.04, rel_tol=2e-3)
        assert isclose(theirs.lost_stroke, ours.lost_stroke, rel_tol=0.2)


def test_a_stroke_cut_off_before_its_force_comes_is_lost() -> None:
    times = tuple(0.001 * i for i in range(131))
    path = tuple(-0.02 * cos(2.0 * pi * 4.0 * time) for time in times)
    foam = replace(TWIN_TUBE, chamber_oil=AeratedOil(1.5e9, 0.1))
    found = strokes(trace=run_displacement(specimen=foam, times=times, displacements=path))
    assert found[0].arrives
    assert not found[1].arrives
    assert found[1].lost_share == 1.0
    assert found[1].lost_stroke == found[1].travel


def test_soft_oil_opens_the_loop() -> None:
    trace = run_sine(specimen=TWIN_TUBE, motion=corrugated(kilometres_per_hour=40.0))
    stiff = replace(TWIN_TUBE, chamber_oil=STIFF)
    closed = run_sine(specimen=stiff, motion=corrugated(kilometres_per_hour=40.0))
    for velocity in (0.0, 0.1, -0.3):
        assert hysteresis_width(trace=trace, velocity=velocity) > 100.0
        assert hysteresis_width(trace=closed, velocity=velocity) < 1.0


def test_a_velocity_beyond_the_peak_has_no_width() -> None:
    trace = run_sine(specimen=MONOTUBE, motion=SineMotion(1.0, 0.01), cycles=1)
    with pytest.raises(ConflictError, match=r"never passes 0\.1 m/s"):
        hysteresis_width(trace=trace, velocity=0.1)


def test_a_record_without_cycles_has_no_loop() -> None:
    trace = run_displacement(
        specimen=MONOTUBE, times=(0.0, 0.01, 0.02), displacements=(0.0, 0.001, 0.002)
    )
    for measure in (loop_energy, loop_measures, phase_lag):
        with pytest.raises(ConflictError, match="whole cycles"):
            measure(trace=trace)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.5])
def test_a_share_that_is_none_or_all_is_refused(share: float) -> None:
    trace = run_sine(specimen=MONOTUBE, motion=SineMotion(1.0, 0.01), cycles=1)
    with pytest.raises(OutOfRangeError, match="Force share"):
        strokes(trace=trace, force_share=share)
