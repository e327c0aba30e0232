"""Laws of the choice of bore and rod."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import isclose

import pytest

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.bore import (
    CUSTOMARY_BORES,
    CUSTOMARY_RODS,
    BoreTask,
    bore_option,
    bore_table,
)
from calculators.physics.fluid import Oil
from calculators.physics.orifice import orifice_flow

OIL = Oil(density=850.0, dynamic_viscosity=0.012)
TASK = BoreTask(
    force_compression=800.0,
    force_rebound=2400.0,
    speed=0.52,
    gas_pressure=2.1e6,
    release_pressure=3e4,
    power=50.0,
    body_length=0.3,
    wall=0.002,
)


def test_a_larger_bore_asks_less_pressure_and_sheds_more_heat() -> None:
    options = [
        bore_option(task=TASK, piston_diameter=bore, rod_diameter=0.014, oil=OIL)
        for bore in CUSTOMARY_BORES
    ]
    for small, large in pairwise(options):
        assert large.peak_pressure < small.peak_pressure
        assert large.heat_flux < small.heat_flux
        assert large.rod_share < small.rod_share


def test_a_thicker_rod_pushes_more_and_asks_more_pressure() -> None:
    options = [
        bore_option(task=TASK, piston_diameter=0.046, rod_diameter=rod, oil=OIL)
        for rod in CUSTOMARY_RODS
    ]
    for thin, thick in pairwise(options):
        assert thick.gas_force > thin.gas_force
        assert thick.drop_compression > thin.drop_compression


def test_the_opening_passes_the_flow_at_the_drop() -> None:
    option = bore_option(task=TASK, piston_diameter=0.046, rod_diameter=0.014, oil=OIL)
    ring = option.flow / TASK.speed
    flow = orifice_flow(
        area=option.opening_rebound * ring, pressure_drop=option.drop_rebound, oil=OIL
    )
    assert isclose(flow, option.flow, rel_tol=1e-9)


def test_piston_and_reserve_flow_add_up_to_the_swept_volume() -> None:
    option = bore_option(task=TASK, piston_diameter=0.046, rod_diameter=0.014, oil=OIL)
    assert isclose(option.reserve_flow / (option.flow + option.reserve_flow), option.rod_share)


def test_the_table_holds_every_possible_pair_once() -> None:
    table = bore_table(task=TASK, oil=OIL)
    pairs = [(option.piston_diameter, option.rod_diameter) for option in table]
    assert pairs == sorted(set(pairs))
    assert len(pairs) == sum(rod < bore for bore in CUSTOMARY_BORES for rod in CUSTOMARY_RODS)


def test_a_rod_as_thick_as_the_bore_is_refused() -> None:
    with pytest.raises(ConflictError):
        bore_option(task=TASK, piston_diameter=0.02, rod_diameter=0.02, oil=OIL)
    with pytest.raises(ConflictError, match="thinner"):
        bore_table(task=TASK, oil=OIL, bores=(0.02,), rods=(0.02, 0.03))


@pytest.mark.parametrize("name", ["force_compression", "speed", "gas_pressure", "body_length"])
def test_a_task_without_size_is_refused(name: str) -> None:
    with pytest.raises(OutOfRangeError):
        replace(TASK, **{name: 0.0})
