"""The parcel slip of an enquiry: how to pack the gear, and the half page that goes into the parcel.

It is printed by whoever asked, at home, in their own language.
"""

from collections.abc import Sequence

from django.utils import translation
from django.utils.translation import gettext

from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Damage, Enquiry, Job
from shoprepair.papers import marks, told_words
from shoprepair.papers.context import letterhead, sheet_address
from shoprepair.papers.pictures import several
from shoprepair.papers.plain_drawing import without_words
from shoprepair.papers.render import printed, svg
from shoprepair.shop.models import Paper
from shoprepair.shop.settings import current

TAG_SHARE = 0.085
"""Height of a pin's tag over the drawing's width: the drawing is a hand wide on this paper."""


def render(enquiry: Enquiry, *, paper: str, base_url: str, language: str) -> bytes:
    """The parcel slip as PDF, on "A4" or "Letter", in the language that was asked in ("en", "de").

    `base_url` is where the shop is reached, for the code that the counter scans: the bag tag's own.
    """
    if paper not in Paper:
        raise ValueError(
            gettext("A parcel slip is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    with translation.override(language):
        return _printed(enquiry, paper, base_url, language)


def _printed(enquiry: Enquiry, paper: str, base_url: str, language: str) -> bytes:
    shop, job = current(), enquiry.job
    found = list(live(job))
    return printed(
        "papers/parcel_slip.html",
        {
            "language": language,
            "paper": paper,
            "shop": letterhead(shop),
            "address": [line.strip() for line in shop.address.splitlines() if line.strip()],
            "phone": shop.phone.strip(),
            "number": str(job),
            "customer": job.customer,
            "name": told_words.gear(job.inflatable.pattern),
            "told": [told_words.row(damage) for damage in found],
            "banned": any(damage.told.get("verdict") == Verdict.BRING_IN.code for damage in found),
        },
        style_sheets=("parcel_slip",),
        pictures={
            "qr": svg(marks.qr(sheet_address(job, base_url))),
            "drawing": svg(_drawing(job, found)),
            **several("pack-dry", "pack-sand", "pack-roll"),
        },
    )


def _drawing(job: Job, found: Sequence[Damage]) -> str:
    drawn = diagram.draw(
        planform(job.inflatable.pattern),
        detail="paper",
        pins=[diagram.Pin(number=damage.number, x_m=damage.x_m, y_m=damage.y_m) for damage in found],
        title=gettext("Where the damage is"),
        unique="drawing",
        tag_share=TAG_SHARE,
    )
    return without_words(drawn)
