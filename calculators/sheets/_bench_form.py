"""What the virtual bench asks for: the motion, both dampers, their gas and their oil."""

from __future__ import annotations

from dataclasses import replace

from calculators.sheet import Cell, Choice, Input, Option, Rows
from calculators.sheets._valving import (
    BODY,
    CHARGE,
    MOTION_RATIO,
    OIL,
    PISTON,
    RELEASE,
    RESERVE,
    TEMPERATURE,
)

__all__ = ["INPUTS"]

_MOTION, _ROAD, _CHAMBERS = "Motion", "Corrugated road", "Chambers"
_GAS, _BUBBLES = "Gas", "Oil and bubbles"
_ON_ROAD, _ON_SINE, _ON_TRACE = ((("motion", (key,)),) for key in ("corrugation", "sine", "trace"))
_ON_EITHER, _STEPPED = (("motion", ("sine", "stepped")),), (("motion", ("stepped",)),)

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
            Option("stepped", "a sine at rising speeds, as a bench makes its table"),
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
        default=0.020, minimum=0.1e-3, maximum=0.3, when=_ON_EITHER, group=_MOTION,
        reason="Half of the stroke; rod and chambers must have room for it.",
        help="Half of the travel from end to end.",
    ),
    Input(
        name="top_speed", label="Highest peak speed", symbol="v_t", quantity="velocity", unit="m/s",
        default=1.0, minimum=0.01, maximum=6.0, when=_STEPPED, group=_MOTION,
        reason="Benches reach 1 to 2 m/s.",
        help="The stroke stays, the crank turns faster: customary speeds up to this one.",
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
    replace(MOTION_RATIO, group=_ROAD),
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
    replace(_of(CHARGE, "charge_at_20"), when=(), symbol="p_M", label="Charge of the monotube at 20 °C"),
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
