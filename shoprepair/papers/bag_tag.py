"""The bag tag: read from across the shop, and again when the gear is handed back."""

import re
from typing import Any

from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.gear.models import Pattern
from shoprepair.jobs import promising
from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Job
from shoprepair.papers import marks
from shoprepair.papers.context import DAY, PrintedJob, letterhead, printed_job, sheet_address
from shoprepair.papers.damages import Verdict, verdict
from shoprepair.papers.drawing import drawing, undamaged
from shoprepair.papers.render import printed, svg
from shoprepair.shop.languages import SpeakAs
from shoprepair.shop.models import Paper, Shop, TagPaper
from shoprepair.shop.settings import current
from shoprepair.shop.units import units_for

FOOT_MM = {TagPaper.LABEL_62: 3.0, TagPaper.LABEL_100: 4.0}
"""The rolls, with the margin left below the last line before the printer cuts."""
LONGEST_BESIDE = {TagPaper.LABEL_62: 14, TagPaper.LABEL_100: 30}
"""Letters of the longest word that the column beside the code holds on the rolls."""
LONGEST_ON_A_SHEET = 23
DRAWN_MM = (84.0, 60.0)
"""The room that the drawing has on the folded tag."""
MOST_TAGS = 12
"""On so small a drawing more would hide it; the job sheet behind the code numbers them."""
TRIAL_NUMBER = 0
"""No job ever has it: theirs begin with one."""


@SpeakAs()
def render(job: Job, *, paper: str, base_url: str) -> bytes:
    """The bag tag of a job as PDF: on a roll, "62" or "100" mm wide and as long as it needs, or on a sheet.

    A sheet is "A4", "Letter", or "sheet" for the shop's own paper.
    """
    shop = current()
    translation.activate(shop.language)
    paper = _paper(paper, shop)
    found = live(job)
    reached = verdict(job, found, units_for(None, shop))
    pictures = {
        "qr": svg(marks.qr(sheet_address(job, base_url))),
        "tape": svg(marks.tape(reached.urgency, reached.band, black=True)),
    }
    if paper not in FOOT_MM:
        pictures["drawing"] = svg(drawing(job, found, DRAWN_MM, most_tags=MOST_TAGS))
    said = {
        "job": printed_job(job, shop),
        "name": str(job.inflatable.pattern),
        "serial": job.inflatable.serial,
        "verdict": reached,
        "count": len(found),
    }
    return _printed(paper, shop, said, pictures)


@SpeakAs()
def render_trial(pattern: Pattern, *, paper: str, base_url: str) -> bytes:
    """A tag of no job, to see whether the printer takes the roll and a phone reads the code."""
    shop = current()
    translation.activate(shop.language)
    paper = _paper(paper, shop)
    today = timezone.localdate()
    said = {
        "job": PrintedJob(
            number=str(Job(number=TRIAL_NUMBER)),
            first_name=gettext("Trial"),
            phone_end="",
            received=date_format(today, DAY),
            promised=date_format(promising.usual(today), DAY),
            came_with=(gettext("bag"), gettext("pump")),
            wet=False,
        ),
        "name": str(pattern),
        "serial": "",
        "verdict": Verdict(judged=False, urgency=0, band="", sentence=""),
        "count": 0,
    }
    pictures = {"qr": svg(marks.qr(base_url))}
    if paper not in FOOT_MM:
        pictures["drawing"] = svg(undamaged(pattern, DRAWN_MM))
    return _printed(paper, shop, said, pictures)


def _paper(asked: str, shop: Shop) -> str:
    paper = shop.paper if asked == TagPaper.SHEET else asked
    if paper not in FOOT_MM and paper not in Paper:
        raise ValueError(
            gettext("A bag tag is printed on a roll of 62 or 100 mm, on A4 or on Letter, not on “%(paper)s”.")
            % {"paper": paper}
        )
    return paper


def _printed(paper: str, shop: Shop, said: dict[str, Any], pictures: dict[str, Any]) -> bytes:
    folded = paper not in FOOT_MM
    beside = LONGEST_ON_A_SHEET if folded else LONGEST_BESIDE[TagPaper(paper)]
    return printed(
        "papers/bag_tag.html",
        said
        | {
            "paper": paper if folded else f"roll{paper}",
            "folded": folded,
            "shop": letterhead(shop),
            "below": longest_word(said["name"]) > beside,
        },
        style_sheets=("bag_tag",),
        pictures=pictures,
        foot_mm=None if folded else FOOT_MM[TagPaper(paper)],
    )


def longest_word(text: str) -> int:
    """Letters of the longest piece of a text that no line may end in."""
    return max(map(len, re.split(r"[\s-]+", text)))
