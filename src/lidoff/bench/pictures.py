"""Photos as pages look at them: cut into tiles at every scale, so that a huge one moves as lightly as a small one."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.bench.files import LOOKED_AT
from lidoff.errors import UnknownName

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from lidoff.board import Registration

__all__ = ["TILE", "Pictures", "Pyramid", "levels_of", "raster_of"]

TILE = 256
"""Edge of a tile [pixels]."""
LONGEST_FLAT = 6000
"""Longest edge of a side's flat picture [pixels]."""
_QUALITY = 85
_MOST_PIXELS = 160_000_000  # kept decoded; the newest picture stays whatever its size
_MOST_TILES = 3000


def levels_of(width: int, height: int) -> int:
    """Number of scales of a picture, each half the one below, down to one tile for the whole.

    Parameters
    ----------
    width, height : int
        Of the picture [pixels].

    Returns
    -------
    int
        One at least.
    """
    levels, edge = 1, max(width, height)
    while edge > TILE:
        edge = (edge + 1) // 2
        levels += 1
    return levels


def raster_of(registration: Registration, size: tuple[float, float]) -> tuple[float, int, int]:
    """Raster of a side's flat picture: that of its photo, unless it would be too large.

    Parameters
    ----------
    registration : Registration
        How the photo shows the board.
    size : tuple of float
        Of the board frame [mm].

    Returns
    -------
    px_per_mm : float
    width, height : int
        Of the flat picture [pixels].
    """
    own = registration.pixels_per_mm((size[0] / 2, size[1] / 2))
    scale = min(own, LONGEST_FLAT / max(size))
    return scale, max(round(size[0] * scale), 1), max(round(size[1] * scale), 1)


@dataclass(frozen=True, slots=True, eq=False)
class Pyramid:
    """One picture at every scale.

    Attributes
    ----------
    scales : tuple of ndarray of shape (H, W, 3)
        The coarsest first, in sRGB.
    sha256 : str
        Of the photo's file.
    """

    scales: tuple[NDArray[np.uint8], ...]
    sha256: str

    @property
    def width(self) -> int:
        """Of the whole picture [pixels]."""
        return int(self.scales[-1].shape[1])

    @property
    def height(self) -> int:
        """Of the whole picture [pixels]."""
        return int(self.scales[-1].shape[0])

    @property
    def pixels(self) -> int:
        """Of all scales together."""
        return sum(int(one.shape[0]) * int(one.shape[1]) for one in self.scales)

    def tile(self, z: int, x: int, y: int) -> bytes:
        """One tile as JPEG.

        Parameters
        ----------
        z : int
            Scale, 0 for the coarsest.
        x, y : int
            Column and row.

        Returns
        -------
        bytes
            Smaller than a whole tile at the right and lower rim.

        Raises
        ------
        UnknownName
            There is no such tile.
        """
        if not 0 <= z < len(self.scales):
            raise UnknownName(f"there is no scale {z}", remedy=f"scales run from 0 to {len(self.scales) - 1}")
        scale = self.scales[z]
        piece = (
            scale[y * TILE : (y + 1) * TILE, x * TILE : (x + 1) * TILE] if x >= 0 and y >= 0 else scale[:0]
        )
        if piece.size == 0:
            raise UnknownName(
                f"there is no tile {x}, {y} at scale {z}", remedy="tiles start at the upper left"
            )
        # Tiles at the rim are filled up: a page stretches each to a whole tile.
        return jpeg_of(_filled(piece))

    def small(self, longest: int) -> bytes:
        """Whole picture no larger than so many pixels, as JPEG."""
        import cv2

        least = next((one for one in self.scales if max(one.shape[:2]) >= longest), self.scales[-1])
        factor = min(1.0, longest / max(least.shape[:2]))
        size = (max(1, round(least.shape[1] * factor)), max(1, round(least.shape[0] * factor)))
        return jpeg_of(cv2.resize(least, size, interpolation=cv2.INTER_AREA))


def jpeg_of(picture: NDArray[np.uint8]) -> bytes:
    """Picture in sRGB as JPEG."""
    import cv2

    done, data = cv2.imencode(
        ".jpg", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, _QUALITY]
    )
    assert done
    return data.tobytes()


def _filled(piece: NDArray[np.uint8]) -> NDArray[np.uint8]:
    import numpy as np

    below, beside = TILE - piece.shape[0], TILE - piece.shape[1]
    return np.pad(piece, ((0, below), (0, beside), (0, 0)), mode="edge") if below or beside else piece


