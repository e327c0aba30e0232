"""Turn the Python files of a zip archive into byte code.

Runs inside the browser's own Python (under Node, see pack.mjs): byte code belongs
to one version of Python, and ``pyodide py-compile`` makes it for the Python that
runs it, which is the browser's on hardly any machine. This way it is right, and the
same to the byte, whatever Python builds the site.
"""

from __future__ import annotations

import py_compile
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory

__all__ = ["compile_archive"]

EPOCH = (1980, 1, 1, 0, 0, 0)  # the oldest date a zip file can hold: same input, same bytes


def compile_archive(source: str, target: str, optimize: int) -> None:
    """Write `target`, a zip file like `source` with every .py file as .pyc.

    With `optimize` 0 docstrings and assertions stay, with 2 both go.

    Deflated, because few hosts compress .zip files on their way: standard library,
    core and numpy are 4.2 MB on every host. Stored they would be 3.2 MB where the host
    uses brotli, 3.9 MB with gzip, but 12.6 MB without; and start some 50 ms sooner.
    """
    with (
        zipfile.ZipFile(source) as given,
        zipfile.ZipFile(target, "w") as made,
        TemporaryDirectory() as folder,
    ):
        for name in sorted(given.namelist()):
            if name.endswith("/"):
                continue  # a folder
            content = given.read(name)
            if name.endswith(".py"):
                content = _compiled(content, name, Path(folder), optimize)
                name += "c"  # noqa: PLW2901  module.py -> module.pyc
            info = zipfile.ZipInfo(name, EPOCH)
            made.writestr(info, content, zipfile.ZIP_DEFLATED, compresslevel=9)


def _compiled(content: bytes, name: str, folder: Path, optimize: int) -> bytes:
    path = folder / "module.py"
    path.write_bytes(content)
    compiled = py_compile.compile(
        str(path),
        str(folder / "module.pyc"),
        dfile=name,
        doraise=True,
        optimize=optimize,
        invalidation_mode=py_compile.PycInvalidationMode.UNCHECKED_HASH,
    )
    return Path(str(compiled)).read_bytes()
