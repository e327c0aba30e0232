"""What a bench trace says: work, peaks, hysteresis, lag and lost stroke.

Measures of a cycle take the last cycle of a sine. Lag, hysteresis and lost stroke look
at the damping force, the force less the gas force of `bench`, so that the gas spring
does not count as lag.
"""

from __future__ import annotations

from cmath import exp, phase
from dataclasses import dataclass
from itertools import pairwise
from math import copysign, isclose, log, pi
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_between, require_finite
from calculators.physics.chamber import pressure_work, relative_volume
from calculators.physics.network import operating_point

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.physics.bench import BenchTrace, Specimen

__all__ = [
    "FORCE_SHARE",
    "EnergyParts",
    "LoopMeasures",
    "Stroke",
    "energy_parts",
    "hysteresis_width",
    "loop_energy",
    "loop_measures",
    "phase_lag",
    "strokes",
]

FORCE_SHARE = 0.5  # 1, share of the steady force that counts as "the damper is there"; ours


@dataclass(frozen=True, slots=True)
class Stroke:
    """One travel from reversal to reversal, and how late the force comes in it.

    Attributes
    ----------
    start : float
        time of the reversal at which it begins [s].
    compression : bool
        True: the rod moves in.
    travel : float
        way to the next reversal, or to the end of the trace [m].
    lost_stroke : float
        way after the reversal before the force arrives [m]; the whole travel if it
        never does.
    lost_share : float
        lost_stroke / travel [1].
    arrives : bool
        Whether the force reaches the share at all.
    """

    start: float
    compression: bool
    travel: float
    lost_stroke: float
    lost_share: float
    arrives: bool


@dataclass(frozen=True, slots=True)
class EnergyParts:
    """Where the work of the rod goes; work = the three losses + stored.

    Attributes
    ----------
    work : float
        work done on the rod [J].
    piston_loss : float
        turned into heat in the piston's valves [J].
    reserve_loss : float
        turned into heat in the reserve's valves [J].
    friction_loss : float
        turned into heat at the seals [J].
    stored : float
        gain of the gas, of the squeezed oil and against the air outside [J].
    """

    work: float
    piston_loss: float
    reserve_loss: float
    friction_loss: float
    stored: float


@dataclass(frozen=True, slots=True)
class LoopMeasures:
    """The last cycle of a sine in figures.

    Attributes
    ----------
    frequency : float
        f [Hz].
    peak_velocity : float
        [m/s].
    energy : float
        work of one cycle, ∮F dx [J].
    mean_power : float
        energy · f [W].
    peak_compression, peak_rebound : float
        largest forces against compression and against rebound, gas force and friction
        included [N], both positive if the force changes sign.
    hysteresis : float
        difference of the damping force between the two reversals [N].
    phase : float
        lag of the damping force behind the velocity at f [rad].
    compression, rebound : Stroke
        the two strokes, with their lost stroke.
    lowest_pressure_head, lowest_pressure_rod : float
        absolute [Pa]; near or below the oil's vapour pressure the chamber holds a void.
    largest_gas_share : float
        largest share of free gas in either chamber [1].
    """

    frequency: float
    peak_velocity: float
    energy: float
    mean_power: float
    peak_compression: float
    peak_rebound: float
    hysteresis: float
    phase: float
    compression: Stroke
    rebound: Stroke
    lowest_pressure_head: float
    lowest_pressure_rod: float
    largest_gas_share: float


def loop_energy(*, trace: BenchTrace) -> float:
    """Return the work of the last cycle: the area of the force-displacement loop.

    W = ∮ F dx = ∫ F v dt

    Parameters
    ----------
    trace : BenchTrace
        A sine of the bench.

    Returns
    -------
    float
        W, work that becomes heat in one cycle [J], > 0 once the cycle has settled.

    Raises
    ------
    ConflictError
        If the trace is no sine.

    Notes
    -----
    Limits: trapezoids in time; over a whole cycle their error is far below that of the
    forces.

    References
    ----------
    derivation: work of a force along a way.
    """
    cycle = _cycle(trace)
    return _integral(trace.time[cycle], _products(trace.force[cycle], trace.velocity[cycle]))


