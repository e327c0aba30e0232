"""Serve the handbook that this archive carries: ``python3 strokebook.pyz [PORT]``."""

from __future__ import annotations

import sys
import tempfile
import threading
import zipfile
from pathlib import Path

from server import (  # type: ignore[import-not-found]  # it stands beside this file in the archive
    serving_folder,
)

USUAL_PORT = 8000


def main() -> int:
    """Unpack the site into a temporary folder and serve it until Ctrl+C."""
    text = sys.argv[1] if len(sys.argv) > 1 else str(USUAL_PORT)
    if not text.isdecimal():
        sys.stderr.write(f"{text} is no port. Run: python3 strokebook.pyz [PORT]\n")
        return 2
    with tempfile.TemporaryDirectory(prefix="strokebook-") as folder:
        with zipfile.ZipFile(Path(__file__).parent) as archive:
            members = [name for name in archive.namelist() if name.startswith("site/")]
            archive.extractall(folder, members)
        try:
            with serving_folder(Path(folder) / "site", port=int(text)) as address:
                sys.stdout.write(f"Strokebook is at {address} (Ctrl+C stops it)\n")
                sys.stdout.flush()
                threading.Event().wait()
        except KeyboardInterrupt:
            return 0
        except (OSError, OverflowError) as error:
            sys.stderr.write(f"Port {text} cannot be used ({error}). Name another one.\n")
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
