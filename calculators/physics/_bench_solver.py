"""The stiff part of the bench: chamber pressures from volumes that move, step by step.

Unknown are the pressures of head side, rod side and reserve. What is carried from
step to step are the amounts of oil, N = V / v(p), counted at the reference pressure:

    dN_head/dt = −q_piston − q_reserve,  dN_rod/dt = q_piston,  dN_reserve/dt = q_reserve

Written out for the pressures this is dp/dt = (inflow of volume) / (N C(p)). The same
flows enter on both sides of a valve, so no oil is lost, whatever the step.

TR-BDF2 (one trapezoidal stage to (2 − √2) h, one backward stage to h; second order,
L-stable) with Newton steps and the analytic Jacobian. The matrix is an arrow round
the head side, so rod side and reserve are eliminated by hand. A pressure rises by
its Newton step and falls by the exponential of it: it never reaches zero.
"""

from __future__ import annotations

from math import exp, inf, sqrt
from typing import TYPE_CHECKING, NamedTuple

from calculators.errors import NoSolutionError
from calculators.physics.chamber import relative_volume
from calculators.physics.pair import pair_flow_and_slope

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.physics.bench import Specimen
    from calculators.physics.fluid import Oil
    from calculators.physics.pair import ValvePair

    _Pressures = tuple[float, float, float]  # head side, rod side, gas
    _Flow = tuple[float, float, float]  # flow and its slopes to the pressures at both ends
    Law = Callable[[float], tuple[float, float]]
    Motion = Callable[[float], tuple[float, float]]

_GAMMA = 2.0 - sqrt(2.0)  # 1, place of the middle stage in the step
_OUTER = sqrt(2.0) / 4.0  # 1, weight of start and middle stage
_INNER = 1.0 - sqrt(2.0) / 2.0  # 1, weight of the unknown stage, in both stages
_TOLERANCE = 1e-8  # 1, relative change of pressure in the last Newton step; at 1e-6 a kink shows
_STEPS = 60  # 1, Newton steps before a time step is halved; about 2 are needed
_SMALLEST_SHARE = 1e-3  # 1, a Newton step is not cut below this to make progress
_LARGEST_FALL = -3.0  # 1, logarithm of the pressure ratio in one Newton step
_VACUUM = 1e-3  # Pa, below this there is no oil with bubbles any more
_DEPTH = 12  # 1, halvings of a time step before giving up


class State(NamedTuple):
    """Pressures and flows at one time; flows count oil at the reference pressure."""

    head: float
    rod: float
    gas: float
    piston_flow: float
    reserve_flow: float


class _Balance(NamedTuple):
    """What is missing in each chamber at trial pressures, and how the pressures fill it."""

    missing: _Pressures
    slopes: _Pressures
    piston: _Flow
    reserve: _Flow

    @property
    def merit(self) -> float:
        """Sum of what is missing."""
        head, rod, gas = self.missing
        return abs(head) + abs(rod) + abs(gas)

    def newton(self, weight: float) -> _Pressures:
        """Return the changes of pressure that fill all chambers, by the slopes here."""
        (head, rod, gas), (head_d, rod_d, gas_d) = self.missing, self.slopes
        _, piston_h, piston_r = self.piston
        _, reserve_h, reserve_g = self.reserve
        down, side = weight * piston_h / rod_d, weight * reserve_h / gas_d
        past_rod, past_gas = weight * piston_r / rod_d, weight * reserve_g / gas_d
        change = (head - past_rod * rod - past_gas * gas) / (
            head_d + past_rod * weight * piston_h + past_gas * weight * reserve_h
        )
        return change, rod / rod_d + down * change, gas / gas_d + side * change


class _Amounts(NamedTuple):
    """Oil in head side, rod side and reserve; the reserve counts from its charge."""

    head: float
    rod: float
    reserve: float


def _law(pair: ValvePair, oil: Oil) -> Law:
    def law(drop: float) -> tuple[float, float]:
        return pair_flow_and_slope(pair=pair, pressure_drop=drop, oil=oil)

    return law


