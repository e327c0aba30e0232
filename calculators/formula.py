"""Formulas as people read them, from one line of text.

A formula is written once, as a small Python expression: ``c_cr = 2*sqrt(k_w*m_s)``.
From that line come the typeset formula, the same formula with numbers, the plain
text for a terminal, and the value by which a test proves the printed formula true.

Names become symbols: ``k_w`` has a subscript, ``zeta`` and ``DeltaT`` become Greek.
Typeset output is a tree of MathML elements as plain lists, ``[tag, attributes,
child, …]`` with text as strings, so that no markup travels as text.
"""

from __future__ import annotations

import ast
import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias, cast

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

__all__ = ["Formula", "Node", "Number", "parse_formula", "symbol_node", "symbol_text", "typeset"]

Node: TypeAlias = "list[str | dict[str, str] | Node]"

_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "Delta": "Δ", "epsilon": "ε",
    "zeta": "ζ", "eta": "η", "theta": "θ", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν",
    "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "omega": "ω", "Omega": "Ω",
}  # fmt: skip
_CONSTANTS = {"pi": math.pi}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt, "exp": math.exp, "ln": math.log, "log10": math.log10, "sin": math.sin,
    "cos": math.cos, "tan": math.tan, "atan": math.atan, "abs": abs, "min": min, "max": max,
}  # fmt: skip

_RELATION = re.compile(r"(\s*[=<>≤≥≈→]\s*)")

_ADDING, _TIMES, _SIGN, _POWER, _ATOM = range(1, 6)


@dataclass(frozen=True, slots=True)
class Number:
    """How one value stands in a formula with numbers: digits and unit."""

    digits: str
    unit: str = ""

    @property
    def strength(self) -> int:
        """How strongly it holds together: a sign, a unit or a power of ten asks for brackets."""
        if self.digits.startswith("−") or "×" in self.digits:
            return _SIGN
        return _POWER if self.unit else _ATOM


def _letters(name: str) -> str:
    for word in sorted(_GREEK, key=len, reverse=True):
        if name.startswith(word) and not name[len(word) :].islower():
            return _GREEK[word] + name[len(word) :]
    return name


@lru_cache(maxsize=512)
def _symbol_parts(name: str) -> tuple[str, str]:
    base, _, below = name.partition("_")
    return _letters(base), ",".join(_letters(part) for part in below.split("_") if part)


def symbol_text(name: str) -> str:
    """Return a symbol as plain text: ``zeta`` gives ζ, ``k_w`` stays k_w."""
    base, below = _symbol_parts(name)
    return f"{base}_{below}" if below else base


def symbol_node(name: str) -> Node:
    """Return a symbol as a MathML tree."""
    base, below = _symbol_parts(name)
    upright = {"mathvariant": "normal"}
    letter: Node = ["mi", base] if len(base) == 1 else ["mi", upright, base]
    return ["msub", letter, ["mi", upright, below]] if below else letter


@dataclass(frozen=True, slots=True)
class Formula:
    """One equation, ``symbol = expression``.

    Attributes
    ----------
    text : str
        The line it was made from.
    result : str
        Name of the symbol on the left.
    names : frozenset of str
        Names of the symbols on the right, constants left out.
    """

    text: str
    result: str
    names: frozenset[str]
    _expression: ast.expr

    def value(self, values: Mapping[str, float]) -> float:
        """Return the right side's value for the given symbols."""
        return _value(self._expression, values)

    def symbols(self) -> Node:
        """Return the formula with symbols, as a MathML tree."""
        return _equation(symbol_node(self.result), _typeset(self._expression, None)[0])

    def numbers(self, numbers: Mapping[str, Number], answer: Number) -> Node:
        """Return the formula with numbers in the place of symbols, and its answer."""
        right = _typeset(self._expression, numbers)[0]
        return _equation(symbol_node(self.result), right, _number_node(answer))

    def plain(self, numbers: Mapping[str, Number] | None = None) -> str:
        """Return the right side as plain text, with numbers where they are given."""
        return _plain(self._expression, numbers)[0]


@lru_cache(maxsize=512)
def parse_formula(text: str) -> Formula:
    """Return the formula that a line ``symbol = expression`` stands for.

    Raises
    ------
    ValueError
        If the line is not one equation in the notation of this module.
    """
    try:
        statements = ast.parse(text.strip()).body
    except SyntaxError as error:
        message = f"not a formula: {text!r}"
        raise ValueError(message) from error
    match statements:
        case [ast.Assign(targets=[ast.Name(id=result)], value=expression)]:
            _check(expression, text)
            return Formula(text, result, _names(expression), expression)
        case _:
            message = f"not an equation with one symbol on the left: {text!r}"
            raise ValueError(message)


