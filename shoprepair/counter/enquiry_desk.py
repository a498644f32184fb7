"""What the check-in page shows of an enquiry: what was told, who it may be, whether the model is known."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from shoprepair.counter.enquiry_told import told
from shoprepair.jobs import joining
from shoprepair.jobs.expected import is_away
from shoprepair.jobs.joining import JOINED_AT, Candidate, Gear
from shoprepair.jobs.models import Job, Photo

LONGEST_WHO = 80


class Who(NamedTuple):
    """Whether it is somebody known, with known gear: what is offered, a tap each."""

    candidates: list[Candidate]
    gear: list[Gear]
    """Of the one it is, where that was said already."""
    known: bool
    """Whether somebody of the shop has said who it is."""
    text: str
    """What was looked for by hand."""

    @property
    def offers_gear(self) -> bool:
        return bool(self.gear or any(one.gear for one in self.candidates))


def asked_block(job: Job, photos: Iterable[Photo], text: str) -> dict[str, Any]:
    """The block above the drawing; for a job that began at the counter only whether its model is open.

    `text` looks for somebody by a few letters, where the likely ones are none.
    """
    asked = told(job)
    may_join = job.stage in JOINED_AT
    if asked is None:
        # Taken in without a line, its model was written down and not chosen.
        return {"told": None, "model_open": may_join and bool(job.inflatable.pattern.everyday)}
    return {
        "told": asked,
        "away": is_away(job),
        "who": _who(job, " ".join(text.replace("\0", "").split())[:LONGEST_WHO]) if may_join else None,
        "model_open": may_join and bool(job.inflatable.pattern.everyday),
        "told_photos": [photo for photo in photos if photo.taken_by_id is None],
    }


def _who(job: Job, text: str) -> Who:
    known = joining.person_said(job)
    likely = [] if known or text else joining.candidates(job)
    candidates = joining.looked_up(job, text) if text else likely
    gear = joining.other_gear(job) if job.inflatable.pattern.everyday else []
    return Who(candidates, gear, known, text)
