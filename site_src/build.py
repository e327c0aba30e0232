"""Build the site, one step after the other, and say how long each took."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from base64 import b64encode
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

from site_src import fonts
from site_src.bundle import bundle
from site_src.links import make_relative
from site_src.mend import mend_pages
from site_src.offline import make_offline
from site_src.places import ASSETS, CACHE, MKDOCS_YML, ROOT, SITE, BuildError
from site_src.policy import set_policy
from site_src.runtime.alone import alone
from site_src.runtime.digest import sha256_of_file
from site_src.runtime.fetch import site_packages
from site_src.runtime.pack import pack
from site_src.runtime.wheel import numpy_wheel
from site_src.search import put_off_search
from site_src.styles import merge_styles

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["build", "fetch", "pack_runtime", "publish"]

PYTHON = CACHE / "python"  # the browser's Python, packed
MADE = CACHE / "site"  # the site while it is made

# The theme's search in other languages than English: 1 MB, with licences of their own.
LANGUAGES = MADE / "assets" / "javascripts" / "lunr"
CHARTS = (
    "vega/build/vega.min.js",
    "vega-lite/build/vega-lite.min.js",
)
INTERPRETER = "vega-interpreter/build/vega-interpreter.js"
# The interpreter is a module that imports from a package by name, which a browser cannot
# resolve; the chart library, loaded before it, holds the same functions.
PACKAGE_IMPORT = re.compile(r"^import \{([^}]*)\} from 'vega-util';", re.MULTILINE)
FONT_ADDRESS = re.compile(r"/fonts/([\w-]+\.woff2)")


@alone()
def fetch() -> None:
    """Fetch and verify everything that comes from outside."""
    with _step("fetch") as notes:
        packages = site_packages()
        notes.append(numpy_wheel(packages).name)


def pack_runtime() -> None:
    """Pack the browser's Python."""
    with _step("pack") as notes:
        notes.append(f"build {pack(PYTHON)}")


@alone()
def build() -> None:
    """Build the whole site and put it in the place of ``site/``.

    What stands there can be served meanwhile: it is replaced as a whole, and only
    if everything went well.

    Raises
    ------
    BuildError
        If a part is missing, cannot be fetched, or the pages have a fault.
    """
    for needed in (MKDOCS_YML, ASSETS):
        if not needed.exists():
            message = f"{needed.relative_to(ROOT)} is missing: the site cannot be built without it."
            raise BuildError(message)
    fetch()
    pack_runtime()
    with _step("pages"):
        _build_pages()
        make_relative(MADE)
        mend_pages(MADE)
        set_policy(MADE)
    with _step("app"):
        _copy_app(MADE / "app")
        merge_styles(MADE)
        put_off_search(MADE)
        make_offline(MADE)
    publish(MADE, SITE)


def publish(made: Path, place: Path) -> None:
    """Move the folder `made` to `place`, and remove what was there."""
    former = made.with_name(f"{made.name}-former")
    shutil.rmtree(former, ignore_errors=True)
    if place.exists():
        place.rename(former)
    made.rename(place)
    shutil.rmtree(former, ignore_errors=True)


def _build_pages() -> None:
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"]
    command += ["--config-file", str(MKDOCS_YML), "--site-dir", str(MADE)]
    quiet = os.environ | {"NO_MKDOCS_2_WARNING": "1"}  # the theme's word about another program
    done = subprocess.run(command, cwd=ROOT, env=quiet, stdin=subprocess.DEVNULL, check=False)  # noqa: S603  our own arguments, no shell
    if done.returncode:
        message = "The pages have faults, told above: nothing was published."
        raise BuildError(message)
    shutil.rmtree(LANGUAGES)


def _copy_app(app: Path) -> None:
    bundle(app)
    shutil.copytree(ASSETS / "img", app / "img")
    shutil.copytree(PYTHON, app / "python")
    _tell_worker(app)
    packages = site_packages()
    for name in CHARTS:
        _copy(packages / name, app / "vega")
    _copy_interpreter(packages / INTERPRETER, app / "vega")
    for name in _font_names():
        source = _font(packages, name)
        _copy(_cut_font(source) if "-math-" in name else source, app / "fonts")


def _tell_worker(app: Path) -> None:
    """Tell the worker the digest of each of Python's files, in its first line."""
    digests = {
        path.name: f"sha256-{b64encode(bytes.fromhex(sha256_of_file(path))).decode()}"
        for path in sorted((app / "python").iterdir())
    }
    worker = app / "js" / "worker.js"
    text = worker.read_text(encoding="utf-8")
    worker.write_text(f"self.PACKED = {json.dumps(digests)};\n{text}", encoding="utf-8")


def _copy(source: Path, folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(source, folder / source.name)


def _copy_interpreter(source: Path, folder: Path) -> None:
    text, count = PACKAGE_IMPORT.subn(
        r"const {\1} = globalThis.vega;", source.read_text(encoding="utf-8")
    )
    if count != 1:
        message = (
            f"{source.name} no longer imports as expected: look at PACKAGE_IMPORT in "
            "site_src/build.py."
        )
        raise BuildError(message)
    (folder / source.name).write_text(text, encoding="utf-8")


def _font_names() -> set[str]:
    """Return the font files that the style sheets ask for."""
    sheets = [path.read_text(encoding="utf-8") for path in ASSETS.rglob("*.css")]
    return {name for sheet in sheets for name in FONT_ADDRESS.findall(sheet)}


def _cut_font(source: Path) -> Path:
    """Return the font with the signs of formulas only, made once for each list of signs."""
    recipe = sha256_of_file(source) + sha256_of_file(Path(fonts.__file__))
    made = CACHE / "fonts" / sha256(recipe.encode()).hexdigest()[:16] / source.name
    if not made.exists():
        made.parent.mkdir(parents=True, exist_ok=True)
        unfinished = made.with_suffix(".unfinished")
        fonts.cut(source, unfinished)
        unfinished.rename(made)
    return made


def _font(packages: Path, name: str) -> Path:
    found = next(packages.glob(f"@fontsource*/*/files/{name}"), None)
    if found is None:
        message = (
            f"A style sheet asks for the font {name}, which no package in "
            "site_src/runtime/package.json has: add the package and run `make lock`."
        )
        raise BuildError(message)
    return found


@contextmanager
def _step(name: str) -> Iterator[list[str]]:
    """Time one step and print one line about it when it is done."""
    notes: list[str] = []
    start = perf_counter()
    yield notes
    line = f"{name:6}{perf_counter() - start:6.1f} s  {' '.join(notes)}"
    sys.stdout.write(f"{line.rstrip()}\n")
    sys.stdout.flush()
