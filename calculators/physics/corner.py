"""One corner of the vehicle: masses, levers, and rates seen at the wheel."""

from __future__ import annotations

from math import cos, pi, sqrt

from calculators.errors import (
    ConflictError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)

__all__ = [
    "damper_damping",
    "friction_damping",
    "motion_ratio",
    "ride_rate",
    "sprung_mass",
    "wheel_damping",
    "wheel_hop_frequency",
    "wheel_mass",
    "wheel_rate",
]

_RATIO_ADVICE = "Damper (or spring) travel divided by wheel travel."


def wheel_mass(*, axle_mass: float, share: float = 0.5) -> float:
    """Return the mass that one wheel carries out of the mass on its axle.

    m_w = share · m_axle

    Parameters
    ----------
    axle_mass : float
        m_axle, mass on the axle as a scale under both wheels shows it [kg], > 0.
    share : float
        Part of it on this wheel [1], > 0 to 1. A half if both sides are alike.

    Returns
    -------
    float
        m_w, mass on this wheel, wheel and hub included [kg], > 0.

    Raises
    ------
    OutOfRangeError
        If the mass is not above zero or the share is not above 0 and up to 1.

    Notes
    -----
    Limits: level ground, vehicle at rest. Take off the unsprung part with
    `sprung_mass` before any frequency or damping is worked out.

    References
    ----------
    derivation: the wheel loads of one axle add up to the axle load.

    Examples
    --------
    By hand: 1 650 / 2.

    >>> wheel_mass(axle_mass=1_650.0)
    825.0
    """
    require_above(0.0, axle_mass, "Axle mass", "kg", "Weigh both wheels of the axle.")
    advice = "A half if both sides carry alike."
    require_above(0.0, share, "Share of the axle mass", "", advice)
    require_between(0.0, 1.0, share, "Share of the axle mass", "", advice)
    return share * axle_mass


def sprung_mass(*, wheel_mass: float, unsprung_mass: float) -> float:
    """Return the body mass that the spring of one wheel carries.

    m_s = m_w − m_u

    Parameters
    ----------
    wheel_mass : float
        m_w, mass on this wheel as a scale under it shows it [kg], > 0.
    unsprung_mass : float
        m_u, wheel, hub, brake and the moving share of arm, spring and damper
        [kg], ≥ 0 and < m_w.

    Returns
    -------
    float
        m_s, body mass at this wheel [kg], > 0.

    Raises
    ------
    OutOfRangeError
        If a mass is negative or not a finite number.
    ConflictError
        If the unsprung mass leaves nothing to carry.

    Notes
    -----
    Limits: parts that move only partly (arm, spring, damper) count with a share;
    half is a usual first guess (*common practice*).

    References
    ----------
    derivation: the scale carries body and wheel together.

    Examples
    --------
    By hand: 825 − 65.

    >>> sprung_mass(wheel_mass=825.0, unsprung_mass=65.0)
    760.0
    """
    require_above(0.0, wheel_mass, "Mass on the wheel", "kg", "Weigh this wheel.")
    require_at_least(0.0, unsprung_mass, "Unsprung mass", "kg", "Wheel, hub and brake.")
    if unsprung_mass >= wheel_mass:
        message = (
            f"The unsprung mass ({unsprung_mass:g} kg) must be smaller than the mass on the "
            f"wheel ({wheel_mass:g} kg). Count only the parts that move with the wheel."
        )
        raise ConflictError(message, inputs=("wheel_mass", "unsprung_mass"))
    return wheel_mass - unsprung_mass


def motion_ratio(*, mount_arm: float, wheel_arm: float, angle: float = 0.0) -> float:
    """Return how far a damper or spring moves for each unit of wheel travel.

    MR = (a / l) cos φ

    The arm scales the travel; a leaning damper sees only the part of its mount's
    travel that lies along its own axis.

    Parameters
    ----------
    mount_arm : float
        a, distance from the pivot to the mount of damper or spring [m], > 0.
    wheel_arm : float
        l, distance from the same pivot to the wheel centre [m], > 0. For a beam
        axle that moves straight up, use the same length for both.
    angle : float
        φ, angle between the damper's axis and the path of its mount [rad],
        −1.57 to 1.57 (below a right angle).

    Returns
    -------
    float
        MR, damper or spring travel over wheel travel [1], > 0.

    Raises
    ------
    OutOfRangeError
        If an arm is not above zero, or the angle is a right angle or more.

    Notes
    -----
    Limits: the ratio at one position; angle and arm change as the wheel moves.

    References
    ----------
    derivation: velocities on a rigid lever, component along the damper.
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 and 7 (chapters:
        value from memory), for the rate at the wheel from installation geometry.

    Examples
    --------
    By hand: 0.3/0.5 · cos 0 = 0.6.

    >>> motion_ratio(mount_arm=0.3, wheel_arm=0.5)
    0.6
    """
    require_above(0.0, mount_arm, "Mount arm", "m", "Measure from the pivot to the mount.")
    require_above(0.0, wheel_arm, "Wheel arm", "m", "Measure from the pivot to the wheel centre.")
    advice = "A damper square to the path of its mount does not move."
    require_between(-1.57, 1.57, angle, "Angle of the damper", "rad", advice)
    return mount_arm / wheel_arm * cos(angle)


