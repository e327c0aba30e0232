"""The parts of a docstring, so that a page can show where a number comes from."""

from __future__ import annotations

from functools import cache
from inspect import cleandoc
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

__all__ = ["qualified_name", "references", "sections"]


def qualified_name(function: Callable[..., object]) -> str:
    """Return where a function stands below this package: ``physics.corner.wheel_rate``."""
    return f"{function.__module__.partition('.')[2]}.{function.__qualname__}"


@cache
def sections(function: Callable[..., object]) -> Mapping[str, str]:
    """Return a docstring's text by heading; what stands before the first is ``Summary``."""
    lines = cleandoc(function.__doc__ or "").splitlines()
    found: dict[str, list[str]] = {"Summary": []}
    heading = "Summary"
    for line, following in zip(lines, [*lines[1:], ""], strict=False):
        if line and following and set(following) == {"-"}:
            heading = line
            found[heading] = []
        elif line and set(line) == {"-"}:
            continue
        else:
            found[heading].append(line)
    return {name: "\n".join(text).strip() for name, text in found.items()}


def references(function: Callable[..., object]) -> tuple[str, ...]:
    """Return the references of a function, one entry each, the kind of source first."""
    entries: list[str] = []
    for line in sections(function).get("References", "").splitlines():
        if line.startswith(" ") and entries:
            entries[-1] += f" {line.strip()}"
        elif line.strip():
            entries.append(line.strip())
    return tuple(entries)
