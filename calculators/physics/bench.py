"""The virtual bench: force, pressures and flows of a damper that is moved.

Two chambers of slightly aerated oil with the piston's valves between them, and a
reserve at gas pressure behind the foot valve or reservoir valve. With x and
v = dx/dt positive in compression,

    dp_head/dt = (A_p v − Q_piston − Q_reserve) / (N_head C),
    dp_rod/dt = (Q_piston − A_a v) / (N_rod C),
    p_gas V_gasⁿ = const, V_gas shrinking by the oil that flows to the reserve,
    F = (p_head − p_ambient) A_p − (p_rod − p_ambient) A_a + friction · sign(v).

F resists compression and holds the gas force, as a load cell reads it. N is the oil
in the chamber counted at the reference pressure p₀, C its compliance (`chamber`), and
Q the volume that passes, at the pressure of the chamber in question. At steady speed
and with stiff oil this is the network of `network`. Without a reserve valve the
dividing piston has neither mass nor friction: p_head = p_gas, and the gas takes its
place in the head side's own balance, so that no stiff valve has to be invented.

Left out: air that dissolves or is released, inertia of oil and valve discs, soft walls,
the reserve running dry at the foot valve, heat.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise
from math import copysign, cos, pi, sin
from typing import TYPE_CHECKING

from calculators.errors import (
    ConflictError,
    NoSolutionError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)
from calculators.physics._bench_solver import Solver
from calculators.physics.chamber import free_gas_share
from calculators.physics.gas import P_ATM

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.physics._bench_solver import State
    from calculators.physics.chamber import AeratedOil
    from calculators.physics.fluid import Oil
    from calculators.physics.network import Damper

__all__ = [
    "BenchTrace",
    "Filling",
    "SineMotion",
    "Specimen",
    "corrugation",
    "run_displacement",
    "run_sine",
    "run_stepped_sine",
]

_STEPS = 200  # 1, time steps in one cycle
_CYCLES = 3  # 1, the first cycles settle, the last one is measured


@dataclass(frozen=True, slots=True)
class Filling:
    """Oil and gas in the damper at rest, with the rod at displacement zero.

    Attributes
    ----------
    head_volume : float
        oil between piston and base valve or dividing piston [m³], > 0.
    rod_volume : float
        oil between piston and rod guide [m³], > 0.
    gas_pressure : float
        absolute pressure of the gas, and of the oil at rest [Pa], > 0.
    gas_volume : float
        volume of the gas [m³], > 0.
    gas_exponent : float
        n of the gas, 1 (slow) to 1.4 (fast) [1], 1 to 1.67.
    pressure_ambient : float
        absolute pressure of the air outside [Pa], > 0.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    head_volume: float
    rod_volume: float
    gas_pressure: float
    gas_volume: float
    gas_exponent: float = 1.4
    pressure_ambient: float = P_ATM

    def __post_init__(self) -> None:
        require_above(0.0, self.head_volume, "Head-side volume", "m³", "Piston area × length.")
        require_above(0.0, self.rod_volume, "Rod-side volume", "m³", "Annulus area × length.")
        require_above(0.0, self.gas_pressure, "Gas pressure", "Pa", "Absolute: gauge + ambient.")
        require_above(0.0, self.gas_volume, "Gas volume", "m³", "At displacement zero.")
        require_between(1.0, 1.67, self.gas_exponent, "Gas exponent", "", "1 slow, 1.4 fast.")
        require_above(0.0, self.pressure_ambient, "Ambient pressure", "Pa", "Absolute.")


@dataclass(frozen=True, slots=True)
class Specimen:
    """What is clamped into the bench.

    Attributes
    ----------
    damper : Damper
        Bore, rod, valves and seal friction.
    filling : Filling
        Volumes and gas at displacement zero.
    oil : Oil
        Density and viscosity, for the valves.
    chamber_oil : AeratedOil
        Bulk modulus and free gas, for the chambers.
    """

    damper: Damper
    filling: Filling
    oil: Oil
    chamber_oil: AeratedOil


