"""The inverse: valve sizes from a target force table, then sizes that can be made.

Each direction of the piston, and the foot valve, has a *duty*: a few flows with the
pressure drop wanted at each. A first guess comes in closed form, one regime at a
time: bleed from the slowest point, crack pressure at the knee, ports and disc from
the fastest. Least squares on the logarithm of the drops improves it. Then sizes are
rounded one kind after the other (bleed holes, ports, shims, preload steps), and what is
still free is fitted again, so that it makes up for the rounding.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import pairwise
from math import exp, inf, log, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, NoSolutionError, require_above
from calculators.physics._valve_slopes import drop_and_slopes
from calculators.physics.drill import (
    HOLE_COUNTS,
    LARGEST_DRILL,
    Drilling,
    EqualStack,
    nearest_drilling,
    nearest_stack,
    nearest_step,
)
from calculators.physics.fit import least_squares
from calculators.physics.orifice import DISCHARGE_COEFFICIENT, orifice_area, orifice_flow
from calculators.physics.valve import Valve, valve_pressure_drop

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from calculators.physics.fluid import Oil

__all__ = ["Duty", "MadeValve", "ValveFrame", "fit_valves", "make_valves"]

_BLEED = (1e-9, 1e-4)  # m², bounds of the fit
_CRACK = 1e3  # Pa, lower bound of the fit
_COMPLIANCE = (1e-14, 1e-6)  # m/Pa, bounds of the fit
_PORT = 1e-7  # m², lower bound of the fit
_ROUGH = 1e-2  # 1, gain at which the search from one knee stops; the best is then refined
_SOFTER = (1.0, 0.9, 1.1, 0.8, 1.2)  # 1, shares of the wanted compliance at which shims are tried
_WORST = 8  # 1, power of the misses that are added up: nearly the largest alone counts; ours
_ALIKE = 1e-6  # 1, share by which two such sums may differ and still be alike
_FAR = 5.0  # 1, drop over wanted drop, typically, from which a fit is no answer; ours


@dataclass(frozen=True, slots=True)
class Duty:
    """The flows of one valve and the pressure drop wanted at each.

    Attributes
    ----------
    flows : tuple of float
        flows, rising [m³/s], each > 0, at least four.
    pressure_drops : tuple of float
        wanted drops, rising [Pa], each > 0, as many as flows.
    area : float or None
        what displaces the oil; rod speed = flow / area, for messages [m²], > 0.

    Raises
    ------
    OutOfRangeError
        If a value is not a finite number above zero.
    ConflictError
        If there are fewer than four points, or a list doesn't rise.
    """

    flows: tuple[float, ...]
    pressure_drops: tuple[float, ...]
    area: float | None = None

    def place(self, number: int) -> str:
        """Return a point in words: its rod speed, if that is known, and its flow."""
        flow = f"{self.flows[number] * 6e4:.3g} L/min"
        return flow if self.area is None else f"{self.flows[number] / self.area:.3g} m/s ({flow})"

    def __post_init__(self) -> None:
        least = 4
        if len(self.flows) != len(self.pressure_drops) or len(self.flows) < least:
            message = (
                f"{len(self.flows)} flows and {len(self.pressure_drops)} pressure drops were "
                f"given; a valve has four sizes, so give at least {least} of each, in pairs."
            )
            raise ConflictError(message, inputs=("flows", "pressure_drops"))
        for name, values, unit in (
            ("flow", self.flows, "m³/s"),
            ("pressure drop", self.pressure_drops, "Pa"),
        ):
            for value in values:
                require_above(0.0, value, f"Wanted {name}", unit, "Each point is above zero.")
            for low, high in pairwise(values):
                if high <= low:
                    message = (
                        f"The wanted {name} goes from {low:g} to {high:g} {unit}; a valve can "
                        "only make rising drops at rising flows. Correct the target table."
                    )
                    raise ConflictError(message, inputs=("flows", "pressure_drops"))


@dataclass(frozen=True, slots=True)
class ValveFrame:
    """What is given before a valve is sized.

    Attributes
    ----------
    disc_diameter : float
        seat edge at which the disc lifts [m], > 0.
    max_lift : float
        lift at which the disc meets its stop [m], > 0.
    port_limit : float
        largest port area that there is room for [m²], > 1e-7.
    discharge_coefficient : float
        C_d of bleed, ports and curtain [1], > 0.
    leak : float
        G, viscous conductance beside the valve [m³], ≥ 0.
    port_counts : tuple of int
        numbers of ports that the piston can carry [1], each ≥ 1.
    largest_port : float
        largest drill for a port [m], at least the smallest drill.
    single_shim : float
        compliance of one shim of the thinnest sort on this seat [m/Pa], ≥ 0; zero
        leaves the compliance a free value.

    Raises
    ------
    OutOfRangeError
        If an attribute is outside its range.
    """

    disc_diameter: float
    max_lift: float
    port_limit: float
    discharge_coefficient: float = DISCHARGE_COEFFICIENT
    leak: float = 0.0
    port_counts: tuple[int, ...] = HOLE_COUNTS
    largest_port: float = LARGEST_DRILL
    single_shim: float = 0.0

    def __post_init__(self) -> None:
        require_above(0.0, self.disc_diameter, "Disc diameter", "m", "Measure at the seat edge.")
        require_above(0.0, self.max_lift, "Largest lift", "m", "The disc needs room to open.")
        require_above(_PORT, self.port_limit, "Room for ports", "m²", "At least one small hole.")


@dataclass(frozen=True, slots=True)
class MadeValve:
    """A valve in sizes that can be made, and how well it meets its duty.

    Attributes
    ----------
    ideal : Valve
        best fit with free sizes.
    valve : Valve
        with drilled holes, stepped preload and the compliance of its stack.
    bleed, ports : Drilling
        holes to drill.
    pressure_drops : tuple of float
        drops that the made valve really gives at the flows of its duty [Pa].
    deviations : tuple of float
        made drop / wanted drop − 1 at each flow [1].
    stack : EqualStack or None
        shims to lay on each other; None where the frame leaves the compliance free.
    """

    ideal: Valve
    valve: Valve
    bleed: Drilling
    ports: Drilling
    pressure_drops: tuple[float, ...]
    deviations: tuple[float, ...]
    stack: EqualStack | None = None


def fit_valves(
    *, duties: tuple[Duty, ...], frames: tuple[ValveFrame, ...], oil: Oil
) -> tuple[Valve, ...]:
    """Return valves with one common bleed whose drops come nearest to their duties.

    min Σ ln²(Δp(Q_i) / Δp_i) over bleed, and crack pressure, compliance, ports of each

    One duty sizes a single valve; two duties size both valves of a piston with its
    always-open bleed.

    Parameters
    ----------
    duties : tuple of Duty
        One for each valve, at least one.
    frames : tuple of ValveFrame
        One for each valve.
    oil : Oil
        Density and viscosity at working temperature.

    Returns
    -------
    tuple of Valve
        One for each duty; single holes of free size.

    Raises
    ------
    ConflictError
        If there is no duty, or not one frame for each.
    NoSolutionError
        If the least-squares fit doesn't settle, or misses the drops fivefold on average.

    Notes
    -----
    Limits: starts from each inner point as the knee and refines the best; a target that
    no valve of this kind can follow is met as nearly as possible, so look at the
    deviations. Points that never reach the port regime leave the ports at the room
    there is.

    References
    ----------
    derivation: valve_pressure_drop, inverted by least squares.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> frame = ValveFrame(disc_diameter=0.02, max_lift=1e-3, port_limit=2e-4)
    >>> duty = Duty(flows=(5e-5, 1e-4, 3e-4, 1e-3), pressure_drops=(8e5, 12e5, 20e5, 45e5))
    >>> oil = Oil(density=850.0, dynamic_viscosity=0.012)
    >>> (valve,) = fit_valves(duties=(duty,), frames=(frame,), oil=oil)
    >>> abs(valve_pressure_drop(valve=valve, flow=3e-4, oil=oil) / 20e5 - 1.0) < 0.02
    True
    """
    if not duties or len(duties) != len(frames):
        message = f"{len(duties)} duties and {len(frames)} frames; give one frame for each duty."
        raise ConflictError(message, inputs=("duties", "frames"))
    knees = range(1, max(len(duty.flows) for duty in duties) - 1)
    fits = [
        _refit(
            [_guess(duty, frame, oil, knee) for duty, frame in zip(duties, frames, strict=True)],
            duties,
            frames,
            oil,
            gain=_ROUGH,
        )
        for knee in knees
    ]
    best = min(fits, key=lambda valves: _cost(valves, duties, oil))
    found = _refit(best, duties, frames, oil)
    points = sum(len(duty.flows) for duty in duties)
    typical = exp(sqrt(_cost(found, duties, oil) / points))
    if typical > _FAR:
        message = (
            f"No valve with this room comes near the target: the best misses the wanted drops "
            f"{typical:.3g}-fold on average, most at {_worst(found, duties, oil)}. Give the ports "
            "more room, or take another bore."
        )
        raise NoSolutionError(message)
    return tuple(found)


def make_valves(
    *,
    duties: tuple[Duty, ...],
    frames: tuple[ValveFrame, ...],
    oil: Oil,
    preload_step: float,
) -> tuple[MadeValve, ...]:
    """Return valves in sizes that can be made, with the drops that these really give.

    fit all; drill the bleed, fit the rest; drill the ports, fit the rest; of the shims
    and the preload steps near the fit take the pair that misses least where it is worst

    Parameters
    ----------
    duties : tuple of Duty
        One for each valve, at least one.
    frames : tuple of ValveFrame
        One for each valve.
    oil : Oil
        Density and viscosity at working temperature.
    preload_step : float
        Smallest change of crack pressure that can be built [Pa], > 0.

    Returns
    -------
    tuple of MadeValve
        One for each duty, with the same bleed.

    Raises
    ------
    OutOfRangeError
        If the preload step is not above zero.
    ConflictError
        If there is no duty, or not one frame for each.
    NoSolutionError
        If a least-squares fit doesn't settle.

    Notes
    -----
    Limits: those of fit_valves, nearest_drilling and nearest_stack. Where a frame names
    no shim, the compliance stays a value and is fitted last.

    References
    ----------
    common practice: drill steps of 0.1 mm, shim steps of 0.05 mm.
    derivation: as in fit_valves.

    Examples
    --------
    >>> from calculators.physics.fluid import Oil
    >>> frame = ValveFrame(disc_diameter=0.02, max_lift=1e-3, port_limit=2e-4)
    >>> duty = Duty(flows=(5e-5, 1e-4, 3e-4, 1e-3), pressure_drops=(8e5, 12e5, 20e5, 45e5))
    >>> (made,) = make_valves(
    ...     duties=(duty,), frames=(frame,), oil=Oil(850.0, 0.012), preload_step=5e4
    ... )
    >>> round(made.bleed.diameter * 1e4, 6) % 1.0
    0.0
    """
    require_above(0.0, preload_step, "Preload step", "Pa", "One washer more or less.")
    ideal = fit_valves(duties=duties, frames=frames, oil=oil)
    bleed = nearest_drilling(area=ideal[0].bleed_area)
    valves = [replace(v, bleed_area=bleed.area, bleed_count=bleed.count) for v in ideal]
    valves = _refit(valves, duties, frames, oil, free=("crack_pressure", "compliance", "port_area"))
    ports = [
        nearest_drilling(area=v.port_area, counts=f.port_counts, largest=f.largest_port)
        for v, f in zip(valves, frames, strict=True)
    ]
    valves = [
        replace(v, port_area=p.area, port_count=p.count) for v, p in zip(valves, ports, strict=True)
    ]
    valves = _refit(valves, duties, frames, oil, free=("crack_pressure", "compliance"))
    made = []
    for first, near, port, duty, frame in zip(ideal, valves, ports, duties, frames, strict=True):
        valve, stack = _set(near, duty, frame, oil, preload_step)
        drops = tuple(valve_pressure_drop(valve=valve, flow=q, oil=oil) for q in duty.flows)
        deviations = tuple(p / w - 1.0 for p, w in zip(drops, duty.pressure_drops, strict=True))
        made.append(MadeValve(first, valve, bleed, port, drops, deviations, stack))
    return tuple(made)


def _set(
    near: Valve, duty: Duty, frame: ValveFrame, oil: Oil, step: float
) -> tuple[Valve, EqualStack | None]:
    """Return the valve with its preload in whole steps, and with shims if the frame names one."""
    crack = nearest_step(value=near.crack_pressure, step=step)
    if not frame.single_shim:
        stepped = replace(near, crack_pressure=crack)
        return _refit([stepped], [duty], [frame], oil, free=("compliance",))[0], None
    tried: list[tuple[Valve, EqualStack]] = []
    for softer in _SOFTER:
        stack = nearest_stack(compliance=softer * near.compliance, single=frame.single_shim)
        tried += [
            (replace(near, crack_pressure=preload, compliance=stack.compliance), stack)
            for preload in (crack, crack + step, crack - step)
            if preload >= 0.0
        ]
    best, least = tried[0], inf
    for pair in tried:  # the first stands unless another is clearly better
        worst = sum(miss**_WORST for miss in _misses([pair[0]], [duty], oil))
        if worst < least * (1.0 - _ALIKE):
            best, least = pair, worst
    return best


def _guess(duty: Duty, frame: ValveFrame, oil: Oil, knee: int) -> Valve:
    """Return first sizes in closed form, one regime at a time, with the knee at one point."""
    knee = min(knee, len(duty.flows) - 2)
    cd = frame.discharge_coefficient
    bleed = orifice_area(
        flow=duty.flows[0], pressure_drop=duty.pressure_drops[0], oil=oil, discharge_coefficient=cd
    )
    crack = 0.8 * duty.pressure_drops[knee]
    top = duty.pressure_drops[-1]
    beside = orifice_flow(area=bleed, pressure_drop=top, oil=oil, discharge_coefficient=cd)
    through = max(duty.flows[-1] - beside, 0.1 * duty.flows[-1])
    # at the fastest point ports and curtain share what the crack pressure leaves, half each
    port_drop = 0.5 * (top - crack)
    port = orifice_area(flow=through, pressure_drop=port_drop, oil=oil, discharge_coefficient=cd)
    disc_drop = top - port_drop
    curtain = through / (cd * sqrt(2.0 * disc_drop / oil.density))
    lift = min(curtain / (pi * frame.disc_diameter), frame.max_lift)
    return Valve(
        bleed_area=bleed,
        port_area=min(port, frame.port_limit),
        disc_diameter=frame.disc_diameter,
        crack_pressure=crack,
        compliance=lift / (disc_drop - crack),
        max_lift=frame.max_lift,
        discharge_coefficient=cd,
        leak=frame.leak,
    )


def _refit(
    valves: Sequence[Valve],
    duties: Sequence[Duty],
    frames: Sequence[ValveFrame],
    oil: Oil,
    free: tuple[str, ...] = ("bleed_area", "crack_pressure", "compliance", "port_area"),
    gain: float = 0.0,
) -> list[Valve]:
    """Return the valves with the sizes named in `free` fitted; a free bleed is common."""
    own = [name for name in free if name != "bleed_area"]
    common = "bleed_area" in free
    bleed = exp(sum(log(valve.bleed_area) for valve in valves) / len(valves))
    start = [log(bleed)] if common else []
    lowest = [log(_BLEED[0])] if common else []
    highest = [log(_BLEED[1])] if common else []
    for valve, duty, frame in zip(valves, duties, frames, strict=True):
        bounds = {
            "crack_pressure": (_CRACK, duty.pressure_drops[-1]),
            "compliance": _COMPLIANCE,
            "port_area": (_PORT, frame.port_limit),
        }
        for name in own:
            start.append(log(max(getattr(valve, name), bounds[name][0])))
            lowest.append(log(bounds[name][0]))
            highest.append(log(bounds[name][1]))

    def built(unknowns: Sequence[float]) -> list[Valve]:
        sizes = [exp(x) for x in unknowns]
        shared = {"bleed_area": sizes.pop(0)} if common else {}
        made = []
        for place, valve in enumerate(valves):
            mine = sizes[place * len(own) : (place + 1) * len(own)]
            new = shared | dict(zip(own, mine, strict=True))
            made.append(
                replace(
                    valve,
                    bleed_area=new.get("bleed_area", valve.bleed_area),
                    crack_pressure=new.get("crack_pressure", valve.crack_pressure),
                    compliance=new.get("compliance", valve.compliance),
                    port_area=new.get("port_area", valve.port_area),
                )
            )
        return made

    def model(unknowns: Sequence[float]) -> tuple[list[float], list[list[float]]]:
        residuals, slopes = [], []
        for place, (valve, duty) in enumerate(zip(built(unknowns), duties, strict=True)):
            for flow, wanted in zip(duty.flows, duty.pressure_drops, strict=True):
                drop, to = drop_and_slopes(valve, flow, oil)
                row = [0.0] * len(start)
                if common:
                    row[0] = to.bleed_area
                for number, name in enumerate(own, start=common + place * len(own)):
                    row[number] = getattr(to, name)
                residuals.append(log(drop / wanted))
                slopes.append(row)
        return residuals, slopes

    with _naming(duties):
        found = least_squares(model=model, start=start, lowest=lowest, highest=highest, gain=gain)
    return built(found)


@contextmanager
def _naming(duties: Sequence[Duty]) -> Iterator[None]:
    """Let the error of a fit that does not settle name speeds and pressures."""
    try:
        yield
    except NoSolutionError as error:
        message = f"No valve was found for {_ranges(duties)}. {error}"
        raise NoSolutionError(message) from error


def _ranges(duties: Sequence[Duty]) -> str:
    """Return speeds or flows, and pressure drops, of the duties in words."""
    return "; ".join(
        f"{duty.place(0)} to {duty.place(-1)} at {duty.pressure_drops[0] / 1e5:.3g} to "
        f"{duty.pressure_drops[-1] / 1e5:.3g} bar"
        for duty in duties
    )


def _misses(valves: Sequence[Valve], duties: Sequence[Duty], oil: Oil) -> list[float]:
    """Return ln(drop / wanted drop) at each flow of each valve."""
    return [
        log(valve_pressure_drop(valve=valve, flow=flow, oil=oil) / wanted)
        for valve, duty in zip(valves, duties, strict=True)
        for flow, wanted in zip(duty.flows, duty.pressure_drops, strict=True)
    ]


def _worst(valves: Sequence[Valve], duties: Sequence[Duty], oil: Oil) -> str:
    """Return in words where valves miss most: speed or flow, and both pressure drops."""
    places = [(duty, number) for duty in duties for number in range(len(duty.flows))]
    misses = _misses(valves, duties, oil)
    miss, (duty, number) = max(zip(misses, places, strict=True), key=lambda one: abs(one[0]))
    wanted = duty.pressure_drops[number] / 1e5
    return f"{duty.place(number)}, {wanted * exp(miss):.3g} bar instead of {wanted:.3g} bar"


def _cost(valves: Sequence[Valve], duties: Sequence[Duty], oil: Oil) -> float:
    """Return the sum of their squares."""
    return sum(miss * miss for miss in _misses(valves, duties, oil))
