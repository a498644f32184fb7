"""One decode of a picture, from which it is written anew in several sizes, with nothing attached to it."""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from math import ceil

from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

from shoprepair.jobs.decoding.bounds import Bounds, Jpeg, Refused, Why

FORMATS = ("JPEG", "PNG", "WEBP")
REDUCING_GAP = 1.1
"""Lets a JPEG be decoded at half its size, or less, where that is still larger than what is wanted."""


def shrunk(content: bytes, bounds: Bounds) -> list[Jpeg]:
    """The picture in all its sizes, in their order. Raises Refused."""
    try:
        if size := _webp_size(content):
            # Pillow has room made for the whole picture before it says how large that is.
            _check(*size, bounds)
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


def _webp_size(content: bytes) -> tuple[int, int] | None:
    """Width and height that the header of a WebP file states (RFC 9649, sections 2.5 to 2.7)."""
    if content[:4] != b"RIFF" or content[8:12] != b"WEBP":
        return None
    match content[12:16]:
        case b"VP8X":
            return 1 + int.from_bytes(content[24:27], "little"), 1 + int.from_bytes(content[27:30], "little")
        case b"VP8L":
            bits = int.from_bytes(content[21:25], "little")
            return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
        case b"VP8 ":
            width, height = (int.from_bytes(content[at : at + 2], "little") & 0x3FFF for at in (26, 28))
            return width, height
    return None


def _made(image: Image.Image, bounds: Bounds) -> Iterator[Jpeg]:
    """Of what moves, the first moment: no other is decoded."""
    longest = max(side for side, _ in bounds.sizes)
    # Both sides as they will be: by a square, Pillow would decode an oblong JPEG at its full size.
    wanted = [ceil(side * longest / max(image.size)) for side in image.size]
    image.thumbnail((wanted[0], wanted[1]), Image.Resampling.LANCZOS, reducing_gap=REDUCING_GAP)
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
    if image.mode in {"I", "I;16", "F"}:
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
