"""The contact sheet: one page of thumbnails, a screen a section, and a picture of many side by side."""

from collections.abc import Sequence
from html import escape
from itertools import groupby
from math import ceil
from pathlib import Path

from PIL import Image

from tests.pictures.taking import Picture, slug

BOX = (320, 440)
"""Pixels that a thumbnail takes at most: what is further down a page shows when it is opened."""
LOOK = """body{margin:1.5rem;font:1rem/1.4 sans-serif;background:#ddd;color:#15252b}
h2{margin:2rem 0 .5rem}ul{display:flex;flex-wrap:wrap;gap:1rem;padding:0;list-style:none;align-items:start}
li{max-width:20rem}img{display:block;max-width:100%;background:#fff;border:1px solid #999}
nav ul{gap:.25rem 1rem}"""


def write(into: Path, pictures: Sequence[Picture], missed: Sequence[str] = ()) -> Path:
    """Write the sheet beside the pictures; answers its first page."""
    shown = sorted(set(pictures), key=lambda one: (one.screen, one.state, one.size))
    sections = [(screen, list(of)) for screen, of in groupby(shown, key=lambda one: one.screen)]
    for one in shown:
        _thumbnail(into / one.name, into / _small(one))
    _mosaics(into, shown)
    names = "".join(f'<li><a href="#{slug(screen)}">{escape(screen)}</a></li>' for screen, _ in sections)
    told = "".join(f"<li>{escape(one)}</li>" for one in missed)
    page = f"""<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>Contact sheet</title><style>{LOOK}</style></head><body>
<h1>{len(shown)} pictures of {len(sections)} screens and papers</h1>
<nav><ul>{names}</ul></nav>
{f"<h2>Not taken, broken or too wide</h2><ul>{told}</ul>" if told else ""}
{"".join(_section(screen, of) for screen, of in sections)}
</body></html>
"""
    first = into / "index.html"
    first.write_text(page)
    return first


def _section(screen: str, pictures: Sequence[Picture]) -> str:
    shown = "".join(
        f'<li><a href="{one.name}"><img loading="lazy" src="{_small(one)}" alt=""></a>'
        f"{escape(one.state)}, {escape(one.size)}</li>"
        for one in pictures
    )
    return f'<section id="{slug(screen)}"><h2>{escape(screen)}</h2><ul>{shown}</ul></section>\n'


def _small(picture: Picture) -> str:
    return f"small/{picture.name.removesuffix('.png')}.jpg"


def _thumbnail(of: Path, to: Path) -> None:
    """The top of a picture, made to fit the box across."""
    to.parent.mkdir(parents=True, exist_ok=True)
    with Image.open(of) as picture:
        scale = min(1, BOX[0] / picture.width)
        top = picture.convert("RGB").crop((0, 0, picture.width, min(picture.height, int(BOX[1] / scale))))
        top.thumbnail(BOX)
        top.save(to, quality=80)


def _mosaics(into: Path, pictures: Sequence[Picture]) -> None:
    """One picture a state and size, of all its screens: `mosaic/many-phone.png`."""
    by_kind: dict[tuple[str, str], list[Picture]] = {}
    for one in pictures:
        by_kind.setdefault((slug(one.state), one.size), []).append(one)
    (into / "mosaic").mkdir(exist_ok=True)
    for (state, size), of in by_kind.items():
        _mosaic([into / _small(one) for one in of]).save(into / "mosaic" / f"{state}-{size}.png")


def _mosaic(of: Sequence[Path], across: int = 6) -> Image.Image:
    small = []
    for path in of:
        with Image.open(path) as picture:
            small.append(picture.convert("RGB"))
    tall = max(one.height for one in small) + 8
    across = min(across, len(small))
    whole = Image.new("RGB", ((BOX[0] + 8) * across, tall * ceil(len(small) / across)), "#bbb")
    for place, one in enumerate(small):
        whole.paste(one, (place % across * (BOX[0] + 8), place // across * tall))
    return whole
