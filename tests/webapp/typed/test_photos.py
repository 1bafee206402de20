"""What is kept of a picture: upright, small, bare; and what is no picture is refused in a sentence."""

from __future__ import annotations

import struct
import zlib
from random import Random

import pytest
from PIL import Image

from tests.webapp.photos import PLACE_WORDS, file_of, jpeg, noise, on_its_side, opened, picture
from webapp.typed.photos import LONGEST_SIDE, MOST_BYTES, SMALL_SIDE, NoPhoto, small_of, taken, taken_again

# What the readers find amiss in damaged files, they also say aloud.
pytestmark = pytest.mark.filterwarnings("ignore::UserWarning", "ignore::PIL.Image.DecompressionBombWarning")
SEE_THROUGH = Image.new("RGBA", (60, 40), (0, 0, 0, 0))


def huge(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it is as large as that."""

    def part(kind: bytes, content: bytes) -> bytes:
        whole = kind + content
        return struct.pack(">I", len(content)) + whole + struct.pack(">I", zlib.crc32(whole))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + part(b"IHDR", head)
        + part(b"IDAT", zlib.compress(b"\0" * 99))
        + part(b"IEND", b"")
    )


def test_it_is_turned_as_the_camera_was_held() -> None:
    kept = opened(taken(on_its_side(800, 600)).jpeg)
    assert kept.size == (600, 800)
    red, _, blue = kept.getpixel((450, 200))  # type: ignore[misc]
    assert red > 200 and blue < 60
    red, _, blue = kept.getpixel((150, 200))  # type: ignore[misc]
    assert red < 60 and blue > 200


@pytest.mark.parametrize("large", [False, True])
def test_nothing_but_the_picture_is_kept(large: bool) -> None:
    sent = on_its_side(*((4000, 3000) if large else (400, 300)))
    assert PLACE_WORDS.encode() in sent and opened(sent).getexif().get_ifd(0x8825)
    photo = taken(sent)
    for kept in (photo.jpeg, photo.small):
        assert PLACE_WORDS.encode() not in kept and b"Exif" not in kept
        assert not opened(kept).getexif() and "comment" not in opened(kept).info


def test_a_picture_that_cannot_be_made_short_is_made_smaller() -> None:
    photo = taken(file_of(noise(4000, 3000), "JPEG", quality=97))
    assert len(photo.jpeg) <= MOST_BYTES and max(opened(photo.jpeg).size) <= LONGEST_SIDE
    assert max(opened(photo.small).size) == SMALL_SIDE and len(photo.small) < 20_000


@pytest.mark.parametrize(
    ("kind", "mode"),
    [
        *(("JPEG", mode) for mode in ("1", "L", "RGB", "CMYK", "YCbCr")),
        *(("PNG", mode) for mode in ("1", "L", "LA", "P", "RGB", "RGBA", "I;16")),
        *(("WEBP", mode) for mode in ("RGB", "RGBA")),
        ("MPO", "RGB"),
    ],
)
def test_every_way_of_colour_is_read(kind: str, mode: str) -> None:
    assert opened(taken(file_of(Image.new(mode, (300, 20)), kind)).jpeg).size == (300, 20)


def test_what_is_seen_through_stands_on_white() -> None:
    assert opened(taken(file_of(SEE_THROUGH, "PNG")).jpeg).getpixel((30, 20)) == (255, 255, 255)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is empty"),
        (b"no picture at all", "no picture that can be read here"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no picture that can be read here"),
        (file_of(picture(30, 20), "GIF"), "no picture that can be read here"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC picture"),
        (b"\0\0\0\x1cftypmif1\0\0\0\0mif1heic", "as JPEG"),
        (jpeg(800, 600)[:2000], "damaged or was cut short"),
        (file_of(noise(80, 60), "PNG")[:-300], "damaged or was cut short"),
        (huge(30_000, 30_000), "more than 50 million points"),
        (huge(7100, 7100), "more than 50 million points"),
        (huge(2**31 - 1, 1), "more than 50 million points"),
        (file_of(Image.new("1", (12_000, 12_000)), "PNG"), "more than 50 million points"),
    ],
)  # fmt: skip
def test_what_cannot_be_kept_is_said_in_a_sentence(content: bytes, sentence: str) -> None:
    for reader in (taken, taken_again):
        with pytest.raises(NoPhoto) as refused:
            reader(content)
        assert sentence in refused.value.sentence


def test_no_damage_is_anything_but_a_photo_or_a_sentence() -> None:
    chance = Random(4)
    whole = [
        file_of(noise(120, 90), kind, **more)
        for kind, more in (("JPEG", {}), ("PNG", {}), ("WEBP", {}), ("JPEG", {"progressive": True}))
    ]
    whole.append(on_its_side(120, 90))
    refused = 0
    for _ in range(800):
        content = bytearray(chance.choice(whole))
        for _ in range(chance.randint(1, 9)):
            content[chance.randrange(min(len(content), chance.choice((80, 10**6))))] = chance.randrange(256)
        try:
            kept = taken(bytes(content[: chance.choice((chance.randrange(len(content)), len(content)))]))
            opened(kept.jpeg).load()
        except NoPhoto as error:
            assert error.sentence.endswith(".") or error.sentence.endswith("again.")
            refused += 1
    assert 80 < refused < 800


@pytest.mark.parametrize("size", [(1, 1), (300, 200), (4000, 3000)])
def test_what_was_kept_is_taken_again_as_it_is(size: tuple[int, int]) -> None:
    photo = taken(jpeg(*size))
    assert taken_again(photo.jpeg) == photo.jpeg
    assert max(opened(small_of(photo.jpeg)).size) <= SMALL_SIDE


@pytest.mark.parametrize(
    "content",
    [
        on_its_side(400, 300),
        taken(jpeg(400, 300)).jpeg + b"more behind its end",
        jpeg(2000, 300),
        jpeg(400, 300, comment=b"by whom"),
        jpeg(400, 300, icc_profile=b"x" * 300),
        file_of(picture(400, 300), "PNG"),
    ],
)
def test_what_others_wrote_is_written_anew(content: bytes) -> None:
    kept = taken_again(content)
    assert kept != content and kept == taken(content).jpeg
    assert taken_again(kept) == kept
