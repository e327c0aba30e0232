"""Laws that plates and shim stacks must obey, whatever their size."""

from __future__ import annotations

from itertools import pairwise
from math import isclose, pi
from typing import TypedDict, TypeVar, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import ConflictError, OutOfRangeError
from calculators.physics.plate import PlateSolution, flexural_rigidity, solve_plate
from calculators.physics.shim import (
    crack_pressure,
    seat_stiffness,
    stack_compliance,
    stack_state,
)
from calculators.physics.shim_stage import two_stage_state
from tests.evidence.reference_shim import (
    roark_line_load_edge_deflection,
    roark_pressure_edge_deflection,
    shooting_clamp_moment,
    two_stage_lift,
)


class Geometry(TypedDict):
    """A stack and its port, as keyword arguments."""

    clamp_diameter: float
    diameters: tuple[float, ...]
    thicknesses: tuple[float, ...]
    youngs_modulus: float
    poisson_ratio: float
    port_inner_diameter: float
    port_outer_diameter: float
    seat_diameter: float


class Steel(TypedDict):
    """Strengths, as keyword arguments."""

    yield_strength: float
    fatigue_limit: float


class TwoStacks(TypedDict):
    """Two stacks with a gap, as keyword arguments."""

    first_clamp_diameter: float
    first_diameters: tuple[float, ...]
    first_thicknesses: tuple[float, ...]
    gap: float
    second_clamp_diameter: float
    second_diameters: tuple[float, ...]
    second_thicknesses: tuple[float, ...]
    youngs_modulus: float
    poisson_ratio: float
    port_inner_diameter: float
    port_outer_diameter: float
    seat_diameter: float
    yield_strength: float
    fatigue_limit: float


T = TypeVar("T", Geometry, TwoStacks)

STEEL: Steel = {"yield_strength": 1.5e9, "fatigue_limit": 0.9e9}
STACK: Geometry = {
    "clamp_diameter": 0.012,
    "diameters": (0.030, 0.030, 0.026, 0.020),
    "thicknesses": (0.2e-3, 0.15e-3, 0.2e-3, 0.15e-3),
    "youngs_modulus": 210e9,
    "poisson_ratio": 0.3,
    "port_inner_diameter": 0.018,
    "port_outer_diameter": 0.026,
    "seat_diameter": 0.028,
}
TWO: TwoStacks = {
    "first_clamp_diameter": 0.016,
    "first_diameters": (0.030,),
    "first_thicknesses": (0.15e-3,),
    "gap": 0.1e-3,
    "second_clamp_diameter": 0.012,
    "second_diameters": (0.028, 0.022),
    "second_thicknesses": (0.25e-3, 0.2e-3),
    "youngs_modulus": 210e9,
    "poisson_ratio": 0.3,
    "port_inner_diameter": 0.018,
    "port_outer_diameter": 0.026,
    "seat_diameter": 0.028,
    **STEEL,
}


def changed(base: T, **changes: float | tuple[float, ...]) -> T:
    """Return the same keyword arguments with some of them replaced."""
    return cast("T", {**cast("dict[str, object]", base), **changes})


thickness = st.floats(0.05e-3, 0.5e-3)
pressure = st.floats(1e3, 5e6)
poisson = st.floats(0.0, 0.5)


@st.composite
def plates(draw: st.DrawFn) -> tuple[float, tuple[float, ...], tuple[float, ...], float]:
    """Draw clamp radius, ends of the rings, rigidities falling outwards, Poisson's ratio."""
    clamp = draw(st.floats(0.003, 0.01))
    widths = draw(st.lists(st.floats(0.5e-3, 5e-3), min_size=1, max_size=5))
    ends = tuple(clamp + sum(widths[: index + 1]) for index in range(len(widths)))
    shares = draw(st.lists(st.floats(0.02, 0.3), min_size=len(ends), max_size=len(ends)))
    rigidities = tuple(sum(shares[index:]) for index in range(len(ends)))
    return clamp, ends, rigidities, draw(poisson)