def _names(expression: ast.expr) -> frozenset[str]:
    called = {id(node.func) for node in ast.walk(expression) if isinstance(node, ast.Call)}
    return frozenset(
        node.id
        for node in ast.walk(expression)
        if isinstance(node, ast.Name) and id(node) not in called and node.id not in _CONSTANTS
    )


def typeset(text: str) -> Node:
    """Return running-text mathematics as a MathML tree.

    It is an expression, or several with = < > ≤ ≥ ≈ → between.

    Raises
    ------
    ValueError
        If a part is not an expression in the notation of this module.
    """
    row: Node = ["mrow"]
    for part in _RELATION.split(text):
        if _RELATION.fullmatch(part):
            row.append(["mo", part.strip()])
        else:
            try:
                expression = ast.parse(part.strip(), mode="eval").body
            except SyntaxError as error:
                message = f"not a formula: {text!r}"
                raise ValueError(message) from error
            _check(expression, text)
            row.append(_typeset(expression, None)[0])
    return row


def _check(expression: ast.expr, text: str) -> None:
    """Refuse all but numbers, symbols, the five operations, signs and the functions named above."""
    match expression:
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            parts: list[ast.expr] = []
        case ast.Name(id=name) if name not in _FUNCTIONS:
            parts = []
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            parts = [operand]
        case ast.BinOp(op=ast.Add() | ast.Sub() | ast.Mult() | ast.Div() | ast.Pow()):
            parts = [expression.left, expression.right]
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]) if _takes(
            name, arguments
        ):
            parts = arguments
        case _:
            message = f"{ast.unparse(expression)!r} has no place in a formula: {text!r}"
            raise ValueError(message)
    for part in parts:
        _check(part, text)


def _takes(name: str, arguments: list[ast.expr]) -> bool:
    """Return whether there is a function of that name with as many arguments."""
    if name in {"min", "max"}:
        return len(arguments) > 1
    return name in _FUNCTIONS and len(arguments) == 1