class Pictures:
    """Pictures lately looked at, decoded, with their tiles.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._guard = threading.Lock()
        self._made: OrderedDict[str, Pyramid] = OrderedDict()
        self._tiles: OrderedDict[tuple[str, int, int, int], bytes] = OrderedDict()
        self._making: dict[str, threading.Lock] = {}

    def photo(self, file: Path) -> Pyramid:
        """Photo of the dossier.

        Parameters
        ----------
        file : Path
            Inside the dossier.

        Returns
        -------
        Pyramid
            Upright.

        Raises
        ------
        PhotoRefused
            It cannot be read.
        """
        return self._of(self._photo_key(file), lambda: self._decoded(file))

    def flat(self, file: Path, registration: Registration, side: str, size: tuple[float, float]) -> Pyramid:
        """Flat picture of a side.

        Parameters
        ----------
        file : Path
            Its photo.
        registration : Registration
            How the photo shows the board.
        side : str
            "front" or "back".
        size : tuple of float
            Of the board frame [mm].

        Returns
        -------
        Pyramid
            In the board frame.

        Raises
        ------
        PhotoRefused
            The photo cannot be read.
        """
        key = self._flat_key(file, registration, side, size)
        return self._of(key, lambda: self._flattened(file, registration, side, size))

    def check(self, file: Path, name: str) -> Pyramid:
        """Refuse a file that is no photo of the format that its name tells.

        Parameters
        ----------
        file : Path
            As received, under a name of its own.
        name : str
            Its name to be.

        Returns
        -------
        Pyramid
            For `adopt`, once the file has its name.

        Raises
        ------
        PhotoRefused
            It cannot be read, is too large, or is named for another format.
        """
        from lidoff.board import read_photo
        from lidoff.errors import PhotoRefused

        beside = file.with_name(f"{file.stem}{LOOKED_AT}{Path(name).suffix}")
        file.replace(beside)
        try:
            photo = read_photo(beside)
        except PhotoRefused as error:
            # The name that it has for the moment says nothing to whoever sent it.
            raise PhotoRefused(error.what, where=name, remedy=error.remedy) from None
        finally:
            beside.replace(file)
        return Pyramid(_scales(photo.picture), photo.sha256)

    def adopt(self, file: Path, made: Pyramid) -> None:
        """Keep the picture of a photo that was just taken in, so that it need not be decoded again.

        Parameters
        ----------
        file : Path
            Where it lies now.
        made : Pyramid
            From `check`.
        """
        with self._guard:
            self._keep(self._photo_key(file), made)

    def _photo_key(self, file: Path) -> str:
        try:
            status = file.stat()
        except OSError:
            return f"{file} gone"
        return f"{file} {status.st_size} {status.st_mtime_ns}"

    def _flat_key(self, file: Path, registration: Registration, side: str, size: tuple[float, float]) -> str:
        numbers = [*registration.homography.ravel().tolist(), registration.lens, *size]
        told = hashlib.sha256(repr(numbers).encode()).hexdigest()
        return f"{self._photo_key(file)} {side} {told}"

    def tile(
        self, key_of: Callable[[], str], pyramid: Callable[[], Pyramid], z: int, x: int, y: int
    ) -> bytes:
        """One tile, cut once and kept for a while.

        Parameters
        ----------
        key_of : callable () → str
            Key of the picture.
        pyramid : callable () → Pyramid
            Gives the picture.
        z, x, y : int
            As for `Pyramid.tile`.

        Returns
        -------
        bytes
            JPEG.
        """
        name = (key_of(), z, x, y)
        with self._guard:
            if name in self._tiles:
                self._tiles.move_to_end(name)
                return self._tiles[name]
        data = pyramid().tile(z, x, y)
        with self._guard:
            self._tiles[name] = data
            while len(self._tiles) > _MOST_TILES:
                self._tiles.popitem(last=False)
        return data

    def photo_tile(self, file: Path, z: int, x: int, y: int) -> bytes:
        """One tile of a photo; see `tile`."""
        return self.tile(lambda: self._photo_key(file), lambda: self.photo(file), z, x, y)

    def flat_tile(
        self,
        file: Path,
        registration: Registration,
        side: str,
        size: tuple[float, float],
        place: tuple[int, int, int],
    ) -> bytes:
        """One tile (z, x, y) of a side's flat picture; see `tile`."""
        return self.tile(
            lambda: self._flat_key(file, registration, side, size),
            lambda: self.flat(file, registration, side, size),
            *place,
        )

    def _of(self, key: str, make: Callable[[], Pyramid]) -> Pyramid:
        with self._guard:
            if key in self._made:
                self._made.move_to_end(key)
                return self._made[key]
            making = self._making.setdefault(key, threading.Lock())
        with making:  # a page asks for many tiles at once; the photo is decoded once
            with self._guard:
                if key in self._made:
                    return self._made[key]
            made = make()
            with self._guard:
                self._keep(key, made)
                self._making.pop(key, None)
            return made

    def _keep(self, key: str, made: Pyramid) -> None:
        self._made[key] = made
        while len(self._made) > 1 and sum(one.pixels for one in self._made.values()) > _MOST_PIXELS:
            self._made.popitem(last=False)

    def _decoded(self, file: Path) -> Pyramid:
        from lidoff.board import read_photo

        photo = read_photo(file)
        return Pyramid(_scales(photo.picture), photo.sha256)

    def _flattened(
        self, file: Path, registration: Registration, side: str, size: tuple[float, float]
    ) -> Pyramid:
        from lidoff.board import rectify

        photo = self.photo(file)
        flat = rectify(photo.scales[-1], registration, side=side, size=size, longest_px=LONGEST_FLAT)
        return Pyramid(_scales(flat.picture), photo.sha256)


def _scales(picture: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], ...]:
    import cv2

    found = [picture]
    while max(found[0].shape[:2]) > TILE:
        height, width = found[0].shape[:2]
        size = ((width + 1) // 2, (height + 1) // 2)
        found.insert(0, cv2.resize(found[0], size, interpolation=cv2.INTER_AREA))
    return tuple(found)
