"""A damper taken as one mass that warms up: closed formulas, good for a first look."""

from __future__ import annotations

from math import exp, log

from calculators.errors import ConflictError, require_above, require_at_least

__all__ = ["lumped_temperature", "lumped_time", "time_constant"]


def time_constant(*, heat_capacity: float, rise: float, power: float) -> float:
    """Return the time constant of a part that settles at a known rise.

    τ = C ΔT/P

    After one τ the temperature has made 63 % of its way, after three 95 %.

    Parameters
    ----------
    heat_capacity : float
        C, of all that warms up [J/K], > 0.
    rise : float
        ΔT, settled temperature above the air [K], > 0.
    power : float
        P [W], > 0.

    Returns
    -------
    float
        τ [s], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number above zero.

    Notes
    -----
    Limits: one temperature for the whole damper, losses proportional to the rise.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 5, lumped
        capacitance (chapter: value from memory).

    Examples
    --------
    By hand: 1 000 · 60/100.

    >>> time_constant(heat_capacity=1_000.0, rise=60.0, power=100.0)
    600.0
    """
    require_above(0.0, heat_capacity, "Heat capacity", "J/K", "Mass × specific heat.")
    require_above(0.0, rise, "Settled rise", "K", "Above the air.")
    require_above(0.0, power, "Power", "W")
    return heat_capacity * rise / power


def lumped_temperature(*, time: float, start: float, settled: float, time_constant: float) -> float:
    """Return the temperature of a damper taken as one mass, after a time.

    T = T_∞ + (T_0 − T_∞) e^(−t/τ)

    Parameters
    ----------
    time : float
        t [s], ≥ 0.
    start : float
        T_0 [K], > 0.
    settled : float
        T_∞ [K], > 0.
    time_constant : float
        τ [s], > 0.

    Returns
    -------
    float
        T, between start and settled [K], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of `time_constant`. The oil itself runs ahead of this at first.

    References
    ----------
    book: F. P. Incropera, Fundamentals of Heat and Mass Transfer, ch. 5, lumped
        capacitance (chapter: value from memory).

    Examples
    --------
    >>> lumped_temperature(time=0.0, start=300.0, settled=380.0, time_constant=600.0)
    300.0
    """
    require_at_least(0.0, time, "Time", "s")
    require_above(0.0, start, "Start temperature", "K", "In kelvin.")
    require_above(0.0, settled, "Settled temperature", "K", "In kelvin.")
    require_above(0.0, time_constant, "Time constant", "s")
    return settled + (start - settled) * exp(-time / time_constant)


def lumped_time(*, limit: float, start: float, settled: float, time_constant: float) -> float:
    """Return when a damper taken as one mass reaches a temperature.

    t = τ ln((T_∞ − T_0)/(T_∞ − T))

    Parameters
    ----------
    limit : float
        T, from T_0 on and before T_∞ [K], > 0.
    start : float
        T_0 [K], > 0.
    settled : float
        T_∞ [K], > 0.
    time_constant : float
        τ [s], > 0.

    Returns
    -------
    float
        t [s], ≥ 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If the temperature never comes to pass.

    Notes
    -----
    Limits: those of `time_constant`.

    References
    ----------
    derivation: `lumped_temperature` solved for the time.

    Examples
    --------
    Half of the way takes τ ln 2 = 600 · 0.693 147.

    >>> round(lumped_time(limit=340.0, start=300.0, settled=380.0, time_constant=600.0), 4)
    415.8883
    """
    for value, label in ((limit, "Limit"), (start, "Start"), (settled, "Settled")):
        require_above(0.0, value, f"{label} temperature", "K", "In kelvin.")
    require_above(0.0, time_constant, "Time constant", "s")
    if not (start <= limit < settled or settled < limit <= start):
        message = (
            f"Between {start:g} K at the start and {settled:g} K in the end the damper never "
            f"is at {limit:g} K. Choose a temperature between the two."
        )
        raise ConflictError(message, inputs=("limit",))
    return time_constant * log((settled - start) / (settled - limit))
