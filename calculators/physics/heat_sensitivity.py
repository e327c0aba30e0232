"""What would keep a damper cooler: the effect of each size, ranked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from calculators.errors import require_above
from calculators.physics.heat import steady_heat
from calculators.physics.warm_up import warm_up

if TYPE_CHECKING:
    from calculators.physics.shell import Shell, Surroundings
    from calculators.physics.thermal_damper import ThermalDamper

__all__ = ["Sensitivity", "sensitivities"]

SMALL_STEP = 0.01  # relative step of the finite differences
SHOWN_STEP = 0.10  # relative change that the results are scaled to
LONGEST_LOOK = 14_400.0  # s, four hours


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What 10 % more of one size does.

    Attributes
    ----------
    name : str
        "surface", "fin height", "oil mass", "bore", "air speed" or "power".
    temperature_change : float
        of the settled oil [K].
    time_change : float or None
        of the time to the limit [s]; None if the limit isn't reached.
    """

    name: str
    temperature_change: float
    time_change: float | None


def sensitivities(
    *,
    damper: ThermalDamper,
    power: float,
    surroundings: Surroundings,
    start: float,
    limit: float,
) -> tuple[Sensitivity, ...]:
    """Return what 10 % more of each size would do, the strongest first.

    ΔT = 0.1 · (T(1 + ε) − T(1 − ε))/2ε,   ε = 0.01

    Shows where a redesign pays: more surface, higher fins, more oil, a wider bore
    (all diameters, oil in proportion), or more air.

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    power : float
        P [W], > 0.
    surroundings : Surroundings
        Air, wind and sun.
    start : float
        T_0, of the warm-up [K], 223.15 to 573.15.
    limit : float
        temperature that the oil should not pass [K], any.

    Returns
    -------
    tuple of Sensitivity
        Ranked by the change of temperature, then of time.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    NoSolutionError
        If the oil would be hotter than 300 °C.

    Notes
    -----
    Limits: one size at a time, near the present design; four hours of warm-up are
    looked at. "Fin height" and "air speed" only where there are fins or wind.

    References
    ----------
    derivation: central differences of `steady_heat` and `warm_up`.

    Examples
    --------
    >>> from calculators.physics.shell import Shell, Surroundings
    >>> from calculators.physics.thermal_damper import ThermalDamper
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> ranked = sensitivities(
    ...     damper=damper, power=100.0, start=300.0, limit=350.0,
    ...     surroundings=Surroundings(air_temperature=300.0, air_speed=5.0))
    >>> ranked[0].name
    'power'
    """
    require_above(0.0, power, "Power", "W", "Mean of force × rod speed.")

    def outcome(
        damper: ThermalDamper, power: float, air: Surroundings
    ) -> tuple[float, float | None]:
        settled = steady_heat(damper=damper, power=power, surroundings=air).oil_temperature
        if settled <= limit:
            return settled, None
        curve = warm_up(
            damper=damper,
            power=power,
            surroundings=air,
            start=start,
            duration=LONGEST_LOOK,
            limit=limit,
        )
        return settled, curve.time_to_limit

    def change(name: str) -> Sensitivity:
        results = []
        for factor in (1.0 - SMALL_STEP, 1.0 + SMALL_STEP):
            more_air = replace(surroundings, air_speed=factor * surroundings.air_speed)
            results.append(
                outcome(
                    _scaled(damper, name, factor),
                    power * factor if name == "power" else power,
                    more_air if name == "air speed" else surroundings,
                )
            )
        (cold, early), (hot, late) = results
        scale = SHOWN_STEP / (2.0 * SMALL_STEP)
        time = None if early is None or late is None else scale * (late - early)
        return Sensitivity(name, scale * (hot - cold), time)

    names = ["power", "surface", "bore", "oil mass"]
    names += ["air speed"] if surroundings.air_speed > 0.0 else []
    shells = [damper.body] + ([damper.reservoir] if damper.reservoir is not None else [])
    names += ["fin height"] if any(shell.fins is not None for shell in shells) else []
    found = [change(name) for name in names]
    return tuple(sorted(found, key=lambda one: (-round(abs(one.temperature_change), 6), one.name)))


def _scaled(damper: ThermalDamper, name: str, factor: float) -> ThermalDamper:
    """Return the damper with one size changed."""
    body, reservoir, gap = damper.body, damper.reservoir, damper.gap
    if name == "surface":
        longer = None
        if reservoir is not None:
            longer = replace(reservoir, length=factor * reservoir.length)
        return replace(damper, body=replace(body, length=factor * body.length), reservoir=longer)
    if name == "oil mass":
        return replace(damper, oil_heat_capacity=factor * damper.oil_heat_capacity)
    if name == "fin height":
        taller = None if reservoir is None else _with_taller_fins(reservoir, factor)
        return replace(damper, body=_with_taller_fins(body, factor), reservoir=taller)
    if name == "bore":
        wider = None
        if gap is not None:
            wider = replace(
                gap,
                inner_diameter=factor * gap.inner_diameter,
                outer_diameter=factor * gap.outer_diameter,
            )
        return replace(
            damper,
            body=_wider(body, factor),
            working_diameter=factor * damper.working_diameter,
            oil_heat_capacity=factor**2 * damper.oil_heat_capacity,
            gap=wider,
        )
    return damper


def _wider(shell: Shell, factor: float) -> Shell:
    fins = shell.fins
    if fins is not None:
        fins = replace(fins, tip_diameter=factor * fins.tip_diameter)
    return replace(shell, diameter=factor * shell.diameter, fins=fins)


def _with_taller_fins(shell: Shell, factor: float) -> Shell:
    if shell.fins is None:
        return shell
    tip = shell.diameter + factor * (shell.fins.tip_diameter - shell.diameter)
    return replace(shell, fins=replace(shell.fins, tip_diameter=tip))
