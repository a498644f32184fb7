"""What a work order costs, beside a one-line document and a naive layout.

The work order has its drawing with eight pins, two photos, and tags for screen readers. Times are the
shortest of many, taken in turn in one process, as processor time where nothing runs beside it; only
their ratios are told.
"""

import io
import os
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.measure.said import Said

ROUNDS = int(os.environ.get("SHOPREPAIR_ROUNDS") or 20)
WARM = 3
PLACES = {"cut": (0.4, 0.05), "scuff": (0.9, 0.25), "tear": (0.5, 1.0), "hole": (0.35, 1.0)}
"""Of a wing; each pinned on both sides."""
SEVERAL = 8
"""Papers made by one and by two processes."""
NAIVE = Path(__file__).with_name("naive_work_order.css")


def measured() -> Iterator[Said]:
    """All figures, in the shop that Django is set up with; nothing of what is made for it stays."""
    from django.conf import settings
    from django.db import transaction

    before = settings.MEDIA_ROOT
    with tempfile.TemporaryDirectory() as folder, transaction.atomic():
        settings.MEDIA_ROOT = folder
        try:
            yield from _figures()
        finally:
            settings.MEDIA_ROOT = before
            transaction.set_rollback(True)


def _figures() -> Iterator[Said]:
    from weasyprint import HTML

    from shoprepair.papers.printing import pages

    job, photo = _job()
    order = _order(job)
    naive = _naive(order, job)
    made, plain = pages.made(order), naive()
    taken = _taken(
        {
            "ours": lambda: pages.made(order),
            "naive": naive,
            "line": lambda: HTML(string="<p>Hello").write_pdf(),
        }
    )
    best = {name: min(times) for name, times in taken.items()}
    yield Said("a work order against a one-line document", best["ours"] / best["line"], 12)
    yield Said("a work order against the naive layout of the same", best["ours"] / best["naive"], 0.65)
    ours = sorted(taken["ours"])
    high = ours[int(len(ours) * 0.95) - 1]
    yield Said("the slowest twentieth against the middle", high / statistics.median(ours), 1.3)
    yield Said("its bytes against the naive one's", len(made) / len(plain), 0.4)
    yield _two_against_one(order)
    yield _kept_against_a_photo(order, photo)


def _taken(acts: dict[str, Callable[[], object]]) -> dict[str, list[float]]:
    """As the processes do it: what is loaded is frozen, and is collected between papers."""
    import gc

    gc.collect()
    gc.freeze()
    gc.set_threshold(200_000, 50, 1_000)
    taken: dict[str, list[float]] = {name: [] for name in acts}
    for turn in range(ROUNDS + WARM):
        for name, act in acts.items():
            gc.collect()
            began = time.process_time()
            act()
            if turn >= WARM:
                taken[name].append(time.process_time() - began)
    return taken


def _two_against_one(order: object) -> Said:
    """Papers a second by two processes and by one; it needs two cores with nothing else to do."""
    from shoprepair.papers.printing import bounded

    best = {1: 0.0, 2: 0.0}
    for _turn in range(3):
        for people in best:
            with ThreadPoolExecutor(people) as pool:
                list(pool.map(bounded.make, [order] * people))
                began = time.perf_counter()
                list(pool.map(bounded.make, [order] * SEVERAL))
                best[people] = max(best[people], SEVERAL / (time.perf_counter() - began))
    bounded.end()
    busy = os.getloadavg()[0]
    note = f"with {busy:.0f} others at work" if busy > 3 else ""
    return Said("two processes against one", best[2] / best[1], 1.8, "least", note=note)


def _kept_against_a_photo(order: object, photo: object) -> Said:
    """A paper from where it is kept, against reading one photo from there."""
    from shoprepair.papers import kept
    from shoprepair.papers.printing import pages

    kept.keep(kept.sealed(order), pages.made(order))
    taken = _taken({"kept": lambda: kept.find(kept.sealed(order)), "photo": photo.read_bytes})
    return Said("a kept paper against a photo", min(taken["kept"]) / min(taken["photo"]), 1)


def _job() -> tuple[object, object]:
    from PIL import Image

    from shoprepair.jobs import damages, photos
    from shoprepair.shop.settings import current
    from shoprepair.shop.units import Typed
    from tests.factories import InflatableFactory, JobFactory, StaffFactory

    current()
    who = StaffFactory(username="measuring")
    job = JobFactory(inflatable=InflatableFactory())
    for kind, (x_m, y_m) in PLACES.items():
        for side in (1, -1):
            pinned = damages.pin(job, side * x_m, y_m, who=who)
            slit = {"direction": "along"} if kind in ("cut", "tear") else {}
            damages.answer(pinned, who=who, kind=kind, length=Typed(0.06, "60 mm"), **slit)
    for number in range(2):
        content = io.BytesIO()
        noise = Image.effect_noise((2000, 1500), 40 + number)
        Image.merge("RGB", [noise, noise.rotate(90), noise.rotate(180)]).save(content, "JPEG")
        content.seek(0)
        shot = photos.keep(job, content, who=who, caption=f"photo {number}")
    job.refresh_from_db()
    return job, photos.file(shot, "large")


def _order(job: object) -> object:
    """What the shop would have made."""
    from shoprepair.papers import render, work_order

    taken: list[object] = []
    made, render.paper = render.paper, lambda order: taken.append(order) or b""
    try:
        work_order.render(job, paper="A4", base_url="https://shop.example")
    finally:
        render.paper = made
    return taken[0]


def _naive(order: object, job: object) -> Callable[[], bytes]:
    """The same content as somebody lays it out at first: flex and grid, the machine's font, whole photos."""
    from weasyprint import HTML

    from shoprepair.jobs import photos
    from shoprepair.papers.printing.order import Picture
    from shoprepair.papers.printing.pages import VARIANT, OnlyGiven

    whole = {
        photo.key: Picture(photos.file(photo, "large").read_bytes(), "image/jpeg")
        for photo in job.photos.all()
    }
    pictures = {**order.pictures, **whole}
    markup = order.markup.replace("</head>", f"<style>{NAIVE.read_text()}</style></head>")

    def written() -> bytes:
        html = HTML(string=markup, base_url="paper:", url_fetcher=OnlyGiven(pictures))
        return bytes(html.write_pdf(pdf_variant=VARIANT))

    return written
