"""One decode of a picture, from which it is written anew in several sizes, with nothing attached to it."""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import IntEnum
from io import BytesIO

from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "WEBP")
REDUCING_GAP = 1.1
"""Lets a JPEG be decoded at half its size, or less, where that is still larger than what is wanted."""


class Why(IntEnum):
    """Why a picture was not taken."""

    NOT_A_PHOTO = 1
    TOO_MANY_PIXELS = 2
    TOO_THIN = 3
    TOO_LONG = 4
    BROKEN = 5
    TOO_MUCH = 6
    """It took more memory or time than a photo may."""


class Refused(Exception):
    """The picture was not taken."""

    def __init__(self, why: Why) -> None:
        super().__init__(why.name)
        self.why = why


@dataclass(frozen=True, slots=True)
class Bounds:
    """How large a picture may be, by its header, and the sizes wanted: longest side and quality, falling."""

    most_pixels: int
    most_side: int
    sizes: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Jpeg:
    """A picture written anew, without anything that was attached to it."""

    width: int
    height: int
    content: bytes = field(repr=False)


def shrunk(content: bytes, bounds: Bounds) -> list[Jpeg]:
    """The picture in all its sizes, in their order. Raises Refused."""
    try:
        with _strictly(), Image.open(BytesIO(content), formats=FORMATS) as image:
            _check(*image.size, bounds)
            return list(_made(image, bounds))
    except UnidentifiedImageError:
        raise Refused(Why.NOT_A_PHOTO) from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise Refused(Why.TOO_MANY_PIXELS) from None
    except MemoryError:
        raise Refused(Why.TOO_MUCH) from None
    except Refused:
        raise
    except Exception as error:
        # A decoder may fail over a broken file in any way; only the file is to blame.
        raise Refused(Why.BROKEN) from error


def _check(width: int, height: int, bounds: Bounds) -> None:
    """Looks at the size that the header states: nothing has been decoded yet."""
    if width * height > bounds.most_pixels:
        raise Refused(Why.TOO_MANY_PIXELS)
    if min(width, height) < 2:
        raise Refused(Why.TOO_THIN)
    if max(width, height) > bounds.most_side:
        raise Refused(Why.TOO_LONG)


def _made(image: Image.Image, bounds: Bounds) -> Iterator[Jpeg]:
    """Of what moves, the first moment: no other is decoded."""
    longest = max(side for side, _ in bounds.sizes)
    image.thumbnail((longest, longest), Image.Resampling.LANCZOS, reducing_gap=REDUCING_GAP)
    current = _flat(ImageOps.exif_transpose(image))
    for side, quality in bounds.sizes:
        current.thumbnail((side, side), Image.Resampling.LANCZOS, reducing_gap=REDUCING_GAP)
        yield _jpeg(current, quality)


def _jpeg(image: Image.Image, quality: int) -> Jpeg:
    buffer = BytesIO()
    # Nothing but pixels: no exif=, no icc_profile=, and a fresh image carries no info of its own.
    image.save(buffer, "JPEG", quality=quality)
    return Jpeg(*image.size, buffer.getvalue())


def _flat(image: Image.Image) -> Image.Image:
    """Plain red, green and blue, on white where the picture is clear, with nothing attached."""
    if image.mode in {"I", "I;16", "I;16B", "F"}:
        image = image.point(lambda level: level / 256).convert("L")
    if image.has_transparency_data:
        clear = image.convert("RGBA")
        flat = Image.new("RGB", image.size, "white")
        flat.paste(clear, mask=clear.getchannel("A"))
        return flat
    flat = image.convert("RGB")
    flat.info = {}
    return flat


@contextmanager
def _strictly() -> Iterator[None]:
    """Bombs and cut-off files are errors, even where printing papers has told Pillow to bear with them."""
    bears_with = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = bears_with
