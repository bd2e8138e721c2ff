"""Meters reached through VISA: over the network, USB or a serial line."""

from __future__ import annotations

import warnings
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from types import TracebackType
from typing import Any, Protocol

from lidoff.errors import ImpossibleValue, MeterLost

__all__ = ["BACKEND", "Meter", "Opener", "VisaMeter", "addresses", "open_meter"]

BACKEND = "@py"
"""Pure Python, so that no vendor's library is needed."""
PATIENCE = 5.0
"""Seconds that an answer may take; a slow range of a bench meter takes one or two."""


class Meter(Protocol):
    """What a record needs of a meter."""

    @property
    def identity(self) -> str:
        """What it answers to ``*IDN?``."""

    def ask(self, question: str) -> str:
        """Its answer; raises `MeterLost` where none comes."""

    def close(self) -> None:
        """Let go of it."""


Opener = Callable[[str], Meter]
"""Opens a meter at an address; raises `MeterLost` where it cannot."""


@dataclass(frozen=True, slots=True, eq=False)
class VisaMeter:
    """A meter that is open.

    Attributes
    ----------
    address : str
        Where it is.
    identity : str
        What it answers to ``*IDN?``; empty where it does not.
    resource : object
        The open line.
    manager : object
        What opened it.
    """

    address: str
    identity: str
    resource: Any
    manager: Any

    def ask(self, question: str) -> str:
        """Answer to a question.

        Parameters
        ----------
        question : str
            One of SCPI.

        Returns
        -------
        str
            Without line end; bytes beyond ASCII as they came.

        Raises
        ------
        MeterLost
            No answer came.
        """
        try:
            self.resource.write(question)
            # Every byte is a letter in this encoding: what a line garbles is an answer without a number, and no silence.
            return str(self.resource.read(encoding="latin-1")).strip(" \t\r\n")
        except Exception as error:
            raise _lost(f"no answer to {question}", self.address, error) from None

    def close(self) -> None:
        """Let go of the meter; what is gone already is no matter."""
        for one in (self.resource, self.manager):
            with suppress(Exception):
                one.close()

    def __enter__(self) -> VisaMeter:
        """Open until the block ends."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Let go of it."""
        self.close()


def open_meter(address: str, *, backend: str = BACKEND, patience: float = PATIENCE) -> VisaMeter:
    """Open a meter.

    Parameters
    ----------
    address : str
        As VISA writes it, such as ``TCPIP::192.168.1.20::5025::SOCKET`` or ``ASRL/dev/ttyUSB0::INSTR``.
    backend : str, optional
        What PyVISA speaks through.
    patience : float, optional
        How long an answer may take [s].

    Returns
    -------
    VisaMeter
        With its identity, where it tells one.

    Raises
    ------
    ImpossibleValue
        The address is not of that form.
    MeterLost
        Nothing answers there, or the way there is not installed.
    """
    import pyvisa

    try:
        pyvisa.rname.ResourceName.from_string(address)
    except pyvisa.rname.InvalidResourceName:
        raise ImpossibleValue(
            f"{address!r} is no address as VISA writes it",
            remedy="write one such as TCPIP::192.168.1.20::5025::SOCKET or ASRL/dev/ttyUSB0::INSTR",
        ) from None
    try:
        manager = pyvisa.ResourceManager(backend)
    except Exception as error:
        raise _lost("the way to meters cannot be set up", address, error) from None
    try:
        resource: Any = manager.open_resource(
            address, read_termination="\n", write_termination="\n", timeout=round(1000.0 * patience)
        )
    except Exception as error:
        with suppress(Exception):
            manager.close()
        raise _lost("the meter cannot be opened", address, error) from None
    meter = VisaMeter(address, "", resource, manager)
    try:
        return replace(meter, identity=str(resource.query("*IDN?")).strip())
    except pyvisa.VisaIOError as error:
        if error.error_code == pyvisa.constants.StatusCode.error_timeout:
            # Some meters do not know the question and keep silent; that is no reason to refuse them.
            return meter
        meter.close()
        raise _lost("the meter cannot be opened", address, error) from None
    except Exception as error:
        meter.close()
        raise _lost("the meter cannot be opened", address, error) from None


def addresses(*, backend: str = BACKEND) -> tuple[str, ...]:
    """Addresses of the meters that can be seen.

    Parameters
    ----------
    backend : str, optional
        What PyVISA speaks through.

    Returns
    -------
    tuple of str
        Sorted; meters on the network often show only when they are asked for by address.

    Raises
    ------
    MeterLost
        Nothing can be looked for.
    """
    import pyvisa

    try:
        manager = pyvisa.ResourceManager(backend)
        try:
            with warnings.catch_warnings():
                # The library's hints at packages of its own; what it cannot see is told by our own words.
                warnings.simplefilter("ignore")
                return tuple(sorted(manager.list_resources("?*")))
        finally:
            manager.close()
    except Exception as error:
        raise _lost("meters cannot be looked for", backend, error) from None


def _lost(what: str, address: str, error: Exception) -> MeterLost:
    # A library's own sentence goes before its number and name of the error.
    told = getattr(error, "description", "") or str(error)
    reason = " ".join(str(told).split()).rstrip(".") or type(error).__name__
    return MeterLost(
        f"{what} ({reason[:200]})",
        where=address,
        remedy="check cable, power and address; lidoff record --list shows what can be seen",
    )
