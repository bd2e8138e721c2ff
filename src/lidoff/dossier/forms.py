"""Forms that a file's values take, from which the reader's checks, the JSON Schema and the reference page are made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lidoff.errors import nearest_name

__all__ = [
    "Choice",
    "Either",
    "Field",
    "Flag",
    "Form",
    "ListOf",
    "NamedEntries",
    "ShapeFault",
    "Table",
    "Text",
    "Value",
    "Whole",
    "schema_of",
    "shape_faults",
]

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A text; `filled` where it must not be empty."""

    filled: bool = False
    words = "a text"


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A text with number and unit, such as ``"4k7 ± 5 %"``; a bare number only where it has no unit."""

    words = 'a text with a unit, such as "4k7 ± 5 %"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """True or false."""

    words = "true or false"


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A whole number between two, both included."""

    least: int = -10_000
    most: int = 10_000

    @property
    def words(self) -> str:
        """In words."""
        return f"a whole number from {self.least} to {self.most}"


@dataclass(frozen=True, slots=True)
class Choice:
    """One of some words."""

    options: tuple[str, ...]

    @property
    def numbers(self) -> tuple[int, ...]:
        """Options that are whole numbers, which may be written without quotes."""
        return tuple(int(option) for option in self.options if option.isascii() and option.isdecimal())

    @property
    def words(self) -> str:
        """In words."""
        return f"one of {', '.join(self.options)}"


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of one form; `least` entries at least."""

    form: Form
    least: int = 0
    words = "a list in [ ]"


@dataclass(frozen=True, slots=True)
class NamedEntries:
    """A table whose keys are names of the analyst's own."""

    form: Form
    words = "a table with a name for each entry"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One key of a table.

    Attributes
    ----------
    name : str
        The key.
    form : Form
        What it holds.
    says : str
        One line of help.
    required : bool
        Whether it must be there.
    """

    name: str
    form: Form
    says: str
    required: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table with known keys.

    Attributes
    ----------
    title : str
        What it describes.
    fields : tuple of Field
        Its keys.
    others : Form or None
        What further keys may hold; None where there are none.
    """

    title: str
    fields: tuple[Field, ...]
    others: Form | None = None

    words = "a table"


@dataclass(frozen=True, slots=True)
class Either:
    """One of several forms."""

    forms: tuple[Form, ...]

    @property
    def words(self) -> str:
        """In words."""
        return " or ".join(form.words for form in self.forms)


Form = Text | Value | Flag | Whole | Choice | ListOf | NamedEntries | Table | Either


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeFault:
    """A value that is not of its form.

    Attributes
    ----------
    path : tuple of str or int
        Keys from the top of the file.
    what, remedy : str
        In words.
    """

    path: Path
    what: str
    remedy: str


def shape_faults(value: object, form: Form, path: Path = ()) -> Iterator[ShapeFault]:
    """Every place where a value is not of its form.

    Parameters
    ----------
    value : object
        As read from the file.
    form : Form
        What it should be.
    path : tuple of str or int, optional
        Where the value stands.

    Yields
    ------
    ShapeFault
        In the order of the file.
    """
    if isinstance(form, Either):
        # Of several forms the value is held against those of its own sort, whose faults say more.
        likely = [one for one in form.forms if _is_of_sort(value, one)]
        if likely:
            yield from min((list(shape_faults(value, one, path)) for one in likely), key=len)
        else:
            yield _not_a(value, form.words, path)
    elif isinstance(form, Text):
        if not isinstance(value, str):
            yield _not_a(value, form.words, path)
        elif form.filled and not value.strip():
            yield ShapeFault(path=path, what=f"{_key(path)} is empty", remedy="fill it in")
    elif isinstance(form, Value):
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            yield _not_a(value, form.words, path)
    elif isinstance(form, Flag):
        if not isinstance(value, bool):
            yield _not_a(value, form.words, path)
    elif isinstance(form, Whole):
        if isinstance(value, bool) or not isinstance(value, int) or not form.least <= value <= form.most:
            yield _not_a(value, form.words, path)
    elif isinstance(form, Choice):
        unquoted = isinstance(value, int) and not isinstance(value, bool) and value in form.numbers
        if value not in form.options and not unquoted:
            near = nearest_name(value, form.options) if isinstance(value, str) else ""
            known = f"known: {', '.join(form.options)}"
            yield ShapeFault(
                path=path,
                what=f"{_key(path)} = {_shown(value)} is not among the known words",
                remedy=f"did you mean {near!r}? ({known})" if near else known,
            )
    elif isinstance(form, ListOf):
        if not isinstance(value, Sequence) or isinstance(value, str):
            yield _not_a(value, form.words, path)
            return
        if len(value) < form.least:
            yield ShapeFault(
                path=path,
                what=f"{_key(path)} has {len(value)} of at least {form.least} entries",
                remedy="add them",
            )
        for number, entry in enumerate(value):
            yield from shape_faults(entry, form.form, (*path, number))
    elif not isinstance(value, Mapping):
        yield _not_a(value, form.words, path)
    elif isinstance(form, NamedEntries):
        for name, entry in value.items():
            yield from shape_faults(entry, form.form, (*path, name))
    else:
        yield from _table_faults(value, form, path)


