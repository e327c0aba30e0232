"""A spring in series with a dashpot: what a soft bush or compressible oil does to a damper.

The dashpot makes force from velocity, the spring lets the ends move before the
dashpot does. Slow motion meets the dashpot alone; fast motion meets the spring.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, log, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import require_above, require_between

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

__all__ = [
    "MaxwellResponse",
    "effective_damping",
    "energy_per_cycle",
    "force_phase",
    "loss_stiffness",
    "lost_force_share",
    "lost_stroke",
    "oil_spring_stiffness",
    "response",
    "storage_stiffness",
    "time_constant",
]


@dataclass(frozen=True, slots=True)
class MaxwellResponse:
    """The pair over a range of frequencies; all tuples have one entry for each frequency.

    Attributes
    ----------
    frequency : tuple of float
        f [Hz], > 0.
    phase : tuple of float
        φ, lag of the force behind the velocity [rad], 0 to π/2.
    effective_damping : tuple of float
        Force in step with the velocity, over the velocity [N·s/m], > 0.
    storage_stiffness : tuple of float
        Force in step with the displacement, over the displacement [N/m], ≥ 0.
    loss_stiffness : tuple of float
        Force a quarter turn ahead of the displacement, over the displacement [N/m], ≥ 0.
    lost_force_share : tuple of float
        Missing share of the force that the dashpot alone would make [1], 0 to 1.
    """

    frequency: tuple[float, ...]
    phase: tuple[float, ...]
    effective_damping: tuple[float, ...]
    storage_stiffness: tuple[float, ...]
    loss_stiffness: tuple[float, ...]
    lost_force_share: tuple[float, ...]


def time_constant(*, stiffness: float, damping: float) -> float:
    """Return how long the pair takes to find its force after a change of speed.

    τ = c / K

    After τ, 63 % of a change has happened; after 3 τ, 95 %.

    Parameters
    ----------
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        τ, time constant [s], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    By hand: 5 000 / 1 000 000.

    >>> time_constant(stiffness=1e6, damping=5e3)
    0.005
    """
    _check(stiffness, damping)
    return damping / stiffness


def force_phase(*, frequency: float, stiffness: float, damping: float) -> float:
    """Return how far the force lags behind the velocity.

    tan φ = ω c / K

    Zero for a stiff mounting, a quarter turn when the dashpot no longer moves and only
    the spring works.

    Parameters
    ----------
    frequency : float
        f, of the motion between the outer ends [Hz], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        φ, lag [rad], 0 to π/2.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    At ω = K/c the lag is 45°, here at 1 000 / 2π Hz.

    >>> from math import degrees, pi
    >>> round(degrees(force_phase(frequency=500.0 / pi, stiffness=1e6, damping=1e3)), 9)
    45.0
    """
    _check(stiffness, damping)
    require_above(0.0, frequency, "Frequency", "Hz", "Give cycles in a second.")
    return atan(2.0 * pi * frequency * damping / stiffness)


def effective_damping(*, frequency: float, stiffness: float, damping: float) -> float:
    """Return the damping that the outer ends feel.

    c_eff = c / (1 + (ω c / K)²)

    The part of the force that is in step with the velocity, so the part that takes
    energy out.

    Parameters
    ----------
    frequency : float
        f, of the motion between the outer ends [Hz], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        c_eff, effective damping [N·s/m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    At ω = K/c half is left.

    >>> from math import pi
    >>> round(effective_damping(frequency=500.0 / pi, stiffness=1e6, damping=1e3), 6)
    500.0
    """
    _check(stiffness, damping)
    require_above(0.0, frequency, "Frequency", "Hz", "Give cycles in a second.")
    ratio = 2.0 * pi * frequency * damping / stiffness
    return damping / (1.0 + ratio * ratio)


def storage_stiffness(*, frequency: float, stiffness: float, damping: float) -> float:
    """Return the spring that the outer ends feel.

    K' = K (ω c / K)² / (1 + (ω c / K)²)

    The part of the force in step with the displacement. A damper on a soft mounting
    also acts as a spring in fast motion.

    Parameters
    ----------
    frequency : float
        f, of the motion between the outer ends [Hz], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        K', storage stiffness [N/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    At ω = K/c it is half the spring.

    >>> from math import pi
    >>> round(storage_stiffness(frequency=500.0 / pi, stiffness=1e6, damping=1e3), 3)
    500000.0
    """
    _check(stiffness, damping)
    require_above(0.0, frequency, "Frequency", "Hz", "Give cycles in a second.")
    ratio = 2.0 * pi * frequency * damping / stiffness
    return stiffness * ratio * ratio / (1.0 + ratio * ratio)


def loss_stiffness(*, frequency: float, stiffness: float, damping: float) -> float:
    """Return the force a quarter turn ahead of the displacement, over the displacement.

    K" = K (ω c / K) / (1 + (ω c / K)²) = ω c_eff

    It is highest, half of K, at ω = K/c: a stiffer dashpot then takes out less energy.

    Parameters
    ----------
    frequency : float
        f, of the motion between the outer ends [Hz], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        K", loss stiffness [N/m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    At ω = K/c it is half the spring.

    >>> from math import pi
    >>> round(loss_stiffness(frequency=500.0 / pi, stiffness=1e6, damping=1e3), 3)
    500000.0
    """
    _check(stiffness, damping)
    require_above(0.0, frequency, "Frequency", "Hz", "Give cycles in a second.")
    ratio = 2.0 * pi * frequency * damping / stiffness
    return stiffness * ratio / (1.0 + ratio * ratio)


def lost_force_share(*, frequency: float, stiffness: float, damping: float) -> float:
    """Return the share of the peak force that the spring loses.

    1 - F / (c ω X) = 1 - cos φ = 1 - 1/√(1 + (ω c / K)²)

    Compared with the same dashpot, mounted rigidly, in the same motion of the ends.

    Parameters
    ----------
    frequency : float
        f, of the motion between the outer ends [Hz], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        Lost share of the force [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    At ω = K/c: 1 - 1/√2.

    >>> from math import pi
    >>> round(lost_force_share(frequency=500.0 / pi, stiffness=1e6, damping=1e3), 6)
    0.292893
    """
    _check(stiffness, damping)
    require_above(0.0, frequency, "Frequency", "Hz", "Give cycles in a second.")
    ratio = 2.0 * pi * frequency * damping / stiffness
    root = sqrt(1.0 + ratio * ratio)
    return ratio * ratio / (root * (root + 1.0))


def energy_per_cycle(
    *, frequency: float, amplitude: float, stiffness: float, damping: float
) -> float:
    """Return the energy that becomes heat in one cycle of a sine.

    W = π K" X²

    All of it in the dashpot: the spring gives back what it takes.

    Parameters
    ----------
    frequency : float
        f, of the motion between the outer ends [Hz], > 0.
    amplitude : float
        X, half of the whole stroke between the outer ends [m], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    float
        W, energy of one cycle [J], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).
    book: R. M. Christensen, Theory of Viscoelasticity, Maxwell element (value from memory).

    Examples
    --------
    At ω = K/c with K = 1 MN/m and X = 10 mm: π · 500 000 · 0.000 1.

    >>> from math import pi
    >>> round(energy_per_cycle(
    ...     frequency=500.0 / pi, amplitude=0.01, stiffness=1e6, damping=1e3), 6)
    157.079633
    """
    require_above(0.0, amplitude, "Amplitude", "m", "Half of the stroke.")
    loss = loss_stiffness(frequency=frequency, stiffness=stiffness, damping=damping)
    return pi * loss * amplitude * amplitude


def response(*, frequencies: Sequence[float], stiffness: float, damping: float) -> MaxwellResponse:
    """Return phase, effective damping and stiffness over a range of frequencies.

    F/X = jω / (1/c + jω/K) = K' + j K"

    Parameters
    ----------
    frequencies : sequence of float
        f, in any order [Hz], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot [N·s/m], > 0.

    Returns
    -------
    MaxwellResponse
        One tuple for each quantity [various units], see there.

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, sine in a steady state.

    References
    ----------
    derivation: both parts carry the same force: F/v = 1 / (1/c + jω/K).

    Examples
    --------
    >>> from math import pi
    >>> result = response(frequencies=(500.0 / pi,), stiffness=1e6, damping=1e3)
    >>> round(result.effective_damping[0], 6)
    500.0
    """

    def over(quantity: Callable[..., float]) -> tuple[float, ...]:
        return tuple(
            quantity(frequency=frequency, stiffness=stiffness, damping=damping)
            for frequency in frequencies
        )

    return MaxwellResponse(
        frequency=tuple(frequencies),
        phase=over(force_phase),
        effective_damping=over(effective_damping),
        storage_stiffness=over(storage_stiffness),
        loss_stiffness=over(loss_stiffness),
        lost_force_share=over(lost_force_share),
    )


def lost_stroke(*, velocity: float, stiffness: float, damping: float, force_share: float) -> float:
    """Return the travel after a reversal before the force has grown to a share of its steady value.

    s_lost = v τ ln(2 / (1 - share)),   τ = c / K

    The velocity jumps from -v to +v after a long steady run. The spring, still
    stretched the other way, has to unload first (share 0: v τ ln 2) and then load:
    the flat spot that is felt as slackness.

    Parameters
    ----------
    velocity : float
        v, steady speed before and after the reversal [m/s], > 0.
    stiffness : float
        K, of the spring in series [N/m], > 0.
    damping : float
        c, of the dashpot at this speed [N·s/m], > 0.
    force_share : float
        Share of the steady force c v that counts as arrived [1], 0 to 0.999.

    Returns
    -------
    float
        s_lost, travel of the outer ends [m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: straight-line spring and dashpot, no mass between them, an instant reversal.
    A real valve is stiffer at low force, so its flat spot is shorter there.

    References
    ----------
    derivation: F = c v (1 - 2 exp(-t/τ)) solves F/c + F'/K = v with F(0) = -c v.

    Examples
    --------
    By hand: 0.2 m/s, τ = 5 ms, share 0.9: 0.001 m · ln 20.

    >>> round(lost_stroke(velocity=0.2, stiffness=1e6, damping=5e3, force_share=0.9), 9)
    0.002995732
    """
    _check(stiffness, damping)
    require_above(0.0, velocity, "Velocity", "m/s", "Give the speed without its sign.")
    require_between(
        0.0,
        0.999,
        force_share,
        "Share of the steady force",
        "",
        "The force never quite reaches 1: take 0.9 or 0.95.",
    )
    return velocity * damping / stiffness * log(2.0 / (1.0 - force_share))


def oil_spring_stiffness(*, bulk_modulus: float, area: float, volume: float) -> float:
    """Return the spring that a closed volume of oil makes for the piston that presses on it.

    K = β A² / V

    Put it in series with the damper's own coefficient to see what compressibility does.

    Parameters
    ----------
    bulk_modulus : float
        β, of the oil with its air [Pa], > 0.
    area : float
        A, piston area on this volume [m²], > 0.
    volume : float
        V, oil under this pressure [m³], > 0.

    Returns
    -------
    float
        K, stiffness at the piston [N/m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: small changes of volume, stiff walls. Free air makes oil far softer at low
    pressure.

    References
    ----------
    book: H. E. Merritt, Hydraulic Control Systems, ch. 6 (chapter: value from memory).
    derivation: dp = β A dx / V and dF = A dp.

    Examples
    --------
    By hand: 1.5e9 · 1e-6 / 1e-4.

    >>> round(oil_spring_stiffness(bulk_modulus=1.5e9, area=1e-3, volume=1e-4), 3)
    15000000.0
    """
    require_above(0.0, bulk_modulus, "Bulk modulus", "Pa", "Mineral oil has about 1.5 GPa.")
    require_above(0.0, area, "Piston area", "m²", "Give the area that presses on this oil.")
    require_above(0.0, volume, "Oil volume", "m³", "Give the oil under this pressure.")
    return bulk_modulus * area * area / volume


def _check(stiffness: float, damping: float) -> None:
    require_above(0.0, stiffness, "Stiffness in series", "N/m", "A rigid mounting needs no model.")
    require_above(0.0, damping, "Damping", "N·s/m", "Give the coefficient of the dashpot.")
