"""The oil as flow elements see it: density and viscosity at one temperature."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.errors import require_above

__all__ = ["Oil"]


@dataclass(frozen=True, slots=True)
class Oil:
    """Density and viscosity of the damper oil at one temperature.

    A valve, a leak or a whole damper takes one of these. For the hot and the cold
    damper make one Oil each, from the oil sheet's figures at that temperature.

    Attributes
    ----------
    density : float
        ρ, density [kg/m³], > 0.
    dynamic_viscosity : float
        μ, dynamic viscosity [Pa·s], > 0.

    Raises
    ------
    OutOfRangeError
        If an attribute is not a finite number above zero.
    """

    density: float
    dynamic_viscosity: float

    def __post_init__(self) -> None:
        require_above(0.0, self.density, "Oil density", "kg/m³", "Damper oils: 820 to 900 kg/m³.")
        require_above(
            0.0,
            self.dynamic_viscosity,
            "Dynamic viscosity",
            "Pa·s",
            "Kinematic viscosity × density.",
        )
