"""The inverse: fit, drilling, made valves and the whole damper."""

from __future__ import annotations

from dataclasses import replace
from math import exp, isclose, log, pi
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from calculators.errors import ConflictError, NoSolutionError
from calculators.physics._valve_slopes import drop_and_slopes
from calculators.physics.drill import (
    HOLE_COUNTS,
    SHIM_COUNTS,
    SHIM_THICKNESSES,
    nearest_drilling,
    nearest_stack,
    nearest_step,
)
from calculators.physics.fit import least_squares
from calculators.physics.fluid import Oil
from calculators.physics.network import force_velocity_curve
from calculators.physics.sizing import Duty, ValveFrame, fit_valves, make_valves
from calculators.physics.valve import Valve, valve_pressure_drop
from calculators.physics.valving import FootTask, ForceTarget, intake_valve, size_damper

if TYPE_CHECKING:
    from collections.abc import Sequence

OIL = Oil(density=850.0, dynamic_viscosity=0.012)
FRAME = ValveFrame(disc_diameter=0.028, max_lift=1e-3, port_limit=3e-4)
FLOWS = (7.5e-5, 1.5e-4, 2e-4, 4e-4, 6e-4, 8e-4, 1.5e-3)
TARGET = ForceTarget(  # invented
    speeds=(0.05, 0.1, 0.13, 0.26, 0.39, 0.52, 1.0),
    compression=(150.0, 250.0, 290.0, 430.0, 540.0, 640.0, 1000.0),
    rebound=(300.0, 620.0, 750.0, 1150.0, 1450.0, 1700.0, 2500.0),
)
FOOT = FootTask(
    ratio=1.0,
    frame=ValveFrame(disc_diameter=0.012, max_lift=1e-3, port_limit=6e-5),
    intake_frame=ValveFrame(disc_diameter=0.022, max_lift=1.5e-3, port_limit=1.5e-4),
    intake_drop=3e4,
)


def _duty(valve: Valve) -> Duty:
    return Duty(FLOWS, tuple(valve_pressure_drop(valve=valve, flow=q, oil=OIL) for q in FLOWS))


@settings(max_examples=4, deadline=None)  # each example is four fits or more
@given(st.floats(1e-6, 2.5e-6), st.floats(4e5, 9e5), st.floats(5e-11, 1.5e-10))
def test_the_fit_finds_the_valve_that_made_the_target(
    bleed: float, crack: float, compliance: float
) -> None:
    valve = Valve(bleed, 3e-5, FRAME.disc_diameter, crack, compliance, FRAME.max_lift)
    (found,) = fit_valves(duties=(_duty(valve),), frames=(FRAME,), oil=OIL)
    assert isclose(found.bleed_area, bleed, rel_tol=1e-5)
    assert isclose(found.crack_pressure, crack, rel_tol=1e-5)
    assert isclose(found.compliance, compliance, rel_tol=1e-5)
    assert isclose(found.port_area, 3e-5, rel_tol=1e-5)


def test_two_valves_of_a_piston_share_their_bleed() -> None:
    soft = Valve(1.5e-6, 3e-5, FRAME.disc_diameter, 5e5, 1e-10, FRAME.max_lift)
    firm = replace(soft, crack_pressure=15e5, compliance=5e-11)
    found = fit_valves(duties=(_duty(soft), _duty(firm)), frames=(FRAME, FRAME), oil=OIL)
    assert found[0].bleed_area == found[1].bleed_area
    assert isclose(found[0].bleed_area, 1.5e-6, rel_tol=1e-5)
    assert isclose(found[1].crack_pressure, 15e5, rel_tol=1e-5)


def test_made_sizes_are_drills_and_steps() -> None:
    soft = Valve(1.5e-6, 3e-5, FRAME.disc_diameter, 5.13e5, 1e-10, FRAME.max_lift)
    (made,) = make_valves(duties=(_duty(soft),), frames=(FRAME,), oil=OIL, preload_step=5e4)
    for holes in (made.bleed, made.ports):
        assert isclose(holes.diameter * 1e4, round(holes.diameter * 1e4), rel_tol=1e-9)
    assert made.valve.crack_pressure % 5e4 == 0.0
    assert made.valve.bleed_area == made.bleed.area
    for flow, drop, wanted, off in zip(
        FLOWS, made.pressure_drops, _duty(soft).pressure_drops, made.deviations, strict=True
    ):
        assert drop == valve_pressure_drop(valve=made.valve, flow=flow, oil=OIL)
        assert off == drop / wanted - 1.0
        assert abs(off) < 0.1


