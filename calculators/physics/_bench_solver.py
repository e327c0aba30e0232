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

from math import exp, sqrt
from typing import TYPE_CHECKING, NamedTuple

from calculators.errors import NoSolutionError
from calculators.physics.chamber import relative_volume
from calculators.physics.pair import pair_flow_and_slope

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.physics.bench import Specimen
    from calculators.physics.fluid import Oil
    from calculators.physics.pair import ValvePair

    Law = Callable[[float], tuple[float, float]]
    Motion = Callable[[float], tuple[float, float]]

_GAMMA = 2.0 - sqrt(2.0)  # 1, place of the middle stage in the step
_OUTER = sqrt(2.0) / 4.0  # 1, weight of start and middle stage
_INNER = 1.0 - sqrt(2.0) / 2.0  # 1, weight of the unknown stage, in both stages
_TOLERANCE = 1e-6  # 1, relative change of pressure in the last Newton step
_STEPS = 60  # 1, Newton steps before a time step is halved; about 2 are needed
_BACKWARD = 1e-3  # 1, smallest share of a Newton step that is tried
_DEPTH = 12  # 1, halvings of a time step before giving up


class State(NamedTuple):
    """Pressures and flows at one time; flows count oil at the reference pressure."""

    head: float
    rod: float
    gas: float
    piston_flow: float
    reserve_flow: float


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
            pressure = _moved(pressure, step)
            if abs(step) <= _TOLERANCE * pressure:
                break
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
                f"The bench finds no pressures after {time:.6g} s, at {velocity:.4g} m/s (head side "
                f"{state.head:.4g} Pa, rod side {state.rod:.4g} Pa, gas {state.gas:.4g} Pa). "
                "A chamber without any free gas cannot open a void: give the oil a share of "
                "0.001, more charge, or a slower motion."
            )
            raise NoSolutionError(message)
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
        self, room: tuple[float, float], known: _Amounts, weight: float, guess: State
    ) -> State | None:
        """Return the state with amounts known + weight · flows, or None if it isn't found."""
        head, rod, gas, _, _ = guess
        head_step = rod_step = gas_step = 0.0
        last, share = float("inf"), 1.0
        open_reserve = self._reserve is None
        for _ in range(_STEPS):
            head_v, head_c = self._oil(head)
            rod_v, rod_c = self._oil(rod)
            if head_v <= 0.0 or rod_v <= 0.0:
                merit = float("inf")
            else:
                head_n, rod_n = room[0] / head_v, room[1] / rod_v
                stored, gas_d = self._stored(head if open_reserve else gas)
                piston, piston_h, piston_r = _through(
                    self._piston(head - rod), head_v, head_c, rod_v, rod_c
                )
                head_d = head_n * head_c / head_v + weight * piston_h
                head_e = known.head - head_n - weight * piston
                rod_d = rod_n * rod_c / rod_v - weight * piston_r
                rod_e = known.rod - rod_n + weight * piston
                gas_e = known.reserve - stored
                if self._reserve is None:
                    reserve = reserve_h = reserve_g = 0.0
                    head_d, head_e = head_d + gas_d, head_e + gas_e
                    gas_d, gas_e = 1.0, 0.0
                else:
                    reserve, reserve_h, reserve_g = _through(
                        self._reserve(head - gas), head_v, head_c, self._swell, 0.0
                    )
                    head_d += weight * reserve_h
                    head_e -= weight * reserve
                    gas_d -= weight * reserve_g
                    gas_e += weight * reserve
                merit = abs(head_e) + abs(rod_e) + abs(gas_e)
            if merit >= last and share > _BACKWARD:
                head, rod, gas = origin
                share *= 0.5
                head = _moved(head, share * head_step)
                rod = _moved(rod, share * rod_step)
                gas = _moved(gas, share * gas_step)
                continue
            last, share, origin = merit, 1.0, (head, rod, gas)
            down, side = weight * piston_h / rod_d, weight * reserve_h / gas_d
            head_step = (
                head_e
                - weight * piston_r * rod_e / rod_d
                - weight * reserve_g * gas_e / gas_d
            ) / (head_d + weight * piston_r * down + weight * reserve_g * side)
            rod_step = rod_e / rod_d + down * head_step
            gas_step = gas_e / gas_d + side * head_step
            head, rod, gas = _moved(head, head_step), _moved(rod, rod_step), _moved(gas, gas_step)
            if (
                abs(head_step) <= _TOLERANCE * head
                and abs(rod_step) <= _TOLERANCE * rod
                and abs(gas_step) <= _TOLERANCE * gas
            ):
                piston += piston_h * head_step + piston_r * rod_step
                if open_reserve:
                    reserve = (self._stored(head)[0] - known.reserve) / weight
                    return State(head, rod, head, piston, reserve)
                reserve += reserve_h * head_step + reserve_g * gas_step
                return State(head, rod, gas, piston, reserve)
        return None


def _through(
    law: tuple[float, float], up_v: float, up_c: float, down_v: float, down_c: float
) -> tuple[float, float, float]:
    """Return a valve's flow of oil counted at p₀, and its slopes to both pressures.

    The valve's law gives the volume that enters it, at the pressure on that side.
    """
    flow, slope = law
    if flow >= 0.0:
        amount = flow / up_v
        return amount, (slope + amount * up_c) / up_v, -slope / up_v
    amount = flow / down_v
    return amount, slope / down_v, (amount * down_c - slope) / down_v


def _moved(pressure: float, step: float) -> float:
    """Return a pressure after a Newton step, never zero or less."""
    return pressure + step if step >= 0.0 else pressure * exp(step / pressure)


def _carried(amounts: _Amounts, weight: float, state: State) -> _Amounts:
    """Return amounts of oil after the flows of a state have run for a weight of time."""
    piston, reserve = weight * state.piston_flow, weight * state.reserve_flow
    return _Amounts(
        amounts.head - piston - reserve, amounts.rod + piston, amounts.reserve + reserve
    )


def _ahead(before: State, now: State, ratio: float) -> State:
    """Return a guess of the pressures further on the line through two states."""
    return State(
        _moved(now.head, ratio * (now.head - before.head)),
        _moved(now.rod, ratio * (now.rod - before.rod)),
        _moved(now.gas, ratio * (now.gas - before.gas)),
        0.0,
        0.0,
    )