def hysteresis_width(*, trace: BenchTrace, velocity: float = 0.0) -> float:
    """Return how far the two branches of the force-velocity loop lie apart at a velocity.

    |F(v, speeding up) − F(v, slowing down)|, of the damping force

    Parameters
    ----------
    trace : BenchTrace
        A sine of the bench.
    velocity : float
        v, positive in compression; 0: at the reversals [m/s], below the peak.

    Returns
    -------
    float
        Width of the loop [N], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the velocity is not a finite number.
    ConflictError
        If the trace is no sine, or never passes the velocity.

    Notes
    -----
    Limits: straight lines between the entries. At the reversals friction is zero, so it
    adds no width there.

    References
    ----------
    derivation: definition.
    """
    require_finite(velocity, "Velocity", "m/s")
    cycle = _cycle(trace)
    speeds = trace.velocity[cycle]
    forces = trace.damping_force[cycle]
    rising, falling = [], []
    for (v_a, v_b), (f_a, f_b) in zip(pairwise(speeds), pairwise(forces), strict=True):
        if v_a < velocity <= v_b:
            rising.append(f_a + (f_b - f_a) * (velocity - v_a) / (v_b - v_a))
        elif v_a >= velocity > v_b:
            falling.append(f_a + (f_b - f_a) * (velocity - v_a) / (v_b - v_a))
    if not rising or not falling:
        message = (
            f"The motion never passes {velocity:g} m/s; it runs from {min(speeds):.4g} to "
            f"{max(speeds):.4g} m/s. Take a velocity between."
        )
        raise ConflictError(message, inputs=("velocity",))
    return abs(rising[0] - falling[0])


def phase_lag(*, trace: BenchTrace) -> float:
    """Return how far the damping force lags behind the velocity at the driving frequency.

    φ = arg V₁ − arg F₁, first Fourier coefficients over the last cycle

    Parameters
    ----------
    trace : BenchTrace
        A sine of the bench.

    Returns
    -------
    float
        φ, lag [rad], above −π and up to π; 0 without lag, π/2 for a spring.

    Raises
    ------
    ConflictError
        If the trace is no sine.

    Notes
    -----
    Limits: higher harmonics are left out, so a valve that opens late in the stroke does
    not show.

    References
    ----------
    derivation: Fourier series; for spring and dashpot in series tan φ = ω c / K (`maxwell`).
    """
    cycle = _cycle(trace)
    force = _fundamental(trace.damping_force[cycle])
    velocity = _fundamental(trace.velocity[cycle])
    return phase(velocity / force)


def strokes(*, trace: BenchTrace, force_share: float = FORCE_SHARE) -> tuple[Stroke, ...]:
    """Return all strokes of a trace with the travel that each loses after its reversal.

    lost until F_damping ≥ share · F_steady(v, p_gas), both counted along the stroke

    F_steady is what the damper would give at the present speed with stiff oil and the
    present gas pressure (`operating_point`). The flat spot that a driver feels.

    Parameters
    ----------
    trace : BenchTrace
        Any trace of the bench.
    force_share : float
        Share of the steady force that counts as arrived [1], 0.01 to 0.99.

    Returns
    -------
    tuple of Stroke
        In order; the first begins at rest, the last may be cut off by the end.

    Raises
    ------
    OutOfRangeError
        If the share is outside its range.

    Notes
    -----
    Limits: the share is our convention: half. Seal friction is left out, it arrives at
    once. Straight lines between the entries. The steady force fades towards the next
    reversal, so a very late force arrives just before it, with a share near 1.

    References
    ----------
    derivation: definition.
    """
    require_between(0.01, 0.99, force_share, "Force share", "", "0.5: half of the steady force.")
    found = []
    v, x = trace.velocity, trace.displacement
    begin = 0  # the reversal, or the last entry before it
    while begin < len(v) - 1:
        sign = v[begin + 1]
        end = begin + 1
        while end + 1 < len(v) and v[end] * sign > 0.0 and v[end + 1] * sign >= 0.0:
            end += 1
        turn = begin if sign * (x[begin] - x[begin + 1]) <= 0.0 else begin + 1
        if sign != 0.0 and turn < end and sign * (x[end] - x[turn]) > 0.0:
            found.append(_stroke(trace, range(turn, end + 1), copysign(1.0, sign), force_share))
        begin = end
    return tuple(found)