@dataclass(frozen=True, slots=True)
class SineMotion:
    """A sine along the damper.

    Attributes
    ----------
    frequency : float
        f [Hz], > 0.
    amplitude : float
        X, half of peak to peak [m], > 0.

    Raises
    ------
    OutOfRangeError
        If an attribute is not a finite number above zero.
    """

    frequency: float
    amplitude: float

    def __post_init__(self) -> None:
        require_above(0.0, self.frequency, "Frequency", "Hz", "Cycles in a second.")
        require_above(0.0, self.amplitude, "Amplitude", "m", "Half of the stroke.")

    @property
    def peak_velocity(self) -> float:
        """2π f X [m/s]."""
        return 2.0 * pi * self.frequency * self.amplitude


@dataclass(frozen=True, slots=True)
class BenchTrace:
    """What the bench recorded; all tuples have one entry for each time.

    Flows count oil at the reference pressure, so that what leaves one chamber enters
    the next.

    Attributes
    ----------
    specimen : Specimen
        What was moved.
    cycle_steps : int
        entries in one cycle of a sine [1]; 0 for any other motion.
    time : tuple of float
        [s].
    displacement : tuple of float
        x, rod moving in is positive [m].
    velocity : tuple of float
        v = dx/dt [m/s].
    force : tuple of float
        force on the rod, positive against compression, gas and friction included [N];
        at rest, between the strokes, without friction.
    gas_force : tuple of float
        part of it that the gas alone would make, (p_gas − p_ambient) · A_r [N].
    pressure_head, pressure_rod, pressure_gas : tuple of float
        absolute pressures [Pa].
    piston_flow, reserve_flow : tuple of float
        oil from head side to rod side, and from head side to reserve [m³/s].
    free_gas_head, free_gas_rod : tuple of float
        volume of the bubbles in the chamber, voids included [m³].
    """

    specimen: Specimen
    cycle_steps: int
    time: tuple[float, ...]
    displacement: tuple[float, ...]
    velocity: tuple[float, ...]
    force: tuple[float, ...]
    gas_force: tuple[float, ...]
    pressure_head: tuple[float, ...]
    pressure_rod: tuple[float, ...]
    pressure_gas: tuple[float, ...]
    piston_flow: tuple[float, ...]
    reserve_flow: tuple[float, ...]
    free_gas_head: tuple[float, ...]
    free_gas_rod: tuple[float, ...]

    @property
    def damping_force(self) -> tuple[float, ...]:
        """Force less the gas force [N]."""
        return tuple(f - gas for f, gas in zip(self.force, self.gas_force, strict=True))


def corrugation(
    *, wavelength: float, amplitude: float, speed: float, motion_ratio: float = 1.0
) -> SineMotion:
    """Return what a corrugated road does to the damper at a driving speed.

    f = V / λ,  X = a · MR

    Parameters
    ----------
    wavelength : float
        λ, from crest to crest [m], > 0.
    amplitude : float
        a, half of the height from trough to crest [m], > 0.
    speed : float
        V, driving speed [m/s], > 0.
    motion_ratio : float
        MR, damper travel / wheel travel [1], > 0.

    Returns
    -------
    SineMotion
        Frequency and amplitude along the damper.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: the wheel follows the road and the body stands still, which is the worst
    case. A real wheel leaves the crests at speed.

    References
    ----------
    derivation: one wave passes in the time λ/V.

    Examples
    --------
    By hand: 15 / 0.75 Hz and 0.012 · 0.5 m.

    >>> corrugation(wavelength=0.75, amplitude=0.012, speed=15.0, motion_ratio=0.5)
    SineMotion(frequency=20.0, amplitude=0.006)
    """
    require_above(0.0, wavelength, "Wavelength", "m", "Crest to crest.")
    require_above(0.0, amplitude, "Amplitude", "m", "Half of trough to crest.")
    require_above(0.0, speed, "Driving speed", "m/s")
    require_above(0.0, motion_ratio, "Motion ratio", "", "Damper travel / wheel travel.")
    return SineMotion(frequency=speed / wavelength, amplitude=amplitude * motion_ratio)