def _value(node: ast.expr, values: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.Name(id=name):
            return values[name] if name in values else _CONSTANTS[name]
        case ast.UnaryOp(operand=operand):
            return -_value(operand, values)
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return float(_FUNCTIONS[name](*(_value(argument, values) for argument in arguments)))
        case ast.BinOp(left=left, op=operator, right=right):
            return _operate(operator, _value(left, values), _value(right, values))
    raise TypeError(ast.dump(node))


def _operate(operator: ast.operator, left: float, right: float) -> float:
    match operator:
        case ast.Add():
            return left + right
        case ast.Sub():
            return left - right
        case ast.Mult():
            return left * right
        case ast.Div():
            return left / right
        case ast.Pow():
            return cast("float", left**right)
    raise TypeError(ast.dump(operator))


def _equation(*sides: Node) -> Node:
    row: Node = ["mrow"]
    for side in sides:
        row += [["mo", "="], side] if len(row) > 1 else [side]
    return row


def _row(*parts: Node | str) -> Node:
    return ["mrow", *parts]


def _number_node(number: Number) -> Node:
    digits: Node = ["mn", number.digits]
    if not number.unit:
        return digits
    return _row(
        digits, ["mspace", {"width": "0.17em"}], ["mtext", {"class": "sb-unit"}, number.unit]
    )


def _bracket(node: Node) -> Node:
    return _row(["mo", "("], node, ["mo", ")"])


def _typeset(node: ast.expr, numbers: Mapping[str, Number] | None) -> tuple[Node, int]:
    """Return the tree of an expression and how strongly it holds together."""
    match node:
        case ast.Constant(value=value):
            return ["mn", _digits(value)], _ATOM
        case ast.Name(id=name) if numbers is not None and name in numbers:
            return _number_node(numbers[name]), numbers[name].strength
        case ast.Name(id=name):
            return symbol_node(name), _ATOM
        case ast.UnaryOp(operand=operand):
            return _row(["mo", "−"], _held(operand, numbers, _TIMES)), _SIGN
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return _typeset_call(name, [_typeset(argument, numbers)[0] for argument in arguments])
        case ast.BinOp():
            return _typeset_pair(node, numbers)
    raise TypeError(ast.dump(node))


def _typeset_call(name: str, arguments: list[Node]) -> tuple[Node, int]:
    upright: Node = ["mi", {"mathvariant": "normal"}]
    first, *others = arguments
    match name:
        case "sqrt":
            return ["msqrt", first], _ATOM
        case "exp":
            return ["msup", [*upright, "e"], first], _POWER
        case "abs":
            return _row(["mo", "|"], first, ["mo", "|"]), _ATOM
    inside = _row(first)
    for other in others:
        inside += [["mo", ","], other]
    return _row([*upright, name], _bracket(inside)), _ATOM


def _held(node: ast.expr, numbers: Mapping[str, Number] | None, needed: int) -> Node:
    tree, strength = _typeset(node, numbers)
    return tree if strength >= needed else _bracket(tree)


def _held_after(node: ast.expr, numbers: Mapping[str, Number] | None, needed: int) -> Node:
    """Return the tree of an operand after an operation: a sign never follows one unbracketed."""
    tree, strength = _typeset(node, numbers)
    return tree if strength >= needed and not _signed(node, numbers) else _bracket(tree)


def _signed(node: ast.expr, numbers: Mapping[str, Number] | None) -> bool:
    """Return whether an expression starts with a sign."""
    match node:
        case ast.UnaryOp():
            return True
        case ast.Name(id=name):
            return numbers is not None and name in numbers and numbers[name].digits.startswith("−")
        case ast.BinOp(op=ast.Pow()):
            return False
        case ast.BinOp(left=left):
            return _signed(left, numbers)
    return False


def _typeset_pair(node: ast.BinOp, numbers: Mapping[str, Number] | None) -> tuple[Node, int]:
    match node.op:
        case ast.Div():
            over, under = _typeset(node.left, numbers)[0], _typeset(node.right, numbers)[0]
            return ["mfrac", over, under], _TIMES
        case ast.Pow():
            return [
                "msup",
                _held(node.left, numbers, _ATOM),
                _typeset(node.right, numbers)[0],
            ], _POWER
        case ast.Mult():
            between: Node = ["mspace", {"width": "0.17em"}] if numbers is None else ["mo", "×"]
            left, right = (
                _held(node.left, numbers, _TIMES),
                _held_after(node.right, numbers, _TIMES),
            )
            return _row(left, between, right), _TIMES
    sign = "+" if isinstance(node.op, ast.Add) else "−"
    right = _held_after(node.right, numbers, _ADDING if sign == "+" else _TIMES)
    return _row(_held(node.left, numbers, _ADDING), ["mo", sign], right), _ADDING


def _digits(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _plain(node: ast.expr, numbers: Mapping[str, Number] | None) -> tuple[str, int]:
    """Return an expression as plain text and how strongly it holds together."""
    match node:
        case ast.Constant(value=value):
            return _digits(value), _ATOM
        case ast.Name(id=name) if numbers is not None and name in numbers:
            number = numbers[name]
            return f"{number.digits} {number.unit}".rstrip(), number.strength
        case ast.Name(id=name):
            return symbol_text(name), _ATOM
        case ast.UnaryOp(operand=operand):
            return f"−{_plain_held(operand, numbers, _TIMES)}", _SIGN
        case ast.Call(func=ast.Name(id=name), args=arguments):
            inside = ", ".join(_plain(argument, numbers)[0] for argument in arguments)
            return f"{'√' if name == 'sqrt' else name}({inside})", _ATOM
        case ast.BinOp():
            return _plain_pair(node, numbers)
    raise TypeError(ast.dump(node))


def _plain_pair(node: ast.BinOp, numbers: Mapping[str, Number] | None) -> tuple[str, int]:
    if isinstance(node.op, ast.Pow):
        base, power = (_plain_held(side, numbers, _ATOM) for side in (node.left, node.right))
        return f"{base}^{power}", _POWER
    sign, strength, needed = {
        ast.Mult: (" · ", _TIMES, _TIMES),
        ast.Div: (" / ", _TIMES, _SIGN),
        ast.Add: (" + ", _ADDING, _ADDING),
        ast.Sub: (" − ", _ADDING, _TIMES),
    }[type(node.op)]
    left = _plain_held(node.left, numbers, strength)
    return f"{left}{sign}{_plain_held_after(node.right, numbers, needed)}", strength


def _plain_held(node: ast.expr, numbers: Mapping[str, Number] | None, needed: int) -> str:
    text, strength = _plain(node, numbers)
    return text if strength >= needed else f"({text})"


def _plain_held_after(node: ast.expr, numbers: Mapping[str, Number] | None, needed: int) -> str:
    text, strength = _plain(node, numbers)
    return text if strength >= needed and not _signed(node, numbers) else f"({text})"
