"""Tables of the dossier about evidence → claims, instruments, readings and trials."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lidoff.dossier.logs import taken_entry
from lidoff.dossier.noted import Faults
from lidoff.evidence import (
    AcrossPart,
    Claim,
    FromReading,
    FromSolution,
    FromStatement,
    FromTrial,
    InPart,
    Instrument,
    IntoPin,
    NamedQuantity,
    NetVoltage,
    Range,
    Reading,
    Source,
    Target,
    Trial,
    WithoutPower,
)

__all__ = ["claim_entry", "instrument_entry", "reading_entry", "trial_entry", "written"]

Path = tuple[str | int, ...]
ABOUT = ("voltage", "across", "current", "power", "quantity")
WITHOUT_POWER = ("resistance", "diode")
"""Ranges of a meter that drive a current of their own, so that the circuit must be off."""


def written(value: str | float) -> str:
    """Text of a value that may stand in the file as a bare number."""
    return value if isinstance(value, str) else str(value)


def claim_entry(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Claim | None:
    """Claim of its table; None after noting that an input is about nothing, or too much."""
    inputs: dict[str, Source] = {}
    for role, given in table.get("from", {}).items():
        if isinstance(given, str):
            inputs[role] = FromReading(reading=given)
        elif "trial" in given:
            inputs[role] = FromTrial(trial=given["trial"])
        elif "value" in given:
            inputs[role] = FromStatement(value=written(given["value"]), why=given["why"])
        else:
            target = _target(given, (*path, "from", role), faults, "the input")
            if target is not None:
                inputs[role] = FromSolution(situation=given["situation"], target=target)
    words = {key: written(value) for key, value in table.items() if key not in ("from", "trials")}
    return Claim(name=name, inputs=inputs, trials=tuple(table.get("trials", ())), **words)


def instrument_entry(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Instrument | None:  # noqa: ARG001
    """Instrument of its table."""
    ranges = tuple(
        Range(**{key: written(value) for key, value in span.items()}) for span in table.get("ranges", ())
    )
    words = {key: written(value) for key, value in table.items() if key != "ranges"}
    return Instrument(name=name, ranges=ranges, **words)


def reading_entry(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Reading | None:
    """Reading of its table; None after noting what keeps it from being one."""
    target = _target(table, path, faults, "the reading")
    if target is None:
        return None
    if ("shown" in table) == ("from_log" in table):
        if "shown" in table:
            faults.add(path, "the reading has both shown and from_log", "leave one of the two out")
        else:
            faults.add(
                path,
                "the reading has neither shown nor from_log",
                'tell what the display showed: shown = "4.40 V"',
            )
        return None
    given = table.get("shown", [])
    shown = given if isinstance(given, list) else [given]
    return Reading(
        name=name,
        target=target,
        shown=tuple(written(value) for value in shown),
        situation=table.get("situation", ""),
        instrument=table.get("instrument", ""),
        measures=table.get("measures", ""),
        on_range=written(table.get("range", "")),
        note=table.get("note", ""),
        taken=taken_entry(table["from_log"]) if "from_log" in table else None,
        crest_factor=written(table.get("crest_factor", "")),
        frequency=written(table.get("frequency", "")),
        read_with=table.get("read_with", ""),
    )


def trial_entry(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Trial:  # noqa: ARG001
    """Trial of its table."""
    return Trial(name=name, **table)


def _target(table: Mapping[str, Any], path: Path, faults: Faults, whose: str) -> Target | None:
    """What a reading or a claim's input is about; exactly one of the keys."""
    keys = [key for key in (*ABOUT, *WITHOUT_POWER) if key in table]
    if len(keys) != 1:
        told = " and ".join(keys) if keys else "nothing"
        faults.add(
            path,
            f"{whose} is about {told}",
            'say one thing: voltage = "net", across = "R3", current = "R3", power = "R3" or quantity = "…"; without power, '
            'resistance = "net" or diode = "net"',
        )
        return None
    key = keys[0]
    if "against" in table and key not in ("voltage", *WITHOUT_POWER):
        faults.add((*path, "against"), "against goes with voltage, resistance and diode only", "leave it out")
    named = str(table[key])
    if key == "voltage":
        return NetVoltage(net=named, against=table.get("against", ""))
    if key in WITHOUT_POWER:
        return WithoutPower(range_name=key, red=named, black=table.get("against", ""))
    if key == "across":
        return AcrossPart(reference=named)
    if key == "quantity":
        return NamedQuantity(name=named)
    if key == "current" and "." in named:
        reference, _, pin = named.partition(".")
        return IntoPin(reference=reference, pin=pin)
    return InPart(what=key, reference=named)