class Solver:
    """One damper on its way: keeps amounts, pressures and flows of the last time.

    Parameters
    ----------
    specimen : Specimen
        Damper, filling and oil.
    motion : callable
        Displacement and velocity at a time.
    start : float
        First time; the damper is at rest there, with one pressure throughout.
    """

    def __init__(self, specimen: Specimen, motion: Motion, start: float) -> None:
        damper, filling, oil = specimen.damper, specimen.filling, specimen.chamber_oil
        self._motion = motion
        self._head_volume, self._rod_volume = filling.head_volume, filling.rod_volume
        self._piston_area, self._annulus_area = damper.piston_area, damper.annulus_area
        self._piston = _law(damper.piston, specimen.oil)
        self._reserve = None if damper.reserve is None else _law(damper.reserve, specimen.oil)
        self._liquid = (1.0 - oil.free_gas) / oil.bulk_modulus  # C of the oil alone
        self._at_zero = 1.0 - oil.free_gas + self._liquid * oil.reference_pressure
        self._power = 1.0 / oil.gas_exponent
        self._bubbles = float(oil.free_gas * oil.reference_pressure**self._power)
        self._charge, self._gas_volume = filling.gas_pressure, filling.gas_volume
        self._gas_power = 1.0 / filling.gas_exponent
        self._swell = relative_volume(oil=oil, pressure=filling.gas_pressure)
        self._settle(start)

    def _oil(self, pressure: float) -> tuple[float, float]:
        """Return relative volume and compliance of the aerated oil."""
        gas = self._bubbles * pressure**-self._power
        volume = self._at_zero - self._liquid * pressure + gas
        return volume, self._liquid + self._power * gas / pressure

    def _stored(self, pressure: float) -> tuple[float, float]:
        """Return the oil that has gone into the reserve since its charge, and its slope."""
        volume = self._gas_volume * (self._charge / pressure) ** self._gas_power
        return (self._gas_volume - volume) / self._swell, (
            self._gas_power * volume / (pressure * self._swell)
        )

    def _room(self, time: float) -> tuple[float, float]:
        """Return the volumes of head side and rod side."""
        x, _ = self._motion(time)
        return self._head_volume - self._piston_area * x, self._rod_volume + self._annulus_area * x

    def _settle(self, start: float) -> None:
        """Find the one pressure of the damper at rest where the motion starts."""
        head, rod = self._room(start)
        total = (self._head_volume + self._rod_volume) / self._swell
        pressure = self._charge
        for _ in range(_STEPS):
            volume, softness = self._oil(pressure)
            stored, slope = self._stored(pressure)
            amount = (head + rod) / volume
            step = (total - stored - amount) / (slope + amount * softness / volume)
            pressure = _one_moved(pressure, step)
            if abs(step) <= _TOLERANCE * pressure:
                break
        else:
            message = (
                f"No pressure at rest was found at {start:g} s, at 0 m/s (charge "
                f"{self._charge / 1e5:.4g} bar, last tried {pressure / 1e5:.4g} bar, both "
                "absolute); check volumes and charge."
            )
            raise NoSolutionError(message)
        volume, _ = self._oil(pressure)
        self._amounts = _Amounts(head / volume, rod / volume, self._stored(pressure)[0])
        self.state = State(pressure, pressure, pressure, 0.0, 0.0)
        self._before = self.state

    def advance(self, time: float, step: float) -> None:
        """Move on from a time by a step, in halves of it where Newton does not settle."""
        self._advance(time, step, _DEPTH)

    def _advance(self, time: float, step: float, depth: int) -> None:
        if self._try(time, step):
            return
        if depth == 0:
            _, velocity = self._motion(time)
            state = self.state
            message = (
                f"The bench finds no pressures after {time:.6g} s, at {velocity:.4g} m/s "
                f"(absolute: head side {state.head / 1e5:.4g} bar, rod side "
                f"{state.rod / 1e5:.4g} bar, gas {state.gas / 1e5:.4g} bar). "
                "A chamber without any free gas cannot open a void: give the oil a share of "
                "0.001, more charge, or a slower motion."
            )
            raise NoSolutionError(message)
        self._before = self.state  # guess no further ahead than here
        half = 0.5 * step
        self._advance(time, half, depth - 1)
        self._advance(time + half, half, depth - 1)

    def _try(self, time: float, step: float) -> bool:
        """Make one TR-BDF2 step; return whether both stages settled."""
        weight = _INNER * step
        start, amounts = self.state, self._amounts
        known = _carried(amounts, weight, start)
        guess = _ahead(self._before, start, _GAMMA / (1.0 - _GAMMA))
        middle = self._stage(self._room(time + _GAMMA * step), known, weight, guess)
        if middle is None:
            return False
        known = _carried(_carried(amounts, _OUTER * step, start), _OUTER * step, middle)
        guess = _ahead(start, middle, (1.0 - _GAMMA) / _GAMMA)
        end = self._stage(self._room(time + step), known, weight, guess)
        if end is None:
            return False
        self._amounts = _carried(known, weight, end)
        self._before, self.state = middle, end
        return True

    def _stage(
        self, room: tuple[float, float], known: _Amounts, weight: float, guess: _Pressures
    ) -> State | None:
        """Return the state with amounts known + weight · flows, or None if it isn't found."""
        here = there = guess
        steps, share, last = (0.0, 0.0, 0.0), 1.0, inf
        for _ in range(_STEPS):
            balance = self._balance(room, known, weight, there)
            if balance is None or (balance.merit >= last and share > _SMALLEST_SHARE):
                share *= 0.5
                if last == inf or share < _SMALLEST_SHARE**2:
                    return None
                there = _moved(here, steps, share)
                continue
            here, share, last = there, 1.0, balance.merit
            steps = balance.newton(weight)
            there = _moved(here, steps)
            if all(abs(step) <= _TOLERANCE * p for step, p in zip(steps, there, strict=True)):
                return self._closed(balance, steps, there, known.reserve, weight)
        return None

    def _balance(
        self,
        room: tuple[float, float],
        known: _Amounts,
        weight: float,
        pressures: _Pressures,
    ) -> _Balance | None:
        """Return what each chamber misses at trial pressures; None for oil crushed or torn."""
        head, rod, gas = pressures
        if head < _VACUUM or rod < _VACUUM or gas < _VACUUM:
            return None
        head_v, head_c = self._oil(head)
        rod_v, rod_c = self._oil(rod)
        if head_v <= 0.0 or rod_v <= 0.0:
            return None
        head_n, rod_n = room[0] / head_v, room[1] / rod_v
        piston, piston_h, piston_r = _through(
            self._piston(head - rod), head_v, head_c, rod_v, rod_c
        )
        head_e = known.head - head_n - weight * piston
        head_d = head_n * head_c / head_v + weight * piston_h
        rod_e = known.rod - rod_n + weight * piston
        rod_d = rod_n * rod_c / rod_v - weight * piston_r
        if self._reserve is None:  # the gas stands on the head side itself
            stored, slope = self._stored(head)
            return _Balance(
                (head_e + known.reserve - stored, rod_e, 0.0),
                (head_d + slope, rod_d, 1.0),
                (piston, piston_h, piston_r),
                (0.0, 0.0, 0.0),
            )
        stored, slope = self._stored(gas)
        reserve, reserve_h, reserve_g = _through(
            self._reserve(head - gas), head_v, head_c, self._swell, 0.0
        )
        return _Balance(
            (head_e - weight * reserve, rod_e, known.reserve - stored + weight * reserve),
            (head_d + weight * reserve_h, rod_d, slope - weight * reserve_g),
            (piston, piston_h, piston_r),
            (reserve, reserve_h, reserve_g),
        )

    def _closed(
        self,
        balance: _Balance,
        steps: _Pressures,
        pressures: _Pressures,
        known_reserve: float,
        weight: float,
    ) -> State:
        """Return the state after the last Newton step, its flows moved along the slopes."""
        head, rod, gas = pressures
        piston, piston_h, piston_r = balance.piston
        piston += piston_h * steps[0] + piston_r * steps[1]
        if self._reserve is None:
            return State(head, rod, head, piston, (self._stored(head)[0] - known_reserve) / weight)
        reserve, reserve_h, reserve_g = balance.reserve
        reserve += reserve_h * steps[0] + reserve_g * steps[2]
        return State(head, rod, gas, piston, reserve)


