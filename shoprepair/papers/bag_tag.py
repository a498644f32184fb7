"""The bag tag: read from across the shop, and again when the gear is handed back."""

from django.utils import translation
from django.utils.translation import gettext

from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Job
from shoprepair.papers import marks
from shoprepair.papers.context import letterhead, sheet_address, ticket
from shoprepair.papers.damages import verdict
from shoprepair.papers.drawing import drawing
from shoprepair.papers.render import printed, svg
from shoprepair.shop.languages import SpeakAs
from shoprepair.shop.models import Paper, TagPaper
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for

FOOT_MM = {TagPaper.LABEL_62: 3.0, TagPaper.LABEL_100: 4.0}
"""The rolls, with the margin left below the last line before the printer cuts."""
DRAWN_MM = (84.0, 60.0)
"""The room that the drawing has on the folded tag."""


@SpeakAs()
def render(job: Job, *, paper: str, base_url: str) -> bytes:
    """The bag tag of a job as PDF: on a roll, "62" or "100" mm wide and as long as it needs, or on a sheet.

    A sheet is "A4", "Letter", or "sheet" for the shop's own paper.
    """
    shop = current()
    translation.activate(shop.language)
    if paper == TagPaper.SHEET:
        paper = shop.paper
    if paper not in FOOT_MM and paper not in Paper:
        raise ValueError(
            gettext("A bag tag is printed on a roll of 62 or 100 mm, on A4 or on Letter, not on “%(paper)s”.")
            % {"paper": paper}
        )
    units = units_for(None, shop)
    found = live(job)
    reached = verdict(job, found, units)
    folded = paper not in FOOT_MM
    pictures = {
        "qr": svg(marks.qr(sheet_address(job, base_url))),
        "tape": svg(marks.tape(reached.urgency, reached.band, black=True)),
    }
    if folded:
        pictures["drawing"] = svg(drawing(job, found, DRAWN_MM))
    return printed(
        "papers/bag_tag.html",
        {
            "paper": paper if folded else f"roll{paper}",
            "folded": folded,
            "shop": letterhead(shop),
            "job": ticket(job, shop),
            "name": job.inflatable.pattern.name,
            "serial": job.inflatable.serial,
            "verdict": reached,
            "count": len(found),
        },
        style_sheets=("bag_tag",),
        pictures=pictures,
        foot_mm=None if folded else FOOT_MM[TagPaper(paper)],
    )
