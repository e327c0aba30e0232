"""Code of the page's modules, run under Node."""

from __future__ import annotations

import json
import subprocess
from typing import Any

from site_src.places import ASSETS
from site_src.runtime.node import program

__all__ = ["run"]


def run(module: str, code: str, **given: object) -> Any:  # noqa: ANN401  whatever JSON holds
    """Run code with a module of the page as `it` and values as `given`, and return its result."""
    address = (ASSETS / "js" / module).as_uri()
    script = f"""
        import * as it from "{address}";
        const given = {json.dumps(given)};
        console.log(JSON.stringify({code}));
    """
    done = subprocess.run(
        [str(program("node")), "--input-type=module", "--no-warnings", "--eval", script],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
