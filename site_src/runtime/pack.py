"""Pack what the browser's Python needs into one folder, with a digest for every file.

- the runtime itself, unchanged;
- ``python_stdlib.zip``: the standard library, trimmed and byte-compiled;
- ``calculators.zip`` and ``numpy.zip``: byte-compiled, the one read as it is, the other unpacked;
- ``pyodide-lock.json``: both packages with their digests, in the runtime's own format;
- ``snapshot-….bin``: the memory of a Python that has started and imported the core;
- ``manifest.json``: build id, and digest and size of every file.

Each archive is cached under the digest of all that it is made from. pyodide-build
bundles the archives and describes them for the runtime. It comes in another version for
Python 3.11 than for newer ones; only what both have is used, so the build is the same.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pyodide_lock import PackageSpec

from site_src.places import CACHE, ROOT, RUNTIME
from site_src.runtime import node
from site_src.runtime.alone import alone
from site_src.runtime.core_wheel import build_core_wheel, core_sources
from site_src.runtime.digest import sha256_of_file, sha256_of_files
from site_src.runtime.fetch import site_packages
from site_src.runtime.select import (
    core_file,
    numpy_file,
    require_kept_imports,
    select,
    stdlib_file,
)
from site_src.runtime.wheel import NUMPY, numpy_wheel, runtime_lock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

__all__ = ["pack"]

PACKED = CACHE / "packed"
RUNTIME_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm")
LOCKED = (  # what the runtime reads of a package, and every version of PackageSpec has
    "name version file_name install_dir sha256 package_type imports depends unvendored_tests"
).split()
RECIPE = ("bytecode.py", "kept.py", "pack.mjs", "select.py")  # change one: pack everything anew


@dataclass(frozen=True, slots=True)
class Archive:
    """One zip archive for the browser: made by `sources`, cached under `digest`."""

    name: str
    digest: str
    sources: Callable[[Path], None]  # writes the zip archive of sources to the path given
    optimize: int = 2  # of Python's compiler: nobody asks for these docstrings

    @property
    def cached(self) -> Path:
        """Where the finished archive is kept."""
        return PACKED / f"{Path(self.name).stem}-{self.digest[:16]}.zip"


@alone()
def pack(target: Path) -> str:
    """Fill the folder `target`, removing what was there, and return the build id."""
    packages = site_packages()
    archives = _archives(packages)
    _make_missing(archives, packages)
    shutil.rmtree(target, ignore_errors=True)
    target.mkdir(parents=True)
    for name in RUNTIME_FILES:
        shutil.copyfile(packages / "pyodide" / name, target / name)
    for archive in archives:
        shutil.copyfile(archive.cached, target / archive.name)
    _write_lock(target, runtime_lock(packages))
    _add_snapshot(target)
    return _write_manifest(target)


def _archives(packages: Path) -> tuple[Archive, ...]:
    library = packages / "pyodide" / "python_stdlib.zip"
    numpy = numpy_wheel(packages)
    recipe = sha256_of_files((RUNTIME / name for name in RECIPE), root=RUNTIME)
    recipe += sha256_of_file(packages / "pyodide" / "pyodide-lock.json")  # which Python compiles

    def digest(content: str) -> str:
        return hashlib.sha256(f"{recipe} {content}".encode()).hexdigest()

    return (
        Archive(
            "python_stdlib.zip",
            digest(sha256_of_file(library)),
            lambda path: select(library, path, stdlib_file),
        ),
        Archive(
            "calculators.zip",
            digest(sha256_of_files(core_sources(), root=ROOT)),
            _select_core,
            optimize=0,  # the working takes its sources from docstrings
        ),
        Archive("numpy.zip", digest(NUMPY.sha256), lambda path: select(numpy, path, numpy_file)),
    )


def _select_core(target: Path) -> None:
    with tempfile.TemporaryDirectory(prefix="strokebook-") as folder:
        select(build_core_wheel(Path(folder)), target, core_file)
    require_kept_imports(target)


def _make_missing(archives: Iterable[Archive], packages: Path) -> None:
    missing = [archive for archive in archives if not archive.cached.is_file()]
    if not missing:
        return
    PACKED.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="making-", dir=PACKED) as temporary:
        folder = Path(temporary)
        arguments = [str(RUNTIME / "pack.mjs"), str(packages / "pyodide")]
        arguments.append(str(RUNTIME / "bytecode.py"))
        for archive in missing:
            source = folder / f"source-{archive.name}"
            archive.sources(source)
            arguments += [str(source), str(folder / archive.name), str(archive.optimize)]
        node.run("node", arguments, folder=ROOT, task="Compiling for the browser's Python")
        for archive in missing:
            _forget_older(archive)
            (folder / archive.name).replace(archive.cached)


def _forget_older(archive: Archive) -> None:
    for older in PACKED.glob(f"{Path(archive.name).stem}-*.zip"):
        older.unlink()


def _write_lock(target: Path, runtime: dict[str, Any]) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    versions = {"numpy": runtime["packages"]["numpy"]["version"], "calculators": project["version"]}
    packages = {}
    for name, version in versions.items():
        spec = PackageSpec(
            name=name,
            version=version,
            file_name=f"{name}.zip",
            install_dir="site",
            sha256=sha256_of_file(target / f"{name}.zip"),
            imports=[name],
        )
        packages[name] = {key: getattr(spec, key) for key in LOCKED}
    lock = json.dumps({"info": runtime["info"], "packages": packages}, indent=1)
    (target / "pyodide-lock.json").write_text(lock + "\n", encoding="utf-8")


def _add_snapshot(target: Path) -> None:
    """Add the memory of a started Python, from which the next one starts sooner.

    Its content is in its name: with another edition's, the page would go on with another core.
    """
    recipe = [RUNTIME / "snapshot.mjs", RUNTIME / "start.mjs", *sorted(target.iterdir())]
    digest = hashlib.sha256(" ".join(map(sha256_of_file, recipe)).encode()).hexdigest()
    cached = PACKED / f"snapshot-{digest[:16]}.bin"
    if not cached.is_file():
        for older in PACKED.glob("snapshot-*"):
            older.unlink()
        unfinished = cached.with_suffix(".unfinished")
        arguments = [str(RUNTIME / "snapshot.mjs"), str(target), str(unfinished)]
        node.run("node", arguments, folder=ROOT, task="Taking a snapshot of the browser's Python")
        unfinished.replace(cached)
    shutil.copyfile(cached, target / f"snapshot-{sha256_of_file(cached)[:16]}.bin")


def _write_manifest(target: Path) -> str:
    files = {
        path.name: {"sha256": sha256_of_file(path), "bytes": path.stat().st_size}
        for path in sorted(target.iterdir())
    }
    build = hashlib.sha256(json.dumps(files, sort_keys=True).encode()).hexdigest()[:16]
    manifest = json.dumps({"build": build, "files": files}, indent=1)
    (target / "manifest.json").write_text(manifest + "\n", encoding="utf-8")
    return build
