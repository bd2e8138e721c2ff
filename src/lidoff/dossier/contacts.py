"""Contacts that stand otherwise than they are drawn: drawings show them at rest, whatever the situation."""

from __future__ import annotations

from lidoff.circuit import Circuit, Part, Situation, kind_of, settings_of
from lidoff.dossier.drawn_figures import SolvedFigures

__all__ = ["contacts_moved"]

SET_BY = ("state", "position")
"""Parameters that tell how a contact stands."""
PULLS_AT = "operate_voltage"


def contacts_moved(circuit: Circuit, situation: Situation, figures: SolvedFigures) -> str:
    """Sentence on the contacts that stand otherwise in a situation than a drawing shows them.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    figures : SolvedFigures
        Of the situation, for relays that their coils move.

    Returns
    -------
    str
        Without a full stop; empty where all contacts stand as drawn, or nothing tells.
    """
    told = [
        f"{part.reference} is {word}"
        for part in circuit.parts
        if (word := _moved(part, situation, figures)) and kind_of(part).outline.pins
    ]
    if not told:
        return ""
    listed = told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
    return f"Contacts are drawn at rest: here {listed}"


def _moved(part: Part, situation: Situation, figures: SolvedFigures) -> str:
    """How a part's contact stands, as a word; empty where it stands at rest."""
    kind = kind_of(part)
    if not kind.contacts(part):
        return ""
    parameters = kind.parameters_of(part)
    settings = settings_of(part, situation.settings.get(part.reference))
    for name in SET_BY:
        if name not in parameters:
            continue
        words = {value: word for word, value in parameters[name].words.items()}
        value, at_rest = settings[name], parameters[name].typical
        if PULLS_AT in parameters and value == at_rest:
            first, second = (part.pins.get(pin, "") for pin in kind.path)
            across = abs(figures.voltage(first) - figures.voltage(second))
            return "operated" if across >= settings[PULLS_AT] else ""
        word = words.get(value, "")
        return "" if value == at_rest or word == "released" else f"at {word}" if name == "position" else word
    return ""
