"""Laws of the virtual bench: limits, balances and refusals."""

from __future__ import annotations

import re
from dataclasses import replace
from math import cos, inf, isclose, nan, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError, NoSolutionError, OutOfRangeError
from calculators.physics.bench import (
    BenchTrace,
    Filling,
    SineMotion,
    Specimen,
    corrugation,
    run_displacement,
    run_sine,
    run_stepped_sine,
)
from calculators.physics.chamber import AeratedOil, relative_volume
from calculators.physics.network import operating_point
from calculators.physics.pair import ValvePair
from calculators.physics.valve import Valve
from tests.unit.specimens import MONOTUBE, OIL, TWIN_TUBE, corrugated

STIFF = AeratedOil(bulk_modulus=1e15, free_gas=0.0)
SPECIMENS = [pytest.param(MONOTUBE, id="monotube"), pytest.param(TWIN_TUBE, id="twin-tube")]
FOAMY = replace(
    TWIN_TUBE,
    chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=0.05, gas_exponent=1.2),
    filling=replace(TWIN_TUBE.filling, gas_pressure=3e5),
)
SHORT_OF_CHARGE = replace(MONOTUBE, filling=replace(MONOTUBE.filling, gas_pressure=2e5))


def oil_inside(trace: BenchTrace) -> list[float]:
    """Return all oil of the damper at each time, counted at the reference pressure."""
    specimen = trace.specimen
    damper, filling, oil = specimen.damper, specimen.filling, specimen.chamber_oil
    swell = relative_volume(oil=oil, pressure=filling.gas_pressure)
    total = []
    for x, head, rod, gas in zip(
        trace.displacement, trace.pressure_head, trace.pressure_rod, trace.pressure_gas, strict=True
    ):
        left = filling.gas_volume * (filling.gas_pressure / gas) ** (1.0 / filling.gas_exponent)
        head_room = filling.head_volume - damper.piston_area * x
        rod_room = filling.rod_volume + damper.annulus_area * x
        total.append(
            head_room / relative_volume(oil=oil, pressure=head)
            + rod_room / relative_volume(oil=oil, pressure=rod)
            + (filling.gas_volume - left) / swell
        )
    return total


@pytest.mark.parametrize("specimen", SPECIMENS)
def test_stiff_oil_gives_the_steady_curve(specimen: Specimen) -> None:
    stiff = replace(specimen, chamber_oil=STIFF)
    trace = run_sine(specimen=stiff, motion=SineMotion(3.0, 0.02), cycles=1)
    peak = max(trace.force)
    for velocity, force, gas in zip(trace.velocity, trace.force, trace.pressure_gas, strict=True):
        point = operating_point(damper=stiff.damper, velocity=velocity, gas_pressure=gas, oil=OIL)
        assert isclose(force, point.force, abs_tol=5e-4 * peak)


@pytest.mark.parametrize("specimen", [MONOTUBE, TWIN_TUBE, FOAMY, SHORT_OF_CHARGE])
def test_no_oil_is_lost_or_made(specimen: Specimen) -> None:
    trace = run_sine(specimen=specimen, motion=corrugated(kilometres_per_hour=40.0))
    total = oil_inside(trace)
    assert max(total) - min(total) < 1e-6 * total[0]


@pytest.mark.parametrize("specimen", [MONOTUBE, TWIN_TUBE, FOAMY])
def test_a_settled_cycle_ends_where_it_began(specimen: Specimen) -> None:
    trace = run_sine(specimen=specimen, motion=corrugated(kilometres_per_hour=40.0), cycles=4)
    for pressure in (trace.pressure_head, trace.pressure_rod, trace.pressure_gas):
        assert isclose(pressure[-1], pressure[-1 - trace.cycle_steps], rel_tol=2e-4)


def test_flows_through_the_piston_move_the_oil_of_the_rod_side() -> None:
    trace = run_sine(specimen=FOAMY, motion=SineMotion(4.0, 0.02), cycles=1)
    damper, filling, oil = FOAMY.damper, FOAMY.filling, FOAMY.chamber_oil
    held = [
        (filling.rod_volume + damper.annulus_area * x) / relative_volume(oil=oil, pressure=p)
        for x, p in zip(trace.displacement, trace.pressure_rod, strict=True)
    ]
    step = trace.time[1] - trace.time[0]
    moved = 0.0
    for i in range(1, len(held)):
        moved += 0.5 * step * (trace.piston_flow[i - 1] + trace.piston_flow[i])
        assert abs(held[i] - held[0] - moved) < 1e-3 * held[0]


def test_force_is_what_the_pressures_make() -> None:
    trace = run_sine(specimen=TWIN_TUBE, motion=SineMotion(4.0, 0.02), cycles=1, steps=100)
    damper, ambient = TWIN_TUBE.damper, TWIN_TUBE.filling.pressure_ambient
    for i in (0, 13, 25, 50, 75):
        faces = (trace.pressure_head[i] - ambient) * damper.piston_area
        faces -= (trace.pressure_rod[i] - ambient) * damper.annulus_area
        rub = 25.0 if trace.velocity[i] > 0.0 else -25.0 if trace.velocity[i] < 0.0 else 0.0
        assert isclose(trace.force[i], faces + rub, abs_tol=1e-8)


