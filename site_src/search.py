"""Put the theme's search off until somebody searches: nobody else fetches its index."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING

from site_src.places import BuildError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["put_off_search"]


def put_off_search(site: Path) -> None:
    """Move the index out of the file that every page fetches, and our worker before theirs.

    The pages ask for the theme's worker by its name, so ours takes that name;
    ``search-worker.js`` says what it does there.

    Raises
    ------
    BuildError
        If the theme keeps its search elsewhere than expected.
    """
    index = site / "search" / "search_index.json"
    workers = site / "assets" / "javascripts" / "workers"
    found = list(workers.glob("search.*.min.js"))
    if not index.is_file() or len(found) != 1:
        message = "The theme's search isn't where it was: look at site_src/search.py."
        raise BuildError(message)
    held = json.loads(index.read_text(encoding="utf-8"))
    (site / "search" / "pages.json").write_text(json.dumps(held["docs"]), encoding="utf-8")
    index.write_text(json.dumps(held | {"docs": []}), encoding="utf-8")
    theirs = found[0].rename(workers / "theirs.js")
    shutil.move(site / "app" / "js" / "search-worker.js", theirs.with_name(found[0].name))
