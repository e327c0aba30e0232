"""Bundle our scripts and style sheets into few small files, so that a page asks for little."""

from __future__ import annotations

from typing import TYPE_CHECKING

from site_src.places import ASSETS, ROOT
from site_src.runtime import node
from site_src.runtime.fetch import site_packages

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["bundle"]

# What the pages and the worker's starter ask for by name.
ENTRIES = (
    "js/site.js",
    "js/worker.js",
    "js/search-worker.js",
    "js/sw-worker.js",
    "css/site.css",
    "css/late.css",
)
OPTIONS = (
    "--bundle",
    "--minify",
    "--format=esm",
    "--target=es2022",
    "--sourcemap",
    "--external:*.woff2",  # copied as they are
    "--log-level=warning",
)


def bundle(app: Path) -> None:
    """Write the bundles of scripts and style sheets into the folder `app`.

    Raises
    ------
    BuildError
        If a file that is imported is missing, or cannot be read.
    """
    program = site_packages() / "esbuild" / "bin" / "esbuild"
    arguments = [str(program), *(str(ASSETS / name) for name in ENTRIES), *OPTIONS]
    arguments += [f"--outbase={ASSETS}", f"--outdir={app}"]
    node.run("node", arguments, folder=ROOT, task="Bundling scripts and style sheets")
