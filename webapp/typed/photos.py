"""A photo as a camera gives it, made into what is kept: upright, small, and nothing in the file but the picture."""

from __future__ import annotations

import re
import struct
import zlib
from dataclasses import dataclass
from io import BytesIO
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 1_000_000
LONGEST_SIDE = 1600
SMALL_SIDE = 160
# More than a tablet's camera has; each takes up to four bytes while the picture is made smaller.
_MOST_PIXELS = 50_000_000
# Tried in turn until the picture is small enough, which the last of them always is.
_SIDES, _QUALITIES = (LONGEST_SIDE, 1200, 800), (80, 65, 50)
_SMALL_QUALITY = 70
_READ = ("JPEG", "PNG", "WEBP")
# What the readers of these kinds raise where the bytes are not what their beginning promised.
_DAMAGED = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    struct.error,
    IndexError,
    KeyError,
    TypeError,
    zlib.error,
)
# A camera's picture takes much memory: one after the other, so that several tablets do not take it together.
_one_at_a_time = Lock()

_EMPTY = "The file of the photo is empty: take or choose it once more."
_NO_PICTURE = "This is no picture that can be read here: send a JPEG, PNG or WebP."
_HEIC = (
    "This is a HEIC picture, which cannot be read here: set the camera to JPEG, or send the picture as JPEG."
)
_CUT_SHORT = "The picture is damaged or was cut short: take or choose it once more."
_TOO_LARGE = f"The picture has more than {_MOST_PIXELS // 1_000_000} million points: send it smaller."

# ISO/IEC 14496-12: the file's kind stands after its first four bytes.
_HEIC_KINDS = re.compile(rb".{4}ftyp(hei[cmsx]|hev[cmsx]|mif1|msf1)", re.DOTALL)

# ISO/IEC 10918-1, annex B: the segments that a picture is made of, and where the next one begins after a scan.
_SOI, _EOI, _SOS = b"\xff\xd8", b"\xd9", b"\xda"
_OF_THE_PICTURE = {b"\xc0", b"\xc1", b"\xc2", b"\xc4", b"\xdb", b"\xdd", _SOS}
_NEXT = re.compile(rb"\xff[^\x00\xd0-\xd7]")
# The segment of JFIF (ISO/IEC 10918-5) as long as it is without a picture of its own in it.
_JFIF, _JFIF_LENGTH = b"JFIF\0", 16


class NoPhoto(Exception):
    """It is not kept, and this is why."""

    @property
    def sentence(self) -> str:
        """Why not."""
        return str(self.args[0])


@dataclass(frozen=True, slots=True)
class Photo:
    """What is kept of a picture, as JPEG: itself, and so small that a list of them stays light."""

    jpeg: bytes
    small: bytes


def taken(content: bytes) -> Photo:
    """The photo to be kept of a camera's picture; NoPhoto says why there is none.

    Turned as it was held, made smaller and written anew: place, time, camera and colour profile are left behind.
    """
    with _one_at_a_time:
        image = _opened(content)
        try:
            return _made(image)
        except _DAMAGED:
            raise NoPhoto(_CUT_SHORT) from None


def taken_again(content: bytes) -> bytes:
    """The picture of a photo that was kept before: the very same bytes if they are such a one, else as one just taken."""
    if len(content) <= MOST_BYTES and _is_bare(content):
        with _one_at_a_time:
            image = _opened(content)
            try:
                if max(image.size) <= LONGEST_SIDE:
                    image.load()
                    return content
            except _DAMAGED:
                raise NoPhoto(_CUT_SHORT) from None
    return taken(content).jpeg


def small_of(jpeg: bytes) -> bytes:
    """The small one of a picture that was found good."""
    image = _opened(jpeg)
    # Read at an eighth of its size or so, which is quick.
    image.draft("RGB", (SMALL_SIDE, SMALL_SIDE))
    return _small(_plain(image))


def _opened(content: bytes) -> Image:
    """The picture, of which no more than its head is read yet."""
    # Here, for a start does without them.
    from PIL import UnidentifiedImageError
    from PIL.Image import DecompressionBombError
    from PIL.Image import open as open_image

    if not content:
        raise NoPhoto(_EMPTY)
    try:
        image = open_image(BytesIO(content), formats=_READ)
    except UnidentifiedImageError:
        raise NoPhoto(_HEIC if _HEIC_KINDS.match(content) else _NO_PICTURE) from None
    except DecompressionBombError:
        raise NoPhoto(_TOO_LARGE) from None
    except _DAMAGED:
        raise NoPhoto(_CUT_SHORT) from None
    if image.width * image.height > _MOST_PIXELS:
        raise NoPhoto(_TOO_LARGE)
    return image


def _made(image: Image) -> Photo:
    from PIL.ImageOps import exif_transpose

    if image.format in ("JPEG", "MPO"):
        # Unpacked at a part of its size where it is much too large.
        image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
    upright = exif_transpose(image)
    picture = _plain(upright)
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return Photo(_fitting(picture), _small(picture))


def _plain(image: Image) -> Image:
    """The picture alone, as red, green and blue; what is seen through stands on white."""
    from PIL.Image import new

    plain = new("RGB", image.size, "white")
    if image.has_transparency_data:
        through = image.convert("RGBA")
        plain.paste(through, mask=through.getchannel("A"))
    else:
        plain.paste(image.convert("RGB"))
    return plain


def _fitting(picture: Image) -> bytes:
    """The best of its JPEGs that is not too long."""
    return next(
        jpeg
        for side in _SIDES
        for quality in _QUALITIES
        if len(jpeg := _jpeg(_within(picture, side), quality)) <= MOST_BYTES
    )


def _small(picture: Image) -> bytes:
    return _jpeg(_within(picture, SMALL_SIDE), _SMALL_QUALITY)


def _within(picture: Image, side: int) -> Image:
    if max(picture.size) <= side:
        return picture
    smaller = picture.copy()
    smaller.thumbnail((side, side))
    return smaller


def _jpeg(picture: Image, quality: int) -> bytes:
    written = BytesIO()
    picture.save(written, "JPEG", quality=quality, optimize=True)
    return written.getvalue()


def _is_bare(jpeg: bytes) -> bool:
    """Whether a JPEG has nothing in it but the picture: no notes of a camera, no words, nothing after its end."""
    at = len(_SOI) if jpeg.startswith(_SOI) else len(jpeg)
    while jpeg[at : at + 1] == b"\xff":
        marker = jpeg[at + 1 : at + 2]
        if marker == _EOI:
            return at + 2 == len(jpeg)
        length = int.from_bytes(jpeg[at + 2 : at + 4], "big")
        jfif = marker == b"\xe0" and length == _JFIF_LENGTH and jpeg.startswith(_JFIF, at + 4)
        if marker not in _OF_THE_PICTURE and not jfif:
            return False
        at += 2 + length
        if marker == _SOS:
            following = _NEXT.search(jpeg, at)
            at = following.start() if following else len(jpeg)
    return False
