"""Docstrings, taken apart: headings and references."""

from __future__ import annotations

from calculators.docstring import qualified_name, references, sections
from calculators.physics.oscillator import critical_damping


def _documented() -> None:
    """Do nothing.

    y = 0

    Parameters
    ----------
    a : float
        a, a number [1], any.

    References
    ----------
    derivation: nothing
        comes of nothing.
    book: none.
    """


def _bare() -> None:
    pass


def test_text_before_the_first_heading_is_the_summary() -> None:
    assert sections(_documented)["Summary"] == "Do nothing.\n\ny = 0"


def test_a_heading_is_a_line_with_a_rule_below() -> None:
    assert list(sections(_documented)) == ["Summary", "Parameters", "References"]
    assert sections(_documented)["Parameters"] == "a : float\n    a, a number [1], any."


def test_an_indented_line_goes_on_with_its_reference() -> None:
    assert references(_documented) == ("derivation: nothing comes of nothing.", "book: none.")


def test_a_function_without_docstring_has_no_references() -> None:
    assert references(_bare) == ()
    assert sections(_bare) == {"Summary": ""}


def test_a_function_is_named_by_where_it_stands_below_the_package() -> None:
    assert qualified_name(critical_damping) == "physics.oscillator.critical_damping"
