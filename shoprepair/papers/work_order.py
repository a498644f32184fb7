"""The work order: what is wrong on the front, what to do about it below or behind it."""

from collections.abc import Sequence

from django.utils import translation
from django.utils.translation import gettext

from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Damage, Job
from shoprepair.papers import cautions, figures, marks, materials, work_order_photos
from shoprepair.papers import damages as shown
from shoprepair.papers.context import letterhead, printed_job, sheet_address
from shoprepair.papers.drawing import drawing
from shoprepair.papers.printing.order import Picture
from shoprepair.papers.render import printed, svg
from shoprepair.papers.steps import Task, holds_air, needs_opening, rows
from shoprepair.shop.languages import SpeakAs
from shoprepair.shop.models import Paper, Shop
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units, units_for

ONE_SIDED, TWO_SIDED, FLOWING = "one-sided", "two-sided", "flowing"
DRAWN_MM, WIDE_MM = (84.0, 56.0), (150.0, 58.0)
"""The least room that the drawing of a wing and of a kite is given."""
MOST_ON_ONE_PAGE = 3
MOST_AMPLE = 2
"""Damages whose words leave room on both sides of a sheet."""
MOST_ON_THE_FRONT = 6
MOST_PHOTOS = 4
CAUTIONS = (
    (cautions.SCREENING, cautions.DROWNING),
    (cautions.PRESSURE, cautions.SOLVENTS, cautions.NEEDLES),
)


@SpeakAs()
def render(job: Job, *, paper: str, base_url: str) -> bytes:
    """The work order of a job as PDF, on "A4" or "Letter", its QR code leading to the sheet under `base_url`.

    One page where it fits; else the front says what is wrong and the steps begin on the back,
    or follow at once where the damages alone fill more than the front.
    """
    if paper not in Paper:
        raise ValueError(
            gettext("A work order is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    shop, found = current(), live(job)
    translation.activate(shop.language)
    units = units_for(None, shop)
    tasks = [shown.task(damage, units) for damage in found]
    context = _context(job, shop, found, tasks) | {"paper": paper}
    flat = bool(context["flat"])
    shots = work_order_photos.of(job, MOST_PHOTOS)
    return printed(
        "papers/work_order.html",
        context | {"photos": shots},
        style_sheets=("sheet", "work_order"),
        pictures=_pictures(job, found, base_url, units, flat=flat)
        | {shot.name: shot.picture for shot in shots},
        layouts=_layouts(found, tasks, flat=flat, photos=bool(shots)),
    )


def _layouts(found: Sequence[Damage], tasks: Sequence[Task], *, flat: bool, photos: bool) -> dict[str, int]:
    few = len(found) <= MOST_ON_ONE_PAGE
    front = len(found) <= MOST_ON_THE_FRONT
    # What is said of so few leaves either side half empty: the drawing and what is ticked grow instead.
    ample = len(found) <= MOST_AMPLE
    wide = ["panorama"] * (flat or (ample and not photos))
    spread = " ".join([TWO_SIDED if front else FLOWING, "roomy", *["panorama"] * flat])
    # Opening a tube and closing it again never fits beside the rest; laying it out in vain takes as long.
    one_page = {ONE_SIDED: 1} if few and not any(map(needs_opening, tasks)) else {}
    widest = " ".join([TWO_SIDED, "roomy", *wide, "ample"]) if ample else spread
    large = {f"{widest} large": 2} if few and photos else {}
    snug = {f"{spread} snug": 2} if front else {}
    return {**one_page, **large, widest: 2, spread: 2, **snug}


def _context(job: Job, shop: Shop, found: Sequence[Damage], tasks: Sequence[Task]) -> dict[str, object]:
    units = units_for(None, shop)
    pattern = job.inflatable.pattern
    factor = shop.test_pressure_factor
    this = printed_job(job, shop)
    verdict = shown.verdict(job, found, units)
    damages, everywhere = shown.said_once([shown.row(damage, units) for damage in found])
    return {
        "shop": letterhead(shop),
        "job": this,
        "name": str(pattern),
        "verdict": verdict,
        "flat": planform(pattern).is_kite,
        "figures": figures.of_inflatable(job.inflatable, this, units),
        "pressures": figures.pressures(pattern, factor, units),
        "damages": damages,
        "everywhere": everywhere,
        "steps": rows(
            tasks,
            test_pressure=figures.test_pressure(pattern, factor, units),
            grounded=verdict.grounded,
            wet=this.wet,
            came_with=this.came_with,
        ),
        "materials": (*materials.likely(tasks), ""),
        "signed_for": (gettext("Repair"), gettext("Hold test"))
        if any(map(holds_air, tasks))
        else (gettext("Repair"),),
        "cautions": CAUTIONS,
    }


def _pictures(
    job: Job, found: Sequence[Damage], base_url: str, units: Units, *, flat: bool
) -> dict[str, Picture]:
    urgencies = {(damage.urgency, damage.band) for damage in found} | {(job.urgency, job.band)}
    return {
        "qr": svg(marks.qr(sheet_address(job, base_url))),
        "drawing": svg(drawing(job, found, WIDE_MM if flat else DRAWN_MM, units=units)),
        "legend": svg(diagram.load_legend()),
        **{shown.tape_name(*urgency): svg(marks.tape(*urgency)) for urgency in urgencies},
    }