def run_sine(
    *,
    specimen: Specimen,
    motion: SineMotion,
    centre: float = 0.0,
    cycles: int = _CYCLES,
    steps: int = _STEPS,
) -> BenchTrace:
    """Return what the bench records while it moves the damper on a sine.

    x = x_c − X cos 2πft

    It starts at rest with the rod out. The first cycles settle; the loop measures
    take the last.

    Parameters
    ----------
    specimen : Specimen
        Damper, filling and oil.
    motion : SineMotion
        Frequency and amplitude.
    centre : float
        x_c, middle of the motion, from displacement zero [m], any sign.
    cycles : int
        Number of cycles [1], ≥ 1.
    steps : int
        Time steps in one cycle, an even number [1], ≥ 20.

    Returns
    -------
    BenchTrace
        cycles · steps + 1 entries.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the motion does not fit into the damper, or the steps are odd.
    NoSolutionError
        If no pressures are found; the message says when and where, and what was solved before.

    Notes
    -----
    Limits: those of the module. Second order in the step: with 200 steps in a cycle
    peak force and loop area of our test cases are within 0.05 % of a fine solution.

    References
    ----------
    derivation: balance of oil in each chamber; force from the pressures on both faces.
    paper: R. E. Bank et al., Transient simulation of silicon devices and circuits, IEEE
        Trans. CAD 4 (1985): TR-BDF2 (value from memory).

    Examples
    --------
    >>> from calculators.physics.chamber import AeratedOil
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> valve = Valve(
    ...     bleed_area=1e-6, port_area=3e-5, disc_diameter=0.02,
    ...     crack_pressure=5e5, compliance=2e-10, max_lift=1e-3,
    ... )
    >>> specimen = Specimen(
    ...     damper=Damper(0.046, 0.014, ValvePair(valve, valve)),
    ...     filling=Filling(1.5e-4, 1.5e-4, gas_pressure=2e6, gas_volume=5e-5),
    ...     oil=Oil(density=850.0, dynamic_viscosity=0.012),
    ...     chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=0.001),
    ... )
    >>> trace = run_sine(specimen=specimen, motion=SineMotion(2.0, 0.02), cycles=1, steps=40)
    >>> len(trace.force), trace.velocity[20]
    (41, 0.0)
    """
    require_finite(centre, "Centre of the motion", "m")
    require_at_least(1.0, cycles, "Number of cycles", "", "One to look, three to measure.")
    require_at_least(20.0, steps, "Steps in a cycle", "", "200 is a good number.")
    if steps % 2:
        message = f"{steps} steps in a cycle leave the reversal between two; take an even number."
        raise ConflictError(message, inputs=("steps",))
    omega, amplitude = 2.0 * pi * motion.frequency, motion.amplitude
    step = 1.0 / (motion.frequency * steps)

    def moved(time: float) -> tuple[float, float]:
        angle = omega * time
        return centre - amplitude * cos(angle), amplitude * omega * sin(angle)

    times = tuple(step * number for number in range(cycles * steps + 1))
    return _run(specimen, moved, times, (centre - amplitude, centre + amplitude), steps)


def run_stepped_sine(
    *,
    specimen: Specimen,
    amplitude: float,
    speeds: tuple[float, ...],
    cycles: int = _CYCLES,
    steps: int = _STEPS,
) -> tuple[BenchTrace, ...]:
    """Return one trace for each peak speed, all with the same stroke.

    f = v̂ / (2π X)

    As a bench measures a force-velocity table: the stroke stays, the crank turns faster.

    Parameters
    ----------
    specimen : Specimen
        Damper, filling and oil.
    amplitude : float
        X, half of the stroke [m], > 0.
    speeds : tuple of float
        v̂, peak speeds [m/s], each > 0, at least one.
    cycles : int
        Number of cycles at each speed [1], ≥ 1.
    steps : int
        Time steps in one cycle, an even number [1], ≥ 20.

    Returns
    -------
    tuple of BenchTrace
        In the order of the speeds.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If no speed is given, or the motion does not fit into the damper.
    NoSolutionError
        If no pressures are found; the message says when and where, and what was solved before.

    Notes
    -----
    Limits: those of run_sine. Each speed starts at rest, at the same temperature.

    References
    ----------
    derivation: v̂ = 2π f X.

    Examples
    --------
    No speed, no trace.

    >>> run_stepped_sine(specimen=None, amplitude=0.02, speeds=())
    Traceback (most recent call last):
    calculators.errors.ConflictError: No speeds were given; give at least one.
    """
    if not speeds:
        message = "No speeds were given; give at least one."
        raise ConflictError(message, inputs=("speeds",))
    require_above(0.0, amplitude, "Amplitude", "m", "Half of the stroke.")
    for speed in speeds:
        require_above(0.0, speed, "Peak speed", "m/s", "Give the speed without its sign.")
    motions = (SineMotion(speed / (2.0 * pi * amplitude), amplitude) for speed in speeds)
    return tuple(
        run_sine(specimen=specimen, motion=motion, cycles=cycles, steps=steps) for motion in motions
    )


