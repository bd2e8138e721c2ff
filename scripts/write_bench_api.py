"""Writes what the workbench's server answers as an OpenAPI file, from which the pages' types are made."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

__all__ = ["FILE", "api_text", "main"]

FILE = Path(__file__).resolve().parent.parent / "web" / "src" / "api" / "openapi.json"


def api_text() -> str:
    """Text of the OpenAPI file."""
    from lidoff.bench import Bench, Settings, create_inner_app

    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder), Settings(key="none"))
        try:
            told = create_inner_app(bench).openapi()
        finally:
            bench.close()
    return json.dumps(told, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def main() -> None:
    """Write the file."""
    FILE.write_text(api_text(), encoding="utf-8")
    print(FILE)


if __name__ == "__main__":
    main()
