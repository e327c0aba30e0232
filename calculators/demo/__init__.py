"""Two invented designs, complete: a trailer and a pickup, as job files.

``trailer.job.json`` and ``pickup.job.json`` beside this file are what `make` gives; all
that was typed stands here, the rest follows. `python -m calculators demo` writes them anew.
All figures are invented.
"""

from __future__ import annotations

from pathlib import Path
from pkgutil import get_data
from typing import TYPE_CHECKING

from calculators.errors import NoSolutionError
from calculators.job import Job
from calculators.job_file import loads
from calculators.sheets import names

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.field import Value

__all__ = ["FOLDER", "NAMES", "make", "read"]

FOLDER = Path(__file__).parent

_KMH = 1.0 / 3.6  # m/s

_TITLES = {
    "trailer": "Invented example: water-testing laboratory trailer",
    "pickup": "Invented example: forestry fire-patrol pickup, rear axle",
}
_NOTES = {
    "trailer": (
        "All figures are invented.\n"
        "A single-axle mobile laboratory for water tests, on trailing arms with coil springs, "
        "1 150 kg empty and 1 650 kg loaded on the axle. It runs on graded gravel service roads "
        "to reservoirs: corrugations of 0.75 m at 12 mm amplitude, tyres let down for them, "
        "summer days of 45 °C.\n"
        "Monotube damper, with a finned reservoir on a hose."
    ),
    "pickup": (
        "All figures are invented.\n"
        "The leaf-sprung rear axle of a pickup on forestry fire patrol, 980 kg empty and 1 580 kg "
        "with water and crew on the axle.\n"
        "Twin-tube damper."
    ),
}
_TYPED: Mapping[str, Mapping[str, Mapping[str, Value]]] = {
    "trailer": {
        "critical-damping": {
            "axle_mass": 1_150.0, "axle_mass_loaded": 1_650.0, "unsprung_mass": 65.0,
            "spring_rate": 120_000.0, "tyre_rate": 300_000.0, "damping_ratio": 0.25, "split": 2.2,
        },
        "frequency-view": {"wavelength": 0.75, "amplitude": 0.012, "speed": 80.0 * _KMH},
        "rod-displacement": {
            "construction": "hose", "chamber_diameter": 0.044, "chamber_length": 0.150,
            "gas_column": 0.090,
        },
        "gas-force": {"charge_pressure": 1.8e6},
        "gas-charge": {"rod_force": 615.0},
        "heat-and-fade": {
            "motion": "rms", "air_temperature": 318.15, "air_speed": 7.0, "body_length": 0.29,
            "reservoir": "finned",
        },
        "rod-and-bolt": {"size": "M14"},
    },
    "pickup": {
        "mount-geometry": {
            "layout": "beam", "closed_length": 0.330, "extended_length": 0.500,
            "bump_travel": 0.085, "droop_travel": 0.065,
        },
        "critical-damping": {
            "axle_mass": 980.0, "axle_mass_loaded": 1_580.0, "unsprung_mass": 95.0,
            "spring_rate": 42_000.0, "tyre_rate": 260_000.0, "damping_ratio": 0.32,
        },
        "load-range": {"spring": "leaf", "friction_share": 0.05, "axles": "none"},
        "leaf-friction": {"friction": 350.0},
        "frequency-view": {"wavelength": 0.75, "amplitude": 0.006, "speed": 60.0 * _KMH},
        "bore-choice": {"bore_diameter": 0.035, "rod_diameter": 0.016, "gas_gauge": 0.6e6},
        "rod-displacement": {"construction": "twin-tube", "oil_volume": 0.000_38},
        "gas-force": {"charge_pressure": 0.5e6},
        "gas-charge": {"rod_force": 104.0},
        "valve-sizing": {"disc_compression": 0.026, "disc_rebound": 0.024},
        "virtual-bench": {"head_length": 0.13, "rod_length": 0.11, "free_gas_twin_tube": 0.03},
        "heat-and-fade": {"motion": "rms", "air_speed": 5.5, "body_diameter": 0.064},
    },
}  # fmt: skip

NAMES = tuple(_TYPED)


def make(name: str) -> Job:
    """Return an invented job, calculated throughout.

    Raises
    ------
    NoSolutionError
        If a calculator refuses; the message says which and why.
    """
    job = Job(title=_TITLES[name], notes=_NOTES[name])
    for sheet in names():
        job.add(sheet)
    for sheet, values in _TYPED[name].items():
        for key, value in values.items():
            job.enter(sheet, key, value)
    for done in job.recalculate():
        if done.error is not None:
            message = f"{name}: {done.sheet}: {done.error}"
            raise NoSolutionError(message) from done.error
    return job


def read(name: str) -> Job:
    """Return an invented job as it is shipped."""
    return loads(get_data(__name__, f"{name}.job.json") or b"")
