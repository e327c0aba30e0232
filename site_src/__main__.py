"""The command line of the site: ``python -m site_src COMMAND``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from site_src.archive import archive
from site_src.build import build, fetch, pack_runtime
from site_src.places import BuildError
from site_src.runtime.tools import check_html, check_scripts, lock_npm_packages
from site_src.serve import serve

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0, or 1 after telling what went wrong and what to do."""
    options = _parser().parse_args(arguments)
    try:
        _run(options)
    except BuildError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("\nstopped\n")
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m site_src", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("fetch", help="fetch and verify what comes from outside")
    commands.add_parser("pack", help="pack the browser's Python")
    commands.add_parser("build", help="make the whole site in site/")
    commands.add_parser("scripts", help="check the types of the site's scripts")
    commands.add_parser("html", help="check that the built pages are valid HTML")
    commands.add_parser("text", help="check length, readability and spelling of the pages")
    commands.add_parser("bench", help="measure the built site and write docs/evidence/speed.md")
    commands.add_parser("audit", help="audit the built site and write docs/evidence/quality.md")
    commands.add_parser("advisories", help="ask what is known against the npm packages")
    commands.add_parser("lock", help="choose the versions of the npm packages anew")
    printer = commands.add_parser(
        "spec", help="print the specification of a job file as PDF, from the built site"
    )
    printer.add_argument("job", metavar="JOB", type=Path, help="a *.job.json file")
    printer.add_argument("-o", "--output", type=Path, help="JOB.pdf if not given")
    printer.add_argument("--paper", choices=["a4", "letter"], default="a4")
    book = commands.add_parser("handbook", help="print the whole built site as one PDF")
    book.add_argument("-o", "--output", type=Path, default=Path("handbook.pdf"))
    packer = commands.add_parser("archive", help="pack the built site into one file that serves it")
    packer.add_argument("-o", "--output", type=Path, default=Path("strokebook.pyz"))
    server = commands.add_parser("serve", help="make the site and serve it on this machine")
    server.add_argument("--port", type=int, default=8000)
    return parser


def _run(options: argparse.Namespace) -> None:
    """Run the chosen command."""
    if options.command == "serve":
        serve(port=options.port)
    elif options.command == "archive":
        archive(options.output)
    elif options.command == "spec":
        _specification(options)
    elif options.command == "handbook":
        _handbook(options)
    else:
        COMMANDS[options.command]()


def _specification(options: argparse.Namespace) -> None:
    """Print a specification; imported only now, since it needs what the tests need."""
    from site_src.paper import print_specification  # noqa: PLC0415

    output = options.output or Path(options.job.name).with_suffix("").with_suffix(".pdf")
    print_specification(options.job, output, paper=options.paper)


def _handbook(options: argparse.Namespace) -> None:
    """Print the handbook; imported only now, since it needs what the tests need."""
    from site_src.handbook import print_handbook  # noqa: PLC0415

    print_handbook(options.output)


def _bench() -> None:
    """Measure; imported only now, since it needs what the tests need."""
    from site_src.bench import bench  # noqa: PLC0415

    bench()


def _audit() -> None:
    """Audit; imported only now, since it needs what the tests need."""
    from site_src.audit import audit  # noqa: PLC0415

    audit()


def _advisories() -> None:
    """Ask the registry; imported only now, since it needs what the tests need."""
    from site_src.audit import advisories  # noqa: PLC0415

    advisories()


def _text() -> None:
    """Check the pages; imported only now, since it needs what the tests need."""
    from site_src.text_checks import check  # noqa: PLC0415

    check()


COMMANDS = {
    "fetch": fetch,
    "pack": pack_runtime,
    "build": build,
    "scripts": check_scripts,
    "html": check_html,
    "audit": _audit,
    "advisories": _advisories,
    "text": _text,
    "bench": _bench,
    "lock": lock_npm_packages,
}

if __name__ == "__main__":
    sys.exit(main())
