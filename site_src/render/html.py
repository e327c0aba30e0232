"""The template environment: everything is escaped, and mathematics comes as trees."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from calculators.formula import symbol_node, typeset

if TYPE_CHECKING:
    from collections.abc import Iterable

    from calculators.formula import Node

__all__ = ["environment", "math_html", "tree_html"]


def _element(node: Node) -> Markup:
    tag, *rest = node
    attributes = rest.pop(0) if rest and isinstance(rest[0], dict) else {}
    assert isinstance(attributes, dict)
    written = Markup("").join(Markup(' {}="{}"').format(*pair) for pair in attributes.items())
    children = Markup("").join(
        _element(child) if isinstance(child, list) else escape(child) for child in rest
    )
    return Markup("<{0}{1}>{2}</{0}>").format(tag, written, children)


def math_html(node: Node, *, block: bool = False) -> Markup:
    """Return a MathML tree as markup."""
    display = Markup(' display="block"') if block else ""
    return Markup("<math{}>{}</math>").format(display, _element(node))


def tree_html(nodes: Iterable[Node]) -> Markup:
    """Return the elements of a drawing as markup."""
    return Markup("").join(_element(node) for node in nodes)


@cache
def environment() -> Environment:
    """Return the environment in which all templates are rendered."""
    made = Environment(
        loader=PackageLoader("site_src.render"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["math"] = math_html
    made.filters["symbol"] = lambda name: math_html(symbol_node(name))
    made.filters["formula"] = lambda text: math_html(typeset(text))
    return made
