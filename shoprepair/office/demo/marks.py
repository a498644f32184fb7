"""What a damage looks like on cloth: each draws one, of a length in pixels, about the picture's middle."""

import math
from random import Random

from PIL import ImageDraw

Outline = list[tuple[float, float]]
MIDDLE = (800, 560)
DARK = (22, 20, 24, 255)
FILM = (176, 196, 204, 255)
YARN = (238, 232, 220, 200)
THREAD = (244, 242, 236, 255)


def cut(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """A clean slit, gaping a little, with the film behind it and single yarns along its lips."""
    upper, lower = _lips(rng, length, gape=max(10.0, 0.05 * length), rough=2)
    draw.polygon(upper + lower, fill=DARK)
    draw.polygon(_shrunk(upper + lower, 0.55), fill=FILM)
    _frayed(draw, rng, upper[1:-1] + lower[1:-1], reach=20)


def burst(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """A wide mouth with ragged lips and the bladder hanging out."""
    upper, lower = _lips(rng, length, gape=0.32 * length, rough=26)
    draw.polygon(upper + lower, fill=DARK)
    film = _shrunk(_lips(rng, length, gape=0.3 * length, rough=34)[0] + lower, 0.7)
    draw.polygon(film, fill=FILM)
    for x, y in film[::3]:
        draw.line(
            (x, y, MIDDLE[0] + rng.gauss(0, 90), MIDDLE[1] + rng.gauss(0, 40)),
            fill=(140, 162, 172, 255),
            width=4,
        )
    _frayed(draw, rng, upper + lower, reach=60)


def tear(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """Two legs from a corner, one flap turned over."""
    x, y = MIDDLE[0] - 0.3 * length, MIDDLE[1] - 0.1 * length
    far, down = (x + 0.75 * length, y + rng.uniform(-12, 12)), (x + rng.uniform(-12, 12), y + 0.35 * length)
    draw.polygon([(x, y), far, (x + 0.2 * length, y + 0.16 * length), down], fill=DARK)
    flap = [far, (x + 0.2 * length, y + 0.16 * length), down, (x + 0.42 * length, y + 0.3 * length)]
    draw.polygon(flap, fill=(226, 222, 210, 235))
    _frayed(draw, rng, [(x, y), far, down], reach=18)


def hole(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """A round puncture with a melted rim."""
    radius = max(14.0, length / 2)
    _blob(draw, rng, radius * 1.35, rough=0.08, fill=(60, 50, 44, 150))
    _blob(draw, rng, radius, rough=0.1, fill=DARK)


def scuff(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """Broken filaments: a band of short pale strokes, all one way."""
    for _ in range(900):
        x = MIDDLE[0] + rng.gauss(0, length / 4)
        y = MIDDLE[1] + rng.gauss(0, max(40.0, length / 16))
        reach = rng.uniform(10, 46)
        draw.line(
            (x, y, x + reach, y + rng.uniform(-7, 7)),
            fill=(*YARN[:3], rng.randrange(40, 150)),
            width=rng.randrange(1, 4),
        )


def seam(draw: ImageDraw.ImageDraw, rng: Random, *, y: float, gap: tuple[float, float] = (0, 0)) -> None:
    """Two rows of lockstitch across the picture, left out between the two x of `gap`."""
    draw.line((0, y + 22, 1600, y + 22), fill=(0, 0, 0, 70), width=3)
    for row in (y - 14, y + 10):
        for x in range(6, 1600, 26):
            if gap[0] <= x <= gap[1]:
                draw.ellipse((x - 3, row - 3, x + 3, row + 3), fill=DARK)
            else:
                draw.line((x, row, x + 17, row + rng.uniform(-1, 1)), fill=THREAD, width=5)


def opened_seam(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """Stitch holes without thread, the cloth parted between the rows, loose ends at both sides."""
    left, right = MIDDLE[0] - length / 2, MIDDLE[0] + length / 2
    seam(draw, rng, y=MIDDLE[1], gap=(left, right))
    upper, lower = _lips(rng, length, gape=24, rough=3)
    draw.polygon(upper + lower, fill=DARK)
    for x in (left, right):
        _loose_end(draw, rng, x)


def lost_stitching(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """A webbing loop whose rows have let go."""
    x, y = MIDDLE
    draw.rectangle((x - 520, y - 90, x + 520, y + 90), fill=(40, 44, 48, 255))
    for step in range(-510, 520, 14):
        draw.line((x + step, y - 90, x + step + 8, y + 90), fill=(62, 66, 70, 255), width=3)
    for row in (-60, 60):
        seam(draw, rng, y=y + row, gap=(x - length / 2, x + length / 2))
    _loose_end(draw, rng, x - length / 2)


def bubbles(draw: ImageDraw.ImageDraw, rng: Random, _length: float) -> None:
    """Soap water over a leak: froth where the air comes out."""
    for _ in range(170):
        away = abs(rng.gauss(0, 90))
        turn = rng.uniform(0, 2 * math.pi)
        x, y = MIDDLE[0] + away * math.cos(turn) * 1.4, MIDDLE[1] + away * math.sin(turn)
        radius = rng.uniform(5, max(8.0, 34 - away / 6))
        box = (x - radius, y - radius, x + radius, y + radius)
        draw.ellipse(box, fill=(235, 244, 248, 70), outline=(250, 252, 255, 190), width=2)
        draw.arc(
            (x - radius * 0.6, y - radius * 0.6, x + radius * 0.6, y + radius * 0.6),
            200,
            260,
            fill=(255,) * 4,
            width=3,
        )


def crack(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """A crack through clear film, with short branches."""
    draw.rectangle((140, 260, 1460, 960), fill=(206, 222, 226, 225), outline=(240, 246, 248, 255), width=10)
    x, y = MIDDLE[0] - length / 2, float(MIDDLE[1])
    while x < MIDDLE[0] + length / 2:
        nx, ny = x + rng.uniform(18, 46), y + rng.uniform(-26, 26)
        draw.line((x, y, nx, ny), fill=(70, 84, 90, 255), width=5)
        draw.line((x, y + 4, nx, ny + 4), fill=(255, 255, 255, 160), width=2)
        if rng.random() < 0.3:
            draw.line(
                (nx, ny, nx + rng.uniform(10, 50), ny + rng.uniform(-70, 70)),
                fill=(90, 104, 110, 200),
                width=3,
            )
        x, y = nx, ny


def residue(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """The grey ghost of an old patch, its glue full of sand."""
    half = max(120.0, length / 2)
    box = (MIDDLE[0] - half, MIDDLE[1] - half * 0.6, MIDDLE[0] + half, MIDDLE[1] + half * 0.6)
    draw.rounded_rectangle(box, 40, fill=(150, 146, 136, 120), outline=(96, 92, 84, 150), width=6)
    for _ in range(1400):
        x, y = rng.uniform(box[0], box[2]), rng.uniform(box[1], box[3])
        draw.ellipse(
            (x, y, x + rng.uniform(1, 5), y + rng.uniform(1, 5)), fill=(104, 92, 70, rng.randrange(60, 220))
        )


def stain(draw: ImageDraw.ImageDraw, rng: Random, length: float) -> None:
    """A dried tide mark."""
    for share, alpha in ((1.0, 60), (0.8, 40), (0.5, 30)):
        _blob(draw, rng, max(90.0, length / 2) * share, rough=0.16, fill=(92, 70, 40, alpha))


def paper_scale(draw: ImageDraw.ImageDraw, size: tuple[int, int], px_per_m: float) -> None:
    """A paper strip of millimetres or centimetres, as the counter lays it under a damage for the photo."""
    top = size[1] - 190
    draw.rectangle(
        (90, top, size[0] - 90, top + 96), fill=(250, 247, 238, 255), outline=(170, 164, 150, 255), width=3
    )
    step = 0.001 if px_per_m > 9000 else 0.01
    x, count = 130.0, 0
    while x < size[0] - 110:
        tall = 52 if count % 10 == 0 else 40 if count % 5 == 0 else 24
        draw.line((x, top, x, top + tall), fill=(30, 30, 30, 255), width=4)
        x, count = x + step * px_per_m, count + 1


def _lips(rng: Random, length: float, *, gape: float, rough: float) -> tuple[Outline, Outline]:
    """Both edges of an opening, from its left end to its right and back."""
    shares = [step / 24 for step in range(25)]
    left = MIDDLE[0] - length / 2
    upper = [
        (left + s * length, MIDDLE[1] - gape * math.sin(math.pi * s) - rng.uniform(0, rough)) for s in shares
    ]
    lower = [
        (left + s * length, MIDDLE[1] + gape * math.sin(math.pi * s) + rng.uniform(0, rough)) for s in shares
    ]
    return upper, lower[::-1]


def _shrunk(outline: Outline, share: float) -> Outline:
    return [(MIDDLE[0] + (x - MIDDLE[0]) * share, MIDDLE[1] + (y - MIDDLE[1]) * share) for x, y in outline]


def _frayed(draw: ImageDraw.ImageDraw, rng: Random, outline: Outline, *, reach: float) -> None:
    for x, y in outline:
        for _ in range(3):
            end = (x + rng.uniform(-reach, reach), y + rng.uniform(-reach, reach))
            draw.line((x, y, *end), fill=YARN, width=2)


def _loose_end(draw: ImageDraw.ImageDraw, rng: Random, x: float) -> None:
    y = float(MIDDLE[1])
    for _ in range(9):
        nx, ny = x + rng.uniform(-22, 22), y + rng.uniform(4, 22)
        draw.line((x, y, nx, ny), fill=THREAD, width=4)
        x, y = nx, ny


def _blob(
    draw: ImageDraw.ImageDraw, rng: Random, radius: float, *, rough: float, fill: tuple[int, ...]
) -> None:
    waves = [(count, rough / count, rng.uniform(0, 2 * math.pi)) for count in (2, 3, 5, 9)]
    outline = []
    for step in range(120):
        turn = step * math.pi / 60
        away = radius * (1 + sum(height * math.sin(count * turn + shift) for count, height, shift in waves))
        outline.append((MIDDLE[0] + away * math.cos(turn), MIDDLE[1] + away * math.sin(turn)))
    draw.polygon(outline, fill=fill)