def energy_parts(*, trace: BenchTrace) -> EnergyParts:
    """Return where the work goes: valves, seals, gas and squeezed oil.

    ∫ F v dt = ∫ q_piston Δh dt + ∫ q_reserve Δh dt + ∫ friction |v| dt + stored

    Δh is the difference of pressure_work on the two sides: the pressure drop, with the
    swelling of the bubbles. Over the last cycle of a sine, or the whole of another trace.

    Parameters
    ----------
    trace : BenchTrace
        Any trace of the bench.

    Returns
    -------
    EnergyParts
        Work and its parts.

    Notes
    -----
    Limits: trapezoids in time. Bubbles and gas follow their polytropes without loss.

    References
    ----------
    derivation: first law for each chamber, −p dV = dU − h dN with U = N (h − p v).
    """
    cycle = _cycle(trace) if trace.cycle_steps else slice(None)
    specimen = trace.specimen
    oil, filling = specimen.chamber_oil, specimen.filling
    swell = relative_volume(oil=oil, pressure=filling.gas_pressure)
    charged = pressure_work(oil=oil, pressure=filling.gas_pressure)
    times, speeds = trace.time[cycle], trace.velocity[cycle]
    head = [pressure_work(oil=oil, pressure=p) for p in trace.pressure_head[cycle]]
    rod = [pressure_work(oil=oil, pressure=p) for p in trace.pressure_rod[cycle]]
    gas = [charged + swell * (p - filling.gas_pressure) for p in trace.pressure_gas[cycle]]
    piston = [a - b for a, b in zip(head, rod, strict=True)]
    reserve = [a - b for a, b in zip(head, gas, strict=True)]
    first, last = range(len(trace.time))[cycle][0], range(len(trace.time))[cycle][-1]
    friction = [specimen.damper.seal_friction * abs(v) for v in speeds]
    return EnergyParts(
        work=_integral(times, _products(trace.force[cycle], speeds)),
        piston_loss=_integral(times, _products(trace.piston_flow[cycle], piston)),
        reserve_loss=_integral(times, _products(trace.reserve_flow[cycle], reserve)),
        friction_loss=_integral(times, friction),
        stored=_stored(trace, last) - _stored(trace, first),
    )


def loop_measures(*, trace: BenchTrace, force_share: float = FORCE_SHARE) -> LoopMeasures:
    """Return the last cycle of a sine in figures.

    loop_energy, hysteresis_width at the reversals, phase_lag and strokes together

    Parameters
    ----------
    trace : BenchTrace
        A sine of the bench.
    force_share : float
        Share of the steady force that counts as arrived [1], 0.01 to 0.99.

    Returns
    -------
    LoopMeasures
        Work, peaks, lag, lost strokes and lowest pressures.

    Raises
    ------
    OutOfRangeError
        If the share is outside its range.
    ConflictError
        If the trace is no sine.

    Notes
    -----
    Limits: those of the single measures.

    References
    ----------
    derivation: as in the single measures.

    Examples
    --------
    A viscous leak in stiff oil, c = A² μ / G: the loop is an ellipse of area π c ω X².

    >>> from math import pi
    >>> from calculators.physics.bench import Filling, SineMotion, Specimen, run_sine
    >>> from calculators.physics.chamber import AeratedOil
    >>> from calculators.physics.fluid import Oil
    >>> from calculators.physics.network import Damper
    >>> from calculators.physics.pair import ValvePair
    >>> from calculators.physics.valve import Valve
    >>> leak = Valve(0.0, 0.0, 0.02, 0.0, 0.0, 0.0, leak=1e-12)
    >>> damper = Damper(0.04, 0.0, ValvePair(leak, leak))
    >>> specimen = Specimen(
    ...     damper, Filling(2e-4, 2e-4, 2e6, 1e-4), Oil(850.0, 0.01), AeratedOil(1e15, 0.0)
    ... )
    >>> trace = run_sine(specimen=specimen, motion=SineMotion(2.0, 0.01))
    >>> coefficient = damper.piston_area**2 * 0.01 / 1e-12
    >>> ellipse = pi * coefficient * 4.0 * pi * 0.01**2
    >>> abs(loop_measures(trace=trace).energy / ellipse - 1.0) < 2e-4
    True
    """
    cycle = _cycle(trace)
    energy = loop_energy(trace=trace)
    frequency = 1.0 / (trace.time[trace.cycle_steps] - trace.time[0])
    force = trace.force[cycle]
    inward, outward = strokes(trace=trace, force_share=force_share)[-2:]
    return LoopMeasures(
        frequency=frequency,
        peak_velocity=max(trace.velocity[cycle]),
        energy=energy,
        mean_power=energy * frequency,
        peak_compression=max(force),
        peak_rebound=-min(force),
        hysteresis=hysteresis_width(trace=trace),
        phase=phase_lag(trace=trace),
        compression=inward,
        rebound=outward,
        lowest_pressure_head=min(trace.pressure_head[cycle]),
        lowest_pressure_rod=min(trace.pressure_rod[cycle]),
        largest_gas_share=_largest_gas_share(trace, cycle),
    )


