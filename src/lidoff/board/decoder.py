"""The decoding process: reads a photo's bytes from its input, writes one line of JSON and the upright pixels.

Run by `lidoff.board.photo` as a process of its own. It sets its limit of memory before the first byte is decoded, and checks
the size from the header before the first pixel is.
"""

from __future__ import annotations

import io
import json
import sys
import warnings
from typing import Any

__all__ = ["decoded"]

MEMORY = 3_500_000_000
"""Address space of the process [bytes]: a photo of 100 megapixels takes three copies of 300 MB, libraries about 1 GB."""

_ORIENTATION = 0x0112  # tag of the file that tells how the camera was held


def decoded(data: bytes, largest_pixels: int) -> tuple[dict[str, Any], bytes]:
    """Verdict and pixels of a photo.

    Parameters
    ----------
    data : bytes
        The file.
    largest_pixels : int
        Photos of more pixels are refused from their header.

    Returns
    -------
    tuple of dict, bytes
        Either ``refused`` and ``remedy`` with no bytes; or rows, columns, format, turned, with sRGB bytes row by row.
    """
    import pi_heif
    from PIL import Image, ImageOps, UnidentifiedImageError

    pi_heif.register_heif_opener()
    Image.MAX_IMAGE_PIXELS = None  # the library's own guard only warns at first; the check below refuses
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(io.BytesIO(data), formats=["JPEG", "PNG", "TIFF", "HEIF"])
            width, height = image.size
            if width * height > largest_pixels:
                size = f"{width} × {height} = {width * height / 1e6:.0f} megapixels"
                return _refused(
                    f"the photo has {size}, more than {largest_pixels / 1e6:.0f}", "save it smaller"
                )
            # Phones write JPEG with a second picture behind the first; it is JPEG all the same.
            name = "JPEG" if image.format == "MPO" else str(image.format)
            turned = image.getexif().get(_ORIENTATION, 1) not in (0, 1)
            turned = turned or bool(image.info.get("original_orientation"))
            image.load()
            upright = ImageOps.exif_transpose(image).convert("RGB")
    except UnidentifiedImageError:
        return _refused(
            "this is no JPEG, PNG, TIFF or HEIC picture", "save the photo in one of these formats"
        )
    except MemoryError:
        return _refused("decoding needed more memory than a photo may", "save the photo again as JPEG")
    except (OSError, SyntaxError, ValueError, EOFError) as error:
        return _refused(f"the picture is damaged or cut short ({error})", "copy it from the camera again")
    verdict = {"rows": upright.height, "columns": upright.width, "format": name, "turned": turned}
    return verdict, upright.tobytes()


def _refused(what: str, remedy: str) -> tuple[dict[str, Any], bytes]:
    return {"refused": what, "remedy": remedy}, b""


def _limit_memory() -> None:
    """Hold the process's address space; where the system has no such limit, the check of the size alone holds."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))


def main() -> None:
    """Answer one photo."""
    _limit_memory()
    verdict, pixels = decoded(sys.stdin.buffer.read(), int(sys.argv[1]))
    sys.stdout.buffer.write(json.dumps(verdict).encode() + b"\n")
    sys.stdout.buffer.write(pixels)


if __name__ == "__main__":
    main()
