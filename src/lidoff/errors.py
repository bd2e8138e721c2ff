"""The one tree of errors; every message says what is wrong, where, and what to do.

::

    LidoffError
      DossierError      the folder says something impossible or unreadable     (exit 2, HTTP 422)
      ImpossibleValue   a number or text outside what the quantity allows       (exit 2, HTTP 422)
      UnknownName       a name that is not among the known ones                 (exit 2, HTTP 422)
      CircuitFault      the circuit cannot be solved as it is wired             (exit 2, HTTP 422)
      NetsUnsettled     no operating point was found; names the nets            (exit 3, HTTP 422)
      PhotoRefused      too large, not a picture, or changed on disk            (exit 2, HTTP 415)
      OutputRefused     a result could not be written where it was asked for    (exit 2, HTTP 507)
      CommandUnclear    a command line that cannot be read                      (exit 2, HTTP 422)
      EditRefused       an edit that would undo what another has done since     (exit 2, HTTP 409)
      MeterLost         a live meter that does not answer, or is another one    (exit 2, HTTP 502)
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

__all__ = [
    "CircuitFault",
    "CommandUnclear",
    "DossierError",
    "EditRefused",
    "ImpossibleValue",
    "LidoffError",
    "MeterLost",
    "NetsUnsettled",
    "OutputRefused",
    "PhotoRefused",
    "UnknownName",
    "located",
    "nearest_name",
]


class LidoffError(Exception):
    """Base of every error that the analyst can cause and mend.

    Parameters
    ----------
    what : str
        What is wrong, with the offending value.
    where : str, optional
        File and line, part, net or place on a photo; empty until an outer room knows it.
    remedy : str, optional
        What to do about it.
    faults : iterable of LidoffError, optional
        The single faults, where several were found in one pass.
    """

    exit_code = 2
    http_status = 422

    def __init__(
        self, what: str, *, where: str = "", remedy: str = "", faults: Iterable[LidoffError] = ()
    ) -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.remedy = remedy
        self.faults = tuple(faults)

    def __str__(self) -> str:
        """Text of the error: place, fault and cure; then each single fault on its own line."""
        head = f"{self.where}: {self.what}" if self.where else self.what
        if self.remedy:
            head = f"{head}; {self.remedy}"
        return "\n".join([head, *(f"  {fault}" for fault in self.faults)])

    def __reduce__(self) -> tuple[Any, ...]:
        """Rebuild from the fields, so that an error survives the way back from a worker process."""
        return _rebuild, (type(self), self.what, dict(self.__dict__))


def _rebuild(kind: type[LidoffError], what: str, fields: dict[str, Any]) -> LidoffError:
    error = kind.__new__(kind)
    Exception.__init__(error, what)
    error.__dict__.update(fields)
    return error


class DossierError(LidoffError):
    """The dossier's folder or one of its files says something impossible or unreadable."""


class ImpossibleValue(LidoffError):
    """A number or text lies outside what the quantity allows."""


class UnknownName(LidoffError):
    """A name is not among the known ones; the nearest known name is suggested.

    Parameters
    ----------
    what : str
        What is wrong, with the offending name.
    where, remedy : str, optional
        As for `LidoffError`.
    name : str
        The unknown name.
    known : iterable of str
        The names that would have been accepted.
    """

    def __init__(
        self,
        what: str,
        *,
        where: str = "",
        remedy: str = "",
        name: str = "",
        known: Iterable[str] = (),
    ) -> None:
        self.name = name
        self.known = tuple(sorted(known))
        if not remedy and self.known:
            near = nearest_name(name, self.known)
            listed = ", ".join(self.known[:12]) + (", …" if len(self.known) > 12 else "")
            remedy = f"did you mean {near!r}? (known: {listed})" if near else f"known: {listed}"
        super().__init__(what, where=where, remedy=remedy)


class CircuitFault(LidoffError):
    """The circuit cannot be solved as it is wired: a loop of ideal sources, a part shorted, no supply."""


class NetsUnsettled(LidoffError):
    """No operating point was found; names the nets that would not settle and what was tried.

    Parameters
    ----------
    what : str
        What would not settle.
    where, remedy : str, optional
        As for `LidoffError`.
    nets : iterable of str
        The nets that moved most in the last step, worst first.
    tried : iterable of str
        The methods tried, in order.
    """

    exit_code = 3

    def __init__(
        self,
        what: str,
        *,
        where: str = "",
        remedy: str = "",
        nets: Iterable[str] = (),
        tried: Iterable[str] = (),
    ) -> None:
        super().__init__(what, where=where, remedy=remedy)
        self.nets = tuple(nets)
        self.tried = tuple(tried)


class PhotoRefused(LidoffError):
    """A photo is too large, is not a picture, is cut short, or has changed on disk."""

    http_status = 415


class OutputRefused(LidoffError):
    """A result could not be written where it was asked for."""

    http_status = 507


class CommandUnclear(LidoffError):
    """A command line cannot be read: an argument is missing, unknown or of the wrong form."""


class MeterLost(LidoffError):
    """A live meter does not answer, or another one answers in its place."""

    http_status = 502


class EditRefused(LidoffError):
    """An edit cannot be made now: it rests on an older state, or another program holds or has changed the dossier.

    Parameters
    ----------
    what : str
        What stands against it.
    where, remedy : str, optional
        As for `LidoffError`.
    faults : iterable of LidoffError, optional
        As for `LidoffError`.
    code : str
        ``stale``, ``changed_outside``, ``in_use`` or ``read_only``.
    """

    http_status = 409

    def __init__(
        self,
        what: str,
        *,
        where: str = "",
        remedy: str = "",
        faults: Iterable[LidoffError] = (),
        code: str = "stale",
    ) -> None:
        self.code = code
        super().__init__(what, where=where, remedy=remedy, faults=faults)


def nearest_name(name: str, known: Iterable[str]) -> str:
    """Known name most like `name`, or an empty text when none is near.

    Parameters
    ----------
    name : str
        The name that was given.
    known : iterable of str
        The names that would have been accepted.

    Returns
    -------
    str
        One of `known`, or an empty text.

    Examples
    --------
    >>> nearest_name("resistro", ["resistor", "capacitor"])
    'resistor'
    """
    matches = difflib.get_close_matches(name.lower(), list(known), n=1, cutoff=0.6)
    return matches[0] if matches else ""


@contextmanager
def located(where: str) -> Iterator[None]:
    """Add a place to any `LidoffError` that passes and does not have one yet.

    Parameters
    ----------
    where : str
        File, line, part or net, as the reader would look for it.

    Yields
    ------
    None
        The block under the ``with`` runs once.
    """
    try:
        yield
    except LidoffError as error:
        if not error.where:
            error.where = where
        raise
