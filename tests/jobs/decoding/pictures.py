"""Pictures that state more than they hold, and ones that are broken in every way."""

import io
import struct
import zlib

from PIL import Image

from shoprepair.jobs.decoding.bounds import Bounds

BOUNDS = Bounds(50_000_000, 12_000, ((1600, 80), (1000, 80), (400, 75)))


def picture(
    width: int = 64, height: int = 48, form: str = "JPEG", mode: str = "RGB", **options: object
) -> bytes:
    file = io.BytesIO()
    Image.new(mode, (width, height)).save(file, form, **options)
    return file.getvalue()


def png_stating(width: int, height: int) -> bytes:
    """A PNG whose header states this size and has little behind it."""
    content = bytearray(picture(8, 8, "PNG"))
    content[16:24] = struct.pack("!II", width, height)
    content[29:33] = struct.pack("!I", zlib.crc32(content[12:29]))
    return bytes(content)


def webp_stating(width: int, height: int) -> bytes:
    """A WebP without loss whose header states this size."""
    content = bytearray(picture(8, 8, "WEBP", lossless=True))
    at = content.index(b"VP8L") + 9
    bits = struct.unpack("<I", content[at : at + 4])[0] & ~0xFFFFFFF
    content[at : at + 4] = struct.pack("<I", bits | (width - 1) | (height - 1) << 14)
    return bytes(content)


def jpeg_stating(width: int, height: int, *, progressive: bool = True) -> bytes:
    """A JPEG whose frame states this size."""
    content = bytearray(picture(8, 8, progressive=progressive))
    at = content.index(b"\xff\xc2" if progressive else b"\xff\xc0") + 5
    content[at : at + 4] = struct.pack("!HH", height, width)
    return bytes(content)