def test_compression_is_resisted_and_rebound_too() -> None:
    trace = run_sine(specimen=TWIN_TUBE, motion=SineMotion(4.0, 0.02))
    quarter = trace.cycle_steps // 4
    assert trace.velocity[-1 - 3 * quarter] > 0.0
    assert trace.force[-1 - 3 * quarter] > 400.0
    assert trace.force[-1 - quarter] < -400.0


@pytest.mark.parametrize("specimen", SPECIMENS)
def test_it_starts_at_rest_with_the_gas_force_alone(specimen: Specimen) -> None:
    trace = run_sine(specimen=specimen, motion=SineMotion(1.0, 0.02), cycles=1, steps=20)
    assert isclose(trace.force[0], trace.gas_force[0], rel_tol=1e-12)
    assert trace.pressure_gas[0] < specimen.filling.gas_pressure  # the rod stands out


def test_without_a_reserve_valve_the_head_side_has_gas_pressure() -> None:
    trace = run_sine(specimen=MONOTUBE, motion=SineMotion(5.0, 0.02), cycles=1)
    assert trace.pressure_head == trace.pressure_gas


def test_a_very_open_reserve_valve_comes_near_to_none() -> None:
    wide = Valve(3e-4, 0.0, 0.02, 0.0, 0.0, 0.0)
    damper = replace(MONOTUBE.damper, reserve=ValvePair(wide, wide))
    motion = SineMotion(5.0, 0.02)
    without = run_sine(specimen=MONOTUBE, motion=motion)
    with_valve = run_sine(specimen=replace(MONOTUBE, damper=damper), motion=motion)
    assert isclose(max(without.force), max(with_valve.force), rel_tol=1e-3)
    assert isclose(min(without.force), min(with_valve.force), rel_tol=1e-3)


def test_a_void_keeps_its_pressure_above_zero_and_holds_gas() -> None:
    trace = run_sine(specimen=SHORT_OF_CHARGE, motion=corrugated(kilometres_per_hour=80.0))
    assert 0.0 < min(trace.pressure_rod) < 5e3
    room = SHORT_OF_CHARGE.filling.rod_volume
    assert 0.01 * room < max(trace.free_gas_rod) < 0.5 * room


def test_a_void_without_free_gas_is_refused_with_time_speed_and_pressures() -> None:
    clean = replace(SHORT_OF_CHARGE, chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=0.0))
    motion = corrugated(kilometres_per_hour=80.0)
    with pytest.raises(
        NoSolutionError, match=r" s, at .* m/s \(absolute: head side .* bar, rod side .* bar"
    ) as caught:
        run_sine(specimen=clean, motion=motion, cycles=1)
    told = re.search(
        r"Solved until then: (\d+) of 200 time steps, with forces from .* to (\S+) N",
        str(caught.value),
    )
    assert told
    solved = int(told[1])
    nearly = replace(SHORT_OF_CHARGE, chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=1e-5))
    trace = run_sine(specimen=nearly, motion=motion, cycles=1)  # can open a void
    assert 0 < solved < 200
    assert float(told[2]) == pytest.approx(max(trace.force[: solved + 1]), rel=0.1)


