"""Run the notebooks under ``examples`` and store what comes out: ``.venv/bin/python -m scripts.run_notebooks``."""

from __future__ import annotations

import ast
import contextlib
import io
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[1] / "examples"


def notebooks() -> tuple[Path, ...]:
    """Every notebook, sorted."""
    return tuple(sorted(FOLDER.glob("*.ipynb")))


def ran(notebook: Mapping[str, Any]) -> dict[str, Any]:
    """Notebook with its code run from top to bottom in one namespace, and what each cell gives stored with it."""
    scope: dict[str, Any] = {"__name__": "__main__"}
    cells, number = [], 0
    for cell in notebook["cells"]:
        if cell["cell_type"] != "code":
            cells.append(dict(cell))
            continue
        number += 1
        cells.append(
            {**cell, "execution_count": number, "outputs": _outputs("".join(cell["source"]), scope, number)}
        )
    return {**notebook, "cells": cells}


def _outputs(source: str, scope: dict[str, Any], number: int) -> list[dict[str, Any]]:
    """What a cell prints, and the value of its last expression."""
    tree = ast.parse(source)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    printed = io.StringIO()
    value = None
    with contextlib.redirect_stdout(printed):
        exec(compile(tree, f"cell {number}", "exec"), scope)
        if isinstance(last, ast.Expr):
            value = eval(compile(ast.Expression(last.value), f"cell {number}", "eval"), scope)
    outputs: list[dict[str, Any]] = []
    if printed.getvalue():
        outputs.append(
            {"name": "stdout", "output_type": "stream", "text": printed.getvalue().splitlines(keepends=True)}
        )
    if value is not None:
        outputs.append(
            {
                "data": _shown(value),
                "execution_count": number,
                "metadata": {},
                "output_type": "execute_result",
            }
        )
    return outputs


def _shown(value: object) -> dict[str, list[str]]:
    """A value as a notebook shows it: as text, and as a picture or table where it has one."""
    data = {"text/plain": repr(value).splitlines(keepends=True)}
    for kind, method in (("image/svg+xml", "_repr_svg_"), ("text/html", "_repr_html_")):
        drawn = getattr(value, method, lambda: None)()
        if drawn is not None:
            data[kind] = str(drawn).splitlines(keepends=True)
    return data


def texts_of(notebook: Mapping[str, Any]) -> list[list[str]]:
    """What each code cell gives as text, pictures left out."""
    told = []
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            kept = [one.get("text") or one["data"]["text/plain"] for one in cell["outputs"]]
            told.append(["".join(lines) for lines in kept])
    return told


if __name__ == "__main__":
    for file in notebooks():
        done = ran(json.loads(file.read_text(encoding="utf-8")))
        file.write_text(json.dumps(done, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        print(file)
