"""The parcel slip of an enquiry: how to pack the gear, and the half page that goes into the parcel.

It is printed by whoever asked, at home, in their own language.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import translation
from django.utils.translation import gettext

from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Damage, Enquiry, Job
from shoprepair.papers import marks
from shoprepair.papers.context import letterhead, sheet_address
from shoprepair.papers.render import lay_out, svg, write
from shoprepair.shop.models import Paper
from shoprepair.shop.settings import current

TAG_SHARE = 0.085
"""Height of a pin's tag over the drawing's width: the drawing is a hand wide on this paper."""


@dataclass(frozen=True, slots=True)
class Told:
    """One damage as it was told, by the number of its pin."""

    number: int
    words: str


def render(enquiry: Enquiry, *, paper: str, base_url: str, language: str) -> bytes:
    """The parcel slip as PDF, on "A4" or "Letter", in the language that was asked in ("en", "de").

    `base_url` is where the shop is reached, for the code that the counter scans: the bag tag's own.
    """
    if paper not in Paper:
        raise ValueError(f"A parcel slip is printed on A4 or on Letter, not on “{paper}”.")
    with translation.override(language):
        return _printed(enquiry.job, paper, base_url, language)


def _printed(job: Job, paper: str, base_url: str, language: str) -> bytes:
    shop, found = current(), list(live(job))
    document = lay_out(
        "papers/parcel_slip.html",
        {
            "language": language,
            "paper": paper,
            "shop": letterhead(shop),
            "number": str(job),
            "customer": job.customer,
            "name": job.inflatable.pattern.name,
            "told": [Told(damage.number, _words(damage)) for damage in found],
        },
        style_sheets=("parcel_slip",),
        pictures={
            "qr": svg(marks.qr(sheet_address(job, base_url))),
            "drawing": svg(_drawing(job, found)),
        },
    )
    return write(document)


def _drawing(job: Job, found: Sequence[Damage]) -> str:
    return diagram.draw(
        planform(job.inflatable.pattern),
        detail="paper",
        pins=[diagram.Pin(number=damage.number, x_m=damage.x_m, y_m=damage.y_m) for damage in found],
        title=gettext("Where the damage is"),
        unique="drawing",
        tag_share=TAG_SHARE,
    )


def _words(damage: Damage) -> str:
    return str(damage.told.get("words", ""))
