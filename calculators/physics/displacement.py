"""The rod takes room: oil levels of a twin-tube, dividing piston of a monotube.

Oil keeps its mass. What the rod displaces, and what heat adds, goes into the
gas: up the reserve annulus of a twin-tube, or behind the dividing piston of a
monotube. Reference state: full extension, 20 °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import tan
from typing import Literal

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)
from calculators.physics.area import annulus_area, circle_area

__all__ = [
    "DividingPiston",
    "TwinTubeFill",
    "dividing_piston",
    "gas_column_for_ratio",
    "oil_expansion",
    "rod_volume",
    "twin_tube_fill",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class TwinTubeFill:
    """Oil and gas in the reserve annulus of a twin-tube at one temperature.

    Heights count along the tube from its foot; the gas column is what is left
    above the oil.

    Attributes
    ----------
    reserve_area : float
        A_res, section of the reserve annulus [m²], > 0.
    level_rise : float
        Rise of the level over the full stroke [m], > 0.
    expansion_rise : float
        Rise of the level by heat, negative when cold [m], any finite value.
    level_extended : float
        Mean oil level at full extension [m], any finite value; negative means
        that the reserve runs dry and gas enters the working tube.
    level_compressed : float
        Mean oil level at full compression [m], any finite value.
    gas_column_extended : float
        Mean height of the gas at full extension [m], > 0.
    gas_column_compressed : float
        Mean height of the gas at full compression [m], > 0.
    gas_volume_extended : float
        Gas volume at full extension [m³], > 0.
    gas_volume_compressed : float
        Gas volume at full compression [m³], > 0.
    compression_ratio : float
        Gas volume extended over compressed [1], > 1.
    tilt_drop : float
        Fall of the level at the high side of the leaning tube [m], ≥ 0.
    foot_valve_margin : float
        Oil over the foot valve's inlet at the high side, fully extended [m], any
        finite value; negative means that gas is drawn in.
    top_margin : float
        Gas over the oil at the low side, fully compressed [m], any finite value;
        negative means that oil stands at the rod guide there.

    References
    ----------
    derivation: fields of `twin_tube_fill`.
    """

    reserve_area: float
    level_rise: float
    expansion_rise: float
    level_extended: float
    level_compressed: float
    gas_column_extended: float
    gas_column_compressed: float
    gas_volume_extended: float
    gas_volume_compressed: float
    compression_ratio: float
    tilt_drop: float
    foot_valve_margin: float
    top_margin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DividingPiston:
    """Travel and clearances of the piston that parts oil from gas, at one temperature.

    Attributes
    ----------
    chamber_area : float
        Section of the bore in which it runs [m²], > 0.
    travel : float
        Way of the dividing piston over the full stroke [m], > 0.
    expansion_shift : float
        Shift towards the gas end by heat, negative when cold [m], any finite
        value.
    gas_column_extended : float
        Gap between gas end and dividing piston, fully extended [m], any finite
        value.
    gas_column_compressed : float
        The same gap, fully compressed [m], any finite value.
    gas_volume_extended : float
        Gas volume at full extension [m³], > 0.
    gas_volume_compressed : float
        Gas volume at full compression [m³], > 0.
    compression_ratio : float
        Gas volume extended over compressed [1], > 1.
    clearance_gas : float
        Room left at the gas end, fully compressed, where it is least [m], any
        finite value; negative means that the dividing piston strikes there.
    clearance_oil_extended : float
        Room left at the oil side, fully extended [m], any finite value; negative
        means that it strikes.
    clearance_oil_compressed : float
        Room left at the oil side, fully compressed [m], any finite value; negative
        means that it strikes.

    References
    ----------
    derivation: fields of `dividing_piston`.
    """

    chamber_area: float
    travel: float
    expansion_shift: float
    gas_column_extended: float
    gas_column_compressed: float
    gas_volume_extended: float
    gas_volume_compressed: float
    compression_ratio: float
    clearance_gas: float
    clearance_oil_extended: float
    clearance_oil_compressed: float


def rod_volume(*, rod_diameter: float, stroke: float) -> float:
    """Return the volume that the rod takes up when it moves in.

    V_rod = A_r s

    Parameters
    ----------
    rod_diameter : float
        d, rod diameter [m], ≥ 0.
    stroke : float
        s, travel of the rod into the damper [m], ≥ 0.

    Returns
    -------
    float
        V_rod, oil displaced [m³], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is negative or not a finite number.

    Notes
    -----
    Limits: oil that does not compress, tubes that do not stretch.

    References
    ----------
    derivation: a cylinder of diameter d and length s.

    Examples
    --------
    By hand: π · 0.0001 · 0.1 = 31.416 cm³.

    >>> round(rod_volume(rod_diameter=0.02, stroke=0.1) * 1e6, 3)
    31.416
    """
    require_at_least(0.0, stroke, "Stroke", "m", "Count from full extension, inwards.")
    return circle_area(diameter=rod_diameter) * stroke


def oil_expansion(
    *, volume: float, expansion_coefficient: float, temperature_difference: float
) -> float:
    """Return how much room warm oil needs beyond its room at 20 °C.

    ΔV = V β ΔT

    The mass stays: the density falls to ρ / (1 + β ΔT).

    Parameters
    ----------
    volume : float
        V, oil volume at 20 °C [m³], ≥ 0.
    expansion_coefficient : float
        β, volume expansion against the 20 °C volume [1/K], ≥ 0.
    temperature_difference : float
        ΔT, oil temperature above 20 °C, negative when colder [K], β ΔT > −1.

    Returns
    -------
    float
        ΔV, added volume, negative when colder [m³], any finite value.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: one coefficient over the whole range; pressure is left out. Mineral
    oil is near 0.0007 to 0.0008 1/K (*value from memory*).

    References
    ----------
    derivation: definition of the mean coefficient against the reference volume.

    Examples
    --------
    By hand: 0.0004 · 0.00075 · 80 = 24 cm³.

    >>> round(oil_expansion(
    ...     volume=0.0004, expansion_coefficient=0.00075, temperature_difference=80.0) * 1e6, 6)
    24.0
    """
    require_at_least(0.0, volume, "Oil volume", "m³")
    require_at_least(0.0, expansion_coefficient, "Thermal expansion of the oil", "1/K")
    require_finite(temperature_difference, "Temperature difference", "K")
    if expansion_coefficient > 0.0:
        advice = "The oil would shrink to nothing; check the expansion coefficient."
        minimum = -1.0 / expansion_coefficient
        require_above(minimum, temperature_difference, "Temperature difference", "K", advice)
    return volume * expansion_coefficient * temperature_difference


def twin_tube_fill(  # noqa: PLR0913  one keyword for each dimension of the drawing
    *,
    rod_diameter: float,
    stroke: float,
    reserve_inner_diameter: float,
    working_outer_diameter: float,
    reserve_length: float,
    oil_level: float,
    foot_valve_height: float = 0.0,
    angle: float = 0.0,
    oil_volume: float = 0.0,
    expansion_coefficient: float = 0.0,
    temperature_difference: float = 0.0,
) -> TwinTubeFill:
    """Return oil levels, gas columns and margins of a twin-tube at one temperature.

    A_res = π (D_i² − D_w²) / 4, Δh = A_r s / A_res, Δh_T = V_oil β ΔT / A_res,
    tilt drop = (D_i / 2) tan θ

    The working tube stays full. The rod and the heat lift the level in the
    annulus; cold and a leaning tube uncover the foot valve. Call it for cold,
    20 °C and hot.

    Parameters
    ----------
    rod_diameter : float
        d, rod diameter [m], > 0 and below D_w.
    stroke : float
        s, travel from full extension to full compression [m], > 0.
    reserve_inner_diameter : float
        D_i, inner diameter of the reserve tube [m], > D_w.
    working_outer_diameter : float
        D_w, outer diameter of the working tube [m], > 0.
    reserve_length : float
        L, height of the annulus from its foot to the rod guide [m], > 0.
    oil_level : float
        h₀, oil level at full extension, upright, 20 °C [m], > 0 and < L.
    foot_valve_height : float
        Height of the foot valve's inlet above the foot [m], ≥ 0.
    angle : float
        θ, lean of the damper from the vertical [rad], 0 to 1.48 (85°).
    oil_volume : float
        V_oil, all the oil in the damper at 20 °C [m³], ≥ 0; 0 leaves its
        expansion out.
    expansion_coefficient : float
        β, volume expansion of the oil against its 20 °C volume [1/K], ≥ 0.
    temperature_difference : float
        ΔT, oil temperature above 20 °C, negative when colder [K], any finite value.

    Returns
    -------
    TwinTubeFill
        Levels, columns and margins.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the tubes do not fit into each other, or no gas is left.

    Notes
    -----
    Limits: damper at rest, so no splashing; the tilt drop is taken at the wall of
    the reserve tube, which is on the safe side for an inlet further in; it holds
    while the slanted surface meets neither end.

    References
    ----------
    derivation: volume of the oil is kept; a level surface cuts a leaning tube at a
        slope of tan θ over its diameter.

    Examples
    --------
    By hand: A_r = 100 π mm², A_res = 400 π mm², so 160 mm of stroke lift it 40 mm.

    >>> fill = twin_tube_fill(
    ...     rod_diameter=0.02, stroke=0.16, reserve_inner_diameter=0.05,
    ...     working_outer_diameter=0.03, reserve_length=0.25, oil_level=0.13)
    >>> round(fill.level_rise, 9), round(fill.gas_column_compressed, 9)
    (0.04, 0.08)
    """
    require_above(0.0, rod_diameter, "Rod diameter", "m", "A through rod displaces nothing.")
    require_above(0.0, stroke, "Stroke", "m", "From full extension to full compression.")
    require_above(0.0, reserve_length, "Length of the reserve", "m", "From foot to rod guide.")
    require_above(0.0, oil_level, "Oil level", "m", "At full extension, upright, 20 °C.")
    require_at_least(0.0, foot_valve_height, "Height of the foot valve", "m")
    require_between(0.0, 1.48, angle, "Angle from the vertical", "rad", "Stand it up more.")
    _require_thinner(rod_diameter, working_outer_diameter, "working tube")
    reserve_area = annulus_area(
        outer_diameter=reserve_inner_diameter, inner_diameter=working_outer_diameter
    )
    if oil_level >= reserve_length:
        message = (
            f"The oil level ({oil_level:g} m) must be below the top of the reserve "
            f"({reserve_length:g} m), or there is no gas. Fill in less oil."
        )
        raise ConflictError(message, inputs=("oil_level", "reserve_length"))
    rod_area = circle_area(diameter=rod_diameter)
    level_rise = rod_area * stroke / reserve_area
    growth = oil_expansion(
        volume=oil_volume,
        expansion_coefficient=expansion_coefficient,
        temperature_difference=temperature_difference,
    )
    expansion_rise = growth / reserve_area
    level_extended = oil_level + expansion_rise
    level_compressed = level_extended + level_rise
    gas_extended = reserve_length - level_extended
    gas_compressed = reserve_length - level_compressed
    _require_gas(
        volume_extended=gas_extended * reserve_area,
        rod_area=rod_area,
        stroke=stroke,
        inputs=("reserve_length", "oil_level", "rod_diameter", "stroke"),
    )
    tilt_drop = reserve_inner_diameter / 2.0 * tan(angle)
    return TwinTubeFill(
        reserve_area=reserve_area,
        level_rise=level_rise,
        expansion_rise=expansion_rise,
        level_extended=level_extended,
        level_compressed=level_compressed,
        gas_column_extended=gas_extended,
        gas_column_compressed=gas_compressed,
        gas_volume_extended=gas_extended * reserve_area,
        gas_volume_compressed=gas_compressed * reserve_area,
        compression_ratio=gas_extended / gas_compressed,
        tilt_drop=tilt_drop,
        foot_valve_margin=level_extended - tilt_drop - foot_valve_height,
        top_margin=gas_compressed - tilt_drop,
    )


def dividing_piston(  # noqa: PLR0913  one keyword for each dimension of the drawing
    *,
    rod_diameter: float,
    stroke: float,
    chamber_diameter: float,
    chamber_length: float,
    piston_length: float,
    gas_column: float,
    location: Literal["body", "reservoir"] = "body",
    gas_end_stop: float = 0.0,
    gas_recess_volume: float = 0.0,
    oil_volume: float = 0.0,
    expansion_coefficient: float = 0.0,
    temperature_difference: float = 0.0,
) -> DividingPiston:
    """Return travel, gas columns and end clearances of the dividing piston.

    travel = A_r s / A_ch, shift by heat = V_oil β ΔT / A_ch

    In the body the working piston comes towards it as the rod moves in; in a
    reservoir, piggyback or at the end of a hose, the oil end stands still. Call it
    for cold, 20 °C and hot.

    Parameters
    ----------
    rod_diameter : float
        d, rod diameter [m], > 0; in the body below the chamber's.
    stroke : float
        s, travel from full extension to full compression [m], > 0.
    chamber_diameter : float
        D, bore in which the dividing piston runs [m], > 0.
    chamber_length : float
        L, from the gas end to the first obstacle on the oil side at full
        compression: the working piston's nut in the body, the end wall in a
        reservoir [m], > 0.
    piston_length : float
        t, length of the dividing piston [m], ≥ 0.
    gas_column : float
        g₀, gap between gas end and dividing piston at full extension, 20 °C [m],
        > 0.
    location : str
        "body", or "reservoir" for piggyback and hose.
    gas_end_stop : float
        Height of a valve or stop that stands into the gas from its end [m], ≥ 0.
    gas_recess_volume : float
        Hollow of the dividing piston and the end that is gas besides the gap [m³],
        ≥ 0.
    oil_volume : float
        V_oil, all the oil in the damper and hose at 20 °C [m³], ≥ 0; 0 leaves its
        expansion out.
    expansion_coefficient : float
        β, volume expansion of the oil against its 20 °C volume [1/K], ≥ 0.
    temperature_difference : float
        ΔT, oil temperature above 20 °C, negative when colder [K], any finite value.

    Returns
    -------
    DividingPiston
        Travel, columns, volumes and clearances.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the rod does not fit the body, or no gas is left.

    Notes
    -----
    Limits: oil that does not compress, tube and hose that do not stretch. A
    negative clearance is a result: the parts would strike.

    References
    ----------
    derivation: volume of the oil is kept; the dividing piston moves by the displaced
        volume over its own section.

    Examples
    --------
    By hand: A_r/A_ch = 20²/50² = 0.16, so 150 mm of stroke move it 24 mm.

    >>> result = dividing_piston(
    ...     rod_diameter=0.02, stroke=0.15, chamber_diameter=0.05, chamber_length=0.06,
    ...     piston_length=0.02, gas_column=0.06)
    >>> round(result.travel, 9), round(result.gas_column_compressed, 9)
    (0.024, 0.036)
    >>> round(result.clearance_oil_compressed, 9), round(result.clearance_oil_extended, 9)
    (0.004, 0.13)
    """
    require_above(0.0, rod_diameter, "Rod diameter", "m", "A through rod displaces nothing.")
    require_above(0.0, stroke, "Stroke", "m", "From full extension to full compression.")
    require_above(0.0, chamber_diameter, "Bore of the chamber", "m")
    require_above(0.0, chamber_length, "Length of the chamber", "m", "At full compression.")
    require_at_least(0.0, piston_length, "Length of the dividing piston", "m")
    require_above(0.0, gas_column, "Gas column", "m", "At full extension and 20 °C.")
    require_at_least(0.0, gas_end_stop, "Height of the stop at the gas end", "m")
    require_at_least(0.0, gas_recess_volume, "Recess volume", "m³")
    if location not in {"body", "reservoir"}:
        message = f"Location is {location!r}; allowed: 'body' or 'reservoir'."
        raise ConflictError(message, inputs=("location",))
    in_body = location == "body"
    if in_body:
        _require_thinner(rod_diameter, chamber_diameter, "bore")
    rod_area = circle_area(diameter=rod_diameter)
    chamber_area = circle_area(diameter=chamber_diameter)
    growth = oil_expansion(
        volume=oil_volume,
        expansion_coefficient=expansion_coefficient,
        temperature_difference=temperature_difference,
    )
    travel = rod_area * stroke / chamber_area
    shift = growth / chamber_area
    gas_extended = gas_column - shift
    gas_compressed = gas_extended - travel
    volume_extended = gas_extended * chamber_area + gas_recess_volume
    volume_compressed = gas_compressed * chamber_area + gas_recess_volume
    _require_gas(
        volume_extended=volume_extended,
        rod_area=rod_area,
        stroke=stroke,
        inputs=("gas_column", "chamber_diameter", "rod_diameter", "stroke"),
    )
    room = chamber_length - piston_length
    return DividingPiston(
        chamber_area=chamber_area,
        travel=travel,
        expansion_shift=shift,
        gas_column_extended=gas_extended,
        gas_column_compressed=gas_compressed,
        gas_volume_extended=volume_extended,
        gas_volume_compressed=volume_compressed,
        compression_ratio=volume_extended / volume_compressed,
        clearance_gas=gas_compressed - gas_end_stop,
        clearance_oil_extended=room - gas_extended + (stroke if in_body else 0.0),
        clearance_oil_compressed=room - gas_compressed,
    )


def gas_column_for_ratio(
    *, rod_diameter: float, stroke: float, chamber_area: float, compression_ratio: float
) -> float:
    """Return the gas column at full extension for a wanted compression ratio.

    g₀ = (A_r s / A_ch) ε / (ε − 1), ε = V_extended / V_compressed

    A long column keeps the rod force even over the stroke; a short one makes a
    short damper.

    Parameters
    ----------
    rod_diameter : float
        d, rod diameter [m], > 0.
    stroke : float
        s, travel from full extension to full compression [m], > 0.
    chamber_area : float
        A_ch, section of the gas: dividing-piston bore or reserve annulus [m²], > 0.
    compression_ratio : float
        ε, gas volume extended over compressed [1], > 1.

    Returns
    -------
    float
        g₀, gas column at full extension [m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: 20 °C, no recess volume; check hot oil with `dividing_piston` or
    `twin_tube_fill`.

    References
    ----------
    derivation: ε = g₀ / (g₀ − A_r s / A_ch) solved for g₀.

    Examples
    --------
    By hand: A_r s / A_ch = 0.04, times 2 / (2 − 1).

    >>> from math import pi
    >>> round(gas_column_for_ratio(
    ...     rod_diameter=0.02, stroke=0.16, chamber_area=pi * 0.0004, compression_ratio=2.0), 9)
    0.08
    """
    require_above(0.0, rod_diameter, "Rod diameter", "m", "A through rod displaces nothing.")
    require_above(0.0, stroke, "Stroke", "m", "From full extension to full compression.")
    require_above(0.0, chamber_area, "Section of the gas", "m²")
    advice = "1 would need an endless gas column."
    require_above(1.0, compression_ratio, "Compression ratio", "", advice)
    displaced = circle_area(diameter=rod_diameter) * stroke / chamber_area
    return displaced * compression_ratio / (compression_ratio - 1.0)


def _require_thinner(rod_diameter: float, outer_diameter: float, outer: str) -> None:
    """Raise ConflictError unless the rod fits inside."""
    if rod_diameter >= outer_diameter:
        message = (
            f"The rod ({rod_diameter:g} m) must be thinner than the {outer} "
            f"({outer_diameter:g} m). Use a thinner rod or a wider {outer}."
        )
        raise ConflictError(message, inputs=("rod_diameter",))


def _require_gas(
    *, volume_extended: float, rod_area: float, stroke: float, inputs: tuple[str, ...]
) -> None:
    """Raise ConflictError if the gas volume vanishes within the stroke."""
    if volume_extended <= 0.0:
        message = (
            "The oil leaves no room for gas even at full extension. "
            "Fill in less oil or give the gas more room."
        )
        raise ConflictError(message, inputs=inputs)
    vanishes_at = volume_extended / rod_area
    if vanishes_at <= stroke:
        message = (
            f"The gas is used up at a compression of {vanishes_at:g} m, but the stroke is "
            f"{stroke:g} m. Give the gas more room, use a thinner rod or shorten the stroke."
        )
        raise ConflictError(message, inputs=inputs)
