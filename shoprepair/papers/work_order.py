"""The work order: what is wrong on the front, what to do about it below or behind it."""

from collections.abc import Sequence

from weasyprint.document import Document

from shoprepair.gear import diagram
from shoprepair.jobs import photos
from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Damage, Job, Photo
from shoprepair.papers import damages as shown
from shoprepair.papers import figures, marks, materials
from shoprepair.papers.context import letterhead, sheet_address, ticket
from shoprepair.papers.drawing import drawing
from shoprepair.papers.render import Picture, jpeg, lay_out, svg, write
from shoprepair.papers.steps import rows
from shoprepair.shop.models import Shop
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for

ONE_SIDED, TWO_SIDED = "one-sided", "two-sided"
MOST_DAMAGES_ON_ONE_SIDE = 3
MOST_PHOTOS = 4
SIGNED_FOR = ("Repair", "Hold test")
CAUTIONS = (
    (
        "Screening figures, not a certificate: inspect, respect the maker's limits and local rules, "
        "let a qualified person sign.",
        "A failure offshore can drown the rider.",
    ),
    (
        "Air under pressure can burst: eye and ear protection at test pressure, nobody over the tube.",
        "Solvents and adhesives: ventilate, no flame. Hot tools: off and away from cloth and film.",
        "Needles and blades: counted in, counted out.",
    ),
)


def render(job: Job, *, paper: str, base_url: str) -> bytes:
    """The work order of a job as PDF, on "A4" or "Letter", its QR code leading to the sheet under `base_url`.

    One page where it fits; else the front says what is wrong and the steps begin on the back.
    """
    shop = current()
    found = live(job)
    context = _context(job, shop, found) | {"paper": paper}
    pictures = _pictures(job, found, base_url)

    def laid_out(layout: str) -> Document:
        return lay_out(
            "papers/work_order.html",
            context | {"layout": layout},
            style_sheets=("work_order",),
            pictures=pictures,
        )

    if len(found) <= MOST_DAMAGES_ON_ONE_SIDE:
        document = laid_out(ONE_SIDED)
        if len(document.pages) == 1:
            return write(document)
    return write(laid_out(TWO_SIDED))


def _context(job: Job, shop: Shop, found: Sequence[Damage]) -> dict[str, object]:
    units = units_for(None, shop)
    pattern = job.inflatable.pattern
    factor = shop.test_pressure_factor
    this = ticket(job, shop)
    verdict = shown.verdict(job, found, units)
    tasks = [shown.task(damage, units) for damage in found]
    return {
        "shop": letterhead(shop),
        "job": this,
        "name": pattern.name,
        "verdict": verdict,
        "figures": figures.of_inflatable(job.inflatable, this, units),
        "pressures": figures.pressures(pattern, factor, units),
        "damages": [shown.row(damage, units) for damage in found],
        "photos": _photos(job),
        "steps": rows(
            tasks,
            test_pressure=figures.test_pressure(pattern, factor, units),
            grounded=verdict.grounded,
            wet=this.wet,
            came_with=this.came_with,
        ),
        "materials": (*materials.likely(tasks), ""),
        "signed_for": SIGNED_FOR,
        "cautions": CAUTIONS,
    }


def _pictures(job: Job, found: Sequence[Damage], base_url: str) -> dict[str, Picture]:
    urgencies = {(damage.urgency, damage.band) for damage in found} | {(job.urgency, job.band)}
    return {
        "qr": svg(marks.qr(sheet_address(job, base_url))),
        "drawing": svg(drawing(job, found)),
        "legend": svg(diagram.load_legend()),
        **{shown.tape_name(*urgency): svg(marks.tape(*urgency)) for urgency in urgencies},
        **{photo.key: jpeg(photos.path(photo, "small").read_bytes()) for photo in _photos(job)},
    }


def _photos(job: Job) -> list[Photo]:
    """The first photos of the job that lie on the disk."""
    kept = job.photos.filter(removed_at=None).select_related("damage")
    return [photo for photo in kept if photos.path(photo, "small").is_file()][:MOST_PHOTOS]
