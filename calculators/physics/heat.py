"""How hot a damper gets: the power it takes in against the heat it sheds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from calculators.errors import NoSolutionError, require_at_least, require_between
from calculators.physics._root import find_root
from calculators.physics.air import GREATEST_TEMPERATURE
from calculators.physics.reserve_gap import gap_heat
from calculators.physics.shell import Shell, ShellLoss, shell_loss
from calculators.physics.thermal_damper import ThermalDamper, body_intake

if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.physics.shell import Surroundings

__all__ = ["SteadyHeat", "balanced_heat", "heat_shed", "steady_heat"]

_TOLERANCE = 1e-9  # K
_LEAST_POWER = 1e-6  # W, below which no share or resistance is told


@dataclass(frozen=True, slots=True)
class SteadyHeat:
    """The temperatures a damper settles at, and where its heat goes.

    Attributes
    ----------
    power : float
        heat that leaves the damper, less what the sun adds [W].
    oil_temperature : float
        of the oil, which is what the seals feel [K].
    body_temperature : float
        outside of the body [K].
    reservoir_temperature : float or None
        outside of the reservoir [K]; None without one.
    body : ShellLoss
        Heat that leaves the body.
    reservoir : ShellLoss or None
        Heat that leaves the reservoir.
    reservoir_share : float
        part of all heat that the reservoir takes away [1].
    resistance : float
        rise of the oil above the air for each watt, K/W [-]; zero without power.
    in_range : bool
        Whether every equation in use is inside its proven range.
    """

    power: float
    oil_temperature: float
    body_temperature: float
    reservoir_temperature: float | None
    body: ShellLoss
    reservoir: ShellLoss | None
    reservoir_share: float
    resistance: float
    in_range: bool


def heat_shed(
    *, damper: ThermalDamper, oil_temperature: float, surroundings: Surroundings
) -> SteadyHeat:
    """Return the heat that a damper sheds for good while its oil stays at a temperature.

    P = P_body(T_oil) + P_reservoir(T_oil)

    Read the other way round: the power that would hold the oil at this temperature.

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    oil_temperature : float
        T_oil, of the air or above [K], 223.15 to 573.15.
    surroundings : Surroundings
        Air, wind and sun.

    Returns
    -------
    SteadyHeat
        Power, temperatures, losses, resistance.

    Raises
    ------
    OutOfRangeError
        If the oil is colder than the air, or hotter than 300 °C.

    Notes
    -----
    Limits: those of `steady_heat`.

    References
    ----------
    derivation: energy balance of body and reservoir; equations of `shell_loss` and
        `gap_heat`.

    Examples
    --------
    Oil at the temperature of the air, in the shade, sheds nothing.

    >>> from calculators.physics.shell import Surroundings
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> heat_shed(
    ...     damper=damper, oil_temperature=300.0,
    ...     surroundings=Surroundings(air_temperature=300.0)).power
    0.0
    """
    ambient = surroundings.air_temperature
    require_between(
        ambient,
        GREATEST_TEMPERATURE,
        oil_temperature,
        "Oil temperature",
        "K",
        "Of the air or above.",
    )

    def body_surplus(outside: float) -> float:
        given = body_intake(
            damper=damper, oil_temperature=oil_temperature, body_temperature=outside
        )
        return given - _loss(damper.body, outside, surroundings)

    body = find_root(body_surplus, ambient, GREATEST_TEMPERATURE, _TOLERANCE)
    body_loss = shell_loss(shell=damper.body, temperature=body, surroundings=surroundings)
    in_range = body_loss.convection.in_range and _gap_in_range(damper, oil_temperature, body)
    reservoir, reservoir_temperature, reservoir_loss, carried = damper.reservoir, None, None, 0.0
    if reservoir is not None:

        def reservoir_surplus(outside: float) -> float:
            given = damper.reservoir_conductance * (oil_temperature - outside)
            return given - _loss(reservoir, outside, surroundings)

        reservoir_temperature = find_root(
            reservoir_surplus, ambient, GREATEST_TEMPERATURE, _TOLERANCE
        )
        reservoir_loss = shell_loss(
            shell=reservoir, temperature=reservoir_temperature, surroundings=surroundings
        )
        carried = reservoir_loss.power
        in_range = in_range and reservoir_loss.convection.in_range
    power = body_loss.power + carried
    flowing = power > _LEAST_POWER
    return SteadyHeat(
        power=power,
        oil_temperature=oil_temperature,
        body_temperature=body,
        reservoir_temperature=reservoir_temperature,
        body=body_loss,
        reservoir=reservoir_loss,
        reservoir_share=carried / power if flowing else 0.0,
        resistance=(oil_temperature - ambient) / power if flowing else 0.0,
        in_range=in_range,
    )


def steady_heat(*, damper: ThermalDamper, power: float, surroundings: Surroundings) -> SteadyHeat:
    """Return the temperatures at which a damper gives off as much heat as it takes in.

    the T_oil at which heat_shed(T_oil) = P

    Where it ends if the road goes on; `warm_up` tells how soon.

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    power : float
        P, mean power of the damping [W], ≥ 0.
    surroundings : Surroundings
        Air, wind and sun.

    Returns
    -------
    SteadyHeat
        Power, temperatures, losses, resistance.

    Raises
    ------
    OutOfRangeError
        If the power is negative or not a finite number.
    NoSolutionError
        If the oil would be hotter than 300 °C.

    Notes
    -----
    Limits: one temperature for all the oil, one for each outside; no heat through
    the mounts, or from brakes and exhaust. Expect 20 to 30 % on the rise, as on any
    convection equation outdoors (common practice).

    References
    ----------
    derivation: energy balance of oil, body and reservoir; equations of `shell_loss`
        and `gap_heat`.

    Examples
    --------
    Without power and sun all is at air temperature.

    >>> from calculators.physics.shell import Surroundings
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> steady_heat(
    ...     damper=damper, power=0.0,
    ...     surroundings=Surroundings(air_temperature=300.0)).oil_temperature
    300.0
    """
    require_at_least(0.0, power, "Power", "W", "Mean of force × rod speed.")
    return balanced_heat(
        damper=damper,
        power=lambda _: power,
        surroundings=surroundings,
        hottest=GREATEST_TEMPERATURE,
    )


def balanced_heat(
    *,
    damper: ThermalDamper,
    power: Callable[[float], float],
    surroundings: Surroundings,
    hottest: float,
) -> SteadyHeat:
    """Return the temperatures a damper settles at if its power depends on its temperature.

    the T_oil at which heat_shed(T_oil) = P(T_oil)

    A damper that fades protects itself: as the oil thins it takes less power.

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    power : callable
        P(T_oil), mean power at an oil temperature, W from K; never negative.
    surroundings : Surroundings
        Air, wind and sun.
    hottest : float
        highest temperature that `power` can be asked for [K], 223.15 to 573.15.

    Returns
    -------
    SteadyHeat
        Power, temperatures, losses, resistance.

    Raises
    ------
    OutOfRangeError
        If the highest temperature is not above that of the air.
    NoSolutionError
        If the oil would be hotter than that.

    Notes
    -----
    Limits: those of `steady_heat`. The answer is the only one if the power doesn't
    grow with temperature faster than the losses do, which holds for thinning oil.

    References
    ----------
    derivation: energy balance.

    Examples
    --------
    >>> from calculators.physics.shell import Surroundings
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> air = Surroundings(air_temperature=300.0)
    >>> fixed = steady_heat(damper=damper, power=80.0, surroundings=air)
    >>> fading = balanced_heat(
    ...     damper=damper, power=lambda t: 80.0 - 0.2 * (t - 300.0), surroundings=air,
    ...     hottest=420.0)
    >>> fading.oil_temperature < fixed.oil_temperature
    True
    """
    ambient = surroundings.air_temperature
    require_between(
        ambient, GREATEST_TEMPERATURE, hottest, "Highest temperature", "K", "Above the air's."
    )

    def excess(oil: float) -> float:
        shed = heat_shed(damper=damper, oil_temperature=oil, surroundings=surroundings)
        return power(oil) - shed.power

    if excess(hottest) > 0.0:
        message = (
            f"With {power(hottest):.4g} W the oil would be hotter than {hottest - 273.15:.4g} °C, "
            "where damper and oil no longer hold. Check the power, or give the damper more "
            "surface or air."
        )
        raise NoSolutionError(message)
    if excess(ambient) <= 0.0:
        return heat_shed(damper=damper, oil_temperature=ambient, surroundings=surroundings)
    oil = find_root(excess, ambient, hottest, _TOLERANCE)
    return heat_shed(damper=damper, oil_temperature=oil, surroundings=surroundings)


def _gap_in_range(damper: ThermalDamper, oil: float, body: float) -> bool:
    if damper.gap is None:
        return True
    intake = body_intake(damper=damper, oil_temperature=oil, body_temperature=body)
    tube = oil - intake / damper.oil_conductance
    return gap_heat(gap=damper.gap, temperature_inner=tube, temperature_outer=body).in_range


def _loss(shell: Shell, temperature: float, surroundings: Surroundings) -> float:
    return shell_loss(shell=shell, temperature=temperature, surroundings=surroundings).power
