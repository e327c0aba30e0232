"""What a batch says about its making: mean, spread, C_p and C_pk with their confidence."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, inf, lgamma, log, sqrt
from statistics import NormalDist, fmean, stdev
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_between, require_finite

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["FEW", "Capability", "capability", "chi_square_share", "chi_square_value"]

FEW = 25  # 1, units below which a capability says little (common practice)
_TERMS = 10_000  # 1, of a series or a continued fraction
_DIGITS = 1e-16  # 1, relative size of a term that no longer counts
_STEPS = 100  # 1, Newton or halving steps


@dataclass(frozen=True, slots=True)
class Capability:
    """A batch in figures; the force stands for any measured quantity.

    Attributes
    ----------
    count : int
        n, number of units [1].
    mean : float
        Mean of the units [N].
    spread : float
        s, standard deviation of the units, n − 1 [N].
    lowest, highest : float
        Smallest and largest unit [N].
    cp : float
        C_p, width of the band over 6 s [1]; infinite without spread.
    cp_low, cp_high : float
        Its confidence limits [1].
    cpk : float
        C_pk, distance from the mean to the nearer limit over 3 s [1]; below 0 if the mean
        is outside.
    cpk_low, cpk_high : float
        Its confidence limits [1].
    few : bool
        Whether there are fewer than 25 units.
    """

    count: int
    mean: float
    spread: float
    lowest: float
    highest: float
    cp: float
    cp_low: float
    cp_high: float
    cpk: float
    cpk_low: float
    cpk_high: float
    few: bool


def chi_square_share(*, value: float, freedom: float) -> float:
    """Return which share of a chi-square distribution lies below a value.

    P(a, x) = γ(a, x) / Γ(a),  a = freedom / 2, x = value / 2

    Parameters
    ----------
    value : float
        χ² [1], ≥ 0.
    freedom : float
        Degrees of freedom [1], > 0.

    Returns
    -------
    float
        Share [1], 0 to 1.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: about 14 digits up to some thousand degrees of freedom.

    References
    ----------
    book: M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 6.5.29 (series)
        and 6.5.31 (continued fraction) (numbers: value from memory).

    Examples
    --------
    With two degrees of freedom it is 1 − exp(−χ²/2).

    >>> round(chi_square_share(value=2.0, freedom=2.0), 12)
    0.632120558829
    """
    require_finite(value, "Chi-square", "")
    require_above(0.0, freedom, "Degrees of freedom", "", "Units less one.")
    if value <= 0.0:
        return 0.0
    a, x = freedom / 2.0, value / 2.0
    front = exp(a * log(x) - x - lgamma(a))
    if x < a + 1.0:
        term = total = 1.0 / a
        for number in range(1, _TERMS):
            term *= x / (a + number)
            total += term
            if term < total * _DIGITS:
                break
        return min(1.0, front * total)
    # Lentz's way through the continued fraction of Γ(a, x)
    b = x + 1.0 - a
    c, d = inf, 1.0 / b
    fraction = d
    for number in range(1, _TERMS):
        a_n = number * (a - number)
        b += 2.0
        d = 1.0 / (b + a_n * d)
        c = b + a_n / c
        fraction *= c * d
        if abs(c * d - 1.0) < 4.0 * _DIGITS:
            break
    return max(0.0, 1.0 - front * fraction)


def chi_square_value(*, share: float, freedom: float) -> float:
    """Return the value below which a share of a chi-square distribution lies.

    the χ² with chi_square_share(χ²) = share

    Parameters
    ----------
    share : float
        Share below the value [1], above 0 and below 1.
    freedom : float
        Degrees of freedom [1], > 0.

    Returns
    -------
    float
        χ² [1], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: those of chi_square_share.

    References
    ----------
    paper: E. B. Wilson and M. M. Hilferty, The distribution of chi-square, Proc. Nat.
        Acad. Sci. 17 (1931) 684-688: the first guess.
    derivation: halving of a bracket around it.

    Examples
    --------
    With two degrees of freedom it is −2 ln(1 − share); for a half 2 ln 2.

    >>> round(chi_square_value(share=0.5, freedom=2.0), 9)
    1.386294361
    """
    require_between(0.0, 1.0, share, "Share", "", "0.025 and 0.975 for 95 % in between.")
    require_above(0.0, share, "Share", "", "Above 0.")
    require_above(0.0, 1.0 - share, "1 − share", "", "Give a share below 1.")
    require_above(0.0, freedom, "Degrees of freedom", "", "Units less one.")
    part = 2.0 / (9.0 * freedom)
    guess = max(1e-8, freedom * (1.0 - part + NormalDist().inv_cdf(share) * sqrt(part)) ** 3)
    low, high = 0.0, guess
    while chi_square_share(value=high, freedom=freedom) < share:
        low, high = high, 2.0 * high
    for _ in range(_STEPS):
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        if chi_square_share(value=middle, freedom=freedom) < share:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def capability(
    *, values: Sequence[float], lower: float, upper: float, confidence: float = 0.95
) -> Capability:
    """Return mean, spread and capability of a batch against its limits.

    C_p = (U − L) / (6 s),  C_pk = min(U − m, m − L) / (3 s)
    C_p √(χ²_{α/2, n−1} / (n − 1)) … C_p √(χ²_{1−α/2, n−1} / (n − 1))
    C_pk ± z_{1−α/2} √(1/(9 n) + C_pk² / (2 (n − 1)))

    C_p asks whether the spread fits into the band, C_pk also whether it sits in the middle.

    Parameters
    ----------
    values : sequence of float
        One value for each unit [N], finite, at least two.
    lower : float
        L, lower limit [N], any finite value.
    upper : float
        U, upper limit [N], > L.
    confidence : float
        1 − α, share of such intervals that hold the true value [1], above 0 and below 1.

    Returns
    -------
    Capability
        All figures.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.
    ConflictError
        If there are fewer than two units, or the limits are the wrong way round.

    Notes
    -----
    Limits: independent units of one steady, normal process. The limits of C_p are exact
    then, those of C_pk approximate, and poor below about 25 units. Spread is that of all
    units together, so slow drift is in it.

    References
    ----------
    paper: Y. Chou, D. B. Owen and S. A. Borrego, Lower confidence limits on process
        capability indices, Journal of Quality Technology 22 (1990) 223-229: C_p.
    paper: A. F. Bissell, How reliable is your capability index?, Applied Statistics 39
        (1990) 331-340: C_pk.
    common practice: fewer than 25 units are few.

    Examples
    --------
    By hand: mean 10, s = 1, limits 7 and 13: C_p = 6 / 6, C_pk = 3 / 3.

    >>> found = capability(values=(9.0, 10.0, 11.0), lower=7.0, upper=13.0)
    >>> found.cp, found.cpk, found.few
    (1.0, 1.0, True)
    """
    if len(values) < 2:  # noqa: PLR2004  a spread needs two
        message = f"{len(values)} units have no spread; give at least two."
        raise ConflictError(message, inputs=("values",))
    for value in values:
        require_finite(value, "A value of the batch", "")
    require_finite(lower, "Lower limit", "")
    require_finite(upper, "Upper limit", "")
    require_above(0.0, confidence, "Confidence", "", "0.95 is usual.")
    require_above(0.0, 1.0 - confidence, "1 − confidence", "", "Give a confidence below 1.")
    if lower >= upper:
        message = f"The lower limit ({lower:g}) is not below the upper one ({upper:g})."
        raise ConflictError(message, inputs=("lower", "upper"))
    count, mean, spread = len(values), fmean(values), stdev(values)
    nearest = min(upper - mean, mean - lower)
    if spread == 0.0:
        sure = inf if nearest > 0.0 else -inf if nearest < 0.0 else 0.0
        of_cp, of_cpk = (inf, inf, inf), (sure, sure, sure)
    else:
        of_cp = _cp((upper - lower) / (6.0 * spread), count, confidence)
        of_cpk = _cpk(nearest / (3.0 * spread), count, confidence)
    return Capability(
        count, mean, spread, min(values), max(values), *of_cp, *of_cpk, few=count < FEW
    )


def _cp(cp: float, count: int, confidence: float) -> tuple[float, float, float]:
    """Return C_p and its limits."""
    tail, freedom = (1.0 - confidence) / 2.0, count - 1.0
    low, high = (
        cp * sqrt(chi_square_value(share=share, freedom=freedom) / freedom)
        for share in (tail, 1.0 - tail)
    )
    return cp, low, high


def _cpk(cpk: float, count: int, confidence: float) -> tuple[float, float, float]:
    """Return C_pk and its limits."""
    reach = NormalDist().inv_cdf(0.5 + 0.5 * confidence) * sqrt(
        1.0 / (9.0 * count) + cpk * cpk / (2.0 * (count - 1.0))
    )
    return cpk, cpk - reach, cpk + reach
