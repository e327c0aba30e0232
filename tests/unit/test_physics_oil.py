"""Laws of oil: viscosity, index, density, bulk modulus."""

from __future__ import annotations

from itertools import pairwise
from math import isclose, log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import ConflictError, NoSolutionError, OutOfRangeError
from calculators.physics.oil import (
    VISCOSITY_GRADES,
    dynamic_viscosity,
    kinematic_viscosity,
    temperature_at_viscosity,
    viscosity_grade,
    viscosity_line,
)
from calculators.physics.oil_density import (
    bulk_modulus,
    density,
    lubricant_expansion,
)
from calculators.physics.viscosity_index import (
    viscosity_at_100,
    viscosity_index,
)
from tests.evidence.reference_oil import d341_explicit_viscosity

T_40, T_100 = 313.15, 373.15  # K
at_100 = st.floats(2.0e-6, 60e-6)
index = st.floats(0.0, 300.0)
temperature = st.floats(253.15, 423.15)


def oil_at(where: float, thick: float, thin: float) -> float:
    """Return the viscosity of an oil known at 40 and 100 °C."""
    return kinematic_viscosity(
        temperature=where,
        temperature_1=T_40,
        viscosity_1=thick,
        temperature_2=T_100,
        viscosity_2=thin,
    )


@given(st.floats(3e-6, 500e-6), st.floats(0.1, 0.7))
def test_the_line_gives_its_two_points_back(thick: float, part: float) -> None:
    thin = max(0.3e-6, part * thick)
    assert isclose(oil_at(T_40, thick, thin), thick, rel_tol=1e-9)
    assert isclose(oil_at(T_100, thick, thin), thin, rel_tol=1e-9)


@given(temperature, st.floats(1.0, 50.0))
def test_hot_oil_is_thinner(where: float, step: float) -> None:
    assert oil_at(where + step, 15e-6, 3.8e-6) < oil_at(where, 15e-6, 3.8e-6)


@given(temperature)
def test_temperature_at_viscosity_undoes_viscosity_at_temperature(where: float) -> None:
    back = temperature_at_viscosity(
        viscosity=oil_at(where, 15e-6, 3.8e-6),
        temperature_1=T_40,
        viscosity_1=15e-6,
        temperature_2=T_100,
        viscosity_2=3.8e-6,
    )
    assert isclose(back, where, rel_tol=1e-10)


@given(temperature)
def test_the_order_of_the_two_points_does_not_matter(where: float) -> None:
    swapped = kinematic_viscosity(
        temperature=where,
        temperature_1=T_100,
        viscosity_1=3.8e-6,
        temperature_2=T_40,
        viscosity_2=15e-6,
    )
    assert isclose(swapped, oil_at(where, 15e-6, 3.8e-6), rel_tol=1e-12)


@pytest.mark.parametrize("where", [273.15, 333.15, 393.15, 423.15])
def test_the_step_from_z_to_viscosity_follows_the_standard(where: float) -> None:
    """ASTM D341-09 gives an explicit approximation for the step that we solve exactly.

    Its own error is below 0.3 % down to 0.4 mm²/s (our reading of the two equations).
    """
    line = viscosity_line(
        temperature_1=273.15, viscosity_1=3.0e-6, temperature_2=333.15, viscosity_2=1.1e-6
    )
    ours = kinematic_viscosity(
        temperature=where,
        temperature_1=273.15,
        viscosity_1=3.0e-6,
        temperature_2=333.15,
        viscosity_2=1.1e-6,
    )
    z = 10.0**10.0 ** (line.intercept - line.slope * log10(where))
    assert isclose(ours * 1e6, d341_explicit_viscosity(z), rel_tol=0.003)


@given(at_100, index)
def test_viscosity_at_100_undoes_the_index(thin: float, wanted: float) -> None:
    thick = 10.0 * thin
    value = viscosity_index(viscosity_40=thick, viscosity_100=thin)
    if 0.0 <= value <= 400.0:
        back = viscosity_at_100(viscosity_40=thick, viscosity_index=value)
        again = viscosity_index(viscosity_40=thick, viscosity_100=back)
        assert isclose(again, value, abs_tol=1e-6)
        assert isclose(back, thin, rel_tol=0.005)
    answer = viscosity_at_100(viscosity_40=1e-4, viscosity_index=wanted)
    assert isclose(viscosity_index(viscosity_40=1e-4, viscosity_100=answer), wanted, abs_tol=1e-6)