def run_displacement(
    *,
    specimen: Specimen,
    times: tuple[float, ...],
    displacements: tuple[float, ...],
    substeps: int = 1,
) -> BenchTrace:
    """Return what the bench records while it follows a recorded displacement.

    x(t) through all points, piecewise cubic; the velocity is continuous and piecewise
    parabolic, its value at a point that of the parabola through it and its neighbours.

    Parameters
    ----------
    specimen : Specimen
        Damper, filling and oil.
    times : tuple of float
        Rising times [s], any sign, at least three.
    displacements : tuple of float
        x at these times, from displacement zero [m], any sign.
    substeps : int
        Time steps between two points [1], ≥ 1.

    Returns
    -------
    BenchTrace
        One entry for each substep; it starts with the damper at rest.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the lists do not fit each other, or the motion does not fit into the damper.
    NoSolutionError
        If no pressures are found; the message says when and where, and what was solved before.

    Notes
    -----
    Limits: those of the module. About 100 entries in each stroke are needed for the
    lag; noise in the record becomes force, so smooth it first.

    References
    ----------
    derivation: cubic Hermite segments with three-point slopes.

    Examples
    --------
    Two points make no velocity.

    >>> run_displacement(  # doctest: +ELLIPSIS
    ...     specimen=None, times=(0.0, 1.0), displacements=(0.0, 0.01)
    ... )
    Traceback (most recent call last):
    calculators.errors.ConflictError: 2 times and 2 displacements were given; give as many...
    """
    if len(times) != len(displacements) or len(times) < 3:  # noqa: PLR2004  a parabola
        message = (
            f"{len(times)} times and {len(displacements)} displacements were given; "
            "give as many of each, at least 3."
        )
        raise ConflictError(message, inputs=("times", "displacements"))
    require_at_least(1.0, substeps, "Substeps", "", "Whole steps between two points.")
    for time, x in zip(times, displacements, strict=True):
        require_finite(time, "Time", "s")
        require_finite(x, "Displacement", "m")
    for earlier, later in pairwise(times):
        if later <= earlier:
            message = f"The times must rise; {later:g} s follows {earlier:g} s."
            raise ConflictError(message, inputs=("times",))
    moved = _cubic(times, displacements)
    fine = [a + (b - a) * part / substeps for a, b in pairwise(times) for part in range(substeps)]
    ends = [moved(time)[0] for time in (*fine, times[-1])]
    return _run(specimen, moved, (*fine, times[-1]), (min(ends), max(ends)), 0)


def _cubic(
    times: tuple[float, ...], values: tuple[float, ...]
) -> Callable[[float], tuple[float, float]]:
    """Return value and slope of the piecewise cubic through points."""
    widths = [b - a for a, b in pairwise(times)]
    chords = [(b - a) / width for a, b, width in zip(values[:-1], values[1:], widths, strict=True)]
    inner = [
        (chords[i - 1] * widths[i] + chords[i] * widths[i - 1]) / (widths[i - 1] + widths[i])
        for i in range(1, len(widths))
    ]
    slopes = [2.0 * chords[0] - inner[0], *inner, 2.0 * chords[-1] - inner[-1]]

    def at(time: float) -> tuple[float, float]:
        i = min(max(bisect_right(times, time) - 1, 0), len(widths) - 1)
        s, h = time - times[i], widths[i]
        bend = (3.0 * chords[i] - 2.0 * slopes[i] - slopes[i + 1]) / h
        twist = (slopes[i] + slopes[i + 1] - 2.0 * chords[i]) / (h * h)
        x = values[i] + s * (slopes[i] + s * (bend + s * twist))
        return x, slopes[i] + s * (2.0 * bend + 3.0 * s * twist)

    return at