def loaded(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
    *,
    load: float = 1e5,
    force: float = 20.0,
    stations: tuple[float, ...] = (),
) -> PlateSolution:
    """Put pressure on the middle third of a plate and a ring load on its edge."""
    clamp, ends, rigidities, nu = plate
    width = ends[-1] - clamp
    return solve_plate(
        inner_radius=clamp,
        outer_radii=ends,
        rigidities=rigidities,
        poisson_ratio=nu,
        band_inner_radii=(clamp + width / 3.0,),
        band_outer_radii=(clamp + width / 1.5,),
        band_pressures=(load,),
        ring_radii=(ends[-1],),
        ring_forces=(force,),
        stations=stations,
    )


@given(plates())
def test_the_clamp_carries_the_whole_load(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    clamp, ends, _, _ = plate
    width = ends[-1] - clamp
    area = pi * ((clamp + width / 1.5) ** 2 - (clamp + width / 3.0) ** 2)
    assert isclose(loaded(plate).clamp_force, area * 1e5 + 20.0, rel_tol=1e-12)


@given(plates())
def test_the_moment_falls_with_the_load_outside(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    """Equilibrium d(r M_r)/dr - M_t = -F/2π, integrated over the whole plate."""
    clamp, ends, _, _ = plate
    inside = [clamp, *ends]
    total, count = 0.0, 60
    width = ends[-1] - clamp
    cuts = sorted({*inside, clamp + width / 3.0, clamp + width / 1.5})
    stations: list[float] = []
    steps: list[float] = []
    for low, high in pairwise(cuts):
        step = (high - low) / count
        stations += [low + (index + 0.5) * step for index in range(count)]
        steps += [step] * count
    solution = loaded(plate, stations=tuple(stations))
    for state, step in zip(solution.stations, steps, strict=True):
        low = min(max(state.radius, clamp + width / 3.0), clamp + width / 1.5)
        outside = 20.0 + 1e5 * pi * ((clamp + width / 1.5) ** 2 - low**2)
        total += (state.tangential_moment - outside / (2.0 * pi)) * step
    assert isclose(clamp * solution.clamp_moment, -total, rel_tol=1e-4)


@given(plates())
def test_deflection_slope_and_radial_moment_have_no_jump(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    _, ends, _, _ = plate
    step = 1e-12
    for end in ends[:-1]:
        before, after = loaded(plate, stations=(end - step, end + step)).stations
        assert isclose(before.deflection, after.deflection, rel_tol=1e-6, abs_tol=1e-13)
        assert isclose(before.slope, after.slope, rel_tol=1e-6, abs_tol=1e-10)
        assert isclose(before.radial_moment, after.radial_moment, rel_tol=1e-6, abs_tol=1e-6)


@given(plates())
def test_the_clamp_is_flat_and_the_edge_is_free(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    clamp, ends, _, _ = plate
    solution = loaded(plate, stations=(clamp, ends[-1]))
    held, free = solution.stations
    assert held.deflection == 0.0
    assert abs(held.slope) < 1e-12 * abs(solution.edge_slope)
    assert abs(free.radial_moment) < 1e-9 * abs(solution.clamp_moment)
    assert isclose(free.deflection, solution.edge_deflection, rel_tol=1e-12)


@given(plates(), st.floats(0.1, 10.0))
def test_cutting_a_ring_in_two_changes_nothing(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float], place: float
) -> None:
    clamp, ends, rigidities, nu = plate
    cut = clamp + (ends[0] - clamp) * place / 11.0
    whole = loaded(plate)
    halves = loaded((clamp, (cut, *ends), (rigidities[0], *rigidities), nu))
    assert isclose(whole.edge_deflection, halves.edge_deflection, rel_tol=1e-10)


@given(plates())
def test_loads_add_up(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    both = loaded(plate).edge_deflection
    apart = loaded(plate, force=0.0).edge_deflection + loaded(plate, load=0.0).edge_deflection
    assert isclose(both, apart, rel_tol=1e-9)


@given(plates())
def test_two_places_answer_each_other_equally(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    """Maxwell and Betti: movement here by a load there is movement there by a load here."""
    clamp, ends, rigidities, nu = plate
    here, there = clamp + 0.4 * (ends[-1] - clamp), ends[-1]

    def movement(load: float, seen: float) -> float:
        return (
            solve_plate(
                inner_radius=clamp,
                outer_radii=ends,
                rigidities=rigidities,
                poisson_ratio=nu,
                ring_radii=(load,),
                ring_forces=(1.0,),
                stations=(seen,),
            )
            .stations[0]
            .deflection
        )

    assert isclose(movement(here, there), movement(there, here), rel_tol=1e-9)


@given(plates())
def test_the_peak_is_no_lower_than_any_station(
    plate: tuple[float, tuple[float, ...], tuple[float, ...], float],
) -> None:
    clamp, ends, _, _ = plate
    stations = tuple(clamp + (ends[-1] - clamp) * index / 60.0 for index in range(60))
    solution = loaded(plate, force=-15.0, stations=stations)
    start = clamp
    for ring in solution.rings:
        for state in solution.stations:
            if start < state.radius < ring.outer_radius:
                assert abs(state.radial_moment) <= ring.peak_radial_moment * (1.0 + 1e-9)
                assert abs(state.tangential_moment) <= ring.peak_tangential_moment * (1.0 + 1e-9)
        start = ring.outer_radius


@given(thickness)
def test_twice_the_thickness_gives_an_eighth_of_the_lift(single: float) -> None:
    thin = stack_compliance(**changed(STACK, thicknesses=(single,) * 4))
    thick = stack_compliance(**changed(STACK, thicknesses=(2.0 * single,) * 4))
    assert isclose(thin / thick, 8.0, rel_tol=1e-9)


@given(thickness, st.floats(0.0125, 0.030))
def test_one_more_shim_makes_a_stack_stiffer(extra: float, diameter: float) -> None:
    more = STACK.copy()
    more["diameters"] = (*STACK["diameters"], diameter)
    more["thicknesses"] = (*STACK["thicknesses"], extra)
    assert stack_compliance(**more) < stack_compliance(**STACK)


@given(st.floats(0.008, 0.0175))
def test_a_smaller_clamp_makes_a_stack_softer(clamp: float) -> None:
    smaller = stack_compliance(**changed(STACK, clamp_diameter=0.95 * clamp))
    assert smaller > stack_compliance(**changed(STACK, clamp_diameter=clamp))


@given(st.permutations(range(4)))
def test_the_order_of_the_shims_does_not_matter(order: list[int]) -> None:
    shuffled = STACK.copy()
    shuffled["diameters"] = tuple(STACK["diameters"][index] for index in order)
    shuffled["thicknesses"] = tuple(STACK["thicknesses"][index] for index in order)
    assert isclose(stack_compliance(**shuffled), stack_compliance(**STACK), rel_tol=1e-12)


def test_equal_shims_are_as_stiff_as_many_times_one() -> None:
    one = changed(STACK, diameters=(0.03,), thicknesses=(0.2e-3,))
    five = changed(STACK, diameters=(0.03,) * 5, thicknesses=(0.2e-3,) * 5)
    assert isclose(stack_compliance(**one), 5.0 * stack_compliance(**five), rel_tol=1e-12)


@given(pressure)
def test_an_open_stack_moves_in_proportion_to_pressure(load: float) -> None:
    state = stack_state(**STACK, **STEEL, pressure=load)
    double = stack_state(**STACK, **STEEL, pressure=2.0 * load)
    assert isclose(double.lift, 2.0 * state.lift, rel_tol=1e-12)
    assert isclose(state.lift, state.compliance * load, rel_tol=1e-12)
    assert isclose(
        double.shims[0].peak_radial_stress, 2.0 * state.shims[0].peak_radial_stress, rel_tol=1e-9
    )


@given(st.floats(1e-6, 0.3e-3), st.floats(0.0, 2.0))
def test_a_preloaded_stack_stays_shut_up_to_its_crack_pressure(preload: float, part: float) -> None:
    compliance = stack_compliance(**STACK)
    crack = crack_pressure(preload_deflection=preload, compliance=compliance)
    state = stack_state(**STACK, **STEEL, pressure=part * crack, preload_deflection=preload)
    assert isclose(state.crack_pressure, crack, rel_tol=1e-12)
    assert isclose(state.lift, max(0.0, part - 1.0) * preload, rel_tol=1e-6, abs_tol=1e-15)
    assert (state.seat_force > 0.0) == (part < 1.0) or isclose(part, 1.0)


def test_a_closed_stack_rests_on_its_seat_with_stiffness_times_preload() -> None:
    state = stack_state(**STACK, **STEEL, pressure=0.0, preload_deflection=0.1e-3)
    stiffness = seat_stiffness(
        clamp_diameter=STACK["clamp_diameter"],
        diameters=STACK["diameters"],
        thicknesses=STACK["thicknesses"],
        youngs_modulus=STACK["youngs_modulus"],
        poisson_ratio=STACK["poisson_ratio"],
        seat_diameter=STACK["seat_diameter"],
    )
    assert isclose(state.seat_force, stiffness * 0.1e-3, rel_tol=1e-12)
    assert isclose(state.clamp_force, state.seat_force, rel_tol=1e-12)


def test_the_profile_passes_through_the_seat_at_the_preload() -> None:
    state = stack_state(
        **STACK, **STEEL, pressure=2e4, preload_deflection=0.1e-3, stations=(0.014,)
    )
    assert isclose(state.profile[0].deflection, 0.1e-3, rel_tol=1e-9)


def test_shims_of_one_diameter_are_stressed_in_proportion_to_thickness() -> None:
    state = stack_state(
        **changed(STACK, diameters=(0.03, 0.03), thicknesses=(0.1e-3, 0.3e-3)),
        **STEEL,
        pressure=1e5,
    )
    thin, thick = (shim.peak_radial_stress for shim in state.shims)
    assert isclose(thick, 3.0 * thin, rel_tol=1e-12)


def test_shares_of_strength_use_the_larger_stress() -> None:
    shim = stack_state(**STACK, **STEEL, pressure=1e6).shims[0]
    worst = max(shim.peak_radial_stress, shim.peak_tangential_stress)
    assert isclose(shim.yield_share, worst / 1.5e9, rel_tol=1e-12)
    assert isclose(shim.fatigue_share, worst / 0.9e9, rel_tol=1e-12)


def test_a_single_shim_has_the_stress_of_its_clamp_moment() -> None:
    state = stack_state(
        **changed(STACK, diameters=(0.03,), thicknesses=(0.2e-3,)), **STEEL, pressure=1e5
    )
    assert isclose(
        state.shims[0].peak_radial_stress, 6.0 * state.clamp_moment / 0.2e-3**2, rel_tol=1e-12
    )
    assert isclose(state.shims[0].peak_radius, 0.006, rel_tol=1e-12)


@given(st.floats(1e3, 2e6))
def test_two_stages_open_along_two_straight_lines(load: float) -> None:
    state = two_stage_state(**TWO, pressure=load)
    line = state.compliance * min(load, state.contact_pressure)
    line += state.compliance_after_contact * max(0.0, load - state.contact_pressure)
    assert isclose(state.lift, line, rel_tol=1e-9)
    assert state.compliance_after_contact < state.compliance
    assert (state.contact_force > 0.0) == (load > state.contact_pressure)


@given(st.floats(1e-6, 0.4e-3))
def test_two_stages_crack_where_the_seat_force_ends(preload: float) -> None:
    crack = two_stage_state(**TWO, pressure=0.0, preload_deflection=preload).crack_pressure
    below, above = (
        two_stage_state(**TWO, pressure=part * crack, preload_deflection=preload)
        for part in (1.0 - 1e-6, 1.0 + 1e-6)
    )
    assert below.lift == 0.0
    assert 0.0 < below.seat_force < 0.01
    assert above.seat_force == 0.0
    assert 0.0 < above.lift < 1e-8


@given(st.floats(0.0, 0.99), st.floats(0.01e-3, 0.4e-3))
def test_seat_force_falls_as_pressure_rises_on_two_closed_stages(
    part: float, preload: float
) -> None:
    crack = two_stage_state(**TWO, pressure=0.0, preload_deflection=preload).crack_pressure
    low = two_stage_state(**TWO, pressure=part * crack, preload_deflection=preload)
    high = two_stage_state(**TWO, pressure=(part + 0.005) * crack, preload_deflection=preload)
    assert high.seat_force < low.seat_force


def test_a_wide_gap_leaves_the_first_stage_alone() -> None:
    far = two_stage_state(**changed(TWO, gap=5e-3), pressure=5e5)
    alone = stack_compliance(
        clamp_diameter=TWO["first_clamp_diameter"],
        diameters=TWO["first_diameters"],
        thicknesses=TWO["first_thicknesses"],
        youngs_modulus=TWO["youngs_modulus"],
        poisson_ratio=TWO["poisson_ratio"],
        port_inner_diameter=TWO["port_inner_diameter"],
        port_outer_diameter=TWO["port_outer_diameter"],
        seat_diameter=TWO["seat_diameter"],
    )
    assert isclose(far.lift, alone * 5e5, rel_tol=1e-12)
    assert far.second[0].peak_radial_stress == 0.0


def test_one_ring_of_contact_is_exact_until_the_contact_rolls_inwards() -> None:
    """Finite elements that may touch anywhere: same to 3 gaps of lift, within 5 % to 14."""
    stacks = (
        (TWO["first_clamp_diameter"], TWO["first_diameters"], TWO["first_thicknesses"]),
        TWO["gap"],
        (TWO["second_clamp_diameter"], TWO["second_diameters"], TWO["second_thicknesses"]),
        TWO["youngs_modulus"],
        TWO["poisson_ratio"],
        (TWO["port_inner_diameter"], TWO["port_outer_diameter"]),
        TWO["seat_diameter"],
    )
    for load, tolerance in ((3e5, 1e-6), (6e5, 1e-6), (1e6, 0.02), (3e6, 0.05)):
        lift = two_stage_state(**TWO, pressure=load).lift
        assert isclose(lift, two_stage_lift(*stacks, load), rel_tol=tolerance)


@given(st.floats(0.1, 0.9), st.floats(0.05, 1.0), poisson)
def test_one_ring_agrees_with_the_general_formulas_of_roark(
    clamp: float, part: float, nu: float
) -> None:
    """Table 11.2, cases 1l and 2l; they count a deflection against the load as positive."""
    start = clamp + part * (1.0 - clamp)
    line = solve_plate(
        inner_radius=clamp,
        outer_radii=(1.0,),
        rigidities=(1.0,),
        poisson_ratio=nu,
        ring_radii=(start,),
        ring_forces=(2.0 * pi * start,),
    )
    roark = roark_line_load_edge_deflection(1.0, clamp, start, 1.0, 1.0, nu)
    assert isclose(line.edge_deflection, -roark, rel_tol=1e-6)
    begin = clamp + 0.9 * part * (1.0 - clamp)
    even = solve_plate(
        inner_radius=clamp,
        outer_radii=(1.0,),
        rigidities=(1.0,),
        poisson_ratio=nu,
        band_inner_radii=(begin,),
        band_outer_radii=(1.0,),
        band_pressures=(1.0,),
    )
    roark = roark_pressure_edge_deflection(1.0, clamp, begin, 1.0, 1.0, nu)
    assert isclose(even.edge_deflection, -roark, rel_tol=1e-6)


def test_six_printed_coefficients_of_the_plate_table_are_off() -> None:
    """J. Carvill, Mechanical Engineer's Data Handbook, sec. 1.10.3, cases 7 and 8.

    Roark's general formulas and SciPy agree with each other and with us, so the last
    digits printed there for these six are not right (they are old slide-rule values).
    """

    def plate(ratio: float, *, even: bool) -> PlateSolution:
        inner = 1.0 / ratio
        return solve_plate(
            inner_radius=inner,
            outer_radii=(1.0,),
            rigidities=(1.0 / 10.92,),
            poisson_ratio=0.3,
            band_inner_radii=(inner,),
            band_outer_radii=(1.0,),
            band_pressures=(1.0 if even else 0.0,),
            ring_radii=(1.0,),
            ring_forces=(0.0 if even else 1.0,),
        )

    def roark(ratio: float, *, even: bool) -> float:
        inner, rigidity = 1.0 / ratio, 1.0 / 10.92
        if even:
            return -roark_pressure_edge_deflection(1.0, inner, inner, 1.0, rigidity, 0.3)
        return -roark_line_load_edge_deflection(1.0, inner, 1.0, 0.5 / pi, rigidity, 0.3)

    def moment(ratio: float, *, even: bool) -> float:
        loads = ((1.0 / ratio, 1.0, float(even)), (1.0, float(not even)))
        return shooting_clamp_moment(1.0 / ratio, (1.0,), (1.0 / 10.92,), 0.3, *loads)

    for ratio, even, printed, half_digit in ((3, True, 0.293, 5e-4), (4, False, 0.293, 5e-4)):
        ours = plate(ratio, even=even).edge_deflection
        assert isclose(ours, roark(ratio, even=even), rel_tol=1e-9)
        assert abs(ours - printed) > half_digit
    for ratio, even, printed, half_digit in (
        (4, True, 2.99, 5e-3),
        (5, True, 3.69, 5e-3),
        (3, False, 1.205, 5e-4),
        (5, False, 1.745, 5e-4),
    ):
        ours = plate(ratio, even=even).clamp_moment
        assert isclose(ours, moment(ratio, even=even), rel_tol=1e-8)
        assert abs(6.0 * ours - printed) > half_digit


def test_a_seat_outside_the_stack_is_refused() -> None:
    with pytest.raises(ConflictError, match=r"Seat diameter 0\.031 m is not under the stack"):
        stack_compliance(**changed(STACK, seat_diameter=0.031))


def test_a_port_inside_the_clamp_is_refused() -> None:
    with pytest.raises(ConflictError, match="pressure band"):
        stack_compliance(**changed(STACK, port_inner_diameter=0.010))


def test_a_shim_smaller_than_its_clamp_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"Shim diameter is 0\.012 m; allowed: above"):
        stack_compliance(**changed(STACK, diameters=(0.03, 0.03, 0.026, 0.012)))


def test_lists_of_unequal_length_are_refused() -> None:
    with pytest.raises(ConflictError, match="one outer diameter and one thickness"):
        stack_compliance(**changed(STACK, thicknesses=(0.2e-3,)))


def test_stacks_that_cannot_touch_are_refused() -> None:
    with pytest.raises(ConflictError, match="do not overlap"):
        two_stage_state(**changed(TWO, second_diameters=(0.015, 0.014)), pressure=1e5)


@pytest.mark.parametrize("radii", [(0.02, 0.015), (0.004,), ()], ids=str)
def test_rings_that_do_not_rise_are_refused(radii: tuple[float, ...]) -> None:
    with pytest.raises((OutOfRangeError, ConflictError)):
        solve_plate(
            inner_radius=0.005,
            outer_radii=radii,
            rigidities=(0.1,) * len(radii),
            poisson_ratio=0.3,
        )


def test_a_station_off_the_plate_is_refused() -> None:
    with pytest.raises(ConflictError, match="off the plate"):
        solve_plate(
            inner_radius=0.005,
            outer_radii=(0.02,),
            rigidities=(0.1,),
            poisson_ratio=0.3,
            stations=(0.021,),
        )


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
def test_a_thickness_that_is_no_thickness_is_refused(value: float) -> None:
    with pytest.raises(OutOfRangeError):
        flexural_rigidity(youngs_modulus=210e9, poisson_ratio=0.3, thickness=value)
