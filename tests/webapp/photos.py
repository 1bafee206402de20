"""Pictures as a camera would give them, made up."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from PIL import Image

# EXIF 2.32: orientation, maker, and the part about the place with its hemisphere and its degrees.
ORIENTATION, MAKER, PLACE, NORTH, LATITUDE = 0x0112, 0x010F, 0x8825, 1, 2
PLACE_WORDS = "Ashburnham Yard"


def picture(width: int, height: int) -> Image.Image:
    """A picture whose top left quarter is red, the rest of it blue."""
    image = Image.new("RGB", (width, height), "blue")
    image.paste("red", (0, 0, width // 2, height // 2))
    return image


def noise(width: int, height: int) -> Image.Image:
    """A picture that cannot be made short."""
    return Image.effect_noise((width, height), 100).convert("RGB")


def file_of(image: Image.Image, kind: str, **options: Any) -> bytes:
    """The picture as a file."""
    written = BytesIO()
    image.save(written, kind, **options)
    return written.getvalue()


def jpeg(width: int, height: int, **options: Any) -> bytes:
    """A JPEG of a size."""
    return file_of(picture(width, height), "JPEG", **options)


def on_its_side(width: int, height: int) -> bytes:
    """A JPEG as a camera held upright writes it: lying, with a word that it is to be turned, and where it was taken."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = 6, PLACE_WORDS
    exif.get_ifd(PLACE).update({NORTH: "N", LATITUDE: (51.0, 30.0, 12.0)})
    return jpeg(width, height, exif=exif, comment=PLACE_WORDS.encode())


def opened(content: bytes) -> Image.Image:
    """A file's picture."""
    return Image.open(BytesIO(content))
