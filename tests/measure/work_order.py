"""The work order that is measured: a drawing with eight pins, two photos; and the naive one beside it."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

PLACES = {"cut": (0.4, 0.05), "scuff": (0.9, 0.25), "tear": (0.5, 1.0), "hole": (0.35, 1.0)}
"""Of a wing; each pinned on both sides."""
NAIVE = Path(__file__).with_name("naive_work_order.css")


def job() -> Any:
    """A job with eight damages that are judged and two photos."""
    from shoprepair.jobs import damages, photos
    from shoprepair.shop.settings import current
    from shoprepair.shop.units import Typed
    from tests.factories import InflatableFactory, JobFactory, StaffFactory

    current()
    who = StaffFactory(username="measuring")
    made = JobFactory(inflatable=InflatableFactory())
    for kind, (x_m, y_m) in PLACES.items():
        for side in (1, -1):
            pinned = damages.pin(made, side * x_m, y_m, who=who)
            slit = {"direction": "along"} if kind in ("cut", "tear") else {}
            damages.answer(pinned, who=who, kind=kind, length=Typed(0.06, "60 mm"), **slit)
    for number in range(2):
        photos.keep(made, _shot(number), who=who, caption=f"photo {number}")
    made.refresh_from_db()
    return made


def _shot(number: int) -> io.BytesIO:
    """Detail as a photo has it, a quarter of a megabyte at its largest here; noise would be no photo."""
    from PIL import Image

    content = io.BytesIO()
    small = Image.effect_noise((320, 240), 20 + number).convert("RGB")
    small.resize((2560, 1920), Image.Resampling.BICUBIC).save(content, "JPEG", quality=90)
    content.seek(0)
    return content


def order(of: Any) -> Any:
    """What the shop would have made."""
    from shoprepair.papers import render, work_order

    taken: list[Any] = []
    made, render.paper = render.paper, lambda order: taken.append(order) or b""
    try:
        work_order.render(of, paper="A4", base_url="https://shop.example")
    finally:
        render.paper = made
    return taken[0]


def whole_photos(of: Any) -> dict[str, bytes]:
    """Its photos as large as they are kept."""
    from shoprepair.jobs import photos

    return {photo.key: photos.file(photo, "large").read_bytes() for photo in of.photos.all()}


def naive(of: Any, given: Any) -> Callable[[], bytes]:
    """The same content as somebody lays it out at first: flex and grid, the machine's font, whole photos."""
    from weasyprint import HTML

    from shoprepair.papers.printing.order import Picture
    from shoprepair.papers.printing.pages import VARIANT, OnlyGiven

    whole = {key: Picture(content, "image/jpeg") for key, content in whole_photos(of).items()}
    pictures = {**given.pictures, **whole}
    markup = given.markup.replace("</head>", f"<style>{NAIVE.read_text()}</style></head>")

    def written() -> bytes:
        html = HTML(string=markup, base_url="paper:", url_fetcher=OnlyGiven(pictures))
        return bytes(html.write_pdf(pdf_variant=VARIANT))

    return written


def its_words(given: Any) -> Any:
    """Every line of it as a bare paragraph, with no picture, no table and no style but the shop's type.

    No layout of these words costs less than this, so it is the floor under whatever is done to the layout.
    """
    import re
    from dataclasses import replace

    body = given.markup[given.markup.index("<body") :]
    lines = re.sub(r"<(?:p|div|li|td|th|h\d|dt|dd|tr|section|ul|figcaption)\b[^>]*>", "\n", body)
    said = [" ".join(line.split()) for line in re.sub(r"<[^>]+>", "", lines).split("\n")]
    paragraphs = "".join(f"<p>{line}</p>" for line in said if line)
    head = '<html lang="en"><head><title>x</title></head><body class="A4">'
    return replace(given, markup=f"{head}{paragraphs}</body></html>", pictures={}, style_sheets=("sheet",))