def _run(
    specimen: Specimen,
    motion: Callable[[float], tuple[float, float]],
    times: tuple[float, ...],
    ends: tuple[float, float],
    cycle_steps: int,
) -> BenchTrace:
    """Follow a motion and keep the state at each time."""
    _require_travel(specimen, ends)
    solver = Solver(specimen, motion, times[0])
    states = [solver.state]
    path = [motion(time) for time in times]
    try:
        for now, later in pairwise(times):
            solver.advance(now, later - now)
            states.append(solver.state)
    except NoSolutionError as error:
        solved = len(states)
        trace = _trace(specimen, times[:solved], path[:solved], states, cycle_steps)
        message = f"{error} {_told(trace, len(times))}"
        raise NoSolutionError(message) from error
    return _trace(specimen, times, path, states, cycle_steps)


def _told(trace: BenchTrace, count: int) -> str:
    """Return in words what was solved of a motion of `count` entries before it failed."""
    head, rod = trace.pressure_head, trace.pressure_rod
    return (
        f"Solved until then: {len(trace.time) - 1} of {count - 1} time steps, with forces from "
        f"{min(trace.force):.4g} to {max(trace.force):.4g} N at rod speeds from "
        f"{min(trace.velocity):.4g} to {max(trace.velocity):.4g} m/s; absolute pressures from "
        f"{min(head) / 1e5:.4g} to {max(head) / 1e5:.4g} bar on the head side and from "
        f"{min(rod) / 1e5:.4g} to {max(rod) / 1e5:.4g} bar on the rod side."
    )


def _trace(
    specimen: Specimen,
    times: tuple[float, ...],
    path: list[tuple[float, float]],
    states: list[State],
    cycle_steps: int,
) -> BenchTrace:
    """Return forces and volumes of states that were solved on a path of the rod."""
    damper, filling, oil = specimen.damper, specimen.filling, specimen.chamber_oil
    ambient = filling.pressure_ambient
    still = 1e-9 * max(abs(v) for _, v in path)  # rounding at a reversal is no direction
    velocity = tuple(v if abs(v) > still else 0.0 for _, v in path)
    friction = [copysign(damper.seal_friction, v) if v != 0.0 else 0.0 for v in velocity]
    return BenchTrace(
        specimen=specimen,
        cycle_steps=cycle_steps,
        time=times,
        displacement=tuple(x for x, _ in path),
        velocity=velocity,
        # A_p (p_head − p_ambient) − A_a (p_rod − p_ambient), large pressures cancelled by hand
        force=tuple(
            (state.head - ambient) * damper.rod_area
            + (state.head - state.rod) * damper.annulus_area
            + rub
            for state, rub in zip(states, friction, strict=True)
        ),
        gas_force=tuple((state.gas - ambient) * damper.rod_area for state in states),
        pressure_head=tuple(state.head for state in states),
        pressure_rod=tuple(state.rod for state in states),
        pressure_gas=tuple(state.gas for state in states),
        piston_flow=tuple(state.piston_flow for state in states),
        reserve_flow=tuple(state.reserve_flow for state in states),
        free_gas_head=tuple(
            free_gas_share(oil=oil, pressure=state.head)
            * (filling.head_volume - damper.piston_area * x)
            for state, (x, _) in zip(states, path, strict=True)
        ),
        free_gas_rod=tuple(
            free_gas_share(oil=oil, pressure=state.rod)
            * (filling.rod_volume + damper.annulus_area * x)
            for state, (x, _) in zip(states, path, strict=True)
        ),
    )


def _require_travel(specimen: Specimen, ends: tuple[float, float]) -> None:
    """Raise unless chambers and gas keep a volume at both ends of a motion."""
    damper, filling = specimen.damper, specimen.filling
    inward = filling.head_volume / damper.piston_area
    if damper.rod_area > 0.0:
        inward = min(inward, filling.gas_volume / damper.rod_area)
    outward = filling.rod_volume / damper.annulus_area
    if ends[1] >= inward or -ends[0] >= outward:
        message = (
            f"The motion runs from {ends[0] * 1e3:.4g} to {ends[1] * 1e3:.4g} mm; there is room "
            f"for {-outward * 1e3:.4g} to {inward * 1e3:.4g} mm. Make the stroke shorter, or give "
            "more oil and gas volume."
        )
        raise ConflictError(message, inputs=("amplitude", "head_volume", "rod_volume"))
