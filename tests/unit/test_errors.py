"""What is refused says what, how much, what is allowed, and what to do."""

from __future__ import annotations

from math import inf, nan
from typing import TYPE_CHECKING

import pytest

from calculators import errors
from calculators.errors import (
    CalculatorError,
    ConflictError,
    FileFormatError,
    InputError,
    InputErrors,
    NoSolutionError,
    OutOfRangeError,
    UnitError,
    require_above,
    require_at_least,
    require_between,
    require_finite,
)

if TYPE_CHECKING:
    from collections.abc import Callable


@pytest.mark.parametrize(
    ("check", "message"),
    [
        (
            lambda: require_above(
                0.0, -350.0, "Sprung mass", "kg", "Leave out wheel, hub and axle."
            ),
            "Sprung mass is -350 kg; allowed: above 0 kg. Leave out wheel, hub and axle.",
        ),
        (lambda: require_at_least(2.0, 1.0, "Bore", "m"), "Bore is 1 m; allowed: at least 2 m."),
        (lambda: require_between(1.0, 2.0, 3.0, "n", ""), "n is 3; allowed: 1 to 2."),
        (
            lambda: require_finite(nan, "Force", "N"),
            "Force is not a finite number; allowed: a finite number.",
        ),
        (
            lambda: require_above(0.0, inf, "Mass", "kg"),
            "Mass is not a finite number; allowed: above 0 kg.",
        ),
    ],
)
def test_a_message_names_quantity_value_range_and_what_to_do(
    check: Callable[[], None], message: str
) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        check()
    assert str(caught.value) == message


@pytest.mark.parametrize(
    "check",
    [
        lambda: require_above(0.0, 1e-300, "a", ""),
        lambda: require_at_least(2.0, 2.0, "a", ""),
        lambda: require_between(1.0, 2.0, 1.0, "a", ""),
        lambda: require_between(1.0, 2.0, 2.0, "a", ""),
        lambda: require_finite(-1e308, "a", ""),
    ],
    ids=["above", "at least", "between, low", "between, high", "finite"],
)
def test_a_value_on_an_allowed_bound_passes(check: Callable[[], None]) -> None:
    check()


@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_what_is_not_finite_never_passes(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="not a finite number"):
        require_above(0.0, value, "a", "")
    with pytest.raises(OutOfRangeError, match="not a finite number"):
        require_at_least(-inf, value, "a", "")
    with pytest.raises(OutOfRangeError, match="not a finite number"):
        require_between(-inf, inf, value, "a", "")
    with pytest.raises(OutOfRangeError, match="not a finite number"):
        require_finite(value, "a", "")


@pytest.mark.parametrize(
    ("bounds", "words"),
    [
        ({"minimum": 1.0, "maximum": 2.0}, "1 to 2 m"),
        ({"minimum": 1.0, "maximum": 2.0, "minimum_allowed": False}, "above 1 and up to 2 m"),
        ({"maximum": 2.0}, "at most 2 m"),
        ({"minimum": 1.0}, "at least 1 m"),
        ({"minimum": 1.0, "minimum_allowed": False}, "above 1 m"),
    ],
)
def test_the_range_is_told_in_words(bounds: dict[str, float], words: str) -> None:
    minimum, maximum = bounds.get("minimum"), bounds.get("maximum")
    error = OutOfRangeError(
        "Bore",
        9.0,
        "m",
        minimum=minimum,
        maximum=maximum,
        minimum_allowed=bool(bounds.get("minimum_allowed", True)),
    )
    assert f"allowed: {words}." in str(error)


def test_the_parts_of_a_message_travel_with_it() -> None:
    error = OutOfRangeError(
        "Bore", 9.0, "m", minimum=1.0, maximum=2.0, advice="Measure.", inputs=("bore",)
    )
    assert (error.label, error.value, error.unit, error.minimum, error.maximum) == (
        "Bore",
        9.0,
        "m",
        1.0,
        2.0,
    )
    assert (error.advice, error.inputs, error.minimum_allowed) == ("Measure.", ("bore",), True)


def test_several_faults_are_one_error_that_keeps_them_apart() -> None:
    first, second = InputError("One.", inputs=("a",)), ConflictError("Two.", inputs=("b", "c"))
    error = InputErrors([first, second])
    assert error.errors == (first, second)
    assert error.inputs == ("a", "b", "c")
    assert str(error) == "One. Two."


@pytest.mark.parametrize(
    ("place", "message"),
    [
        ({"line": 3, "column": 5}, "line 3, column 5: No number."),
        ({"line": 3}, "line 3: No number."),
        ({}, "No number."),
    ],
)
def test_a_damaged_file_is_told_with_the_place(place: dict[str, int], message: str) -> None:
    error = FileFormatError("No number.", **place)
    assert str(error) == message
    assert (error.line, error.column) == (place.get("line"), place.get("column"))


def test_the_family_is_as_drawn() -> None:
    for refused in (OutOfRangeError, UnitError, ConflictError, InputErrors):
        assert issubclass(refused, InputError)
    assert issubclass(InputError, ValueError)
    for kind in (InputError, NoSolutionError, FileFormatError):
        assert issubclass(kind, CalculatorError)
    named = {name for name in errors.__all__ if name.endswith("Error")} - {"CalculatorError"}
    assert all(f"── {name}" in (errors.__doc__ or "") for name in named)
