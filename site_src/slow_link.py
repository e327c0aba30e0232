"""A slow line before a server on this machine, to measure what bytes cost."""

from __future__ import annotations

import socket
import threading
from contextlib import contextmanager, suppress
from time import sleep
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["slow_link"]

HOST = "127.0.0.1"
PIECE = 16_384  # bytes passed on at a time


class _Line:
    """What all connections share: one piece is on its way at a time."""

    def __init__(self, rate: float, delay: float) -> None:
        self.rate = rate
        self.delay = delay
        self.lock = threading.Lock()

    def send(self, size: int) -> None:
        with self.lock:
            sleep(size / self.rate)


@contextmanager
def slow_link(address: str, *, rate: float, delay: float) -> Iterator[str]:
    """Pass on what a server answers, at the rate of a slow line, and give the new address.

    Parameters
    ----------
    address : str
        Of the server, with http and a port.
    rate : float
        Bytes per second that all answers have together.
    delay : float
        Seconds there and back, waited for each connection and each request.
    """
    place = urlsplit(address)
    line = _Line(rate, delay)
    with socket.create_server((HOST, 0)) as door:
        thread = threading.Thread(target=_let_in, args=(door, place.port, line), daemon=True)
        thread.start()
        try:
            yield f"http://{HOST}:{door.getsockname()[1]}{place.path}"
        finally:
            with suppress(OSError):
                door.shutdown(socket.SHUT_RDWR)


def _let_in(door: socket.socket, port: int, line: _Line) -> None:
    while True:
        try:
            reader, _ = door.accept()
        except OSError:
            return  # the door is shut
        server = socket.create_connection((HOST, port))
        for work in (_ask, _answer):
            threading.Thread(target=work, args=(reader, server, line), daemon=True).start()


def _ask(reader: socket.socket, server: socket.socket, line: _Line) -> None:
    sleep(line.delay)  # the connection
    with suppress(OSError):
        while request := reader.recv(PIECE):
            sleep(line.delay)
            server.sendall(request)
        server.shutdown(socket.SHUT_WR)


def _answer(reader: socket.socket, server: socket.socket, line: _Line) -> None:
    with reader, server, suppress(OSError):
        while piece := server.recv(PIECE):
            line.send(len(piece))
            reader.sendall(piece)
