"""Dossier → circuit and situations: written texts become numbers and limits."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from lidoff.circuit import Circuit, Part, Situation, Spread, all_kinds
from lidoff.circuit.kind import Parameter
from lidoff.dossier.entries import Dossier, PartEntry, SituationEntry, Wire
from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage, Target, WithoutPower, read_text
from lidoff.quantities import Quantity

__all__ = ["circuit_of", "joined_nets", "part_of", "retarget", "setting_of", "situation_of", "situations_of"]

_LIMITS = re.compile(r"±|\+\s?/\s?-|\+-")


def setting_of(text: str, parameter: Parameter) -> tuple[float | str, Spread | None]:
    """Number or word of a parameter's text, and the limits that a ``±`` in it states.

    Parameters
    ----------
    text : str
        As written. ``±`` is the tolerance: limits within which all values are equally likely, as the trade prints
        "±5 %" on parts.
    parameter : Parameter
        What it is for.

    Returns
    -------
    number or word : float or str
        In SI units.
    spread : Spread or None
        None where the text states no ``±``.

    Raises
    ------
    ImpossibleValue, UnknownName
        The text is not understood, is of another unit, or cannot be.
    """
    if text in parameter.words:
        return text, None
    if text in parameter.later_words:
        other = parameter.later_words[text]
        raise ImpossibleValue(
            f"{parameter.name} = {text!r} is possible only where the part tells its {other}",
            remedy=f"add {other} = … to the part itself, beside its pins",
        )
    if not parameter.unit:
        try:
            number = float(text)
        except ValueError:
            raise UnknownName(
                f"{parameter.name} = {text!r} is not understood", name=text, known=parameter.words
            ) from None
        parameter.check(number)
        return number, None
    quantity = read_text(text, parameter.unit)
    parameter.check(quantity.value)
    spread = _stated_spread(text, quantity, parameter)
    if spread is not None:
        for value in (
            quantity.value - spread.standard(quantity.value),
            quantity.value + spread.standard(quantity.value),
        ):
            try:
                parameter.check(value)
            except ImpossibleValue as error:
                raise ImpossibleValue(
                    f"the limits of {text!r} are too wide: {error.what}", remedy=error.remedy
                ) from None
    return quantity.value, spread


def _stated_spread(text: str, quantity: Quantity, parameter: Parameter) -> Spread | None:
    """Limits that a ``±`` states, or the standard uncertainty that digits in brackets state."""
    halves = _LIMITS.split(text)
    width = quantity.expanded
    if len(halves) == 1:
        # Digits in brackets tell what was measured rather than printed.
        return Spread(half_width=width, relative=False, normal=True) if width else None
    relative = "%" in halves[-1] and parameter.unit != "1" and quantity.value != 0.0
    return Spread(half_width=width / abs(quantity.value) if relative else width, relative=relative)


def part_of(entry: PartEntry) -> Part:
    """Part of an entry.

    Parameters
    ----------
    entry : PartEntry
        As written.

    Returns
    -------
    Part
        Values in SI units, and limits where the entry states a ``±``.

    Raises
    ------
    ImpossibleValue, UnknownName
        A kind, parameter or value is not possible; the first one found.
    """
    parameters = parameters_of(entry)
    values: dict[str, float | str] = {}
    spreads: dict[str, Spread] = {}
    for name, text in entry.values.items():
        if name not in parameters:
            raise UnknownName(
                f"{entry.reference} ({entry.kind}) has no parameter {name!r}", name=name, known=parameters
            )
        values[name], spread = setting_of(text, parameters[name])
        if spread is not None:
            spreads[name] = spread
    return replace(bare_part(entry), values=values, spreads=spreads)


def bare_part(entry: PartEntry) -> Part:
    """Part with pins but without values."""
    return Part(
        reference=entry.reference,
        kind=entry.kind,
        pins=entry.pins,
        pin_roles=entry.pin_roles,
        pin_names=entry.pin_names,
        marking=entry.marking,
        package=entry.package,
        does=entry.does,
        stands_for=entry.stands_for,
    )


def parameters_of(entry: PartEntry) -> Mapping[str, Parameter]:
    """Parameters that a part of the entry can be told, by name; refuses an unknown kind."""
    known = all_kinds()
    if entry.kind not in known:
        raise UnknownName(f"{entry.reference}: unknown kind {entry.kind!r}", name=entry.kind, known=known)
    # Some parameters exist only for parts that name them, so the names go in before the values are read.
    named = replace(bare_part(entry), values=dict.fromkeys(entry.values, 0.0))
    return known[entry.kind].parameters_of(named)


def _is_told_first(entry: PartEntry, name: str) -> bool:
    """Whether a parameter is there for parts of the kind that tell it, and this one does not."""
    return name in parameters_of(replace(entry, values={**entry.values, name: ""}))


def situation_of(entry: SituationEntry, parts: Mapping[str, PartEntry]) -> Situation:
    """Situation of an entry.

    Raises
    ------
    ImpossibleValue, UnknownName
        A part, parameter or value is not possible; the first one found.
    """
    settings: dict[str, dict[str, float | str]] = {}
    for reference, texts in entry.settings.items():
        if reference not in parts:
            raise UnknownName(
                f"the situation {entry.name!r} sets {reference!r}, which is not a part",
                name=reference,
                known=parts,
            )
        parameters = parameters_of(parts[reference])
        for name, text in texts.items():
            if name not in parameters and _is_told_first(parts[reference], name):
                raise ImpossibleValue(
                    f"the situation {entry.name!r} sets {name!r} of {reference}, which the part itself does not tell",
                    remedy=f"add {name} = … to [parts.{reference}]; a situation may then set another value",
                )
            if name not in parameters:
                raise UnknownName(
                    f"{reference} ({parts[reference].kind}) has no parameter {name!r}",
                    name=name,
                    known=parameters,
                )
            value, spread = setting_of(text, parameters[name])
            if spread is not None:
                raise ImpossibleValue(
                    f"{reference}: {name} = {text!r} has limits, which a situation does not set",
                    remedy="state the limits with the part, and the value alone here",
                )
            settings.setdefault(reference, {})[name] = value
    return Situation(name=entry.name, settings=settings, title=entry.title)


def joined_nets(wires: tuple[Wire, ...], ground: str) -> Mapping[str, str]:
    """Net that stands for each net that a wire joins: the ground if it is among them, else the one named first."""
    groups: list[list[str]] = []
    for wire in wires:
        touched = [group for group in groups if any(net in group for net in wire.joins)]
        merged = [net for group in touched for net in group]
        merged += [net for net in wire.joins if net not in merged]
        groups = [group for group in groups if group not in touched] + [merged]
    names: dict[str, str] = {}
    for group in groups:
        keeps = ground if ground in group else group[0]
        names.update(dict.fromkeys(group, keeps))
    return names


def retarget(target: Target, names: Mapping[str, str]) -> Target:
    """Target with the nets' standing names."""
    if isinstance(target, NetVoltage):
        return NetVoltage(
            net=names.get(target.net, target.net), against=names.get(target.against, target.against)
        )
    if isinstance(target, WithoutPower):
        return replace(
            target, red=names.get(target.red, target.red), black=names.get(target.black, target.black)
        )
    return target


