"""What follows from what: the one table that carries a value from calculator to calculator.

`_FOLLOWS[calculator][input]` names where the input's value comes from, as
``calculator.value``: an input there, an output, or a value of `handed`. Of several
sources the first counts that is there. ``if construction=monotube`` behind a source holds
it to that answer in the calculator that takes it.

Add a link by adding a line. The tests hold that names exist, that quantities are the
same, that ranges overlap and that nothing runs in a circle.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["LINKS", "Source", "sources"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where an input may take its value from.

    Attributes
    ----------
    sheet, name : str
        The calculator, and its input, output or handed value.
    when : tuple of str or None
        Input of the calculator that takes it, and the answer that it must have.
    """

    sheet: str
    name: str
    when: tuple[str, str] | None = None

    @property
    def key(self) -> str:
        """The source as one word: ``critical-damping.wheel_rate``."""
        return f"{self.sheet}.{self.name}"


def _same(source: str, names: str) -> dict[str, str]:
    """Return links to the inputs of the same names in another calculator."""
    return {name: f"{source}.{name}" for name in names.split()}


_VALVES = " ".join(
    f"{place}_{part}"
    for place in ("compression", "rebound", "foot", "intake")
    for part in (
        "bleed_count", "bleed_diameter", "port_count", "port_diameter", "disc_diameter",
        "crack_pressure", "compliance", "max_lift",
    )
    if not (place == "intake" and part.startswith("bleed"))
)  # fmt: skip
_SIZED = [
    name for name in _VALVES.split() if not name.endswith(("disc_diameter", "max_lift"))
]  # what valve sizing finds
_INSIDE = "piston_diameter rod_diameter seal_friction piston_gap gap_length discharge_coefficient"
_BODY = f"{_INSIDE} viscosity_40 viscosity_100 density_15 release_pressure temperature"
_CORNER = "unsprung_mass tyre_rate tyre_damping bush_rate wavelength amplitude road_class speed"

_RATIO = "critical-damping.motion_ratio, mount-geometry.damper_ratio"
_DAMPING = "force-velocity.mean_damping, critical-damping.damping_needed_damper"
_FORCES = "force-velocity.forces, valve-sizing.forces, critical-damping.forces"

