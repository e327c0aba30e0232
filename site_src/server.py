"""A server for this machine alone, with the types that the browser insists on.

It needs nothing but Python: the archive that carries the whole site carries it too.
"""

from __future__ import annotations

import gzip
import sys
import threading
from contextlib import contextmanager
from email.utils import parsedate_to_datetime
from functools import lru_cache, partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import BinaryIO

__all__ = ["serving_folder"]

HOST = "127.0.0.1"
TYPES = {
    ".css": "text/css",
    ".html": "text/html",
    ".js": "text/javascript",
    ".json": "application/json",
    ".mjs": "text/javascript",
    ".svg": "image/svg+xml",
    ".txt": "text/plain",
    ".wasm": "application/wasm",  # with any other type the runtime hangs while it loads
    ".webmanifest": "application/manifest+json",
    ".whl": "application/zip",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
    ".zip": "application/zip",
}
WITH_CHARSET = ("text/", "application/json", "application/xml")


COMPRESSED = frozenset({".css", ".html", ".js", ".json", ".mjs", ".svg", ".webmanifest"})


@lru_cache(maxsize=512)
def _compressed(path: Path, changed: int) -> bytes:
    """Return a file as gzip; `changed` tells one state of the file from the next."""
    del changed
    return gzip.compress(path.read_bytes(), 6, mtime=0)


class _Handler(SimpleHTTPRequestHandler):
    """Quiet, and never stale: the browser asks each time and gets 304 if nothing changed."""

    protocol_version = "HTTP/1.1"
    extensions_map = TYPES
    compressed = COMPRESSED

    def guess_type(self, path: str) -> str:  # type: ignore[override]  # it is only given str here
        """Return the type by the file's ending, not by what this machine thinks."""
        kind = str(super().guess_type(path))
        return f"{kind}; charset=utf-8" if kind.startswith(WITH_CHARSET) else kind

    def send_head(self) -> BytesIO | BinaryIO | None:
        """Send texts compressed to who can read that, as hosts on the web do."""
        path = Path(self.translate_path(self.path))
        if path.is_dir() and self.path.partition("?")[0].endswith("/"):
            path /= "index.html"
        wanted = (
            "gzip" in self.headers.get("Accept-Encoding", "") and path.suffix in self.compressed
        )
        if not (wanted and path.is_file()) or self._is_known(path):
            return super().send_head()
        body = _compressed(path, path.stat().st_mtime_ns)
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", self.guess_type(str(path)))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Last-Modified", self.date_time_string(path.stat().st_mtime))
        self.send_header("Vary", "Accept-Encoding")
        self.end_headers()
        return BytesIO(body)

    def _is_known(self, path: Path) -> bool:
        """Return whether the browser has the file as it is; the base class then answers 304."""
        try:
            kept = parsedate_to_datetime(self.headers.get("If-Modified-Since", ""))
        except ValueError:
            return False
        return int(path.stat().st_mtime) <= kept.timestamp()

    def end_headers(self) -> None:
        """Let the browser keep everything, but ask before it uses it again."""
        self.send_header("Cache-Control", "no-cache")
        self.send_header("X-Content-Type-Options", "nosniff")
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  the base class's name
        """Tell of nothing: a page takes dozens of files."""


class _FarHandler(_Handler):
    compressed = COMPRESSED | {".wasm"}


class _Server(ThreadingHTTPServer):
    """Gives up quietly on readers who left while a file was on its way."""

    daemon_threads = True

    def handle_error(self, request: object, client_address: object) -> None:
        """Keep silent about a connection that the browser closed, tell of all else."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]  # passed on


@contextmanager
def serving_folder(folder: Path, *, port: int = 0, far: bool = False) -> Iterator[str]:
    """Serve `folder` while the block runs, and give its address.

    Parameters
    ----------
    folder : Path
        What to serve.
    port : int
        Where; 0 takes any free port.
    far : bool
        Whether to compress the runtime too, as for readers who are not on this machine.

    Raises
    ------
    OSError
        If the port is taken or not allowed.
    OverflowError
        If there is no such port.
    """
    handler = _FarHandler if far else _Handler
    server = _Server((HOST, port), partial(handler, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, name="site server", daemon=True)
    thread.start()
    try:
        yield f"http://{HOST}:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
