"""Serving the workbench: a port taken, the address told, the end on a signal."""

from __future__ import annotations

import gc
import signal
import socket
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from lidoff.bench.app import create_app
from lidoff.bench.bench import Bench
from lidoff.bench.settings import Settings
from lidoff.errors import OutputRefused

__all__ = ["Served", "open_socket", "own_address", "serve"]

TRIED = 20
"""Ports that are tried after the usual one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """Where a workbench is reached.

    Attributes
    ----------
    address : str
        With the key, to be opened by a browser of this computer.
    port : int
    phone : str
        Host and port for a phone on the same network; empty where none may come.
    migrated : str
        That the dossier was brought to the newest format, and where the original is; empty where it was in it.
    """

    address: str
    port: int
    phone: str
    migrated: str = ""


def open_socket(host: str, port: int, *, fixed: bool) -> socket.socket:
    """Take a port to listen on.

    Parameters
    ----------
    host : str
        Address.
    port : int
        The usual one.
    fixed : bool
        Whether a person asked for just this port; else the next free one is taken.

    Returns
    -------
    socket
        Bound.

    Raises
    ------
    OutputRefused
        The port is taken, or may not be.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    reason = ""
    for number in (port,) if fixed or port == 0 else (*range(port, port + TRIED), 0):
        # Only where the protocol is told does the event loop send an answer's last piece at once: else each answer that goes in
        # two pieces waits 40 ms for the other side's word that the first has come.
        taken = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            taken.bind((host, number))
        except (OSError, OverflowError) as error:  # the latter for a number that no port has
            taken.close()
            reason = getattr(error, "strerror", None) or str(error)
        else:
            return taken
    raise OutputRefused(
        f"nothing can listen at {host}, port {port} ({reason})", remedy="name another port with --port"
    )


def own_address() -> str:
    """Address of this computer in its local network; empty where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(("192.0.2.1", 9))  # nothing is sent: this only asks which way such a packet would take
        return str(probe.getsockname()[0])
    return ""


def _keep_what_is_loaded() -> None:
    """Look for garbage among what comes from now on alone: going through all that is loaded holds an edit up for 50 ms."""
    gc.collect()
    gc.freeze()


def _leave(_number: int, _frame: object) -> None:
    raise SystemExit(0)


def serve(folder: Path, settings: Settings, *, phone: bool = False, told: Callable[[Served], None]) -> None:
    """Serve a dossier until a signal ends it.

    Parameters
    ----------
    folder : Path
        Of the dossier; need not hold one yet.
    settings : Settings
        Key and limits; a port of 0 takes any.
    phone : bool
        Whether the server may be reached from the network at all, so that a phone can be let in.
    told : callable (Served)
        Called once requests can come.

    Raises
    ------
    EditRefused
        Another workbench has the dossier open.
    OutputRefused
        No port can be taken.
    DossierError
        The dossier's files cannot be read.
    """
    import uvicorn

    taken = open_socket("0.0.0.0" if phone else settings.host, settings.port, fixed=settings.port_is_fixed)
    try:
        port = int(taken.getsockname()[1])
        bench = Bench(folder, replace(settings, port=port))
        lan = own_address() if phone else ""
        if lan:
            bench.phone.host = f"{lan}:{port}"
        app = create_app(bench)
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            date_header=False,
            # Listening pages never end by themselves.
            timeout_graceful_shutdown=1,
            h11_max_incomplete_event_size=64_000,
        )
        server = uvicorn.Server(config)
        host = "127.0.0.1" if phone or settings.host == "0.0.0.0" else settings.host
        shown = f"[{host}]" if ":" in host else host
        address = f"http://{shown}:{port}/enter?key={bench.settings.key}"
        taken.listen(128)
        bench.on_ready = lambda: told(
            Served(
                address=address,
                port=port,
                phone=bench.phone.host,
                migrated=str(bench.desk.migrated or ""),
            )
        )
        bench.live.on_warm = _keep_what_is_loaded
        # What ends the server is raised again once it has ended; by then this process is to leave in good order.
        signal.signal(signal.SIGTERM, _leave)
        with suppress(KeyboardInterrupt):  # the usual way to end it
            server.run(sockets=[taken])
    finally:
        taken.close()