def wheel_rate(
    *,
    spring_rate: float,
    motion_ratio: float,
    spring_force: float = 0.0,
    motion_ratio_gradient: float = 0.0,
) -> float:
    """Return the spring rate as the wheel feels it.

    k_w = k_s MR² + F_s dMR/dz

    The lever acts twice: once on the travel, once on the force. Where the ratio
    itself changes with travel, the force already in the spring adds a term.

    Parameters
    ----------
    spring_rate : float
        k_s, rate of the spring along its own axis [N/m], > 0.
    motion_ratio : float
        MR, spring travel over wheel travel [1], > 0.
    spring_force : float
        F_s, force in the spring at this position, compression positive [N], any
        finite value.
    motion_ratio_gradient : float
        dMR/dz, change of the ratio with upward wheel travel [1/m], any finite
        value.

    Returns
    -------
    float
        k_w, rate at the wheel [N/m], any finite value; negative means that the
        linkage gives way faster than the spring stiffens.

    Raises
    ------
    OutOfRangeError
        If rate or ratio is not above zero, or a number is not finite.

    Notes
    -----
    Limits: small travel about one position, no friction, no bush stiffness.

    References
    ----------
    derivation: F_w = F_s MR; dF_w/dz = (dF_s/dx)(dx/dz) MR + F_s dMR/dz.
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (chapter: value
        from memory).

    Examples
    --------
    By hand: 40 000 · 0.5² + 6 000 · 0.25 = 10 000 + 1 500.

    >>> wheel_rate(
    ...     spring_rate=40_000.0,
    ...     motion_ratio=0.5,
    ...     spring_force=6_000.0,
    ...     motion_ratio_gradient=0.25,
    ... )
    11500.0
    """
    require_above(0.0, spring_rate, "Spring rate", "N/m", "Rate along the spring's own axis.")
    require_above(0.0, motion_ratio, "Motion ratio", "", _RATIO_ADVICE)
    require_finite(spring_force, "Spring force", "N")
    require_finite(motion_ratio_gradient, "Change of the motion ratio", "1/m")
    return spring_rate * motion_ratio**2 + spring_force * motion_ratio_gradient


def wheel_damping(*, damper_damping: float, motion_ratio: float) -> float:
    """Return the damping coefficient as the wheel feels it.

    c_w = c_d MR²

    Parameters
    ----------
    damper_damping : float
        c_d, coefficient at the damper, force over rod velocity [N·s/m], ≥ 0.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.

    Returns
    -------
    float
        c_w, coefficient at the wheel [N·s/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the coefficient is negative or the ratio is not above zero.

    Notes
    -----
    Limits: small travel about one position; rigid bushes.

    References
    ----------
    derivation: v_d = MR v_w and F_w = MR F_d, so F_w = c_d MR² v_w.

    Examples
    --------
    By hand: 4 000 · 0.5².

    >>> wheel_damping(damper_damping=4_000.0, motion_ratio=0.5)
    1000.0
    """
    require_at_least(0.0, damper_damping, "Damping at the damper", "N·s/m")
    require_above(0.0, motion_ratio, "Motion ratio", "", _RATIO_ADVICE)
    return damper_damping * motion_ratio**2


def damper_damping(*, wheel_damping: float, motion_ratio: float) -> float:
    """Return the coefficient that the damper needs for a coefficient at the wheel.

    c_d = c_w / MR²

    Parameters
    ----------
    wheel_damping : float
        c_w, coefficient wanted at the wheel [N·s/m], ≥ 0.
    motion_ratio : float
        MR, damper travel over wheel travel [1], > 0.

    Returns
    -------
    float
        c_d, coefficient at the damper [N·s/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If the coefficient is negative or the ratio is not above zero.

    Notes
    -----
    Limits: small travel about one position; rigid bushes.

    References
    ----------
    derivation: the inverse of c_w = c_d MR².

    Examples
    --------
    By hand: 1 000 / 0.5².

    >>> damper_damping(wheel_damping=1_000.0, motion_ratio=0.5)
    4000.0
    """
    require_at_least(0.0, wheel_damping, "Damping at the wheel", "N·s/m")
    require_above(0.0, motion_ratio, "Motion ratio", "", _RATIO_ADVICE)
    return wheel_damping / motion_ratio**2


