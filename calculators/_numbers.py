"""Reading a number as people type it, and writing one as people read it.

What is read, besides plain digits with an optional sign and a power of ten:

- thousands set off by a space (ordinary, no-break, thin), an apostrophe, a comma, or
  by points if there are two of them or a decimal comma follows: 1 650, 1'650,
  1,650.5, 1.650.000, 1.650,5;
- a decimal point or a decimal comma: 0.75, 0,75, .5, 5.;
- powers of ten: 2.5e3, 2,5E+3, 3 × 10⁵, 3*10^5.

"1.650" is a decimal point. "1,650" is the one text with two readings, and both are
handed back, thousands first. A comma in front of a power of ten is decimal.
"""

from __future__ import annotations

import re
from math import isinf

from calculators.errors import UnitError, require_finite

__all__ = ["format_number", "plain_number", "quoted", "read_number", "short_number"]

MAX_LENGTH = 64  # characters; nobody types more for one number
SCIENTIFIC_BELOW = -4  # decimal exponent; 0.0001 is still written out
SCIENTIFIC_FROM = 7  # decimal exponent; 10 000 000 is not written out any more
NOISE = 1e-12  # relative; a value this near to the digits shown counts as equal to them

DUST = 5.1e-12  # relative; what rounding to 12 digits can change, and a little more

NO_BREAK_SPACE = "\u00a0"
THIN_SPACE = "\u2009"
MINUS = "\u2212"

