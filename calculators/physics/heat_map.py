"""Where a damper settles under many powers: its heat is worked out once and read off."""

from __future__ import annotations

from bisect import bisect_left
from typing import TYPE_CHECKING

from calculators.errors import require_at_least
from calculators.physics.air import GREATEST_TEMPERATURE
from calculators.physics.heat import heat_shed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.physics.shell import Surroundings
    from calculators.physics.thermal_damper import ThermalDamper

__all__ = ["settled_temperatures"]

_PIECES = 24  # straight lines between air and the hottest oil, short where the curve bends


def settled_temperatures(
    *, damper: ThermalDamper, powers: Sequence[float], surroundings: Surroundings
) -> tuple[float | None, ...]:
    """Return the oil temperature at which a damper settles, for each of many powers.

    the T_oil at which heat_shed(T_oil) = P, read off straight lines between 25 points

    One damper on one road at one speed has one such curve; loads and valves only move along
    it.

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    powers : sequence of float
        P, mean powers of the damping [W], each ≥ 0.
    surroundings : Surroundings
        Air, wind and sun.

    Returns
    -------
    tuple of float or None
        T_oil for each power [K], 223.15 to 573.15; None where it would be above 300 °C.

    Raises
    ------
    OutOfRangeError
        If a power is negative or not a finite number.

    Notes
    -----
    Limits: those of `steady_heat`, within 0.2 K of it.

    References
    ----------
    derivation: `heat_shed` rises with temperature, so each power belongs to one place.

    Examples
    --------
    Without power all is at air temperature; 100 kW melt any damper.

    >>> from calculators.physics.shell import Shell, Surroundings
    >>> from calculators.physics.thermal_damper import ThermalDamper
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> settled_temperatures(
    ...     damper=damper, powers=(0.0, 1e5), surroundings=Surroundings(air_temperature=300.0))
    (300.0, None)
    """
    for power in powers:
        require_at_least(0.0, power, "Power", "W", "Mean of force × rod speed.")
    ambient = surroundings.air_temperature
    span = GREATEST_TEMPERATURE - ambient
    places = [ambient + span * (k / _PIECES) ** 2 for k in range(_PIECES)]
    places.append(GREATEST_TEMPERATURE)
    shed = [
        heat_shed(damper=damper, oil_temperature=place, surroundings=surroundings).power
        for place in places
    ]

    def read(power: float) -> float | None:
        if power > shed[-1]:
            return None
        right = bisect_left(shed, power)
        if right == 0:
            return ambient
        part = (power - shed[right - 1]) / (shed[right] - shed[right - 1])
        return places[right - 1] + part * (places[right] - places[right - 1])

    return tuple(read(power) for power in powers)
