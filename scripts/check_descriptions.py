"""Check that every public name of every room is described in full, in the numpydoc way.

Public is what a room lists in ``__all__``, with the public methods and properties of its classes.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import sys
from collections.abc import Iterator

from numpydoc.validate import validate

import lidoff

LEFT_OUT = {
    "ES01": "one sentence is often all there is to say",
    "EX01": "an example stands where one line shows it",
    "SA01": "lists of related names go stale",
    "SS02": "a summary may start with a symbol or a name that is written small",
    "SS05": "a function is named for what it returns, so its summary may start with a plural noun",
}


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
    source = inspect.unwrap(thing.fget if isinstance(thing, property) and thing.fget else thing)  # type: ignore[arg-type]
    try:
        return f"{inspect.getsourcefile(source)}:{inspect.getsourcelines(source)[1]}"  # type: ignore[arg-type]
    except (TypeError, OSError):
        return "?"


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
            inherited = code == "PR01" and inspect.isclass(thing) and "__init__" not in vars(thing)
            if code not in LEFT_OUT and not inherited:
                faults += 1
                print(f"{where}: {name}: {code} {text}")
    print(f"{len(seen)} public names, {faults} faults in their descriptions")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
