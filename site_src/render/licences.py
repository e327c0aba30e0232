"""What is served with the site but was not written here, and under which licence."""

from __future__ import annotations

import json
from importlib.metadata import metadata
from pathlib import Path
from typing import Any

from site_src.render.html import environment

__all__ = ["licences_html"]

_RUNTIME = Path(__file__).parent.parent / "runtime"
_PURPOSE = {
    "@fontsource-variable/sofia-sans-semi-condensed": "typeface",
    "@fontsource-variable/source-sans-3": "typeface",
    "@fontsource/stix-two-math": "typeface of the formulas",
    "mkdocs-material": "theme and search of the pages",
    "numpy": "arrays, for the calculators that need them",
    "pyodide": "Python for the browser",
    "vega": "draws charts",
    "vega-interpreter": "lets charts run under a strict content security policy",
    "vega-lite": "describes charts",
}
_INSIDE = {
    "mkdocs-material": "Lunr, clipboard.js, escape-html (MIT), RxJS (Apache-2.0), tslib (0BSD), "
    "focus-visible (W3C) and Material Design Icons (Apache-2.0)",
    "pyodide": "CPython (Python-2.0) and the libraries that CPython is built on",
}


def licences_html() -> str:
    """Return the table of third-party parts, read from what is locked and installed."""
    declared = json.loads((_RUNTIME / "package.json").read_text(encoding="utf-8"))["dependencies"]
    locked = json.loads((_RUNTIME / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    parts = {name: _npm_part(name, locked) for name in declared}
    parts |= {name: _python_part(name) for name in ("mkdocs-material", "numpy")}
    rows = [(name, *part[:2], _PURPOSE[name], part[2]) for name, part in sorted(parts.items())]
    return environment().get_template("licences.html").render(rows=rows)


def _npm_part(name: str, locked: dict[str, Any]) -> tuple[str, str, str]:
    entry = locked[f"node_modules/{name}"]
    others = {locked[path]["license"] for path in _beneath(name, locked)} - {entry["license"]}
    built_on = f"packages under {', '.join(sorted(others))}" if others else ""
    return entry["version"], entry["license"], _note(_INSIDE.get(name, built_on))


def _python_part(name: str) -> tuple[str, str, str]:
    found = metadata(name)
    return found["Version"], found["License-Expression"], _note(_INSIDE.get(name, ""))


def _note(inside: str) -> str:
    return f"inside: {inside}" if inside else ""


def _beneath(name: str, locked: dict[str, Any]) -> set[str]:
    """Return the places in the lock file of all that a package is built on."""
    found: set[str] = set()
    waiting = [f"node_modules/{name}"]
    while waiting:
        place = waiting.pop()
        for other in locked[place].get("dependencies", ()):
            own = f"{place}/node_modules/{other}"
            path = own if own in locked else f"node_modules/{other}"
            if path not in found:
                found.add(path)
                waiting.append(path)
    return found