def circuit_of(dossier: Dossier) -> Circuit:
    """Circuit of a dossier.

    Parameters
    ----------
    dossier : Dossier
        What was written.

    Returns
    -------
    Circuit
        Parts in the order of the dossier; nets that wires join carry one name.

    Raises
    ------
    ImpossibleValue, UnknownName
        A kind, parameter or value is not possible.
    """
    names = joined_nets(dossier.wires, dossier.ground)
    parts = []
    for entry in dossier.parts:
        part = part_of(entry)
        parts.append(replace(part, pins={pin: names.get(net, net) for pin, net in part.pins.items()}))
    return Circuit(
        parts=tuple(parts),
        ground=dossier.ground,
        title=dossier.device.title,
        rails={names.get(net, net): role for net, role in dossier.rails.items()},
    )


def situations_of(dossier: Dossier) -> tuple[Situation, ...]:
    """Situations of a dossier; without any, one in which nothing is set.

    Parameters
    ----------
    dossier : Dossier
        What was written.

    Returns
    -------
    tuple of Situation
        In the order of the dossier.

    Raises
    ------
    ImpossibleValue, UnknownName
        A part, parameter or value is not possible.
    """
    parts = {entry.reference: entry for entry in dossier.parts}
    found = tuple(situation_of(entry, parts) for entry in dossier.situations)
    return found or (Situation(name="as it stands"),)


def target_fault(target: Target, dossier: Dossier) -> UnknownName | None:
    """Error where a target names a net, part or pin that the circuit does not have."""
    parts = {entry.reference: entry for entry in dossier.parts}
    nets = {net for entry in dossier.parts for net in entry.pins.values()}
    nets |= {net for wire in dossier.wires for net in wire.joins}
    if isinstance(target, NetVoltage | WithoutPower):
        touched = (
            (target.red, target.black) if isinstance(target, WithoutPower) else (target.net, target.against)
        )
        for net in touched:
            if net and net not in nets:
                return UnknownName(f"there is no net {net!r}", name=net, known=nets)
        return None
    if isinstance(target, (AcrossPart, InPart, IntoPin)) and target.reference not in parts:
        return UnknownName(f"there is no part {target.reference!r}", name=target.reference, known=parts)
    if isinstance(target, IntoPin) and target.pin not in parts[target.reference].pins:
        return UnknownName(
            f"{target.reference} has no pin {target.pin!r}",
            name=target.pin,
            known=parts[target.reference].pins,
        )
    return None