def _table_faults(value: Mapping[str, object], form: Table, path: Path) -> Iterator[ShapeFault]:
    known = {field.name: field for field in form.fields}
    misspelt = _misspelt(value, form, known)
    for field in form.fields:
        if field.required and field.name in misspelt.values():
            continue  # told at the key that was meant for it
        if field.required and field.name not in value:
            yield ShapeFault(
                path=path,
                what=f"{form.title} has no {field.name}",
                remedy=f"add {f'[{field.name}]' if not path else f'{field.name} = {_example(field.form)}'} ({field.says})",
            )
    for name, entry in value.items():
        if name in known:
            yield from shape_faults(entry, known[name].form, (*path, name))
        elif name in misspelt and form.others is not None:
            yield ShapeFault(
                path=(*path, name),
                what=f"{form.title} has no {misspelt[name]}, but {name!r}",
                remedy=f"is {name!r} meant to be {misspelt[name]!r}?",
            )
        elif form.others is not None:
            yield from shape_faults(entry, form.others, (*path, name))
        else:
            near = nearest_name(name, known)
            listed = f"known keys: {', '.join(sorted(known))}"
            yield ShapeFault(
                path=(*path, name),
                what=f"{form.title} has no key {name!r}",
                remedy=f"did you mean {near!r}? ({listed})" if near else listed,
            )


def _is_of_sort(value: object, form: Form) -> bool:
    """Whether a value is at least a text, a list or a table, as its form is."""
    if isinstance(form, (Table, NamedEntries)):
        return isinstance(value, Mapping)
    if isinstance(form, ListOf):
        return isinstance(value, Sequence) and not isinstance(value, str)
    if isinstance(form, Flag):
        return isinstance(value, bool)
    if isinstance(form, Whole):
        return isinstance(value, int) and not isinstance(value, bool)
    if isinstance(form, Value):
        return isinstance(value, (str, int, float)) and not isinstance(value, bool)
    return isinstance(value, str)


def _misspelt(value: Mapping[str, object], form: Table, known: Mapping[str, Field]) -> dict[str, str]:
    """Unknown keys that are near a required one which is missing → that key."""
    missing = [field.name for field in form.fields if field.required and field.name not in value]
    near = {name: nearest_name(name, missing) for name in value if name not in known}
    return {name: meant for name, meant in near.items() if meant}


def _example(form: Form) -> str:
    if isinstance(form, Choice):
        return f'"{form.options[0]}"'
    if isinstance(form, (ListOf, NamedEntries, Table)):
        return "[…]" if isinstance(form, ListOf) else "{ … }"
    if isinstance(form, Either):
        return _example(form.forms[0])
    if isinstance(form, Whole):
        return str(max(form.least, 0))
    return "true" if isinstance(form, Flag) else '"…"'


def _not_a(value: object, words: str, path: Path) -> ShapeFault:
    return ShapeFault(
        path=path, what=f"{_key(path)} = {_shown(value)} is not {words}", remedy=f"write {words}"
    )


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    text = "{ … }" if isinstance(value, Mapping) else repr(value)
    return text if len(text) <= 40 else f"{text[:39]}…"


def _key(path: Path) -> str:
    return (
        str(path[-1]) if path and isinstance(path[-1], str) else ".".join(map(str, path[-2:])) or "the file"
    )


def schema_of(form: Form) -> dict[str, object]:
    """JSON Schema of a form.

    Parameters
    ----------
    form : Form
        The form.

    Returns
    -------
    dict
        As of JSON Schema, draft 2020-12.
    """
    if isinstance(form, Text):
        return {"type": "string", "minLength": 1} if form.filled else {"type": "string"}
    if isinstance(form, Value):
        return {"type": ["string", "number"]}
    if isinstance(form, Flag):
        return {"type": "boolean"}
    if isinstance(form, Whole):
        return {"type": "integer", "minimum": form.least, "maximum": form.most}
    if isinstance(form, Choice):
        return {"enum": [*form.options, *form.numbers]}
    if isinstance(form, ListOf):
        least = {"minItems": form.least} if form.least else {}
        return {"type": "array", "items": schema_of(form.form), **least}
    if isinstance(form, NamedEntries):
        return {"type": "object", "additionalProperties": schema_of(form.form)}
    if isinstance(form, Either):
        return {"anyOf": [schema_of(one) for one in form.forms]}
    required = [field.name for field in form.fields if field.required]
    return {
        "title": form.title,
        "type": "object",
        "properties": {
            field.name: {"description": field.says, **schema_of(field.form)} for field in form.fields
        },
        **({"required": required} if required else {}),
        "additionalProperties": False if form.others is None else schema_of(form.others),
    }
