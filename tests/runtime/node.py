"""The packed Python of the browser, run under Node and asked by the tests."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from site_src.runtime.node import program

if TYPE_CHECKING:
    from types import TracebackType

__all__ = ["BrowserPython", "BrowserPythonError"]

SCRIPT = Path(__file__).with_name("browser_python.mjs")


class BrowserPythonError(Exception):
    """The browser's Python answered with an exception; the message is its traceback."""


class BrowserPython:
    """One Node process with the packed runtime; starts once, answers many questions.

    Parameters
    ----------
    packed : Path
        The folder that ``site_src.runtime.pack.pack`` made.
    numpy : bool
        Whether numpy is unpacked too.
    """

    def __init__(self, packed: Path, *, numpy: bool = True) -> None:
        archives = ["calculators.zip", "numpy.zip"] if numpy else ["calculators.zip"]
        self._process = subprocess.Popen(
            [str(program("node")), str(SCRIPT), str(packed), *archives],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
        )

    def __enter__(self) -> Self:
        """Return itself: the process already runs."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End the process."""
        self.close()

    def close(self) -> None:
        """End the process and wait for it."""
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                pipe.close()
        self._process.wait(timeout=10)

    def run(self, source: str) -> Any:  # noqa: ANN401  whatever JSON holds
        """Run statements; return the value of `answer`, which they may set."""
        return self._ask({"op": "run", "source": source})

    def call(self, function: str, arguments: dict[str, Any]) -> Any:  # noqa: ANN401  whatever JSON holds
        """Call ``package.module.function`` with keyword arguments.

        Dataclasses come back as dictionaries, tuples as lists, numpy as lists.
        """
        return self._ask({"op": "call", "function": function, "arguments": arguments})

    def _ask(self, question: dict[str, Any]) -> Any:  # noqa: ANN401  whatever JSON holds
        if self._process.stdin is None or self._process.stdout is None:
            raise BrowserPythonError("no pipes")  # noqa: EM101, TRY003  only for the type checker
        self._process.stdin.write(json.dumps(question) + "\n")
        self._process.stdin.flush()
        line = self._process.stdout.readline()
        if not line:
            message = "the browser's Python ended; its last words are on standard error"
            raise BrowserPythonError(message)
        reply = json.loads(line)
        if "error" in reply:
            raise BrowserPythonError(reply["error"])
        return reply["value"]
