from __future__ import annotations

import subprocess
import sys

import lidoff.quantities as room


def test_every_public_name_is_listed_and_there() -> None:
    assert len(set(room.__all__)) == len(room.__all__)
    assert [name for name in room.__all__ if not hasattr(room, name)] == []


def test_importing_the_room_loads_no_numerics() -> None:
    heavy = ("numpy", "scipy", "uncertainties")
    code = f"import sys, lidoff.quantities; print([name for name in {heavy!r} if name in sys.modules])"
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert shown.strip() == "[]"
