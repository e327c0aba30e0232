"""Two dampers for the tests of the virtual bench; all figures are invented.

A monotube and a twin-tube for the demo trailer, of about the same outside size and,
at steady speed, nearly the same curve: 46 mm bore against a 36 mm working tube inside
a reserve tube.
"""

from __future__ import annotations

from calculators.physics.bench import Filling, SineMotion, Specimen, corrugation
from calculators.physics.chamber import AeratedOil
from calculators.physics.fluid import Oil
from calculators.physics.network import Damper
from calculators.physics.pair import ValvePair
from calculators.physics.valve import Valve

OIL = Oil(density=850.0, dynamic_viscosity=0.012)

MONOTUBE = Specimen(
    damper=Damper(
        piston_diameter=0.046,
        rod_diameter=0.014,
        piston=ValvePair(
            compression=Valve(6.8e-6, 2.5e-4, 0.026, 2e5, 2e-9, 1.2e-3),
            rebound=Valve(6.8e-6, 2.5e-4, 0.026, 4.5e5, 4.4e-10, 1.2e-3),
        ),
        seal_friction=25.0,
    ),
    filling=Filling(head_volume=1.6e-4, rod_volume=1.5e-4, gas_pressure=2.1e6, gas_volume=6e-5),
    oil=OIL,
    chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=0.001),
)

TWIN_TUBE = Specimen(
    damper=Damper(
        piston_diameter=0.036,
        rod_diameter=0.014,
        piston=ValvePair(
            compression=Valve(3e-6, 2.5e-4, 0.026, 2.5e5, 5.3e-10, 1.2e-3),
            rebound=Valve(3e-6, 2.5e-4, 0.026, 7.5e5, 1e-10, 1.2e-3),
        ),
        reserve=ValvePair(
            compression=Valve(6.4e-7, 5.3e-5, 0.014, 2.5e5, 1.7e-10, 1.2e-3),
            rebound=Valve(6.4e-7, 4.4e-5, 0.022, 8e3, 2.3e-8, 2e-3),
        ),
        seal_friction=25.0,
    ),
    filling=Filling(head_volume=1.0e-4, rod_volume=0.9e-4, gas_pressure=5e5, gas_volume=1.2e-4),
    oil=OIL,
    chamber_oil=AeratedOil(bulk_modulus=1.5e9, free_gas=0.03),
)


def corrugated(*, kilometres_per_hour: float) -> SineMotion:
    """Return the demo's corrugation, 0.75 m and 12 mm, through a motion ratio of 0.7."""
    return corrugation(
        wavelength=0.75, amplitude=0.012, speed=kilometres_per_hour / 3.6, motion_ratio=0.7
    )