@pytest.mark.parametrize("specimen", [MONOTUBE, FOAMY])
def test_twice_the_steps_quarter_the_error(specimen: Specimen) -> None:
    leak = Valve(0.0, 0.0, 0.02, 0.0, 0.0, 0.0, leak=2e-12)
    pair = ValvePair(leak, leak)
    reserve = None if specimen.damper.reserve is None else pair
    damper = replace(specimen.damper, piston=pair, reserve=reserve, seal_friction=0.0)
    viscous = replace(specimen, damper=damper)

    def force(steps: int) -> float:
        motion = SineMotion(8.0, 0.01)
        trace = run_sine(specimen=viscous, motion=motion, cycles=1, steps=steps)
        return trace.force[steps // 4]

    fine = force(1280)
    coarse, middle, good = (abs(force(steps) - fine) for steps in (40, 80, 160))
    assert coarse / middle > 3.0
    assert middle / good > 3.0


@pytest.mark.parametrize("specimen", SPECIMENS)
def test_a_recorded_sine_gives_what_the_sine_gives(specimen: Specimen) -> None:
    motion = SineMotion(5.0, 0.015)
    sine = run_sine(specimen=specimen, motion=motion, cycles=2, steps=200)
    times = tuple(i / (5.0 * 50) for i in range(101))
    path = tuple(-0.015 * cos(2.0 * pi * 5.0 * time) for time in times)
    recorded = run_displacement(specimen=specimen, times=times, displacements=path, substeps=4)
    assert recorded.cycle_steps == 0
    assert len(recorded.time) == 401
    assert isclose(max(recorded.force), max(sine.force), rel_tol=5e-3)
    assert isclose(min(recorded.force), min(sine.force), rel_tol=5e-3)


def test_a_straight_line_of_displacement_has_one_velocity() -> None:
    times = (0.0, 0.01, 0.015, 0.03, 0.05)
    path = tuple(0.2 * time for time in times)
    trace = run_displacement(specimen=MONOTUBE, times=times, displacements=path, substeps=5)
    assert all(isclose(velocity, 0.2, rel_tol=1e-9) for velocity in trace.velocity)


def test_a_parabola_of_displacement_is_followed_exactly() -> None:
    times = tuple(0.01 * i for i in range(8))
    path = tuple(3.0 * time * time for time in times)
    trace = run_displacement(specimen=MONOTUBE, times=times, displacements=path, substeps=3)
    for time, x, velocity in zip(trace.time, trace.displacement, trace.velocity, strict=True):
        assert isclose(x, 3.0 * time * time, abs_tol=1e-15)
        assert isclose(velocity, 6.0 * time, abs_tol=1e-12)


def test_stepped_speeds_keep_the_stroke() -> None:
    speeds = (0.1, 0.3, 0.6)
    traces = run_stepped_sine(
        specimen=TWIN_TUBE, amplitude=0.02, speeds=speeds, cycles=2, steps=100
    )
    for speed, trace in zip(speeds, traces, strict=True):
        assert isclose(max(trace.velocity), speed, rel_tol=1e-9)
        assert isclose(max(trace.displacement), 0.02, rel_tol=1e-9)
    peaks = [max(trace.force) for trace in traces]
    assert peaks == sorted(peaks)


def test_a_faster_drive_over_corrugations_is_a_faster_sine() -> None:
    motion = corrugation(wavelength=0.75, amplitude=0.012, speed=22.5, motion_ratio=0.8)
    assert motion.frequency == 30.0  # by hand: 22.5 / 0.75
    assert isclose(motion.peak_velocity, 2.0 * pi * 30.0 * 0.0096)


@given(
    bleed=st.floats(2e-7, 1e-5),
    crack=st.floats(0.0, 2e6),
    compliance=st.floats(1e-11, 2e-9),
    free_gas=st.floats(1e-5, 0.08),
    charge=st.floats(1.2e5, 4e6),
    frequency=st.floats(0.2, 40.0),
    base=st.sampled_from((MONOTUBE, TWIN_TUBE)),
    check=st.booleans(),
)
@settings(max_examples=25, deadline=None)
def test_any_sensible_damper_can_be_moved(
    *,
    bleed: float,
    crack: float,
    compliance: float,
    free_gas: float,
    charge: float,
    frequency: float,
    base: Specimen,
    check: bool,
) -> None:
    valve = Valve(bleed, 1e-4, 0.026, crack, compliance, 5e-4, check=check)
    specimen = replace(
        base,
        damper=replace(base.damper, piston=ValvePair(valve, valve)),
        filling=replace(base.filling, gas_pressure=charge),
        chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=free_gas),
    )
    trace = run_sine(specimen=specimen, motion=SineMotion(frequency, 0.02), cycles=1, steps=60)
    total = oil_inside(trace)
    assert max(total) - min(total) < 1e-6 * total[0]
    assert min(*trace.pressure_head, *trace.pressure_rod, *trace.pressure_gas) > 0.0


@pytest.mark.parametrize(
    ("amplitude", "centre"), [(0.12, 0.0), (0.02, 0.09), (0.02, -0.1), (0.4, 0.0)]
)
def test_a_motion_longer_than_the_damper_is_refused(amplitude: float, centre: float) -> None:
    with pytest.raises(ConflictError, match="there is room for"):
        run_sine(specimen=TWIN_TUBE, motion=SineMotion(1.0, amplitude), centre=centre)


def test_an_odd_number_of_steps_is_refused() -> None:
    with pytest.raises(ConflictError, match="even number"):
        run_sine(specimen=TWIN_TUBE, motion=SineMotion(1.0, 0.01), steps=201)


@pytest.mark.parametrize("value", [0.0, -1.0, nan, inf])
def test_a_motion_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="Frequency"):
        SineMotion(value, 0.01)
    with pytest.raises(OutOfRangeError, match="Amplitude"):
        SineMotion(1.0, value)
    with pytest.raises(OutOfRangeError, match="speed"):
        corrugation(wavelength=0.75, amplitude=0.012, speed=value)


@pytest.mark.parametrize("field", ["head_volume", "rod_volume", "gas_pressure", "gas_volume"])
def test_a_filling_with_nothing_in_it_is_refused(field: str) -> None:
    with pytest.raises(OutOfRangeError):
        replace(Filling(1e-4, 1e-4, 5e5, 1e-4), **{field: 0.0})


def test_times_that_do_not_rise_are_refused() -> None:
    with pytest.raises(ConflictError, match="times must rise"):
        run_displacement(specimen=MONOTUBE, times=(0.0, 0.2, 0.2), displacements=(0.0, 0.01, 0.02))


def test_lists_of_different_length_are_refused() -> None:
    with pytest.raises(ConflictError, match="as many of each"):
        run_displacement(specimen=MONOTUBE, times=(0.0, 0.1, 0.2), displacements=(0.0, 0.01))
