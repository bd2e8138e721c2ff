"""Whether a file can be a photo, by its first bytes and its end: no pixel is decoded, so that every analysis can ask."""

from __future__ import annotations

from pathlib import Path

from lidoff.board.photo import bytes_of_photo, check_ending
from lidoff.errors import PhotoRefused

__all__ = ["check_photo_file", "format_of_bytes"]

_HEIF_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"})
_JPEG_START, _JPEG_SCAN, _JPEG_END = b"\xff\xd8\xff", 0xDA, b"\xff\xd9"
_PNG_START, _PNG_END = b"\x89PNG\r\n\x1a\n", b"IEND"


def check_photo_file(path: Path | str) -> None:
    """Refuse a file that is no photo or is cut short, without decoding it.

    Parameters
    ----------
    path : path
        JPEG, PNG, TIFF or HEIC file.

    Raises
    ------
    PhotoRefused
        The file is missing, too large, empty, of another format, named for another one, or ends before its picture does. What
        is damaged within shows only where it is decoded.
    """
    path = Path(path)
    where = str(path)
    try:
        exists = path.exists()
    except OSError as error:
        raise PhotoRefused(
            f"the file cannot be read ({error.strerror})", where=where, remedy="check its name and rights"
        ) from error
    if not exists:
        raise PhotoRefused(
            "there is no such file", where=where, remedy="copy the photo there, or mend its name"
        )
    data = bytes_of_photo(path)
    if not data:
        raise PhotoRefused("the file is empty", where=where, remedy="copy it from the camera again")
    name = format_of_bytes(data)
    if not name:
        raise PhotoRefused(
            "this is no JPEG, PNG, TIFF or HEIC picture",
            where=where,
            remedy="save the photo in one of these formats",
        )
    check_ending(path, name)
    if (name == "JPEG" and not _jpeg_ends(data)) or (name == "PNG" and _PNG_END not in data):
        raise PhotoRefused("the picture is cut short", where=where, remedy="copy it from the camera again")


def format_of_bytes(data: bytes) -> str:
    r"""Format of a photo's bytes by their signature.

    Parameters
    ----------
    data : bytes
        The file, or its beginning.

    Returns
    -------
    str
        A name in `FORMATS`; empty for anything else. Signatures by ITU-T T.81 (JPEG), ISO/IEC 15948 (PNG), TIFF 6.0 and
        ISO/IEC 23008-12 (HEIF).

    Examples
    --------
    >>> format_of_bytes(b"II*\x00rest"), format_of_bytes(b"a text")
    ('TIFF', '')
    """
    if data.startswith(_JPEG_START):
        return "JPEG"
    if data.startswith(_PNG_START):
        return "PNG"
    if data.startswith((b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")):
        return "TIFF"
    return "HEIF" if data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS else ""


def _jpeg_ends(data: bytes) -> bool:
    """Whether an end marker follows the first scan; pictures in the segments before it, such as a thumbnail, have their own."""
    place = 2
    while place + 4 <= len(data) and data[place] == 0xFF:
        marker = data[place + 1]
        if marker == 0xFF:  # a fill byte before a marker
            place += 1
            continue
        if marker == _JPEG_SCAN:
            return data.find(_JPEG_END, place) >= 0
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    return False