_UNDERSTOOD = "Understood: 1650, 1 650, 1,650.5, 1.650,5, 0.75, 0,75, 2.5e3 or 3 × 10⁵."
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_FROM_SUPERSCRIPT = str.maketrans("⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "+-0123456789")
# No-break, figure, thin and narrow no-break space; real minus; typographic apostrophe.
_TYPED = str.maketrans("\u00a0\u2007\u2009\u202f\u2212\u2019", "    -'")

_NUMBER = re.compile(
    r"(?P<sign>[+-]?) ?"
    # A space belongs to the number before a digit, but not before a unit like "1/min".
    r"(?P<mantissa>(?:[0-9.,]|'(?=[0-9])| (?=[0-9])(?!1 ?/ ?[^0-9 ]))+)"
    r"(?:[eE](?P<e>[+-]?[0-9]+)"
    r"| ?[×x*·] ?10(?:(?:\^|\*\*)(?P<ascii>[+-]?[0-9]+)|(?P<raised>[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)))?"
)
_PLAIN = re.compile(r"[0-9]+[.,]?[0-9]*|[.,][0-9]+")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}([ ',.])[0-9]{3}(?:\1[0-9]{3})*(?:(?!\1)[.,][0-9]*)?")
_LONE_GROUP = re.compile(r"[0-9]+[.,][0-9]{3}")
_FRACTION = re.compile(r"[0-9] ?/ ?[0-9]")
_SECOND_NUMBER = re.compile(r"(?!1 ?/)[^A-Za-z]*[0-9]")


def quoted(text: str) -> str:
    """Return typed text in quotation marks, shortened, without control characters."""
    shown = "".join(char if char.isprintable() or char in "\u00a0\u2009" else "?" for char in text)
    return f'"{shown[:MAX_LENGTH]}…"' if len(shown) > MAX_LENGTH else f'"{shown}"'


def read_number(text: str) -> tuple[tuple[float, ...], str]:
    """Return the possible values of the number that a text starts with, and the rest.

    There is one value, or two for a text like "1,650": thousands first, then decimal.

    Raises
    ------
    UnitError
        If the text is empty, too long, or doesn't start with exactly one number.
    """
    if len(text) > MAX_LENGTH:
        message = f"{quoted(text)} is too long: at most {MAX_LENGTH} characters make a number."
        raise UnitError(message)
    typed = text.translate(_TYPED).strip()
    match = _NUMBER.match(typed)
    if match is None or not re.search("[0-9]", match["mantissa"]):
        raise UnitError(_why_no_number(text, typed))
    rest = typed[match.end() :].strip()
    if _other_numerals(typed) or _FRACTION.search(typed) or _SECOND_NUMBER.match(rest):
        raise UnitError(_why_not_one_number(text, typed))
    exponent = match["e"] or match["ascii"] or (match["raised"] or "").translate(_FROM_SUPERSCRIPT)
    mantissas = _mantissas(match["mantissa"], scientific=bool(exponent))
    if not mantissas:
        message = (
            f"{quoted(text)} cannot be read: its separators don't form one number. {_UNDERSTOOD}"
        )
        raise UnitError(message)
    values = tuple(float(f"{match['sign']}{digits}e{exponent or 0}") for digits in mantissas)
    for value, digits in zip(values, mantissas, strict=True):
        if isinf(value) or (value == 0.0 and digits.strip("0.")):
            size = "large" if value else "small"
            message = f"{quoted(text)} is too {size} to calculate with."
            raise UnitError(message)
    return values, rest


def _mantissas(typed: str, *, scientific: bool) -> list[str]:
    """Return the readings of digits with separators, in the spelling that float() takes."""
    readings = []
    lone = _LONE_GROUP.fullmatch(typed) is not None
    grouped = _GROUPED.fullmatch(typed)
    if grouped and not (lone and (scientific or grouped[1] == ".")):
        readings.append(typed.replace(grouped[1], "").replace(",", "."))
    if _PLAIN.fullmatch(typed):
        readings.append(typed.replace(",", "."))
    return readings


def _other_numerals(typed: str) -> bool:
    """Whether there are digits of another script, or signs such as ½."""
    return any(
        not char.isascii() and char.isnumeric() and (char.isdecimal() or not char.isdigit())
        for char in typed
    )


def _why_no_number(text: str, typed: str) -> str:
    if not typed:
        return f"Nothing is written here; a number is needed. {_UNDERSTOOD}"
    if typed.strip("+- ").casefold().startswith(("nan", "inf", "∞")):
        return f"{quoted(text)} is not a finite number. {_UNDERSTOOD}"
    if _other_numerals(typed):
        return f"{quoted(text)} has other numerals than 0 to 9. {_UNDERSTOOD}"
    return f"{quoted(text)} does not start with a number. {_UNDERSTOOD}"


def _why_not_one_number(text: str, typed: str) -> str:
    if _FRACTION.search(typed) or any(char in "¼½¾⅓⅔⅛⅜⅝⅞" for char in typed):
        return f"{quoted(text)} holds a fraction; write it as a decimal number, such as 0.75."
    if _other_numerals(typed):
        return f"{quoted(text)} has other numerals than 0 to 9. {_UNDERSTOOD}"
    return f"{quoted(text)} holds more than one number; write one. {_UNDERSTOOD}"


def format_number(value: float, *, digits: int = 4) -> str:
    """Return a number for reading, rounded to significant digits.

    Thin spaces group the thousands from four digits on, the minus is the real one, and
    below 10⁻⁴ or from 10⁷ on a power of ten is split off. Zeros at the end of the
    decimals stay if digits were rounded away behind them (1.99996 → 2.000) and go if
    the number shown is the value (2.0 → 2).

    Parameters
    ----------
    value : float
        The number [1], finite.
    digits : int
        Significant digits [1], 1 to 17.

    Returns
    -------
    str
        The number, in the characters that `read_number` understands.

    Raises
    ------
    OutOfRangeError
        If the value is not finite.
    """
    require_finite(value, "The number to be shown", "")
    rounded = f"{value:.{digits - 1}e}"
    mantissa, _, power = rounded.partition("e")
    exponent = int(power)
    scientific = float(rounded) != 0.0 and not SCIENTIFIC_BELOW <= exponent < SCIENTIFIC_FROM
    decimals = max(0, digits - 1 - exponent)
    shown = mantissa if scientific else f"{float(rounded):.{decimals}f}"
    if "." in shown and abs(float(rounded) - value) <= NOISE * abs(value):
        shown = shown.rstrip("0").rstrip(".")
    sign = MINUS if value < 0.0 else ""
    whole, point, fraction = shown.lstrip("-").partition(".")
    shown = f"{sign}{int(whole):,}".replace(",", THIN_SPACE) + point + fraction
    if not scientific:
        return shown
    return f"{shown}{NO_BREAK_SPACE}×{NO_BREAK_SPACE}10{str(exponent).translate(_SUPERSCRIPT)}"


def plain_number(value: float) -> str:
    """Return the shortest digits, in ASCII, that are read back as the very same float.

    Parameters
    ----------
    value : float
        The number [1], finite.

    Returns
    -------
    str
        Text for an input field: "1650", "0.014", "1.5e-7".

    Raises
    ------
    OutOfRangeError
        If the value is not finite.
    """
    require_finite(value, "The number to be written", "")
    mantissa, _, power = repr(float(value)).partition("e")
    mantissa = mantissa.removesuffix(".0")
    if value == 0.0:
        return "0"
    return f"{mantissa}e{int(power)}" if power else mantissa


def short_number(value: float) -> str:
    """Return a number without the dust of conversion: the fewest digits within 5.1e-12 of it.

    A text converted to another unit and back is the same text again.

    Parameters
    ----------
    value : float
        The number [1], finite.

    Returns
    -------
    str
        Text for an input field: "520" for 519.9999999999.

    Raises
    ------
    OutOfRangeError
        If the value is not finite.
    """
    require_finite(value, "The number to be written", "")
    rounded = (float(f"{value:.{digits}e}") for digits in range(17))
    return plain_number(next(one for one in rounded if abs(one - value) <= DUST * abs(value)))
