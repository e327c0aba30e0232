"""Laws of the warm damper: balances, limits, and what makes it hotter."""

from __future__ import annotations

from dataclasses import replace
from math import exp, isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from calculators.errors import ConflictError, NoSolutionError, OutOfRangeError
from calculators.physics._root import find_root
from calculators.physics._runge_kutta import integrate
from calculators.physics.fin import Fins
from calculators.physics.heat import heat_shed, steady_heat
from calculators.physics.heat_sensitivity import sensitivities
from calculators.physics.lumped import lumped_temperature, lumped_time, time_constant
from calculators.physics.oil_line import ThermalOil
from calculators.physics.power import (
    power_from_random,
    power_from_sine,
    random_power,
    sine_power,
)
from calculators.physics.reserve_gap import ReserveGap, gap_heat
from calculators.physics.shell import Shell, Surroundings, shell_loss
from calculators.physics.thermal_damper import ThermalDamper, body_intake, exchange_conductance
from calculators.physics.warm_up import warm_up

FEW = settings(max_examples=20)
OIL = ThermalOil(
    density=830.0,
    kinematic_viscosity=6e-6,
    thermal_expansion=7e-4,
    thermal_conductivity=0.128,
    specific_heat=2080.0,
)
GAP = ReserveGap(inner_diameter=0.033, outer_diameter=0.047, length=0.25, oil_share=0.6, oil=OIL)
BODY = Shell(diameter=0.05, length=0.3, heat_capacity=450.0)
FINS = Fins(count=10, tip_diameter=0.07, thickness=0.0025, conductivity=170.0)
RESERVOIR = Shell(diameter=0.05, length=0.12, heat_capacity=300.0, fins=FINS)
MONOTUBE = ThermalDamper(
    body=BODY, working_diameter=0.046, working_length=0.25, oil_heat_capacity=700.0
)
TWIN_TUBE = ThermalDamper(
    body=BODY, working_diameter=0.03, working_length=0.25, oil_heat_capacity=700.0, gap=GAP
)
WITH_RESERVOIR = replace(MONOTUBE, reservoir=RESERVOIR, reservoir_conductance=5.0)
DAMPERS = st.sampled_from([MONOTUBE, TWIN_TUBE, WITH_RESERVOIR])
WARM_DAY = Surroundings(air_temperature=318.15, air_speed=5.0)
POWERS = st.floats(1.0, 90.0)


@settings(max_examples=15)
@given(damper=DAMPERS, power=POWERS, speed=st.floats(0.0, 20.0), sun=st.floats(0.0, 1000.0))
def test_the_energy_balance_closes(
    damper: ThermalDamper, power: float, speed: float, sun: float
) -> None:
    around = Surroundings(air_temperature=300.0, air_speed=speed, irradiance=sun)
    heat = steady_heat(damper=damper, power=power, surroundings=around)
    assert isclose(heat.power, power, abs_tol=1e-5)
    parts = [heat.body] + ([heat.reservoir] if heat.reservoir is not None else [])
    given_off = sum(part.convection_power + part.radiation_power for part in parts)
    assert isclose(given_off, power + sum(part.solar_power for part in parts), abs_tol=1e-5)
    intake = body_intake(
        damper=damper, oil_temperature=heat.oil_temperature, body_temperature=heat.body_temperature
    )
    assert isclose(intake, heat.body.power, abs_tol=1e-5)


@settings(max_examples=10)
@given(damper=DAMPERS, power=POWERS)
def test_the_power_that_holds_a_temperature_comes_back(damper: ThermalDamper, power: float) -> None:
    heat = steady_heat(damper=damper, power=power, surroundings=WARM_DAY)
    shed = heat_shed(damper=damper, oil_temperature=heat.oil_temperature, surroundings=WARM_DAY)
    assert isclose(shed.power, power, abs_tol=1e-5)


@settings(max_examples=10)
@given(damper=DAMPERS, power=POWERS, more=st.floats(1.0, 20.0))
def test_more_power_is_hotter_and_more_wind_cooler(
    damper: ThermalDamper, power: float, more: float
) -> None:
    usual = steady_heat(damper=damper, power=power, surroundings=WARM_DAY)
    worked = steady_heat(damper=damper, power=power + more, surroundings=WARM_DAY)
    windy = replace(WARM_DAY, air_speed=WARM_DAY.air_speed + more)
    blown = steady_heat(damper=damper, power=power, surroundings=windy)
    assert worked.oil_temperature > usual.oil_temperature > blown.oil_temperature


