"""Letters as the font files themselves draw them, to hold against those on a paper."""

import functools
from itertools import groupby
from pathlib import Path

from fontTools.ttLib import TTFont
from PIL import Image, ImageChops, ImageDraw, ImageFont

FOLDER = Path(__file__).parents[2] / "static" / "fonts"
WEIGHTS = (400, 700)
_DEJAVU = {400: "DejaVuSans.ttf", 700: "DejaVuSans-Bold.ttf"}
_SIZE = 200
_BOX = (160, 80)
DARK = 128


def _file(part: str, weight: int) -> str:
    return str(FOLDER / f"atkinson-hyperlegible-next-{part}-{weight}-normal.woff2")


@functools.cache
def held(part: str) -> frozenset[str]:
    """The letters of one of the shop's font files: "latin" or "latin-ext"."""
    return frozenset(map(chr, TTFont(_file(part, 400)).getBestCmap()))


@functools.cache
def _font(part: str, weight: int) -> ImageFont.FreeTypeFont:
    path = _DEJAVU[weight] if part == "dejavu" else _file(part, weight)
    return ImageFont.truetype(path, _SIZE)


def _part(letter: str) -> str:
    return next((part for part in ("latin", "latin-ext") if letter in held(part)), "dejavu")


def drawn(word: str, weight: int = 400) -> Image.Image:
    """The word in ink on white, each run of it by the file that holds its letters, shaped and its own way."""
    sheet = Image.new("L", (_SIZE * (len(word) + 2), 3 * _SIZE), 255)
    pen, at = ImageDraw.Draw(sheet), float(_SIZE)
    for part, run in groupby(word, _part):
        letters, font = "".join(run), _font(part, weight)
        pen.text((at, 2 * _SIZE), letters, fill=0, font=font, anchor="ls")
        at += font.getlength(letters)
    return sheet


def inked(picture: Image.Image) -> Image.Image:
    """What there is of ink, without the white around it."""
    box = ImageChops.invert(picture).point(lambda tone: 255 if tone > DARK else 0).getbbox()
    assert box, "there is no ink at all"
    return picture.crop(box)


def likeness(one: Image.Image, other: Image.Image) -> float:
    """How far two drawings have their ink in the same places: 1 for the same, about 0 for strangers."""
    one, other = inked(one), inked(other)
    wide = [picture.width / picture.height for picture in (one, other)]
    if max(wide) > 1.15 * min(wide):
        return 0.0
    dots = [255 - value for value in one.resize(_BOX).tobytes()]
    others = [255 - value for value in other.resize(_BOX).tobytes()]
    both = sum(a * b for a, b in zip(dots, others, strict=True))
    return both / (sum(a * a for a in dots) * sum(b * b for b in others)) ** 0.5