_FOLLOWS: dict[str, dict[str, str]] = {
    "critical-damping": {
        "spring_motion_ratio": "mount-geometry.spring_ratio",
        "damper_lever_ratio": "mount-geometry.damper_ratio",
        "damper_angle": "mount-geometry.no_angle",
    },
    "load-range": {
        "wheel_rate": "critical-damping.wheel_rate",
        "spring_ratio": "critical-damping.spring_motion_ratio",
        "mass_empty": "critical-damping.mass_empty",
        "mass_loaded": "critical-damping.mass_loaded",
        "damping": _DAMPING,
        "damper_ratio": _RATIO,
        "wavelength": "frequency-view.wavelength",
    },
    "leaf-friction": {
        "frequency": "critical-damping.body_frequency_loaded, critical-damping.body_frequency",
    },
    "bounce-test": {
        "sprung_mass": "critical-damping.mass_loaded, critical-damping.mass_empty",
        "motion_ratio": _RATIO,
    },
    "frequency-view": {
        "sprung_mass": "critical-damping.mass_loaded, critical-damping.mass_empty",
        "unsprung_mass": "critical-damping.unsprung_mass",
        "wheel_rate": "critical-damping.wheel_rate",
        "tyre_rate": "critical-damping.tyre_rate",
        "motion_ratio": _RATIO,
        "damping": _DAMPING,
    },
    "rod-displacement": {
        "rod_diameter": "bore-choice.rod_diameter",
        "stroke": "mount-geometry.stroke",
        "mounting_angle": "mount-geometry.lean_size",
        "chamber_diameter": "bore-choice.bore_diameter if construction=monotube",
    },
    "bore-choice": {
        "design_speed": "critical-damping.table_speed",
        "force_compression": "critical-damping.force_compression if design_speed=0.52",
        "force_rebound": "critical-damping.force_rebound if design_speed=0.52",
        "oil_density": "oil-viscosity.density",
        "oil_viscosity": "oil-viscosity.dynamic_viscosity",
    },
    "gas-force": {
        **_same(
            "rod-displacement",
            "rod_diameter stroke volume_given gas_volume oil_volume expansion_coefficient "
            "temperature_cold temperature_hot",
        ),
        "ride_compression": "mount-geometry.ride_compression",
        "motion_ratio": _RATIO,
        "wheel_rate": "critical-damping.wheel_rate",
        "pressure_limit": "bore-choice.peak_allowed",
        "altitude": "bore-choice.altitude",
    },
    "gas-charge": {
        **_same(
            "gas-force",
            "rod_diameter volume_given chamber_diameter gas_column gas_volume oil_volume "
            "expansion_coefficient altitude",
        ),
        "charge_specified": "gas-force.charge_at_20",
    },
    "oil-viscosity": {
        "coldest": "rod-displacement.temperature_cold",
        "hottest": "rod-displacement.temperature_hot",
    },
    "flow-element": {
        "density": "oil-viscosity.density",
        "viscosity": "oil-viscosity.viscosity",
        "viscosity_cold": "oil-viscosity.viscosity_cold",
        "viscosity_hot": "oil-viscosity.viscosity_hot",
        "gap_diameter": "bore-choice.bore_diameter",
        "gap_length": "force-velocity.gap_length",
        "clearance": "force-velocity.piston_gap",
        "discharge_coefficient": "force-velocity.discharge_coefficient",
    },
    "valve-sizing": {
        "target": "critical-damping.forces",
        "bore": "bore-choice.bore_diameter",
        "rod_diameter": "rod-displacement.rod_diameter",
        "foot": "rod-displacement.foot",
        "density": "oil-viscosity.density",
        "viscosity": "oil-viscosity.dynamic_viscosity",
    },
    "shim-stack": {
        "clamp_diameter": "valve-sizing.clamp_diameter",
    },
    "force-velocity": {
        "construction": "rod-displacement.construction_valves",
        "piston_diameter": "valve-sizing.bore",
        "rod_diameter": "valve-sizing.rod_diameter",
        **{name: f"valve-sizing.{name}" for name in _SIZED},
        "compression_disc_diameter": "valve-sizing.disc_compression",
        "rebound_disc_diameter": "valve-sizing.disc_rebound",
        "foot_disc_diameter": "valve-sizing.foot_disc",
        "intake_disc_diameter": "valve-sizing.intake_disc",
        "compression_max_lift": "valve-sizing.max_lift",
        "rebound_max_lift": "valve-sizing.max_lift",
        "foot_max_lift": "valve-sizing.max_lift",
        "intake_max_lift": "valve-sizing.intake_lift",
        "viscosity_40": "oil-viscosity.viscosity_40",
        "viscosity_100": "oil-viscosity.viscosity_100",
        "density_15": "oil-viscosity.density_15",
        "temperature": "oil-viscosity.temperature",
        **_same("gas-force", "oil_volume polytropic_exponent temperature_cold temperature_hot"),
        "release_pressure": "bore-choice.release_pressure",
        "charge_at_20": "gas-force.charge_at_20",
        "charge_at_20_twin_tube": "gas-force.charge_at_20",
        "gas_volume": "rod-displacement.gas_volume, gas-force.gas_volume",
        "rod_travel": "gas-force.ride_compression",
        "altitude": "gas-force.altitude",
        "motion_ratio": _RATIO,
        "target_forces": "valve-sizing.target",
    },
    "cavitation-margin": {
        **_same("force-velocity", f"construction {_BODY} {_VALVES}"),
        **_same(
            "force-velocity",
            "oil_volume charge_at_20 charge_at_20_twin_tube gas_volume rod_travel "
            "polytropic_exponent temperature_cold temperature_hot altitude",
        ),
        "wanted_speed": "ride-run.peak_velocity",
    },
    "virtual-bench": {
        **_same("force-velocity", f"{_BODY} {_VALVES} charge_at_20 charge_at_20_twin_tube"),
        **_same("force-velocity", "gas_volume_twin_tube gas_volume_monotube rod_travel"),
        "motion_ratio": _RATIO,
        "speed": "ride-run.speed",
        "wavelength": "ride-run.wavelength",
        "road_amplitude": "ride-run.amplitude",
    },
    "lag": {
        "damping": _DAMPING,
        "piston_diameter": "force-velocity.piston_diameter",
        "speed": "ride-run.speed",
        "wavelength": "ride-run.wavelength",
    },
    "ride-run": {
        **_same("frequency-view", f"{_CORNER} sprung_mass wheel_rate"),
        "motion_ratio": _RATIO,
        "friction": "leaf-friction.friction",
        "damper": _FORCES,
        "bump_travel": "mount-geometry.bump_travel",
        "droop_travel": "mount-geometry.droop_travel",
    },
    "speed-map": {
        **_same(
            "ride-run",
            f"{_CORNER} sprung_mass wheel_rate seed motion_ratio friction bump_travel "
            "droop_travel stop_rate stop_depth",
        ),
        **_same(
            "heat-and-fade",
            "construction body_diameter body_length working_diameter reservoir reservoir_diameter "
            "reservoir_length fin_count fin_diameter fin_thickness air_temperature "
            "limit_temperature",
        ),
        "sprung_mass_empty": "critical-damping.mass_empty",
        "damper": _FORCES,
    },
    "heat-and-fade": {
        "wavelength": "ride-run.wavelength",
        "vehicle_speed": "ride-run.speed",
        "motion_ratio": _RATIO,
        "velocity_rms": "ride-run.rod_velocity",
        "power_given": "ride-run.mean_power",
        "frequency_given": "ride-run.frequency",
        "stroke": "ride-run.stroke",
        "speed": "force-velocity.speed",
        "fade_by": "force-velocity.fade_by",
        "force_by": "force-velocity.force_by",
        "foot": "force-velocity.foot",
        "damper": _FORCES,
        "force_normal": "force-velocity.mean_force",
        "temperature_normal": "force-velocity.temperature",
        **_same(
            "force-velocity",
            f"viscosity_40 viscosity_100 density_15 oil_volume {_INSIDE} {_VALVES}",
        ),
        "rod_diameter_reservoir": "force-velocity.rod_diameter",
        "construction": "force-velocity.body",
        "body_length": "bore-choice.body_length",
        "working_diameter": "force-velocity.piston_diameter if construction=twin-tube",
    },
    "rod-and-bolt": {
        "rod_diameter": "rod-displacement.rod_diameter",
        "compression_force": "force-velocity.largest_compression",
        "rebound_force": "force-velocity.largest_rebound",
    },
}


def _source(text: str) -> Source:
    place, _, condition = text.strip().partition(" if ")
    sheet, _, name = place.partition(".")
    asked, equals, answer = condition.partition("=")
    return Source(sheet, name, (asked, answer) if equals else None)


LINKS: Mapping[str, Mapping[str, tuple[Source, ...]]] = {
    sheet: {name: tuple(map(_source, text.split(","))) for name, text in follows.items()}
    for sheet, follows in _FOLLOWS.items()
}


def sources(sheet: str, name: str) -> tuple[Source, ...]:
    """Return where an input may take its value from, the first choice first."""
    return LINKS.get(sheet, {}).get(name, ())
