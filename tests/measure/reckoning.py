"""What is reckoned rather than read: assessments, openings, promise plans, maps of what fails, photos."""

import random
import statistics
import time
from collections import Counter
from collections.abc import Callable, Iterator
from io import BytesIO

from PIL import Image, ImageOps

from shoprepair.cover.failing import density
from shoprepair.gear import describe
from shoprepair.gear.diagram.sheet import lent
from shoprepair.gear.models import Pattern
from shoprepair.jobs import assessment, photos
from shoprepair.jobs.decoding import shrinking
from shoprepair.jobs.decoding.bounds import Bounds
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.assessment import assess
from shoprepair.pricing import openings
from shoprepair.shop.settings import cases
from tests.measure import peaks, plans
from tests.measure.fastest import fastest
from tests.measure.said import Said

FINDINGS, REPAIRS, DAMAGES = 300, 30, 100_000


def measured() -> Iterator[Said]:
    """Absolute times say something of this machine alone; ratios of all."""
    yield _assessments()
    yield _ms(f"openings of {REPAIRS} repairs in one tube", _openings(), 5)
    yield from plans.measured()
    yield from _map_of_what_fails()
    yield from _photo()


def _assessments() -> Said:
    """Each finding of the shop's own damages, figures and sentences and all."""
    damages = Damage.objects.exclude(kind="").select_related("job__inflatable__pattern")[:FINDINGS]
    shop = cases()
    told = [
        (describe.description(damage.job.inflatable.pattern), assessment.place_of(damage), finding)
        for damage in damages
        if (finding := assessment.finding_of(damage))
    ]
    took = []
    for _ in range(10):
        for one in told:
            began = time.perf_counter()
            assess(*one, shop)
            took.append(time.perf_counter() - began)
    note = f"19 of 20 within {statistics.quantiles(took, n=20)[-1] * 1e6:.0f} µs; {len(told)} findings"
    return Said("a full assessment, median", statistics.median(took) * 1e6, 200, unit="µs", note=note)


def _openings() -> Callable[[], object]:
    chance = random.Random(30)
    repairs = [(chance.uniform(0.2, 5.8), chance.uniform(0, 0.08)) for _ in range(REPAIRS)]
    return lambda: openings.plan(repairs, 6.0, 15.0, 40.0, 0.35, forbidden=[(2.9, 3.1)])


def _map_of_what_fails() -> Iterator[Said]:
    """Damages spread over a whole wing, each part of it hit."""
    chance, planform = random.Random(7), describe.planform(Pattern.objects.order_by("pk")[0])
    parts = zip(
        chance.choices(["leading edge", "canopy"], k=DAMAGES),
        chance.choices(["left", "right"], k=DAMAGES),
        chance.choices(range(density.STATIONS), range(density.STATIONS, 0, -1), k=DAMAGES),
        chance.choices(range(density.SHARES), k=DAMAGES),
        strict=True,
    )
    heaps = [
        density.Heap(
            "wing", part, side, None, (across + 0.5) / density.STATIONS, (aft + 0.5) / density.SHARES, n
        )
        for (part, side, across, aft), n in Counter(parts).items()
    ]

    def draw() -> str:
        marks = density.marks(planform, heaps)
        return lent(planform, {}, "0-") + density.draw(planform, marks, title="All", unique="all", kept="#0-")

    yield _ms(f"map of {DAMAGES:,} damages", draw, 300)
    yield Said(f"map of {DAMAGES:,} damages", len(draw().encode()) / 1000, 60, unit="KB")


def _photo() -> Iterator[Said]:
    """Twelve megapixels as a tablet sends them, against one decode for each size."""
    content = twelve_megapixels()
    bounds = Bounds(
        photos.MOST_PIXELS,
        photos.MOST_SIDE,
        tuple((side, photos.QUALITY[size]) for size, side in photos.SIZES.items()),
    )

    def naive(side: int) -> None:
        with Image.open(BytesIO(content)) as image:
            turned = ImageOps.exif_transpose(image).convert("RGB")
            turned.thumbnail((side, side), Image.Resampling.LANCZOS, reducing_gap=None)
            turned.save(BytesIO(), "JPEG", quality=85)

    two = [bounds.sizes[0][0], bounds.sizes[-1][0]]
    best = fastest(
        {
            "ours": lambda: shrinking.shrunk(content, bounds),
            "naive": lambda: [naive(side) for side in two],
        },
        12,
    )
    note = f"{best['ours'] * 1000:.0f} ms for {len(bounds.sizes)} sizes"
    share = best["ours"] / best["naive"]
    yield Said("photo: all sizes from one decode, to two naive ones", share, 0.55, note=note)
    yield from peaks.of_photos(photo, bounds)


def twelve_megapixels() -> bytes:
    """As a tablet sends them."""
    return photo(*peaks.TWELVE)


def photo(width: int, height: int, form: str = "JPEG") -> bytes:
    """A picture with detail, as a photo has, and taken upright; noise would be no photo."""
    # A WebP has room for no more detail where it is that large.
    small = Image.effect_noise((width // 8, height // 8), 60 if form == "JPEG" else 30).convert("RGB")
    large = small.resize((width, height), Image.Resampling.BICUBIC)
    exif = Image.Exif()
    exif[0x0112] = 6
    written = BytesIO()
    large.save(written, form, quality=90 if form == "JPEG" else 80, exif=exif, method=0)
    return written.getvalue()


def _ms(what: str, act: Callable[[], object], most: float, rounds: int = 12) -> Said:
    return Said(what, fastest({what: act}, rounds)[what] * 1000, most, unit="ms")
