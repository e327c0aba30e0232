"""Operations of a page whose refusal is an answer: ``{"refused": message}``."""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Any, TypeAlias

from calculators.errors import CalculatorError

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["Answer", "may_refuse"]

Answer: TypeAlias = dict[str, Any]


def may_refuse(operation: Callable[..., Answer]) -> Callable[..., Answer]:
    """Let an operation's refusal be an answer."""

    @wraps(operation)
    def answered(**arguments: Any) -> Answer:  # noqa: ANN401  plain JSON
        try:
            return operation(**arguments)
        except CalculatorError as error:
            return {"refused": str(error)}

    return answered
