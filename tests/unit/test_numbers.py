"""Reading numbers as they are typed, and writing them as they are read."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError, OutOfRangeError, UnitError
from calculators.quantities import format_number, parse, plain_number, short_number

FINITE = st.floats(allow_nan=False, allow_infinity=False)


def read(text: str, minimum: float | None = None, maximum: float | None = None) -> float:
    return parse(text, quantity="ratio", unit="1", minimum=minimum, maximum=maximum).value


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("350", 350.0),
        ("  350\n", 350.0),
        ("+3", 3.0),
        ("-3", -3.0),
        ("−3", -3.0),
        ("- 3", -3.0),
        ("007", 7.0),
        (".5", 0.5),
        ("5.", 5.0),
        (",5", 0.5),
        ("0,75", 0.75),
        ("1,5", 1.5),
        ("1,65", 1.65),
        ("1,6500", 1.65),
        ("1650,125", 1650.125),
        ("0,650", 0.65),
        ("-0,650", -0.65),
        ("1.650", 1.65),
        ("1 650", 1650.0),
        ("1\u00a0650", 1650.0),
        ("1\u2009650", 1650.0),
        ("1\u202f650", 1650.0),
        ("28 000 000", 28e6),
        ("1 650,5", 1650.5),
        ("1 650.5", 1650.5),
        ("1'650", 1650.0),
        ("1\u2019650.25", 1650.25),
        ("1,650", 1650.0),
        ("1,650.5", 1650.5),
        ("1,650,000", 1_650_000.0),
        ("1.650,5", 1650.5),
        ("1.650.000", 1_650_000.0),
        ("1.650.000,5", 1_650_000.5),
        ("2.5e3", 2500.0),
        ("2,5e3", 2500.0),
        ("2.5E+3", 2500.0),
        ("2.5e\u22123", 0.0025),
        ("1,650e3", 1650.0),
        ("3 × 10⁵", 3e5),
        ("3×10⁻⁵", 3e-5),
        ("3·10⁵", 3e5),
        ("3*10^5", 3e5),
        ("3 x 10**-5", 3e-5),
        ("\u22121.2\u00a0×\u00a010⁻⁷", -1.2e-7),
        ("0", 0.0),
        ("0e999", 0.0),
    ],
)
def test_a_number_is_read_in_every_usual_spelling(text: str, expected: float) -> None:
    assert read(text) == expected


@pytest.mark.parametrize(
    ("minimum", "maximum", "expected"),
    [
        (100.0, 3000.0, 1650.0),
        (1650.0, None, 1650.0),
        (0.0, 10.0, 1.65),
        (None, 1.65, 1.65),
        (5.0, 10.0, 1650.0),  # neither fits: thousands
    ],
)
def test_the_allowed_range_settles_a_lone_comma(
    minimum: float | None, maximum: float | None, expected: float
) -> None:
    assert read("1,650", minimum, maximum) == expected


def test_a_lone_comma_is_refused_when_both_readings_are_allowed() -> None:
    with pytest.raises(UnitError, match=r'"1,650" can be 1650 or 1\.65.* Write 1650 or 1\.65'):
        read("1,650", 0.0, 1e6)


def test_the_range_that_settles_a_comma_is_taken_in_si() -> None:
    reading = parse("1,650 mm", quantity="length", unit="m", minimum=0.5, maximum=5.0)
    assert reading.value == 1.65  # 1650 mm
    reading = parse("1,650", quantity="length", unit="m", minimum=0.5, maximum=5.0)
    assert reading.value == 1.65  # 1.65 m


def test_the_range_does_not_settle_or_refuse_anything_else() -> None:
    assert read("1.650", 100.0, 3000.0) == 1.65
    assert read("20", 0.0, 10.0) == 20.0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Nothing is written"),
        ("   ", "Nothing is written"),
        ("abc", "does not start with a number"),
        (".", "does not start with a number"),
        ("--3", "does not start with a number"),
        ("+-3", "does not start with a number"),
        ("e5", "does not start with a number"),
        ("nan", "not a finite number"),
        ("-inf", "not a finite number"),
        ("Infinity", "not a finite number"),
        ("∞", "not a finite number"),
        ("1e999", "too large"),
        ("-1e999", "too large"),
        ("1e-999", "too small"),
        ("1,2,3", "separators"),
        ("1.2.3", "separators"),
        ("12,34,567", "separators"),
        ("1 65 0", "separators"),
        ("1,650,5", "separators"),
        ("1 650 5", "separators"),
        ("0,650,000", "separators"),
        ("1  650", "more than one number"),
        ("1,650 000", "separators"),
        ("3-4", "more than one number"),
        ("3 \u2013 4", "more than one number"),
        ("3;4", "more than one number"),
        ("1_000", "more than one number"),
        ("3/4", "fraction"),
        ("2 1/2", "fraction"),
        ("1½", "fraction"),
        ("½", "other numerals"),
        ("\u0663", "other numerals"),  # Arabic-Indic digit three
        ("1\u0663", "other numerals"),
        ("\uff13", "other numerals"),  # full-width digit three
        ("0x10", "unknown"),
        ("1e5e3", "unknown"),
        ("1e", "unknown"),
        ("3 × 10", "more than one number"),
        ("=1+1", "does not start with a number"),
        ("1" * 65, "too long"),
    ],
)
def test_what_is_not_one_number_is_refused_with_a_reason(text: str, said: str) -> None:
    with pytest.raises(UnitError, match=said) as caught:
        read(text)
    assert isinstance(caught.value, ValueError)
    assert str(caught.value).endswith(".")


def test_a_refusal_repeats_no_control_characters_and_not_endless_text() -> None:
    with pytest.raises(UnitError) as caught:
        read("\x1b[31m" + "9" * 5000)
    assert "\x1b" not in str(caught.value)
    assert len(str(caught.value)) < 200


@given(st.text(max_size=70))
def test_any_text_is_read_as_a_finite_number_or_refused_on_purpose(text: str) -> None:
    try:
        value = read(text)
    except InputError:
        value = 0.0
    assert math.isfinite(value)


@given(st.text(alphabet="0123456789 .,'-+e×^\u2009", max_size=12))
def test_number_like_text_is_read_as_a_finite_number_or_refused_on_purpose(text: str) -> None:
    try:
        value = read(text)
    except InputError:
        value = 0.0
    assert math.isfinite(value)


@pytest.mark.parametrize(
    ("value", "digits", "expected"),
    [
        (0.0, 4, "0"),
        (-0.0, 4, "0"),
        (2.0, 4, "2"),
        (0.75, 4, "0.75"),
        (0.1 + 0.2, 4, "0.3"),
        (1.99996, 4, "2.000"),
        (0.30004, 4, "0.3000"),
        (47.1239, 4, "47.12"),
        (3.14159265, 3, "3.14"),
        (350.0, 4, "350"),
        (999.96, 4, "1\u2009000"),
        (1500.0, 4, "1\u2009500"),
        (-1500.0, 4, "\u22121\u2009500"),
        (6260.990337, 7, "6\u2009260.990"),
        (28_000.0, 4, "28\u2009000"),
        (123_456.7, 4, "123\u2009500"),
        (1_234_567.0, 7, "1\u2009234\u2009567"),
        (9_999_499.0, 4, "9\u2009999\u2009000"),
        (9_999_999.0, 4, "1.000\u00a0×\u00a010⁷"),
        (1e7, 4, "1\u00a0×\u00a010⁷"),
        (2.1e11, 4, "2.1\u00a0×\u00a010¹¹"),
        (0.0001, 4, "0.0001"),
        (0.00012345, 2, "0.00012"),
        (0.00009, 4, "9\u00a0×\u00a010⁻⁵"),
        (1.2341e-7, 4, "1.234\u00a0×\u00a010⁻⁷"),
        (-1e-9, 4, "\u22121\u00a0×\u00a010⁻⁹"),
        (7.0, 1, "7"),
        (7.4, 1, "7"),
    ],
)
def test_a_number_is_written_for_reading(value: float, digits: int, expected: str) -> None:
    assert format_number(value, digits=digits) == expected


@given(FINITE, st.integers(1, 17))
def test_a_number_for_reading_is_read_back_to_its_digits(value: float, digits: int) -> None:
    try:
        back = read(format_number(value, digits=digits))
    except UnitError:
        assert abs(value) > 1.7e308 or abs(value) < 5e-324  # rounding up left the range
        return
    assert back == pytest.approx(value, rel=0.5 * 10.0 ** (1 - digits) + 1e-12, abs=5e-324)


@given(FINITE)
def test_a_plain_number_is_read_back_as_the_very_same_float(value: float) -> None:
    text = plain_number(value)
    assert text.isascii()
    assert read(text) == value


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (1650.0, "1650"),
        (-0.0, "0"),
        (0.014, "0.014"),
        (-2.5, "-2.5"),
        (1.5e-7, "1.5e-7"),
        (1e22, "1e22"),
        (3, "3"),
    ],
)
def test_a_plain_number_is_short(value: float, expected: str) -> None:
    assert plain_number(value) == expected


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_numbers_that_are_not_finite_are_not_written(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="not a finite number"):
        format_number(value)
    with pytest.raises(OutOfRangeError, match="not a finite number"):
        plain_number(value)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (519.9999999999, "520"),
        (0.1 + 0.2, "0.3"),
        (1e-7, "1e-7"),
        (0.0, "0"),
        (-2.5, "-2.5"),
        (2.0 / 3.0, "0.66666666667"),
    ],
)
def test_a_short_number_has_no_dust_of_conversion(value: float, text: str) -> None:
    assert short_number(value) == text


@given(typed=st.integers(1, 10**9), decimals=st.integers(0, 6), factor=st.floats(1e-6, 1e6))
def test_a_short_number_comes_back_from_any_other_unit(
    typed: int, decimals: int, factor: float
) -> None:
    value = float(f"{typed}e-{decimals}")
    there = float(short_number(value * factor))
    assert short_number(there / factor) == short_number(value)


def test_a_short_number_that_is_not_finite_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        short_number(float("inf"))