def _through(
    law: tuple[float, float], up_v: float, up_c: float, down_v: float, down_c: float
) -> _Flow:
    """Return a valve's flow of oil counted at p₀, and its slopes to both pressures.

    The valve's law gives the volume that enters it, at the pressure on that side.
    """
    flow, slope = law
    if flow >= 0.0:
        amount = flow / up_v
        return amount, (slope + amount * up_c) / up_v, -slope / up_v
    amount = flow / down_v
    return amount, slope / down_v, (amount * down_c - slope) / down_v


def _moved(pressures: _Pressures, steps: _Pressures, share: float = 1.0) -> _Pressures:
    """Return pressures after a share of a Newton step, never zero or less."""
    return (
        _one_moved(pressures[0], share * steps[0]),
        _one_moved(pressures[1], share * steps[1]),
        _one_moved(pressures[2], share * steps[2]),
    )


def _one_moved(pressure: float, step: float) -> float:
    if step >= 0.0:
        return pressure + step
    return pressure * exp(max(step / pressure, _LARGEST_FALL))


def _carried(amounts: _Amounts, weight: float, state: State) -> _Amounts:
    """Return amounts of oil after the flows of a state have run for a weight of time."""
    piston, reserve = weight * state.piston_flow, weight * state.reserve_flow
    return _Amounts(
        amounts.head - piston - reserve, amounts.rod + piston, amounts.reserve + reserve
    )


def _ahead(before: State, now: State, ratio: float) -> _Pressures:
    """Return a guess of the pressures further on the line through two states."""
    change = (now.head - before.head, now.rod - before.rod, now.gas - before.gas)
    return _moved((now.head, now.rod, now.gas), change, ratio)