def ride_rate(*, wheel_rate: float, tyre_rate: float) -> float:
    """Return the rate of suspension and tyre in series.

    k_r = k_w k_t / (k_w + k_t)

    The body stands on the spring and the spring on the tyre, so the pair is
    softer than either.

    Parameters
    ----------
    wheel_rate : float
        k_w, suspension rate at the wheel [N/m], > 0.
    tyre_rate : float
        k_t, vertical rate of the tyre [N/m], > 0.

    Returns
    -------
    float
        k_r, ride rate [N/m], > 0 and below the smaller of the two.

    Raises
    ------
    OutOfRangeError
        If a rate is not a finite number above zero.

    Notes
    -----
    Limits: the mass between the two springs is left out, which holds well below
    the wheel-hop frequency.

    References
    ----------
    derivation: the same force in both springs, deflections add.
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (chapter: value
        from memory).

    Examples
    --------
    By hand: 20 000 · 180 000 / 200 000.

    >>> ride_rate(wheel_rate=20_000.0, tyre_rate=180_000.0)
    18000.0
    """
    require_above(0.0, wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
    require_above(0.0, tyre_rate, "Tyre rate", "N/m", "Load over deflection of the tyre.")
    return wheel_rate / (1.0 + wheel_rate / tyre_rate)


def wheel_hop_frequency(*, wheel_rate: float, tyre_rate: float, unsprung_mass: float) -> float:
    """Return the frequency at which the wheel bounces between road and body.

    f_u = √((k_w + k_t) / m_u) / 2π

    Parameters
    ----------
    wheel_rate : float
        k_w, suspension rate at the wheel [N/m], > 0.
    tyre_rate : float
        k_t, vertical rate of the tyre [N/m], > 0.
    unsprung_mass : float
        m_u, mass that moves with the wheel [kg], > 0.

    Returns
    -------
    float
        f_u, wheel-hop frequency without damping [Hz], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: the body stands still, which holds while it is much heavier than the
    wheel; no damping; tyre and road stay in touch.

    References
    ----------
    derivation: the wheel is held by both springs side by side.
    book: T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (chapter: value
        from memory).

    Examples
    --------
    By hand: √((20 000 + 180 000) / 50) / 2π = 63.2456 / 6.283185.

    >>> round(wheel_hop_frequency(
    ...     wheel_rate=20_000.0, tyre_rate=180_000.0, unsprung_mass=50.0), 4)
    10.0658
    """
    require_above(0.0, wheel_rate, "Wheel rate", "N/m", "Spring rate × motion ratio².")
    require_above(0.0, tyre_rate, "Tyre rate", "N/m", "Load over deflection of the tyre.")
    require_above(0.0, unsprung_mass, "Unsprung mass", "kg", "Wheel, hub and brake.")
    return sqrt((wheel_rate + tyre_rate) / unsprung_mass) / (2.0 * pi)


def friction_damping(*, friction_force: float, angular_frequency: float, amplitude: float) -> float:
    """Return the viscous damping that takes as much energy as dry friction.

    c_eq = 4 F_f / (π ω X)

    Leaf springs rub: the friction between the leaves damps small, slow motion
    strongly and large, fast motion hardly at all.

    Parameters
    ----------
    friction_force : float
        F_f, friction force, half the height of the force-travel loop [N], ≥ 0.
    angular_frequency : float
        ω, angular frequency of the motion [rad/s], > 0.
    amplitude : float
        X, amplitude of the travel, half of peak to peak [m], > 0.

    Returns
    -------
    float
        c_eq, equivalent damping where the friction acts [N·s/m], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: sinusoidal motion that does not stick; equal energy per cycle, not
    equal force at each instant.

    References
    ----------
    derivation: friction takes 4 F_f X a cycle, a viscous damper π c ω X².
    book: S. S. Rao, Mechanical Vibrations, section on forced vibration with
        Coulomb damping (section: value from memory).

    Examples
    --------
    By hand: 4 · 500 / (π · 10 · 0.02) = 2 000 / 0.628319.

    >>> round(friction_damping(friction_force=500.0, angular_frequency=10.0, amplitude=0.02), 3)
    3183.099
    """
    require_at_least(0.0, friction_force, "Friction force", "N", "Half the height of the loop.")
    require_above(0.0, angular_frequency, "Angular frequency", "rad/s", "2π × frequency.")
    require_above(0.0, amplitude, "Amplitude", "m", "Half of the peak-to-peak travel.")
    return 4.0 * friction_force / (pi * angular_frequency * amplitude)
