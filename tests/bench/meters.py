"""A meter on this machine's network that can be unplugged."""

from __future__ import annotations

import socket
import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager


class LoneMeter:
    """A meter that answers on a port of its own until it is unplugged."""

    def __init__(self) -> None:
        self._port = 0
        self._server: socketserver.ThreadingTCPServer | None = None
        self._lines: list[socket.socket] = []

    @property
    def address(self) -> str:
        """As VISA writes it."""
        return f"TCPIP::127.0.0.1::{self._port}::SOCKET"

    def plug_in(self) -> None:
        """Answer from now on, at the same address as before."""
        lines = self._lines

        class Answers(socketserver.StreamRequestHandler):
            def handle(self) -> None:
                lines.append(self.request)
                for line in self.rfile:
                    word = line.strip()
                    answer = b"Fernmess,FM-1 (invented),7,1.0" if word == b"*IDN?" else b"+4.98760E+00"
                    self.wfile.write(answer + b"\n")

        class Server(socketserver.ThreadingTCPServer):
            allow_reuse_address = True
            daemon_threads = True

            def handle_error(self, request: object, client_address: object) -> None:
                """A line that was cut is what is tested."""

        self._server = Server(("127.0.0.1", self._port), Answers)
        self._port = int(self._server.server_address[1])
        threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True).start()

    def unplug(self) -> None:
        """Answer no more; lines that stand are cut."""
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server = None
        while self._lines:
            line = self._lines.pop()
            try:
                line.shutdown(socket.SHUT_RDWR)
            except OSError:
                continue


@contextmanager
def lone_meter() -> Iterator[LoneMeter]:
    """Meter that is plugged in when the block begins."""
    meter = LoneMeter()
    meter.plug_in()
    try:
        yield meter
    finally:
        meter.unplug()
