"""A damper as heat sees it: oil, tube, reserve ring and reservoir, and the ways between."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_at_least
from calculators.physics._root import find_root
from calculators.physics.reserve_gap import gap_heat

if TYPE_CHECKING:
    from calculators.physics.reserve_gap import ReserveGap
    from calculators.physics.shell import Shell

__all__ = ["ThermalDamper", "body_intake", "exchange_conductance"]

# W/(m²·K), an estimate: oil that moves at 0.3 to 0.65 m/s in a tube of 46 mm gives 180 to 360
# by the equations of Sieder and Tate and of Dittus and Boelter
OIL_COEFFICIENT = 300.0
_TOLERANCE = 1e-9  # K


@dataclass(frozen=True, slots=True)
class ThermalDamper:
    """A damper as heat sees it: oil, tube, perhaps a reserve ring, perhaps a reservoir.

    Attributes
    ----------
    body : Shell
        The outside; of a twin-tube, the reserve tube.
    working_diameter : float
        bore of the working tube [m], > 0.
    working_length : float
        length of the working tube that oil wets [m], > 0.
    oil_heat_capacity : float
        mass of oil, piston and (twin-tube) working tube, each times its specific heat
        [J/K], > 0.
    oil_coefficient : float
        heat transfer from oil to tube; 300 is an estimate for moving oil, 180 to 360
        [W/(m²·K)], > 0.
    gap : ReserveGap or None
        The reserve ring of a twin-tube; None: a monotube.
    reservoir : Shell or None
        A separate reservoir; None: none.
    reservoir_conductance : float
        heat that the oil carries to the reservoir for each kelvin [W/K], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.
    ConflictError
        If reserve tube and body don't fit, or a reservoir gets no heat.
    """

    body: Shell
    working_diameter: float
    working_length: float
    oil_heat_capacity: float
    oil_coefficient: float = OIL_COEFFICIENT
    gap: ReserveGap | None = None
    reservoir: Shell | None = None
    reservoir_conductance: float = 0.0

    def __post_init__(self) -> None:
        require_above(0.0, self.working_diameter, "Bore", "m", "Of the working tube.")
        require_above(0.0, self.working_length, "Oil length", "m", "Wetted by the oil.")
        require_above(0.0, self.oil_heat_capacity, "Heat capacity of the oil", "J/K")
        require_above(0.0, self.oil_coefficient, "Heat transfer from the oil", "W/(m²·K)")
        require_at_least(0.0, self.reservoir_conductance, "Heat to the reservoir", "W/K")
        if (self.reservoir is None) != (self.reservoir_conductance == 0.0):
            message = (
                "A reservoir needs oil that carries heat to it: give both the reservoir and "
                "its conductance, or neither."
            )
            raise ConflictError(message, inputs=("reservoir", "reservoir_conductance"))
        inside = self.working_diameter
        if self.gap is not None:
            if self.gap.inner_diameter <= inside:
                message = "The outside of the working tube must be larger than its bore."
                raise ConflictError(message, inputs=("inner_diameter", "working_diameter"))
            inside = self.gap.outer_diameter
        if self.body.diameter <= inside:
            message = "The outside of the body must be larger than what it holds."
            raise ConflictError(message, inputs=("diameter", "working_diameter"))

    @property
    def oil_conductance(self) -> float:
        """From the oil to the wall of the working tube, in W/K."""
        return self.oil_coefficient * pi * self.working_diameter * self.working_length


def body_intake(*, damper: ThermalDamper, oil_temperature: float, body_temperature: float) -> float:
    """Return the heat that flows from the oil to the outside of the body.

    monotube: G (T_oil − T_body); twin-tube: the same through working tube and reserve

    Parameters
    ----------
    damper : ThermalDamper
        The damper.
    oil_temperature : float
        T_oil [K], 223.15 to 573.15.
    body_temperature : float
        T_body [K], 223.15 to 573.15.

    Returns
    -------
    float
        P, outwards [W], any sign.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside its range.

    Notes
    -----
    Limits: the walls of the tubes add nothing: steel of 2 mm conducts a hundred times
    better than the oil beside it.

    References
    ----------
    derivation: resistances in series carry the same heat.

    Examples
    --------
    By hand: 300 · π · 0.05 · 0.2 · 10 = 94.247 8.

    >>> from calculators.physics.shell import Shell
    >>> damper = ThermalDamper(
    ...     body=Shell(diameter=0.055, length=0.25, heat_capacity=450.0),
    ...     working_diameter=0.05, working_length=0.2, oil_heat_capacity=600.0)
    >>> round(body_intake(damper=damper, oil_temperature=350.0, body_temperature=340.0), 4)
    94.2478
    """
    conductance = damper.oil_conductance
    gap = damper.gap
    if gap is None or oil_temperature == body_temperature:
        return conductance * (oil_temperature - body_temperature)

    def surplus(tube: float) -> float:
        through = gap_heat(gap=gap, temperature_inner=tube, temperature_outer=body_temperature)
        return conductance * (oil_temperature - tube) - through.power

    tube = find_root(surplus, body_temperature, oil_temperature, _TOLERANCE)
    return conductance * (oil_temperature - tube)


def exchange_conductance(
    *,
    volume_stroke: float,
    volume_hose: float,
    frequency: float,
    density: float,
    specific_heat: float,
) -> float:
    """Return how much heat the oil carries to a reservoir for each kelvin of difference.

    G = ρ c_p f (V_stroke − V_hose), not below zero

    Each stroke pushes the rod's volume of oil out and draws it back. What only moves
    within the hose brings no heat: behind a long hose the reservoir stays cold.

    Parameters
    ----------
    volume_stroke : float
        V_stroke, rod area × stroke (peak to peak) [m³], ≥ 0.
    volume_hose : float
        V_hose, oil in the hose or passage [m³], ≥ 0.
    frequency : float
        f, strokes a second [Hz], ≥ 0.
    density : float
        ρ, of the oil [kg/m³], > 0.
    specific_heat : float
        c_p, of the oil [J/(kg·K)], > 0.

    Returns
    -------
    float
        G [W/K], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: an upper bound; the oil that arrives mixes fully with what is there, none
    slips past in the hose, and the hose itself sheds nothing.

    References
    ----------
    derivation: enthalpy of the oil that is exchanged in each cycle.

    Examples
    --------
    By hand: 850 · 2 000 · 5 · 10⁻⁵ m³ = 85 W/K.

    >>> round(exchange_conductance(
    ...     volume_stroke=3e-5, volume_hose=2e-5, frequency=5.0, density=850.0,
    ...     specific_heat=2000.0), 9)
    85.0
    """
    require_at_least(0.0, volume_stroke, "Volume of one stroke", "m³", "Rod area × stroke.")
    require_at_least(0.0, volume_hose, "Volume of the hose", "m³", "Piggyback: almost zero.")
    require_at_least(0.0, frequency, "Frequency", "Hz")
    require_above(0.0, density, "Oil density", "kg/m³", "Damper oils: 820 to 900 kg/m³.")
    require_above(0.0, specific_heat, "Specific heat of the oil", "J/(kg·K)", "About 2 000.")
    return density * specific_heat * frequency * max(0.0, volume_stroke - volume_hose)
