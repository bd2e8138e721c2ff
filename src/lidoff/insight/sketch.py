"""Short ways to write the small circuits that stand beside block kinds."""

from __future__ import annotations

from lidoff.circuit import Circuit, Part, all_kinds

__all__ = ["chip", "piece", "sketch"]


def piece(reference: str, kind: str, nets: str, **values: float | str) -> Part:
    """One part, its nets in the order of its kind's pins.

    Parameters
    ----------
    reference, kind : str
        As in a circuit.
    nets : str
        Net names with spaces between; ``-`` for a pin left out.
    **values : float or str
        Parameters in SI units, or words.

    Returns
    -------
    Part
        Ready for `sketch`.
    """
    pins = {pin: net for pin, net in zip(all_kinds()[kind].pins, nets.split(), strict=True) if net != "-"}
    return Part(reference=reference, kind=kind, pins=pins, values=values)


def chip(reference: str, kind: str = "controller", marking: str = "", **pins: str) -> Part:
    """A box or controller.

    Parameters
    ----------
    reference : str
        Its reference.
    kind : str
        ``controller`` or ``box``.
    marking : str
        What is printed on it.
    **pins : str
        By the pin's name its role and net, as ``drive="output gate"``; a net alone for a pin of unknown role.

    Returns
    -------
    Part
        Ready for `sketch`.
    """
    told = {name: text.split() for name, text in pins.items()}
    return Part(
        reference=reference,
        kind=kind,
        marking=marking,
        pins={name: words[-1] for name, words in told.items()},
        pin_roles={name: words[0] for name, words in told.items() if len(words) > 1},
    )


def sketch(title: str, *parts: Part, ground: str = "gnd", rails: dict[str, str] | None = None) -> Circuit:
    """A circuit of pieces."""
    return Circuit(parts=parts, ground=ground, title=title, rails=rails or {})
