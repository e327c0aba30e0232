"""Two dampers for the virtual bench: the inputs that describe them, and their traces.

Twin-tube and monotube share bore, rod, piston valves, chambers and motion; they differ
in foot valve, gas and bubbles. A trace takes tens of milliseconds and is asked for by
results, charts and drawing alike, so the last ones are kept.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING, Literal, TypeAlias

from calculators.errors import ConflictError
from calculators.physics import bench, gas
from calculators.physics.chamber import AeratedOil
from calculators.sheet import Cell, Choice, Input, Option, Rows
from calculators.sheets._valving import (
    BODY,
    CHARGE,
    OIL,
    PISTON,
    RELEASE,
    RESERVE,
    TEMPERATURE,
    damper_of,
    expansion_of,
    oil_at,
)

if TYPE_CHECKING:
    from calculators.physics.bench import BenchTrace, SineMotion, Specimen
    from calculators.physics.gas import GasState
    from calculators.sheet import Given

__all__ = [
    "INPUTS",
    "KINDS",
    "Kind",
    "gas_at_rest",
    "motion_of",
    "oil_inside",
    "specimen_of",
    "sweep",
    "trace_of",
]

Kind: TypeAlias = Literal["twin-tube", "monotube"]
KINDS: tuple[Kind, Kind] = ("twin-tube", "monotube")

_MOTION, _ROAD, _CHAMBERS = "Motion", "Corrugated road", "Chambers"
_GAS, _BUBBLES = "Gas", "Oil and bubbles"
_ON_ROAD, _ON_SINE, _ON_TRACE = ((("motion", (key,)),) for key in ("corrugation", "sine", "trace"))
_CYCLES, _STEPS = 3, 200  # two cycles settle, the third is measured
_SWEPT_CYCLES, _SWEPT_STEPS = 2, 100  # coarser: a curve over many speeds
_FASTEST = 10.0  # m/s, beyond any damper

# An invented record: a pothole, and the swing after it.
_RECORD = (
    0.0, 0.0, 1.0, 6.0, 15.0, 24.0, 28.0, 25.0, 16.0, 5.0, -5.0, -12.0, -15.0, -14.0, -10.0, -5.0,
    0.0, 4.0, 6.5, 7.0, 6.0, 4.0, 2.0, 0.5, 0.0,
)  # fmt: skip


def _of(fields: tuple[Choice | Input, ...], name: str) -> Input:
    """Return one input of a group."""
    found = next(item for item in fields if item.name == name)
    assert isinstance(found, Input)
    return found


def _bubbles(kind: str, mark: str, share: float, words: str) -> Input:
    return Input(
        name=f"free_gas_{kind}", label=f"Free gas in the oil, {kind.replace('_', '-')}", symbol=f"alpha_{mark}",
        quantity="percent", unit="%", default=share, minimum=0.0, maximum=0.3, group=_BUBBLES,
        reason="0.1 % is clean, some percent is well shaken, more than 10 % is foam.",
        help=f"Share of bubbles in the oil at air pressure. {words}",
    )  # fmt: skip


INPUTS = (
    Choice(
        name="motion", label="Motion",
        options=(
            Option("corrugation", "a corrugated road"),
            Option("sine", "a sine, as on a bench"),
            Option("trace", "a recorded displacement"),
        ),
        help="What moves the rod; the same for both dampers.",
        group=_MOTION,
    ),
    Input(
        name="speed", label="Speed of the vehicle", symbol="V", quantity="velocity", unit="km/h",
        default=40.0 / 3.6, minimum=0.3, maximum=40.0, when=_ON_ROAD, group=_MOTION,
        reason="From walking pace up.",
        help="Over the corrugations.",
    ),
    Input(
        name="frequency", label="Frequency", symbol="f", quantity="frequency", unit="Hz",
        default=4.0, minimum=0.05, maximum=60.0, when=_ON_SINE, group=_MOTION,
        reason="Cycles in a second.",
        help="Of the bench: how often the crank turns in a second.",
    ),
    Input(
        name="amplitude", label="Amplitude at the damper", symbol="X", quantity="length", unit="mm",
        default=0.020, minimum=0.1e-3, maximum=0.3, when=_ON_SINE, group=_MOTION,
        reason="Half of the stroke; rod and chambers must have room for it.",
        help="Half of the travel from end to end.",
    ),
    Rows(
        name="record", label="Recorded displacement",
        columns=(
            Cell(label="Time", symbol="t", quantity="time", unit="s", minimum=-1_000.0, maximum=10_000.0,
                 reason="Each time later than the one before."),
            Cell(label="Rod travel", symbol="x", quantity="length", unit="mm", minimum=-0.5, maximum=0.5,
                 reason="From the middle position, positive as the rod moves in."),
        ),
        default=tuple((number / 100.0, x / 1000.0) for number, x in enumerate(_RECORD)),
        least=4, most=400, when=_ON_TRACE, group=_MOTION,
        help="Paste time and rod travel, one point a line; the rod moving in is positive, the middle position is 0.",
    ),
    Input(
        name="wavelength", label="Wavelength", symbol="lambda_w", quantity="length", unit="m",
        default=0.75, minimum=0.1, maximum=50.0, group=_ROAD,
        reason="From crest to crest; corrugations have 0.5 to 1 m.",
        help="From crest to crest; measure over ten waves.",
    ),
    Input(
        name="road_amplitude", label="Amplitude at the wheel", symbol="a", quantity="length", unit="mm",
        default=0.012, minimum=0.5e-3, maximum=0.2, group=_ROAD,
        reason="Half of the height from trough to crest.",
        help="Half of the height from trough to crest, under a straightedge.",
    ),
    Input(
        name="motion_ratio", label="Motion ratio of the damper", symbol="MR_d", quantity="ratio", unit="1",
        default=0.75, minimum=0.05, maximum=2.0, group=_ROAD,
        reason="Damper travel divided by wheel travel.",
        help="Damper travel / wheel travel near ride height, lean included.",
    ),
    *BODY[1:],
    *PISTON,
    *(replace(item, when=()) for item in RESERVE),
    Input(
        name="head_length", label="Head side, length of oil", symbol="L_head", quantity="length", unit="mm",
        default=0.100, minimum=0.005, maximum=1.0, group=_CHAMBERS,
        reason="From the piston to the foot valve or dividing piston; longer than the travel inward.",
        help="Rod in its middle position: from the piston to the foot valve or the dividing piston.",
    ),
    Input(
        name="rod_length", label="Rod side, length of oil", symbol="L_rod", quantity="length", unit="mm",
        default=0.090, minimum=0.005, maximum=1.0, group=_CHAMBERS,
        reason="From the piston to the rod guide; longer than the travel outward.",
        help="Rod in its middle position: from the piston to the rod guide.",
    ),
    Input(
        name="rod_travel", label="Rod travel at the middle", symbol="x_m", quantity="length", unit="mm",
        default=0.075, minimum=0.0, maximum=1.0, group=_CHAMBERS,
        reason="Counted from full extension; not more than the length of the rod side.",
        help="How far the rod stands in at its middle position, counted from full extension.",
    ),
    Input(
        name="reserve_oil", label="Oil in the reserve space", symbol="V_R", quantity="volume", unit="cm³",
        default=120e-6, minimum=0.0, maximum=5e-3, group=_CHAMBERS,
        reason="Of the twin-tube, rod in its middle position; it must not run dry.",
        help="Of the twin-tube, between its tubes, rod in its middle position.",
    ),
    replace(_of(CHARGE, "charge_at_20_twin_tube"), when=(), symbol="p_T", label="Charge of the twin-tube at 20 °C",
            default=2.5e5),
    replace(_of(CHARGE, "charge_at_20"), when=(), symbol="p_M", label="Charge of the monotube at 20 °C", default=2.0e6),
    replace(_of(CHARGE, "gas_volume"), name="gas_volume_twin_tube", symbol="V_T0", label="Gas volume, twin-tube"),
    replace(_of(CHARGE, "gas_volume"), name="gas_volume_monotube", symbol="V_M0", label="Gas volume, monotube",
            default=110e-6),
    Input(
        name="polytropic_exponent", label="Polytropic exponent", symbol="n", quantity="ratio", unit="1",
        default=1.4, minimum=1.0, maximum=1.67, group=_GAS,
        reason="1 for slow strokes, 1.4 for fast ones with nitrogen.",
        help="Of the gas while the rod moves; until then it has had time to settle.",
    ),
    *(replace(item, group=_BUBBLES) for item in OIL if item.name != "oil_volume"),
    Input(
        name="oil_bulk_modulus", label="Bulk modulus of the oil", symbol="K_o", quantity="stress", unit="MPa",
        default=1.4e9, minimum=2e8, maximum=4e9, group=_BUBBLES,
        reason="Clean mineral oil has about 1 400 MPa (common practice).",
        help="Of the clean oil: its bubbles are counted apart.",
    ),
    _bubbles("twin_tube", "T", 0.05, "Its gas touches its oil: some percent after minutes of rough road."),
    _bubbles("monotube", "M", 0.001, "The dividing piston keeps them apart: near 0.1 % is left from filling."),
    replace(RELEASE, group=_BUBBLES),
    replace(TEMPERATURE, group=_BUBBLES, label="Temperature of oil and gas"),
)  # fmt: skip


def oil_inside(given: Given, kind: Kind) -> float:
    """Return the volume of all the oil in a damper."""
    damper = damper_of(given, kind)
    chambers = damper.piston_area * given["head_length"] + damper.annulus_area * given["rod_length"]
    return chambers + (given["reserve_oil"] if kind == "twin-tube" else 0.0)


def gas_at_rest(given: Given, kind: Kind) -> GasState:
    """Return the gas at the middle of the stroke and the working temperature, at rest."""
    twin = kind == "twin-tube"
    return gas.charge_state(
        charge_pressure_gauge=given["charge_at_20_twin_tube" if twin else "charge_at_20"],
        gas_volume_extended=given["gas_volume_twin_tube" if twin else "gas_volume_monotube"],
        rod_diameter=given["rod_diameter"], compression=given["rod_travel"],
        temperature=given["temperature"], oil_volume=oil_inside(given, kind),
        expansion_coefficient=expansion_of(given),
    )  # fmt: skip


def specimen_of(given: Given, kind: Kind) -> Specimen:
    """Return the damper of a construction as it is clamped into the bench."""
    damper, state = damper_of(given, kind), gas_at_rest(given, kind)
    return bench.Specimen(
        damper=damper,
        filling=bench.Filling(
            head_volume=damper.piston_area * given["head_length"],
            rod_volume=damper.annulus_area * given["rod_length"],
            gas_pressure=state.pressure, gas_volume=state.volume,
            gas_exponent=given["polytropic_exponent"],
        ),
        oil=oil_at(given, given["temperature"]),
        chamber_oil=AeratedOil(
            bulk_modulus=given["oil_bulk_modulus"],
            free_gas=given[f"free_gas_{kind.replace('-', '_')}"],
        ),
    )  # fmt: skip


def motion_of(given: Given, speed: float | None = None) -> SineMotion | None:
    """Return the sine that moves the rod, at a driving speed if one is named; None for a record."""
    kind = "corrugation" if speed is not None else given.choice("motion")
    if kind == "trace":
        return None
    if kind == "sine":
        return bench.SineMotion(given["frequency"], given["amplitude"])
    return bench.corrugation(
        wavelength=given["wavelength"], amplitude=given["road_amplitude"],
        speed=given["speed"] if speed is None else speed, motion_ratio=given["motion_ratio"],
    )  # fmt: skip


@lru_cache(maxsize=4)
def _sine(specimen: Specimen, motion: SineMotion) -> BenchTrace:
    return bench.run_sine(specimen=specimen, motion=motion, cycles=_CYCLES, steps=_STEPS)


@lru_cache(maxsize=4)
def _record(
    specimen: Specimen, times: tuple[float, ...], travels: tuple[float, ...], substeps: int
) -> BenchTrace:
    return bench.run_displacement(
        specimen=specimen, times=times, displacements=travels, substeps=substeps
    )


def trace_of(given: Given, kind: Kind) -> BenchTrace:
    """Return what the bench records of a construction.

    Raises
    ------
    ConflictError
        If the motion has no room in the damper, or is faster than any damper.
    NoSolutionError
        If no pressures are found; the message says when, how fast and at which pressures.
    """
    motion = motion_of(given)
    if motion is not None:
        _require_room(given, -motion.amplitude, motion.amplitude, motion.peak_velocity)
        return _sine(specimen_of(given, kind), motion)
    times, travels = zip(*given.rows("record"), strict=True)
    for (t_a, x_a), (t_b, x_b) in pairwise(given.rows("record")):
        if not t_b > t_a:
            message = f"The times must rise; {t_b:g} s follows {t_a:g} s."
            raise ConflictError(message, inputs=("record",))
        _require_room(given, min(x_a, x_b), max(x_a, x_b), abs(x_b - x_a) / (t_b - t_a))
    return _record(specimen_of(given, kind), times, travels, ceil(_CYCLES * _STEPS / len(times)))


def _require_room(given: Given, out: float, inward: float, velocity: float) -> None:
    """Raise unless the rod stays inside its damper and below the speed of any damper."""
    names = {
        "corrugation": ("speed", "wavelength", "road_amplitude"),
        "sine": ("frequency", "amplitude"),
        "trace": ("record",),
    }[given.choice("motion")]
    if velocity > _FASTEST:
        message = f"The rod would run at {velocity:.4g} m/s; allowed: up to {_FASTEST:g} m/s, beyond any damper."
        raise ConflictError(message, inputs=names)
    travel, rod, head = given["rod_travel"], given["rod_length"], given["head_length"]
    if rod < travel:
        message = (
            f"At the middle the rod stands {travel * 1e3:.4g} mm in, but its side is only {rod * 1e3:.4g} mm long. "
            "Make the rod side at least as long as the rod travel."
        )
        raise ConflictError(message, inputs=("rod_length", "rod_travel"))
    if -out > travel or inward >= head:
        message = (
            f"The rod would move from {out * 1e3:.4g} to {inward * 1e3:.4g} mm; there is room from "
            f"{-travel * 1e3:.4g} mm to {head * 1e3:.4g} mm. Shorten the motion, or lengthen the chambers."
        )
        raise ConflictError(message, inputs=names)


@lru_cache(maxsize=32)
def _swept(specimen: Specimen, motion: SineMotion) -> BenchTrace:
    return bench.run_sine(
        specimen=specimen, motion=motion, cycles=_SWEPT_CYCLES, steps=_SWEPT_STEPS
    )


def sweep(given: Given, kind: Kind, speed: float) -> BenchTrace:
    """Return a coarser trace of a construction on the corrugated road at a driving speed."""
    motion = motion_of(given, speed)
    assert motion is not None
    return _swept(specimen_of(given, kind), motion)