@pytest.mark.parametrize("foot", [None, FOOT])
def test_a_sized_damper_comes_near_its_target(foot: FootTask | None) -> None:
    sized = size_damper(
        target=TARGET,
        piston_diameter=0.035,
        rod_diameter=0.0125,
        frames=(replace(FRAME, port_limit=1.5e-4), replace(FRAME, port_limit=1.5e-4)),
        oil=OIL,
        preload_step=5e4,
        foot=foot,
        seal_friction=20.0,
    )
    assert max(map(abs, sized.deviation_compression + sized.deviation_rebound)) < 0.2
    curve = force_velocity_curve(
        damper=sized.damper, velocities=sized.speeds, gas_pressure=5e5, oil=OIL
    )
    for real, shown in zip(curve.damping_force, sized.force_compression, strict=True):
        assert isclose(real - 20.0, shown, rel_tol=1e-9)


def test_the_intake_keeps_within_its_drop() -> None:
    foot = Valve(5e-7, 2e-5, 0.012, 5e5, 1e-10, 1e-3)
    intake = intake_valve(
        flow=1.2e-4, pressure_drop=3e4, frame=FOOT.intake_frame, oil=OIL, bleed=foot
    )
    assert valve_pressure_drop(valve=intake, flow=1.2e-4, oil=OIL) < 3e4


def test_an_intake_without_room_is_refused() -> None:
    foot = Valve(5e-7, 2e-5, 0.012, 5e5, 1e-10, 1e-3)
    with pytest.raises(ConflictError, match="room"):
        intake_valve(flow=1e-2, pressure_drop=3e4, frame=FOOT.intake_frame, oil=OIL, bleed=foot)


def test_a_falling_target_is_refused() -> None:
    with pytest.raises(ConflictError, match="rising"):
        Duty(FLOWS, (1e5, 2e5, 1.5e5, 3e5, 4e5, 5e5, 6e5))


def test_too_few_points_are_refused() -> None:
    with pytest.raises(ConflictError, match="at least 4"):
        Duty(FLOWS[:3], (1e5, 2e5, 3e5))


def test_lists_of_different_length_are_refused() -> None:
    with pytest.raises(ConflictError, match="as many"):
        replace(TARGET, rebound=(1.0,))
    with pytest.raises(ConflictError, match="one frame"):
        fit_valves(duties=(), frames=(), oil=OIL)


@given(st.floats(2e-7, 5e-4))
def test_no_other_drilling_of_the_set_is_nearer(area: float) -> None:
    made = nearest_drilling(area=area)
    for count in HOLE_COUNTS:
        for tenths in range(5, 131):
            other = count * pi / 4.0 * (tenths * 1e-4) ** 2
            same_count_step = abs((other / count) ** 0.5 - (area / count) ** 0.5)
            if same_count_step <= 0.5e-4 * (pi / 4.0) ** 0.5 * 0.999:
                assert abs(made.area - area) <= abs(other - area) * (1.0 + 1e-9)


@given(st.floats(0.0, 1e7), st.floats(1e3, 1e6))
def test_a_step_is_never_more_than_half_a_step_away(value: float, step: float) -> None:
    assert abs(nearest_step(value=value, step=step) - value) <= 0.5 * step * (1.0 + 1e-9)


@given(st.floats(1e-12, 1e-8), st.floats(1e-10, 1e-8))
def test_no_other_stack_of_equal_shims_is_nearer(compliance: float, single: float) -> None:
    made = nearest_stack(compliance=compliance, single=single)
    for count in SHIM_COUNTS:
        for thickness in SHIM_THICKNESSES:
            other = single * (SHIM_THICKNESSES[0] / thickness) ** 3 / count
            off, least = (abs(log(one / compliance)) for one in (other, made.compliance))
            assert off >= least * (1.0 - 1e-9)


def test_a_stack_without_thicknesses_is_refused() -> None:
    with pytest.raises(ConflictError, match="thickness"):
        nearest_stack(compliance=1e-10, single=1e-9, thicknesses=())


def test_drills_without_a_number_of_holes_are_refused() -> None:
    with pytest.raises(ConflictError, match="number of holes"):
        nearest_drilling(area=1e-6, counts=())


def test_least_squares_finds_the_valley_of_a_curved_function() -> None:
    found = least_squares(
        model=lambda p: (
            (10.0 * (p[1] - p[0] ** 2), 1.0 - p[0]),
            ((-20.0 * p[0], 10.0), (-1.0, 0.0)),
        ),
        start=(-1.2, 1.0),
        lowest=(-5.0, -5.0),
        highest=(5.0, 5.0),
    )
    assert found == pytest.approx((1.0, 1.0), abs=1e-9)  # Rosenbrock's function, minimum (1, 1)


