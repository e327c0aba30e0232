"""Formulas: typeset with the brackets that the arithmetic asks for, computed as shown."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.formula import Number, parse_formula, symbol_node, symbol_text, typeset
from calculators.sheet import evaluate
from calculators.view import Units, present
from tests.unit.strategies import SHEETS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.formula import Node

TREE_JS = Path(__file__).parents[2] / "site_src" / "assets" / "js" / "tree.js"


def _page_tags() -> set[str]:
    """Return the elements that the page's script lets into a formula."""
    listed = re.search(r"FORMULA = new Set\(\[([^\]]*)\]\)", TREE_JS.read_text(encoding="utf-8"))
    assert listed
    return set(re.findall(r'"(\w+)"', listed[1]))


def _elements(node: Node) -> Iterator[tuple[str, dict[str, str]]]:
    tag, *rest = node
    assert isinstance(tag, str)
    attributes = rest[0] if rest and isinstance(rest[0], dict) else {}
    yield tag, attributes
    for child in rest:
        if isinstance(child, list):
            yield from _elements(child)


def _text(node: Node) -> str:
    """Return a tree as one line: fractions with a stroke, powers with a caret."""
    tag, *rest = node
    inner = [
        _text(child) if isinstance(child, list) else child
        for child in rest
        if not isinstance(child, dict)
    ]
    if tag == "mfrac":
        return f"[{inner[0]}]/[{inner[1]}]"
    if tag in {"msup", "msub"}:
        return f"{inner[0]}{'^' if tag == 'msup' else '_'}{{{inner[1]}}}"
    return f"√[{inner[0]}]" if tag == "msqrt" else "".join(inner)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("k_w", "k_w"),
        ("zeta", "ζ"),
        ("zeta_e", "ζ_e"),
        ("DeltaT", "ΔT"),
        ("epsilon_h", "ε_h"),
        ("eta", "η"),
        ("beta", "β"),
        ("mu_oil", "μ_oil"),
        ("pin", "pin"),
        ("p_max_hot", "p_max,hot"),
        ("V_Delta", "V_Δ"),
    ],
)
def test_a_name_becomes_the_symbol_that_people_write(name: str, text: str) -> None:
    assert symbol_text(name) == text


def test_a_subscript_is_upright_and_a_letter_is_not() -> None:
    assert symbol_node("k_w") == ["msub", ["mi", "k"], ["mi", {"mathvariant": "normal"}, "w"]]
    assert symbol_node("tol") == ["mi", {"mathvariant": "normal"}, "tol"]


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("a*b + c", "ab+c"),
        ("a*(b + c)", "a(b+c)"),
        ("a - (b - c)", "a−(b−c)"),
        ("a - (b + c)", "a−(b+c)"),
        ("a + (b - c)", "a+b−c"),
        ("(a - b) - c", "a−b−c"),
        ("(a + b)**2", "(a+b)^{2}"),
        ("a**b**c", "a^{b^{c}}"),
        ("(a**b)**c", "(a^{b})^{c}"),
        ("(a/b)**n", "([a]/[b])^{n}"),
        ("a/(b + c)", "[a]/[b+c]"),
        ("-a**2", "−a^{2}"),
        ("(-a)**2", "(−a)^{2}"),
        ("-(a + b)", "−(a+b)"),
        ("a*(-b)", "a(−b)"),
        ("a - -b", "a−(−b)"),
        ("a - -b*c", "a−(−bc)"),
        ("-a*b", "−ab"),
        ("sqrt(a + b)", "√[a+b]"),
        ("sqrt(a)**2", "√[a]^{2}"),
        ("exp(-a)", "e^{−a}"),
        ("exp(a)**2", "(e^{a})^{2}"),
        ("abs(a - b)", "|a−b|"),
        ("min(a, b + c)", "min(a,b+c)"),
        ("cos(a)*b", "cos(a)b"),
        ("2*pi", "2π"),
    ],
)
def test_brackets_stand_where_the_arithmetic_asks_for_them(line: str, shown: str) -> None:
    assert _text(parse_formula(f"y = {line}").symbols()) == f"y={shown}"


def test_numbers_stand_where_the_symbols_stood_with_units_signs_and_brackets() -> None:
    formula = parse_formula("y = a*b**2 - c")
    numbers = {"a": Number("−3"), "b": Number("2", "m"), "c": Number("1.2 × 10⁻⁷", "m²")}
    assert (
        _text(formula.numbers(numbers, Number("−12", "m²"))) == "y=−3×(2m)^{2}−1.2 × 10⁻⁷m²=−12m²"
    )
    assert (
        _text(formula.numbers({**numbers, "c": Number("−5")}, Number("−7")))
        == "y=−3×(2m)^{2}−(−5)=−7"
    )


