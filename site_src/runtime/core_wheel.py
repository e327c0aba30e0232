"""Build the wheel of the core with the ordinary build tool, outside the working tree."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from site_src.places import CORE, ROOT, BuildError

__all__ = ["build_core_wheel", "core_sources"]


def core_sources() -> list[Path]:
    """Return every file that goes into the wheel, or decides what does."""
    files = [path for path in CORE.rglob("*") if path.is_file() and path.suffix != ".pyc"]
    return [*files, ROOT / "pyproject.toml", ROOT / "LICENSE"]


def build_core_wheel(target: Path) -> Path:
    """Build the wheel into the folder `target` and return its path.

    The sources are copied first, because the build backend leaves folders
    beside them, and takes in what an earlier run left there.
    """
    with tempfile.TemporaryDirectory(prefix="strokebook-core-") as folder:
        for path in core_sources():
            copy = Path(folder) / path.relative_to(ROOT)
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, copy)
        command = [sys.executable, "-m", "build", "--wheel", "--no-isolation"]
        done = subprocess.run(  # noqa: S603  our own arguments, no shell
            [*command, "--outdir", str(target), folder],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )
    wheels = list(target.glob("*.whl"))
    if done.returncode or len(wheels) != 1:
        message = f"The core's wheel could not be built:\n{(done.stdout + done.stderr).strip()}"
        raise BuildError(message)
    return wheels[0]