def test_least_squares_meets_the_certified_fit_of_a_saturating_curve() -> None:
    # NIST Statistical Reference Datasets, Misra1a (value from memory): y = b1 (1 − exp(−b2 x))
    x = (77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
         760.0)  # fmt: skip
    y = (10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
         81.78)  # fmt: skip

    def model(p: Sequence[float]) -> tuple[list[float], list[tuple[float, float]]]:
        b_1, b_2 = 100.0 * p[0], 1e-3 * p[1]
        left = [exp(-b_2 * one) for one in x]
        residuals = [b_1 * (1.0 - e) - real for e, real in zip(left, y, strict=True)]
        slopes = [(100.0 * (1.0 - e), 1e-3 * b_1 * one * e) for e, one in zip(left, x, strict=True)]
        return residuals, slopes

    found = least_squares(model=model, start=(5.0, 0.1), lowest=(0.1, 0.01), highest=(50.0, 9.0))
    assert 100.0 * found[0] == pytest.approx(2.3894212918e2, rel=1e-9)
    assert 1e-3 * found[1] == pytest.approx(5.5015643181e-4, rel=1e-9)
    theirs = optimize.least_squares(lambda p: model(p)[0], (2.0, 0.5), xtol=1e-14, ftol=1e-14)
    assert found == pytest.approx(tuple(theirs.x), rel=1e-5)  # scipy, with differences for slopes


@pytest.mark.parametrize(
    "valve",
    [
        Valve(1.5e-6, 3e-5, 0.028, 5e5, 1e-10, 1e-3, leak=1e-14),
        Valve(1.5e-6, 3e-5, 0.028, 5e5, 1e-9, 2e-4, port_count=6),
    ],
    ids=["disc free", "disc at its stop"],
)
@pytest.mark.parametrize("flow", [5e-5, 2e-4, 1e-3])
def test_the_slopes_of_the_drop_are_those_of_its_differences(valve: Valve, flow: float) -> None:
    drop, slopes = drop_and_slopes(valve, flow, OIL)
    assert drop == valve_pressure_drop(valve=valve, flow=flow, oil=OIL)
    for name, slope in slopes._asdict().items():
        ends = [
            log(valve_pressure_drop(valve=replace(valve, **{name: size}), flow=flow, oil=OIL))
            for size in (getattr(valve, name) * exp(1e-5), getattr(valve, name) * exp(-1e-5))
        ]
        assert slope == pytest.approx((ends[0] - ends[1]) / 2e-5, rel=1e-6, abs=1e-8)


def test_a_target_that_no_valve_comes_near_is_no_answer() -> None:
    flat = Duty(FLOWS, tuple(1e3 + place for place in range(len(FLOWS))), area=1e-3)
    where = rf"near the target.* {FLOWS[-1] / 1e-3:.3g} m/s .* bar instead of 0\.0101 bar"
    with pytest.raises(NoSolutionError, match=where):
        fit_valves(duties=(flat,), frames=(replace(FRAME, port_limit=2e-6),), oil=OIL)


def test_a_fit_that_does_not_settle_names_speeds_and_pressures(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def unsettled(**_: object) -> None:
        message = "The fit still improves."
        raise NoSolutionError(message)

    monkeypatch.setattr("calculators.physics.sizing.least_squares", unsettled)
    duty = Duty((1e-5, 2e-5, 4e-5, 1e-4), (1e5, 2e5, 3e5, 40e5), area=1e-3)
    where = r"0\.01 m/s \(0\.6 L/min\) to 0\.1 m/s \(6 L/min\) at 1 to 40 bar\. The fit"
    with pytest.raises(NoSolutionError, match=where):
        fit_valves(duties=(duty,), frames=(FRAME,), oil=OIL)


def test_least_squares_stays_within_its_bounds() -> None:
    found = least_squares(
        model=lambda p: ((p[0] - 3.0, p[1] + 3.0), ((1.0, 0.0), (0.0, 1.0))),
        start=(0.0, 0.0),
        lowest=(-1.0, -1.0),
        highest=(1.0, 1.0),
    )
    assert found == (1.0, -1.0)


def test_least_squares_that_never_settles_says_so() -> None:
    with pytest.raises(NoSolutionError, match="still improves"):
        least_squares(  # each step doubles the unknown, and the minimum lies at infinity
            model=lambda p: ((1.0 / p[0],), ((-1.0 / p[0] ** 2,),)),
            start=(1.0,),
            lowest=(1.0,),
            highest=(1e200,),
        )