@pytest.mark.parametrize("damper", [MONOTUBE, TWIN_TUBE, WITH_RESERVOIR])
def test_without_power_and_sun_the_damper_is_as_warm_as_the_air(damper: ThermalDamper) -> None:
    heat = steady_heat(damper=damper, power=0.0, surroundings=WARM_DAY)
    assert heat.oil_temperature == WARM_DAY.air_temperature
    assert heat.resistance == 0.0
    assert heat.reservoir_share == 0.0


def test_the_sun_warms_a_damper_at_rest() -> None:
    sunny = replace(WARM_DAY, irradiance=900.0)
    heat = steady_heat(damper=MONOTUBE, power=0.0, surroundings=sunny)
    assert heat.oil_temperature > WARM_DAY.air_temperature
    assert isclose(heat.oil_temperature, heat.body_temperature, abs_tol=1e-6)


def test_a_twin_tube_runs_hotter_than_a_monotube_of_the_same_outside() -> None:
    mono, twin = (
        steady_heat(damper=damper, power=60.0, surroundings=WARM_DAY)
        for damper in (MONOTUBE, TWIN_TUBE)
    )
    assert twin.oil_temperature > mono.oil_temperature + 10.0
    assert isclose(twin.body_temperature, mono.body_temperature, abs_tol=1e-5)


def test_a_reservoir_helps_more_with_fins_and_not_at_all_behind_a_long_hose() -> None:
    plain = replace(WITH_RESERVOIR, reservoir=replace(RESERVOIR, fins=None))
    none, bare, finned = (
        steady_heat(damper=damper, power=100.0, surroundings=WARM_DAY)
        for damper in (MONOTUBE, plain, WITH_RESERVOIR)
    )
    assert none.oil_temperature > bare.oil_temperature > finned.oil_temperature
    assert 0.0 < bare.reservoir_share < finned.reservoir_share < 1.0
    hose = exchange_conductance(
        volume_stroke=1e-5, volume_hose=3e-5, frequency=5.0, density=850.0, specific_heat=2e3
    )
    assert hose == 0.0


def test_too_much_power_has_no_answer() -> None:
    with pytest.raises(NoSolutionError, match="300 °C"):
        steady_heat(damper=MONOTUBE, power=5_000.0, surroundings=WARM_DAY)
    with pytest.raises(OutOfRangeError, match="Oil temperature"):
        heat_shed(damper=MONOTUBE, oil_temperature=300.0, surroundings=WARM_DAY)


@FEW
@given(share=st.floats(0.0, 0.9), more=st.floats(0.01, 0.1))
def test_a_fuller_reserve_passes_more_heat(share: float, more: float) -> None:
    little, much = (
        gap_heat(
            gap=replace(GAP, oil_share=oil_share),
            temperature_inner=370.0,
            temperature_outer=340.0,
        )
        for oil_share in (share, share + more)
    )
    assert much.power > little.power
    assert isclose(much.power, much.oil_power + much.gas_power + much.radiation_power)


def test_oil_too_thick_to_circulate_conducts_as_at_rest() -> None:
    thick = replace(GAP, oil=replace(OIL, kinematic_viscosity=1.0), oil_share=1.0)
    heat = gap_heat(gap=thick, temperature_inner=350.0, temperature_outer=340.0)
    assert heat.nusselt == 1.0
    assert heat.in_range
    assert gap_heat(gap=GAP, temperature_inner=350.0, temperature_outer=340.0).nusselt > 1.0


@FEW
@given(inner=st.floats(280.0, 400.0), outer=st.floats(280.0, 400.0))
def test_the_gap_passes_the_same_heat_either_way(inner: float, outer: float) -> None:
    out = gap_heat(gap=GAP, temperature_inner=inner, temperature_outer=outer).power
    back = gap_heat(gap=GAP, temperature_inner=outer, temperature_outer=inner).power
    assert isclose(out, -back, rel_tol=1e-12, abs_tol=1e-12)


