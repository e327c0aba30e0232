"""Laws of the cavitation limit, the charge and the pressure balance."""

from __future__ import annotations

from dataclasses import replace
from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import ConflictError
from calculators.physics.cavitation import (
    cavitation_limit,
    cavitation_margin,
    largest_compression_force,
)
from calculators.physics.charge import (
    gauge_charge,
    pressure_balance,
    required_charge,
    required_reserve_drop,
)
from calculators.physics.fluid import Oil
from calculators.physics.network import Damper, operating_point
from calculators.physics.pair import ValvePair
from calculators.physics.valve import Valve

OIL = Oil(density=850.0, dynamic_viscosity=0.012)
COLD = Oil(density=890.0, dynamic_viscosity=0.3)
COMPRESSION = Valve(1.5e-6, 3e-5, 0.02, 5e5, 1e-10, 5e-4)
REBOUND = Valve(1.5e-6, 2e-5, 0.02, 15e5, 5e-11, 5e-4)
FOOT = ValvePair(
    compression=Valve(5e-7, 1e-5, 0.012, 5e5, 1e-10, 5e-4),
    rebound=Valve(5e-7, 6e-5, 0.02, 5e3, 1e-8, 2e-3),
)
MONOTUBE = Damper(0.046, 0.014, ValvePair(COMPRESSION, REBOUND))
TWIN_TUBE = Damper(0.035, 0.014, ValvePair(COMPRESSION, REBOUND), FOOT)
RELEASE = 3e4

velocities = st.floats(-3.0, 3.0)
gases = st.floats(1e6, 5e6)

FEW = settings(max_examples=15, deadline=None)  # each example searches 200 speeds


def _limit_speed(damper: Damper, gas: float, oil: Oil = OIL) -> float:
    limit = cavitation_limit(
        damper=damper,
        direction="compression",
        gas_pressure=gas,
        oil=oil,
        release_pressure=RELEASE,
        maximum_speed=20.0,
    )
    assert limit.speed is not None
    return limit.speed


@given(st.sampled_from((MONOTUBE, TWIN_TUBE)), velocities, st.floats(0.0, 1e6))
def test_the_required_charge_leaves_exactly_the_margin(
    damper: Damper, velocity: float, margin: float
) -> None:
    charge = required_charge(
        damper=damper, velocity=velocity, oil=OIL, release_pressure=RELEASE, margin=margin
    )
    left = cavitation_margin(
        damper=damper, velocity=velocity, gas_pressure=charge, oil=OIL, release_pressure=RELEASE
    )
    point = operating_point(damper=damper, velocity=velocity, gas_pressure=charge, oil=OIL)
    at_rest = charge == RELEASE + margin
    assert left >= margin - 1e-6 if at_rest else isclose(left, margin, abs_tol=1e-6)
    assert point.pressure_reserve == charge


@FEW
@given(gases)
def test_the_margin_is_zero_at_the_limiting_speed(gas: float) -> None:
    left = cavitation_margin(
        damper=MONOTUBE,
        velocity=_limit_speed(MONOTUBE, gas),
        gas_pressure=gas,
        oil=OIL,
        release_pressure=RELEASE,
    )
    assert isclose(left, 0.0, abs_tol=1e-3)


@FEW
@given(gases, st.floats(1.01, 2.0))
def test_a_higher_charge_moves_the_limit_out(gas: float, more: float) -> None:
    assert _limit_speed(MONOTUBE, more * gas) > _limit_speed(MONOTUBE, gas)


@FEW
@given(gases)
def test_the_force_at_the_limit_is_the_largest_one_without_a_reserve_valve(gas: float) -> None:
    limit = cavitation_limit(
        damper=MONOTUBE,
        direction="compression",
        gas_pressure=gas,
        oil=OIL,
        release_pressure=RELEASE,
        maximum_speed=20.0,
    )
    largest = largest_compression_force(damper=MONOTUBE, gas_pressure=gas, release_pressure=RELEASE)
    assert limit.force is not None
    assert isclose(limit.force, largest, rel_tol=1e-9)
    assert limit.chamber == "rod"


def test_cold_oil_cavitates_at_a_lower_speed() -> None:
    assert _limit_speed(MONOTUBE, 2e6, COLD) < _limit_speed(MONOTUBE, 2e6)


def test_a_foot_valve_moves_the_limit_out() -> None:
    assert _limit_speed(TWIN_TUBE, 6e5) > _limit_speed(replace(TWIN_TUBE, reserve=None), 6e5)


def test_an_intake_that_chokes_limits_the_rebound_speed() -> None:
    limit = cavitation_limit(
        damper=TWIN_TUBE,
        direction="rebound",
        gas_pressure=2e5,
        oil=OIL,
        release_pressure=RELEASE,
        maximum_speed=6.0,
    )
    assert limit.chamber == "head"
    assert limit.speed is not None
    assert limit.lowest_margin < 0.0


def test_no_limit_below_the_largest_speed_is_said_as_none() -> None:
    limit = cavitation_limit(
        damper=MONOTUBE,
        direction="rebound",
        gas_pressure=2e6,
        oil=OIL,
        release_pressure=RELEASE,
        maximum_speed=5.0,
    )
    assert limit.speed is None
    assert limit.force is None
    assert limit.lowest_margin == 2e6 - RELEASE


def test_gas_at_release_pressure_is_refused() -> None:
    with pytest.raises(ConflictError, match="at rest"):
        cavitation_limit(
            damper=MONOTUBE,
            direction="rebound",
            gas_pressure=RELEASE,
            oil=OIL,
            release_pressure=RELEASE,
            maximum_speed=5.0,
        )


@given(st.floats(0.0, 3.0), st.floats(2e5, 4e6))
def test_the_required_reserve_drop_keeps_the_rod_side_at_release(speed: float, gas: float) -> None:
    needed = required_reserve_drop(
        damper=MONOTUBE, velocity=speed, gas_pressure=gas, oil=OIL, release_pressure=RELEASE
    )
    point = operating_point(damper=MONOTUBE, velocity=speed, gas_pressure=gas, oil=OIL)
    pressure = point.pressure_rod + needed
    assert pressure >= RELEASE - 1e-6
    assert needed == 0.0 or isclose(pressure, RELEASE, abs_tol=1e-6)


@given(st.floats(0.01, 3.0))
def test_parts_of_the_force_add_up_to_the_damping_force(speed: float) -> None:
    balance = pressure_balance(
        damper=TWIN_TUBE, velocity=speed, gas_pressure=6e5, oil=OIL, release_pressure=RELEASE
    )
    point = operating_point(damper=TWIN_TUBE, velocity=speed, gas_pressure=6e5, oil=OIL)
    total = balance.piston_force + balance.reserve_force
    assert isclose(total, point.force - point.gas_force, rel_tol=1e-9)
    assert balance.ratio is not None
    assert (balance.ratio >= 1.0) == (balance.margin_rod >= 6e5 - RELEASE)


def test_a_charge_set_warm_must_be_higher_to_hold_in_the_cold() -> None:
    warm = gauge_charge(pressure=1e6, temperature=250.0, charging_temperature=293.15)
    alike = gauge_charge(pressure=1e6, temperature=250.0, charging_temperature=250.0)
    assert warm > alike


def test_at_altitude_the_gauge_must_show_more_for_the_same_charge() -> None:
    sea = gauge_charge(pressure=1e6, temperature=293.15, charging_temperature=293.15)
    high = gauge_charge(
        pressure=1e6, temperature=293.15, charging_temperature=293.15, pressure_ambient=8e4
    )
    assert isclose(high - sea, 21_325.0, rel_tol=1e-9)