@pytest.mark.parametrize(
    ("line", "plain"),
    [
        ("2*sqrt(k_w*m_s)", "2 · √(k_w · m_s)"),
        ("a/(b*c)", "a / (b · c)"),
        ("a/(b/c)", "a / (b / c)"),
        ("a/b/c", "a / b / c"),
        ("a/b*c", "a / b · c"),
        ("a*(b/c)", "a · b / c"),
        ("a - (b - c)", "a − (b − c)"),
        ("(a + b)*c", "(a + b) · c"),
        ("-(a*b)", "−a · b"),
        ("(-a)**2", "(−a)^2"),
        ("a**-b", "a^(−b)"),
        ("a/-b", "a / (−b)"),
        ("a**(b/c)", "a^(b / c)"),
        ("(a**b)**c", "(a^b)^c"),
        ("a**b**c", "a^(b^c)"),
        ("exp(-pi*zeta)", "exp(−π · ζ)"),
    ],
)
def test_plain_text_says_the_same_in_one_line(line: str, plain: str) -> None:
    assert parse_formula(f"y = {line}").plain() == plain


def test_names_are_the_symbols_without_functions_and_constants() -> None:
    assert parse_formula("f = sqrt(k/m)/(2*pi)").names == {"k", "m"}


def test_a_formula_gives_its_value() -> None:
    formula = parse_formula("c_cr = 2*sqrt(k_w*m_s)")
    assert formula.result == "c_cr"
    # 2 √(25 000 · 360) = 2 · 3 000, by hand
    assert formula.value({"k_w": 25_000.0, "m_s": 360.0}) == 6_000.0


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("-a**2", -9.0),
        ("2**-1", 0.5),
        ("exp(0) + ln(1) + log10(100)", 3.0),
        ("min(a, 5) + max(a, 5) + abs(-a)", 11.0),
        ("sin(pi/6) + cos(pi/3) + tan(pi/4) + atan(1)", 2.0 + math.pi / 4.0),
    ],
)
def test_every_function_of_the_notation_is_computed(line: str, value: float) -> None:
    assert parse_formula(f"y = {line}").value({"a": 3.0}) == pytest.approx(value, rel=1e-15)


OPERATION = st.sampled_from(["{} + {}", "{} - {}", "{}*{}", "{}/{}", "-{1} + {0}", "abs({}) + {}"])
EXPRESSIONS = st.recursive(
    st.sampled_from(["a", "b", "c", "2", "3.5"]),
    lambda inner: st.builds(
        lambda form, one, two: form.format(f"({one})", f"({two})"), OPERATION, inner, inner
    ),
    max_leaves=8,
)


@given(expression=EXPRESSIONS)
def test_plain_text_keeps_the_order_of_the_arithmetic(expression: str) -> None:
    formula, values = parse_formula(f"y = {expression}"), {"a": 1.25, "b": -0.7, "c": 3.1}
    spelled = formula.plain().translate({ord("·"): "*", ord("−"): "-"})
    try:
        assert parse_formula(f"y = {spelled}").value(values) == pytest.approx(
            formula.value(values), rel=1e-9, abs=1e-9
        )
    except ZeroDivisionError:
        with pytest.raises(ZeroDivisionError):
            formula.value(values)


@pytest.mark.parametrize(
    "line",
    [
        "y = a.b",
        "y = a[0]",
        "y = open(a)",
        "y = __import__(a)",
        "y = a(b)",
        "y = sqrt(a)(b)",
        "y = sqrt(x=a)",
        "y = sqrt(*a)",
        "y = [i for i in a]",
        "y = 'text'",
        "y = f'{a}'",
        "y = lambda: a",
        "y = a if b else c",
        "y = a < b",
        "y = a and b",
        "y = not a",
        "y = a // b",
        "y = a % b",
        "y = a @ b",
        "y = a << b",
        "y = +a",
        "y = ~a",
        "y = True",
        "y = None",
        "y = ...",
        "y = 2j",
        "y = (z := a)",
        "y = (a, b)",
        "y = {a: b}",
        "y = sqrt",
        "y = min",
        "y = a = b",
        "y += a",
        "y, z = a",
        "y.z = a",
        "a + b",
        "y = a; z = b",
        "import os",
        "y = a b",
        "y = (",
        "y = sqrt()",
        "y = sqrt(a, b)",
        "y = min()",
        "",
    ],
)
def test_what_is_not_one_equation_of_plain_arithmetic_is_refused(line: str) -> None:
    with pytest.raises(ValueError, match=r"\S"):
        parse_formula(line)


@pytest.mark.parametrize("text", ["zeta <", "", "a = open(b)", "a..b", "x'", "a ≤ b.c"])
def test_running_mathematics_outside_the_notation_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"\S"):
        typeset(text)


def test_running_mathematics_may_hold_relations() -> None:
    assert _text(typeset("0 < zeta ≤ 1")) == "0<ζ≤1"
    assert _text(typeset("c = 2*m")) == "c=2m"


def test_every_formula_of_the_sheets_uses_only_what_the_page_lets_in() -> None:
    allowed, seen = _page_tags(), set()
    attributes: set[str] = set()
    for sheet in SHEETS:
        for step in present(evaluate(sheet), Units())["steps"]:
            for tree in (step["symbols"], step["numbers"]):
                for tag, named in _elements(tree):
                    seen.add(tag)
                    attributes |= set(named)
    assert seen <= allowed
    assert attributes <= {"mathvariant", "width", "class"}


@given(expression=EXPRESSIONS)
def test_every_tree_uses_only_what_the_page_lets_in(expression: str) -> None:
    tree = typeset(f"sqrt({expression})**2 + exp({expression}) - min({expression}, k_w)")
    assert {tag for tag, _ in _elements(tree)} <= _page_tags()
