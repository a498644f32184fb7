"""Photographs of damages that never were: cloth, light and a paper scale drawn by Pillow."""

import io
import math
from collections.abc import Callable
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from shoprepair.mechanics.description import FindingKind
from shoprepair.office.demo import marks

SIZE = (1024, 768)

_MARKS: dict[FindingKind, Callable[[ImageDraw.ImageDraw, Random, float], None]] = {
    FindingKind.CUT: marks.cut,
    FindingKind.HOLE: marks.hole,
    FindingKind.SCUFF: marks.scuff,
    FindingKind.SEAM_OPENED: marks.opened_seam,
    FindingKind.BURST: marks.burst,
    FindingKind.LEAK: marks.bubbles,
    FindingKind.TEAR: marks.tear,
    FindingKind.CRACK: marks.crack,
    FindingKind.STITCHING: marks.lost_stitching,
    FindingKind.RESIDUE: marks.residue,
    FindingKind.STAIN: marks.stain,
}


def photograph(
    kind: FindingKind, rng: Random, *, colour: tuple[int, int, int], length_m: float, tube: bool
) -> bytes:
    """A JPEG of one damage of that length, on a tube's casing or on canopy cloth."""
    picture = _weave(colour, coarse=tube)
    if tube:
        picture = _rounded(picture)
    draw = ImageDraw.Draw(picture, "RGBA")
    marks.seam(draw, rng, y=0.16 * SIZE[1])
    px_per_m = 0.38 * SIZE[0] / max(length_m, 0.03)
    _MARKS[kind](draw, rng, length_m * px_per_m)
    marks.paper_scale(draw, SIZE, px_per_m)
    return _developed(picture, rng)


def _weave(colour: tuple[int, int, int], *, coarse: bool) -> Image.Image:
    """Plain weave: a yarn over, a yarn under; canopy cloth with the heavier threads of its ripstop grid."""
    pitch = 10 if coarse else 6
    tile = Image.new("L", (2 * pitch, 2 * pitch), 205)
    draw = ImageDraw.Draw(tile)
    for column, row in ((0, 0), (1, 1)):
        x, y = column * pitch, row * pitch
        draw.rectangle((x, y, x + pitch - 1, y + pitch - 1), fill=228)
        draw.line((x, y, x, y + pitch - 1), fill=150)
    for column, row in ((1, 0), (0, 1)):
        x, y = column * pitch, row * pitch
        draw.line((x, y, x + pitch - 1, y), fill=150)
    cloth = _tiled(tile)
    if not coarse:
        draw = ImageDraw.Draw(cloth)
        for x in range(0, SIZE[0], 72):
            draw.line((x, 0, x, SIZE[1]), fill=242, width=5)
        for y in range(0, SIZE[1], 72):
            draw.line((0, y, SIZE[0], y), fill=242, width=5)
    dyed = Image.new("RGB", SIZE, colour)
    return ImageChops.multiply(dyed, cloth.filter(ImageFilter.GaussianBlur(0.8)).convert("RGB"))


def _tiled(tile: Image.Image) -> Image.Image:
    """The tile repeated over the whole picture, doubling each time."""
    whole = Image.new("L", SIZE)
    whole.paste(tile, (0, 0))
    width, height = tile.size
    while width < SIZE[0]:
        whole.paste(whole.crop((0, 0, width, height)), (width, 0))
        width *= 2
    while height < SIZE[1]:
        whole.paste(whole.crop((0, 0, SIZE[0], height)), (0, height))
        height *= 2
    return whole


def _rounded(cloth: Image.Image) -> Image.Image:
    """The light on a pumped tube: bright along its crown, falling off to both sides."""
    heights = [int(255 * math.sqrt(max(0.1, 1 - (1.8 * (y / 255 - 0.42)) ** 2))) for y in range(256)]
    light = Image.new("L", (1, 256))
    light.putdata(heights)
    return ImageChops.multiply(cloth, light.resize(SIZE, Image.Resampling.BICUBIC).convert("RGB"))


def _developed(picture: Image.Image, rng: Random) -> bytes:
    """Hand-held: a little tilt, the lens's darker corners, the sensor's grain."""
    tilted = _tilted(picture, rng.uniform(-0.05, 0.05))
    corners = ImageChops.invert(Image.radial_gradient("L")).point(lambda v: min(255, 150 + v)).resize(SIZE)
    lit = ImageChops.multiply(tilted, corners.convert("RGB"))
    small = (SIZE[0] // 2, SIZE[1] // 2)
    grain = Image.frombytes("L", small, rng.randbytes(small[0] * small[1])).point(lambda v: 250 + v // 51)
    grained = ImageChops.multiply(lit, grain.resize(SIZE).convert("RGB"))
    file = io.BytesIO()
    grained.save(file, "JPEG", quality=85)
    return file.getvalue()


def _tilted(picture: Image.Image, angle_rad: float) -> Image.Image:
    """Turned about the middle, and drawn large enough that no corner stays empty."""
    cos, sin, (x, y) = 0.93 * math.cos(angle_rad), 0.93 * math.sin(angle_rad), (SIZE[0] / 2, SIZE[1] / 2)
    turn = (cos, sin, x - cos * x - sin * y, -sin, cos, y + sin * x - cos * y)
    return picture.transform(SIZE, Image.Transform.AFFINE, turn, Image.Resampling.BILINEAR)