def test_a_finned_shell_sheds_more_than_a_plain_one() -> None:
    plain = shell_loss(
        shell=replace(RESERVOIR, fins=None), temperature=350.0, surroundings=WARM_DAY
    )
    finned = shell_loss(shell=RESERVOIR, temperature=350.0, surroundings=WARM_DAY)
    assert isclose(plain.effective_area, pi * 0.05 * 0.12)
    assert finned.effective_area > 2.0 * plain.effective_area
    assert finned.power > plain.power


@settings(max_examples=6)
@given(damper=DAMPERS, power=POWERS)
def test_a_long_warm_up_ends_at_the_settled_temperature(
    damper: ThermalDamper, power: float
) -> None:
    settled = steady_heat(damper=damper, power=power, surroundings=WARM_DAY)
    curve = warm_up(
        damper=damper, power=power, surroundings=WARM_DAY, start=318.15, duration=12_000.0
    )
    assert isclose(curve.oil[-1], settled.oil_temperature, abs_tol=0.05)
    assert isclose(curve.body[-1], settled.body_temperature, abs_tol=0.05)
    assert all(late > early - 0.01 for early, late in zip(curve.oil, curve.oil[1:], strict=False))
    assert curve.time_to_limit is None


def test_the_warm_up_starts_as_if_nothing_were_lost() -> None:
    curve = warm_up(damper=MONOTUBE, power=70.0, surroundings=WARM_DAY, start=318.15, duration=1.0)
    assert isclose(curve.oil[-1] - 318.15, 70.0 / 700.0, rel_tol=0.02)


def test_the_limit_is_met_where_the_curve_says() -> None:
    curve = warm_up(
        damper=TWIN_TUBE,
        power=60.0,
        surroundings=WARM_DAY,
        start=318.15,
        duration=3_000.0,
        limit=353.15,
    )
    assert curve.time_to_limit is not None
    after = next(i for i, time in enumerate(curve.times) if time >= curve.time_to_limit)
    assert curve.oil[after - 1] < 353.15 <= curve.oil[after] + 1e-9
    already = warm_up(
        damper=TWIN_TUBE,
        power=60.0,
        surroundings=WARM_DAY,
        start=360.0,
        duration=10.0,
        limit=353.15,
    )
    assert already.time_to_limit == 0.0


def test_more_oil_only_delays() -> None:
    found = {
        one.name: one
        for one in sensitivities(
            damper=TWIN_TUBE, power=60.0, surroundings=WARM_DAY, start=318.15, limit=353.15
        )
    }
    assert found["oil mass"].temperature_change == 0.0
    assert found["oil mass"].time_change is not None
    assert found["oil mass"].time_change > 0.0
    assert found["power"].temperature_change > 0.0
    for name in ("surface", "bore", "air speed"):
        assert found[name].temperature_change < 0.0
    assert "fin height" not in found


def test_sensitivities_are_ranked_and_name_fins_only_where_there_are_some() -> None:
    still = replace(WARM_DAY, air_speed=0.0)
    ranked = sensitivities(
        damper=WITH_RESERVOIR, power=60.0, surroundings=still, start=318.15, limit=420.0
    )
    changes = [abs(one.temperature_change) for one in ranked]
    assert changes == sorted(changes, reverse=True)
    names = {one.name for one in ranked}
    assert "fin height" in names
    assert "air speed" not in names
    assert all(one.time_change is None for one in ranked)


@FEW
@given(limit=st.floats(301.0, 379.0), constant=st.floats(1.0, 5_000.0))
def test_the_lumped_time_is_the_inverse_of_the_lumped_temperature(
    limit: float, constant: float
) -> None:
    time = lumped_time(limit=limit, start=300.0, settled=380.0, time_constant=constant)
    back = lumped_temperature(time=time, start=300.0, settled=380.0, time_constant=constant)
    assert isclose(back, limit, rel_tol=1e-12)
    again = time_constant(heat_capacity=constant, rise=80.0, power=80.0)
    assert isclose(again, constant, rel_tol=1e-12)


def test_a_temperature_that_never_comes_is_refused() -> None:
    with pytest.raises(ConflictError, match="never"):
        lumped_time(limit=390.0, start=300.0, settled=380.0, time_constant=600.0)