def _cycle(trace: BenchTrace) -> slice:
    """Return where the last cycle stands, both ends included."""
    if not trace.cycle_steps:
        message = "This measure needs whole cycles; give it a sine of the bench."
        raise ConflictError(message, inputs=("trace",))
    return slice(len(trace.time) - 1 - trace.cycle_steps, None)


def _products(left: Sequence[float], right: Sequence[float]) -> list[float]:
    return [a * b for a, b in zip(left, right, strict=True)]


def _integral(times: Sequence[float], values: Sequence[float]) -> float:
    """Return the integral over time by trapezoids."""
    steps = (b - a for a, b in pairwise(times))
    return sum(0.5 * h * (a + b) for h, (a, b) in zip(steps, pairwise(values), strict=True))


def _fundamental(values: Sequence[float]) -> complex:
    """Return the first Fourier coefficient of a cycle given with both ends, by trapezoids."""
    turn = -2j * pi / (len(values) - 1)
    inner = sum((value * exp(turn * i) for i, value in enumerate(values[1:-1], 1)), start=0j)
    return inner + 0.5 * (values[0] + values[-1])


def _stroke(trace: BenchTrace, entries: range, sign: float, force_share: float) -> Stroke:
    """Measure one stroke, given from its reversal to the next."""
    damper, filling = trace.specimen.damper, trace.specimen.filling
    x, v, force = trace.displacement, trace.velocity, trace.damping_force
    turn = entries[0]
    travel = max(sign * (x[i] - x[turn]) for i in entries)
    before = 0.0
    for i in entries:
        friction = copysign(damper.seal_friction, v[i]) if v[i] != 0.0 else 0.0
        point = operating_point(
            damper=damper,
            velocity=v[i],
            gas_pressure=trace.pressure_gas[i],
            oil=trace.specimen.oil,
            pressure_ambient=filling.pressure_ambient,
        )
        steady = sign * (point.force - point.gas_force - friction)
        excess = sign * (force[i] - friction) - force_share * steady
        if excess >= 0.0:
            way = max(0.0, sign * (x[i] - x[turn]))
            if i > turn:
                step = sign * (x[i] - x[i - 1])
                way = max(0.0, way - step * excess / (excess - before))
            return Stroke(trace.time[turn], sign > 0.0, travel, way, way / travel, arrives=True)
        before = excess
    return Stroke(trace.time[turn], sign > 0.0, travel, travel, 1.0, arrives=False)


def _stored(trace: BenchTrace, entry: int) -> float:
    """Return the energy in oil and gas at an entry, and that against the air outside."""
    specimen: Specimen = trace.specimen
    damper, filling, oil = specimen.damper, specimen.filling, specimen.chamber_oil
    x, gas = trace.displacement[entry], trace.pressure_gas[entry]
    total = -filling.pressure_ambient * damper.rod_area * x
    for volume, pressure in (
        (filling.head_volume - damper.piston_area * x, trace.pressure_head[entry]),
        (filling.rod_volume + damper.annulus_area * x, trace.pressure_rod[entry]),
    ):
        relative = relative_volume(oil=oil, pressure=pressure)
        total += volume * (pressure_work(oil=oil, pressure=pressure) / relative - pressure)
    charge, n = filling.gas_pressure, filling.gas_exponent
    ratio = float((gas / charge) ** (1.0 / n))
    swell = relative_volume(oil=oil, pressure=charge)
    arrived = filling.gas_volume * (1.0 - 1.0 / ratio) / swell
    total += arrived * (pressure_work(oil=oil, pressure=charge) - charge * swell)
    squeezed = log(ratio) if isclose(n, 1.0) else (ratio ** (n - 1.0) - 1.0) / (n - 1.0)
    return total + charge * filling.gas_volume * squeezed


def _largest_gas_share(trace: BenchTrace, cycle: slice) -> float:
    """Return the largest share of free gas in head side and rod side."""
    damper, filling = trace.specimen.damper, trace.specimen.filling
    return max(
        max(
            head / (filling.head_volume - damper.piston_area * x),
            rod / (filling.rod_volume + damper.annulus_area * x),
        )
        for x, head, rod in zip(
            trace.displacement[cycle],
            trace.free_gas_head[cycle],
            trace.free_gas_rod[cycle],
            strict=True,
        )
    )