@given(index)
def test_a_higher_index_keeps_more_viscosity_when_hot(wanted: float) -> None:
    low = viscosity_at_100(viscosity_40=46e-6, viscosity_index=wanted)
    high = viscosity_at_100(viscosity_40=46e-6, viscosity_index=wanted + 1.0)
    assert high > low


def test_procedures_a_and_b_meet_at_an_index_of_100() -> None:
    hot = viscosity_at_100(viscosity_40=46e-6, viscosity_index=100.0)
    below = viscosity_index(viscosity_40=46e-6 * (1.0 + 1e-9), viscosity_100=hot)
    above = viscosity_index(viscosity_40=46e-6 * (1.0 - 1e-9), viscosity_100=hot)
    assert isclose(below, above, abs_tol=1e-5)


def test_table_and_equations_meet_at_70() -> None:
    table = viscosity_index(viscosity_40=1200e-6, viscosity_100=70e-6)
    equation = viscosity_index(viscosity_40=1200e-6, viscosity_100=70.0000001e-6)
    assert isclose(table, equation, abs_tol=0.1)


def test_an_oil_too_thin_for_an_index_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="no viscosity index"):
        viscosity_index(viscosity_40=5e-6, viscosity_100=1.9e-6)
    with pytest.raises(NoSolutionError, match="second measured viscosity"):
        viscosity_at_100(viscosity_40=5e-6, viscosity_index=50.0)


def test_exchanged_viscosities_are_refused() -> None:
    with pytest.raises(ConflictError, match="exchanged"):
        viscosity_index(viscosity_40=8e-6, viscosity_100=40e-6)
    with pytest.raises(ConflictError, match="hotter one with the lower viscosity"):
        oil_at(300.0, 3.8e-6, 15e-6)


def test_a_temperature_outside_the_equation_names_the_range() -> None:
    with pytest.raises(OutOfRangeError, match="Temperature is 120 K; allowed: "):
        oil_at(120.0, 15e-6, 3.8e-6)


def test_a_viscosity_outside_the_equation_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="Kinematic viscosity"):
        oil_at(300.0, 15e-6, 0.2e-6)


def test_classes_do_not_overlap() -> None:
    grades = [viscosity_grade(grade=grade) for grade in VISCOSITY_GRADES]
    for low, high in pairwise(grades):
        assert low.maximum < high.minimum


def test_an_unknown_class_is_refused_with_the_list() -> None:
    with pytest.raises(ConflictError, match="15, 22, 32"):
        viscosity_grade(grade=20)


@given(st.floats(223.15, 423.14), st.floats(801.0, 1164.0))
def test_hot_oil_is_lighter(where: float, at_15: float) -> None:
    expansion = lubricant_expansion(density_15=at_15)
    cold = density(temperature=where, density_15=at_15, thermal_expansion=expansion)
    hot = density(temperature=where + 0.01, density_15=at_15, thermal_expansion=expansion)
    assert hot < cold


@given(st.floats(801.0, 1164.0))
def test_density_at_15_is_itself_and_expands_as_told(at_15: float) -> None:
    expansion = lubricant_expansion(density_15=at_15)
    same = density(temperature=288.15, density_15=at_15, thermal_expansion=expansion)
    warm = density(temperature=289.15, density_15=at_15, thermal_expansion=expansion)
    assert same == at_15
    assert isclose(at_15 / warm - 1.0, expansion, rel_tol=0.002)


def test_dynamic_viscosity_needs_both_factors() -> None:
    with pytest.raises(OutOfRangeError):
        dynamic_viscosity(kinematic_viscosity=0.0, density=850.0)
    assert isclose(dynamic_viscosity(kinematic_viscosity=1e-5, density=850.0), 8.5e-3)


@given(st.floats(230.0, 410.0), st.floats(1e5, 40e6))
def test_bulk_modulus_falls_with_heat_and_rises_with_pressure(where: float, load: float) -> None:
    here = bulk_modulus(temperature=where, pressure=load, reference_modulus=1.5e9)
    hot = bulk_modulus(temperature=where + 5.0, pressure=load, reference_modulus=1.5e9)
    pressed = bulk_modulus(temperature=where, pressure=load + 1e5, reference_modulus=1.5e9)
    assert hot < here < pressed
