"""Check that every public name of every room is described in full, in the numpydoc way.

Public is what a room lists in ``__all__``, with the public methods and properties of its classes.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Iterator
from typing import Any

from numpydoc.docscrape import get_doc_object
from numpydoc.validate import Validator, validate

import lidoff

LEFT_OUT = {
    "ES01": "one sentence is often all there is to say",
    "EX01": "an example stands where one line shows it",
    "SA01": "lists of related names go stale",
    "PR08": "a description may start with a symbol or a name that is written small",
    "SS02": "so may a summary",
    "SS05": "a function is named for what it returns, so its summary may start with a plural noun",
}

RAW_NUMBERS = re.compile(r"\b(int|float|complex|Array|ArrayLike|NDArray)\b")

SECTIONS = re.compile(r"^\s*(Parameters|Attributes|Returns)\n\s*-+$", re.MULTILINE)
UNIT_OR_SHAPE = re.compile(r"\[.+\]|\(H, W|0…1")


def public_names() -> Iterator[tuple[str, object]]:
    """Yield all that is public by full name; an inherited member belongs to the class that defines it."""
    for room in ["lidoff", *(f"lidoff.{info.name}" for info in pkgutil.iter_modules(lidoff.__path__))]:
        module = importlib.import_module(room)
        for name in getattr(module, "__all__", ()):
            thing = getattr(module, name)
            if not (inspect.isclass(thing) or inspect.isroutine(thing)):
                continue
            yield f"{room}.{name}", thing
            if inspect.isclass(thing) and thing.__module__.startswith("lidoff"):
                for member, value in vars(thing).items():
                    if not member.startswith("_") and (
                        inspect.isfunction(value) or isinstance(value, property)
                    ):
                        yield f"{room}.{name}.{member}", value


def place(thing: object) -> str:
    """File and line where a class, function or property is written."""
    written: Any = thing.fget if isinstance(thing, property) else thing
    return f"{inspect.getsourcefile(inspect.unwrap(written))}:{inspect.getsourcelines(written)[1]}"


def pardoned(code: str, text: str, name: str, thing: object) -> bool:
    """Whether a fault that the validator finds is none here."""
    described = Validator(get_doc_object(Validator._load_obj(name)))
    types = described.doc_all_parameters
    if code == "PR07" and any(
        f'"{one}" has' in text and re.search(r"\b[A-Z]", types[one][0]) for one in types
    ):
        return True  # "circuit : Circuit" says enough, since the class is described in its place
    if code == "RT03" and re.match(r"[A-Z]|float", described.doc["Returns"][0].type):
        return True  # so does "Spreading", and what the summary calls a value
    if code in ("PR01", "RT01") and not SECTIONS.search(described.raw_doc):
        # One sentence may tell all: of a method, since its class tells the rest; where no raw number goes in or comes
        # out; or where the sentence itself tells units and shapes.
        bare = not RAW_NUMBERS.search(types_in_signature(thing))
        if bare or "." in thing_name(thing) or UNIT_OR_SHAPE.search(described.raw_doc):
            return True
    if not inspect.isclass(thing):
        return False
    if code == "PR03":
        return True  # fields are given by keyword, so that their order may follow what they mean
    if code == "PR01" and ("__init__" not in vars(thing) or getattr(thing, "_is_protocol", False)):
        return True  # the constructor is the base's, and described there, or there is none to call
    # A frozen value may tell its fields as attributes: what it is made of is what it has. Where it tells none, the
    # validator reads them off the class, which describes nothing.
    if not SECTIONS.search(described.raw_doc):
        return False
    told = {word.strip() for item in described.doc["Attributes"] for word in item.name.split(",")}
    return code == "PR01" and set(inspect.signature(thing).parameters) <= told | set(types)


def types_in_signature(thing: object) -> str:
    """Types of what a function takes and returns, as one text; empty for anything else."""
    return " ".join(map(str, getattr(thing, "__annotations__", {}).values()))


def thing_name(thing: object) -> str:
    """Name of a function with that of its class, if it belongs to one."""
    return str(getattr(thing, "__qualname__", ""))


def main() -> int:
    """Print every fault with its place; 1 if there is one."""
    faults = 0
    seen = set()
    for name, thing in public_names():
        where = place(thing)
        if where in seen:
            continue
        seen.add(where)
        for code, text in validate(name)["errors"]:
            if code not in LEFT_OUT and not pardoned(code, text, name, thing):
                faults += 1
                print(f"{where}: {name}: {code} {text}")
    print(f"{len(seen)} public names, {faults} faults in their descriptions")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
