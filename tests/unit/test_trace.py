"""Measuring a trace: what is known to be true comes back."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.signal import savgol_filter

from calculators import demo
from calculators.bench_job import gas_force_of, specimen_of_job, temperature_of
from calculators.errors import ConflictError
from calculators.physics import loop
from calculators.physics.bench import run_stepped_sine
from calculators.physics.cleaning import clean, spikes
from calculators.physics.savitzky_golay import local_derivative, polynomial_weights
from calculators.physics.synthetic import Faults, Invented, invented_trace
from calculators.physics.trace import TraceReport, damping_curve, measure

SPEEDS = (0.01, 0.05, 0.1, 0.26, 0.52, 1.0)
# A load cell of 10 kN with 0.05 % noise, a displacement of 100 mm with 0.02 %: our figures.
REALISTIC = Faults(
    force_noise=5.0, displacement_noise=2e-5, displacement_offset=0.003,
    spikes=20, spike_force=2_500.0, temperature_start=298.15, temperature_rise=6.0,
)  # fmt: skip
if TYPE_CHECKING:
    from calculators.physics.bench import Specimen

CASES = [(name, seed) for name in demo.NAMES for seed in (1, 2, 3)]


@cache
def _specimen(name: str) -> Specimen:
    return specimen_of_job(demo.read(name))


@cache
def _invented(name: str, seed: int, faults: Faults | None = None) -> Invented:
    return invented_trace(
        specimen=_specimen(name), amplitude=0.025, speeds=SPEEDS, seed=seed,
        faults=faults, cycles=4,
    )  # fmt: skip


def _report(trace: Invented) -> TraceReport:
    return measure(
        time=trace.time,
        displacement=trace.displacement,
        force=trace.force,
        temperature=trace.temperature,
    )


@pytest.mark.parametrize(("name", "seed"), CASES)
def test_forces_at_peak_speed_come_back_within_one_percent(name: str, seed: int) -> None:
    trace = _invented(name, seed, REALISTIC)
    report = _report(trace)
    assert report.velocities == pytest.approx(trace.speeds, rel=5e-3)
    assert report.compression == pytest.approx(trace.compression, rel=0.01)
    assert report.rebound == pytest.approx(trace.rebound, rel=0.01)


@pytest.mark.parametrize(("name", "seed"), CASES)
def test_the_gas_force_comes_back_within_two_percent(name: str, seed: int) -> None:
    trace = _invented(name, seed, REALISTIC)
    assert _report(trace).gas_force == pytest.approx(trace.gas_force, rel=0.02)


def test_the_truth_of_an_invented_trace_is_that_of_the_virtual_bench() -> None:
    specimen = _specimen("trailer")
    trace = _invented("trailer", 1)
    assert trace.gas_force == gas_force_of(specimen)
    runs = run_stepped_sine(specimen=specimen, amplitude=0.025, speeds=SPEEDS)
    assert trace.compression == pytest.approx([run.damping_force[-151] for run in runs])


@pytest.mark.parametrize("name", demo.NAMES)
def test_energy_and_loop_width_are_those_of_the_virtual_bench(name: str) -> None:
    report = _report(_invented(name, 1, REALISTIC))
    runs = run_stepped_sine(specimen=_specimen(name), amplitude=0.025, speeds=SPEEDS)
    for point, run in zip(report.points, runs, strict=True):
        assert point.energy == pytest.approx(loop.loop_energy(trace=run), rel=0.01)
        # five samples see the opening of a valve as a width: a tenth of the force, our figure
        width = loop.hysteresis_width(trace=run)
        assert point.hysteresis == pytest.approx(width, abs=0.1 * point.rebound)


def test_spikes_offset_and_temperature_are_found() -> None:
    report = _report(_invented("trailer", 1, REALISTIC))
    assert report.spikes == pytest.approx(20, abs=2)
    assert report.centre == pytest.approx(0.003, abs=1e-4)
    assert report.temperature_start == pytest.approx(298.15, abs=0.1)
    assert report.temperature_end == pytest.approx(304.15, abs=0.1)
    assert report.gas_from == "slow cycle"


def test_the_same_number_gives_the_same_trace() -> None:
    one, same, other = (_invented("trailer", seed, REALISTIC) for seed in (1, 1, 2))
    assert np.array_equal(one.force, same.force)
    assert not np.array_equal(one.force, other.force)


def test_a_fading_damper_shows_its_fade() -> None:
    report = _report(_invented("trailer", 1, Faults(fade=0.3)))
    assert all(point.change <= 0.0 for point in report.points)
    assert min(point.change for point in report.points) < -0.01


def _simple(*, turn_x: float = 1.0, turn_f: float = 1.0, gas: float = 900.0) -> TraceReport:
    """Return the report of a slow and a fast run of a linear damper of 2 000 N·s/m."""
    time, x, v = [], [], []
    start = 0.0
    for frequency in (0.1, 2.0):
        t = np.arange(0.0, 4.0 / frequency, 0.002)
        w = 2.0 * np.pi * frequency
        time.append(t + start)
        x.append(-0.02 * np.cos(w * t))
        v.append(0.02 * w * np.sin(w * t))
        start += 4.0 / frequency
    speed = np.concatenate(v)
    return measure(
        time=np.concatenate(time),
        displacement=turn_x * np.concatenate(x),
        force=turn_f * (2_000.0 * speed + gas),
    )


@pytest.mark.parametrize(
    ("turn_x", "turn_f", "turned"),
    [(1.0, 1.0, ""), (1.0, -1.0, "force"), (-1.0, 1.0, "displacement"), (-1.0, -1.0, "both")],
)
def test_signs_that_cannot_be_right_are_turned_and_told(
    turn_x: float, turn_f: float, turned: str
) -> None:
    report = _simple(turn_x=turn_x, turn_f=turn_f)
    assert report.turned == turned
    assert report.gas_force == pytest.approx(900.0, rel=1e-3)
    assert report.compression[-1] == pytest.approx(2_000.0 * 0.02 * 4.0 * np.pi, rel=1e-3)
    assert bool(turned) == any("turned" in notice for notice in report.notices)


def test_uneven_steps_are_evened_and_told() -> None:
    random = np.random.default_rng(1)
    t = np.sort(random.uniform(0.0, 4.0, 4_000))
    w = 4.0 * np.pi
    report = measure(
        time=t, displacement=-0.02 * np.cos(w * t), force=40.0 * w * np.sin(w * t) + 300.0
    )
    assert report.compression[0] == pytest.approx(40.0 * w, rel=0.01)
    assert any("uneven times" in notice for notice in report.notices)


def test_without_a_slow_cycle_the_gas_force_says_so() -> None:
    t = np.linspace(0.0, 3.0, 3_001)
    report = measure(time=t, displacement=-0.02 * np.cos(9.0 * t), force=np.sin(9.0 * t) + 300.0)
    assert report.gas_from == "mid-stroke mean"
    assert any("No cycle was slow" in notice for notice in report.notices)


@pytest.mark.parametrize(
    ("displacement", "words"),
    [
        (lambda t: 0.0 * t, "does not change"),
        (lambda t: t, "No whole cycle"),
        (lambda t: 0.02 * np.sin(300.0 * t), "samples; at least 16"),
    ],
    ids=["at rest", "one way", "too fast"],
)
def test_a_trace_that_cannot_be_measured_says_why(displacement: object, words: str) -> None:
    t = np.linspace(0.0, 2.0, 1_000)
    with pytest.raises(ConflictError, match=words):
        measure(time=t, displacement=displacement(t), force=t)  # type: ignore[operator]


def test_too_short_a_trace_is_refused() -> None:
    with pytest.raises(ConflictError, match="at least 16 samples"):
        clean(time=np.arange(5.0), displacement=np.arange(5.0), force=np.arange(5.0))


def test_a_pause_between_speeds_is_no_cycle() -> None:
    t = np.arange(0.0, 2.0, 0.001)
    w = 4.0 * np.pi
    run = -0.02 * np.cos(w * t)
    rest = np.full(1_500, run[-1])
    x = np.concatenate((run, rest, run))
    v = np.gradient(x, 0.001)
    time = np.linspace(0.0, 0.001 * (len(x) - 1), len(x))
    report = measure(time=time, displacement=x, force=1_000.0 * v + 200.0)
    assert report.skipped == 1
    assert report.velocities == pytest.approx((0.02 * w,), rel=1e-3)


def test_a_steep_force_is_no_spike() -> None:
    t = np.linspace(0.0, 4.0, 2_001)
    force = 1_000.0 * np.sign(np.sin(4.0 * np.pi * t)) + 50.0 * np.cos(4.0 * np.pi * t)
    assert not spikes(values=force).any()


def test_lost_stroke_shows_a_gap_after_the_reversal() -> None:
    t = np.linspace(0.0, 6.0, 12_001)
    w = 2.0 * np.pi
    x, v = -0.02 * np.cos(w * t), 0.02 * w * np.sin(w * t)
    # inward the force comes only 3 mm after the outer end
    late = np.where((v > 0.0) & (x < -0.017), 0.0, 2_000.0 * v)
    point = measure(time=t, displacement=x, force=late + 300.0).points[0]
    assert point.lost_compression == pytest.approx(0.003, abs=3e-4)
    assert point.lost_rebound < 3e-4


def test_the_curve_of_a_linear_damper_is_a_line() -> None:
    velocities, forces = damping_curve(loop=_simple().points[-1].loop)
    assert forces == pytest.approx([2_000.0 * v for v in velocities], abs=5.0)
    assert len(velocities) == 41


@pytest.mark.parametrize("derivative", [0, 1, 2])
@pytest.mark.parametrize(("window", "order"), [(5, 2), (7, 3), (21, 3), (51, 5)])
def test_the_derivative_is_that_of_scipy_to_the_last_sample(
    window: int, order: int, derivative: int
) -> None:
    values = np.random.default_rng(window).normal(size=200).cumsum()
    ours = local_derivative(
        values=values, step=0.002, window=window, order=order, derivative=derivative
    )
    theirs = savgol_filter(values, window, order, deriv=derivative, delta=0.002)
    scale = np.abs(theirs).max()
    assert np.abs(ours - theirs).max() <= 1e-9 * scale  # rounding of both


def test_weights_of_a_smoother_sum_to_one_and_of_a_slope_to_zero() -> None:
    assert sum(polynomial_weights(window=11, order=3)) == pytest.approx(1.0)
    assert sum(polynomial_weights(window=11, order=3, derivative=1)) == pytest.approx(
        0.0, abs=1e-12
    )


@pytest.mark.parametrize(("window", "order", "derivative"), [(3, 3, 0), (5, 2, 3), (1, 1, 0)])
def test_a_polynomial_that_does_not_fit_is_refused(
    window: int, order: int, derivative: int
) -> None:
    with pytest.raises(ConflictError):
        polynomial_weights(window=window, order=order, derivative=derivative)


@pytest.mark.parametrize("window", [4, 301])
def test_a_window_that_is_even_or_too_wide_is_refused(window: int) -> None:
    with pytest.raises(ConflictError):
        local_derivative(values=np.zeros(300), step=1.0, window=window, order=2)


def test_an_invented_trace_needs_speeds_and_samples() -> None:
    specimen = _specimen("trailer")
    with pytest.raises(ConflictError, match="No speeds"):
        invented_trace(specimen=specimen, amplitude=0.02, speeds=())
    with pytest.raises(ConflictError, match="samples a second"):
        invented_trace(specimen=specimen, amplitude=0.02, speeds=(1.0,), sample_rate=50.0)


def test_the_temperature_of_a_job_is_that_of_its_bench() -> None:
    assert temperature_of(demo.read("trailer")) == pytest.approx(333.15)
