"""The reference page of the dossier's format, made from the table that the loader reads by."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.circuit import Kind, Parameter, Spread, all_kinds
from lidoff.circuit.parameters import NO_SOURCE
from lidoff.dossier.forms import Choice, Either, Flag, Form, ListOf, NamedEntries, Table, Text, Value, Whole
from lidoff.dossier.tables import DOSSIER
from lidoff.evidence import all_claim_kinds
from lidoff.quantities import Quantity

__all__ = ["BEGINS", "ENDS", "kinds_text", "reference_text", "with_reference"]

BEGINS = "<!-- made from the loader's own table: do not edit below this line -->"
ENDS = "<!-- made from the loader's own table: do not edit above this line -->"


def reference_text() -> str:
    """Markdown tables of every key and every kind of claim."""
    return "\n".join([*_keys(), "", *_claim_kinds(), ""])


def kinds_text() -> str:
    """Markdown page of every kind of part."""
    return "\n".join([*_part_kinds(), ""])


def with_reference(page: str) -> str:
    """Page with the part between the two marks made anew.

    Parameters
    ----------
    page : str
        Markdown with both marks in it.

    Returns
    -------
    str
        The page.
    """
    before, _, rest = page.partition(BEGINS)
    _, _, after = rest.partition(ENDS)
    return f"{before}{BEGINS}\n\n{reference_text()}\n{ENDS}{after}"


def _keys() -> Iterator[str]:
    yield "## Every key"
    for header, table in _tables(DOSSIER, ""):
        yield ""
        yield f"### {header or 'At the top of the file'}"
        yield ""
        yield "| key | holds | says |"
        yield "|---|---|---|"
        for field in table.fields:
            must = " (must be there)" if field.required else ""
            yield f"| `{field.name}` | {_cell(_holds(field.form))} | {_cell(field.says)}{must} |"
        if table.others is not None:
            yield f"| any parameter of the kind | {_cell(_holds(table.others))} | see [the kinds of part](kinds-of-part.md) |"


def _tables(table: Table, header: str) -> Iterator[tuple[str, Table]]:
    """A table and those inside it that have several keys of their own, each with the header it stands under."""
    yield header, table
    for field in table.fields:
        below = f"{header}.{field.name}" if header else field.name
        yield from _inside(field.form, below)


def _inside(form: Form, name: str) -> Iterator[tuple[str, Table]]:
    if isinstance(form, Table):
        yield from _tables(form, name)
    elif isinstance(form, NamedEntries):
        yield from _inside(form.form, f"{name}.NAME")
    elif isinstance(form, ListOf):
        yield from _inside(form.form, f"{name} (list)")
    elif isinstance(form, Either):
        for one in form.forms:
            if isinstance(one, Table):
                yield from _tables(one, f"{name}: {one.title}")


def _holds(form: Form) -> str:
    if isinstance(form, Text):
        return "text"
    if isinstance(form, Value):
        return "value with unit"
    if isinstance(form, Flag):
        return "true or false"
    if isinstance(form, Whole):
        return "whole number"
    if isinstance(form, Choice):
        return "one of " + ", ".join(f"`{option}`" for option in form.options)
    if isinstance(form, ListOf):
        return f"list: {_holds(form.form)}"
    if isinstance(form, NamedEntries):
        return f"names → {_holds(form.form)}"
    if isinstance(form, Either):
        return " or ".join(dict.fromkeys(_holds(one) for one in form.forms))
    return f"table: {form.title}"


def _claim_kinds() -> Iterator[str]:
    yield "## Kinds of claim"
    yield ""
    yield "How each is worked out, with an example of every way, stands in [Kinds of claim](kinds-of-claim.md)."
    yield ""
    yield "| kind | tests | usually read as | from |"
    yield "|---|---|---|---|"
    for kind in all_claim_kinds().values():
        ways = " or ".join(" + ".join(f"`{role.name}`" for role in way.inputs) for way in kind.ways)
        unit = f" [{kind.unit}]" if kind.unit not in ("", "1") else ""
        sense = "one of its words" if kind.sense == "within" else kind.sense
        yield f"| `{kind.name}` | {_cell(kind.says)}{unit} | {sense} | {ways or 'nothing'} |"


def _part_kinds() -> Iterator[str]:
    yield "# Kinds of part"
    yield ""
    yield "Made from the catalogue of kinds by `scripts/write_dossier_reference.py`: do not edit."
    yield ""
    yield "Where a parameter is not told, its typical value counts, with the limits that are usual for it; what says"
    yield f'"only if told" is left out otherwise. Where no source stands in the last column, the value is {NO_SOURCE}.'
    for kind in all_kinds().values():
        yield ""
        yield f"## `{kind.name}`: {kind.title}"
        yield ""
        pins = ", ".join(
            f"`{pin}`{' (may be left out)' if pin in kind.optional_pins else ''}" for pin in kind.pins
        )
        main = f" `value` sets its {kind.main_value.replace('_', ' ')}." if kind.main_value else ""
        yield f"{kind.says[:1].upper()}{kind.says[1:]}. Pins: {pins or 'its own'}.{main}"
        yield ""
        yield from _parameter_rows(kind)
        yield ""
        yield f"Equations: {_cell(kind.source)}."


def _parameter_rows(kind: Kind) -> Iterator[str]:
    usual = (*kind.parameters, *kind.own_parameters(kind.example_part()))
    if not (usual or kind.only_if_told):
        return
    yield "| parameter | unit or words | typical | usual limits | says | from |"
    yield "|---|---|---|---|---|---|"
    for parameter, typical in (
        *((parameter, _typical(parameter)) for parameter in usual),
        *((parameter, "only if told") for parameter in kind.only_if_told),
    ):
        holds = ", ".join(f"`{word}`" for word in parameter.words) or parameter.unit
        source = "" if parameter.source == NO_SOURCE else _cell(parameter.source)
        limits = _limits(parameter.spread, parameter.unit)
        yield f"| `{parameter.name}` | {holds} | {typical} | {limits} | {_cell(parameter.says)} | {source} |"


def _limits(spread: Spread, unit: str) -> str:
    """Usual limits round a value, as a person writes them; empty where none are assumed."""
    if not spread.half_width:
        return ""
    return f"± {100 * spread.half_width:g} %" if spread.relative else f"± {Quantity(spread.half_width, unit)}"


def _typical(parameter: Parameter) -> str:
    """What counts where the dossier says nothing, as a person writes it."""
    if parameter.typical is None:
        return "must be told" if not parameter.words else ""
    for word, code in parameter.words.items():
        if code == parameter.typical:
            return word
    return (
        f"{parameter.typical:g}" if not parameter.unit else str(Quantity(parameter.typical, parameter.unit))
    )


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
