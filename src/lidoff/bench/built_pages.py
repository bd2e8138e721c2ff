"""The built pages inside the package."""

from __future__ import annotations

from mimetypes import guess_type
from pathlib import Path, PurePosixPath

from fastapi import Response

from lidoff.errors import OutputRefused, UnknownName

__all__ = ["check_built", "page_file", "pages_folder"]

_TYPES = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".ttf": "font/ttf"}
HOW = "build them in the source folder with: python scripts/build_pages.py"


def pages_folder() -> Path:
    """Folder of the built pages."""
    return Path(__file__).parent / "pages"


def check_built() -> None:
    """Refuse to start where the pages were not built.

    Raises
    ------
    OutputRefused
        They are missing; says what to do.
    """
    if not (pages_folder() / "index.html").is_file():
        raise OutputRefused("the workbench's pages are not built", where=str(pages_folder()), remedy=HOW)


def page_file(path: str) -> Response:
    """One file of the pages.

    Parameters
    ----------
    path : str
        Inside their folder, such as ``assets/index.js``.

    Returns
    -------
    Response
        Files whose name carries a hash of their contents may be kept by the browser.

    Raises
    ------
    UnknownName
        There is no such file.
    OutputRefused
        The pages were not built.
    """
    check_built()
    folder = pages_folder()
    pure = PurePosixPath(path)
    file = folder.joinpath(*pure.parts)
    inside = not pure.is_absolute() and ".." not in pure.parts and "\0" not in path
    if not inside or not file.is_file() or not file.resolve().is_relative_to(folder.resolve()):
        raise UnknownName(f"there is no page {path!r}", remedy="open the address that the command printed")
    ending = file.suffix.lower()
    media = _TYPES.get(ending) or guess_type(file.name)[0] or "application/octet-stream"
    keeps = "public, max-age=31536000, immutable" if pure.parts[0] == "assets" else "no-cache"
    return Response(file.read_bytes(), media_type=media, headers={"Cache-Control": keeps})