@FEW
@given(damping=st.floats(100.0, 1e4), speed=st.floats(0.01, 2.0), gas=st.floats(0.0, 500.0))
def test_the_cycle_mean_of_a_straight_line_is_its_formula(
    damping: float, speed: float, gas: float
) -> None:
    mean = sine_power(force=lambda v: gas + damping * v, velocity_amplitude=speed)
    formula = power_from_sine(damping=damping, velocity_amplitude=speed)
    assert isclose(mean, formula, rel_tol=1e-9)
    as_random = power_from_random(damping=damping, velocity_rms=speed / 2.0**0.5)
    assert isclose(as_random, formula, rel_tol=1e-9)


def test_the_cycle_mean_of_a_square_law_is_four_thirds_over_pi() -> None:
    mean = sine_power(force=lambda v: 4_000.0 * v * abs(v), velocity_amplitude=0.5)
    expected = 4_000.0 * 0.125 * 4.0 / (3.0 * pi)  # derivation: the mean of |cos³|
    assert isclose(mean, expected, rel_tol=1e-5)


def test_the_random_mean_of_a_square_law_is_the_third_moment() -> None:
    mean = random_power(force=lambda v: 4_000.0 * v * abs(v), velocity_rms=0.2)
    expected = (
        4_000.0 * 0.008 * 2.0 * (2.0 / pi) ** 0.5
    )  # derivation: the mean of |v|³ is 2√(2/π) σ³
    assert isclose(mean, expected, rel_tol=1e-5)


def test_the_random_mean_of_a_bent_line_is_the_integral_over_the_normal_distribution() -> None:
    def force(velocity: float) -> float:
        return 5_000.0 * min(max(velocity, -0.13), 0.13) + 1_000.0 * velocity

    integral, _ = quad(
        lambda v: force(v) * v * norm.pdf(v, scale=0.2), -2.0, 2.0, points=[-0.13, 0.13]
    )
    assert isclose(random_power(force=force, velocity_rms=0.2), integral, rel_tol=1e-3)


@FEW
@given(root=st.floats(-10.0, 10.0), slope=st.floats(0.01, 100.0))
def test_the_root_of_a_bent_line_is_found(root: float, slope: float) -> None:
    found = find_root(lambda x: slope * (x - root) + (x - root) ** 3, -11.0, 12.0, 1e-10)
    assert isclose(found, root, abs_tol=2e-10)


def test_the_integrator_follows_an_exponential() -> None:
    trace = integrate(lambda s: (-0.1 * s[0],), (1.0,), 30.0, 1e-6, 10.0)
    assert trace.times[-1] == 30.0
    assert isclose(trace.states[-1][0], exp(-3.0), abs_tol=2e-5)


def test_parts_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ConflictError, match="reservoir"):
        replace(MONOTUBE, reservoir_conductance=5.0)
    with pytest.raises(ConflictError, match="outside of the body"):
        replace(MONOTUBE, working_diameter=0.05)
    with pytest.raises(ConflictError, match="outside of the body"):
        replace(MONOTUBE, working_diameter=0.03, gap=replace(GAP, outer_diameter=0.0501))
    with pytest.raises(ConflictError, match="working tube"):
        replace(TWIN_TUBE, working_diameter=0.034)
    with pytest.raises(ConflictError, match="doesn't fit"):
        replace(GAP, inner_diameter=0.05)
    with pytest.raises(ConflictError, match="fins"):
        replace(RESERVOIR, diameter=0.07)


def test_a_warm_up_past_all_sense_has_no_answer() -> None:
    with pytest.raises(NoSolutionError, match="300 °C"):
        warm_up(damper=MONOTUBE, power=5_000.0, surroundings=WARM_DAY, start=318.15, duration=600.0)


def test_the_last_digits_of_the_power_do_not_move_the_times_of_a_warm_up() -> None:
    for damper in (MONOTUBE, TWIN_TUBE, WITH_RESERVOIR):
        times = [
            warm_up(
                damper=damper, power=power, start=318.15, duration=7_200.0, surroundings=WARM_DAY
            ).times
            for power in (150.0, 150.0 * (1.0 + 1e-13))
        ]  # fmt: skip
        assert times[0] == times[1]
