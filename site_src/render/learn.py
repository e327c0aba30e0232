"""The questions of a module, the list of modules and the training record as HTML."""

from __future__ import annotations

from typing import Any

from calculators.quantities import QUANTITIES
from calculators.quiz import asked
from calculators.view import Units
from site_src.learn import NumberQuestion, load_modules
from site_src.render.html import environment

__all__ = ["module_html", "modules_html", "record_html"]

EXAMPLE = 1  # seed of the numbers that stand in the page before the script draws others


def _number_item(question: NumberQuestion) -> dict[str, Any]:
    return {
        "hint": question.hint,
        "specification": question.specification,
        "units": QUANTITIES[question.question.answer.quantity].units,
        "example": asked(question.question, EXAMPLE, Units()),
    }


def module_html(name: str) -> str:
    """Return the questions of a module.

    Raises
    ------
    KeyError
        If there is no module of that name.
    """
    module = {module.name: module for module in load_modules()}[name]
    items = [
        {
            "key": item.key,
            "choice": None if isinstance(item, NumberQuestion) else item,
            "number": _number_item(item) if isinstance(item, NumberQuestion) else None,
        }
        for item in module.questions
    ]
    return environment().get_template("learn_module.html").render(module=module, items=items)


def modules_html() -> str:
    """Return the list of modules, with a place for how far the learner is."""
    return environment().get_template("learn_modules.html").render(modules=load_modules())


def record_html() -> str:
    """Return the training record: one line for each module, to be filled in and signed."""
    return environment().get_template("learn_record.html").render(modules=load_modules())
