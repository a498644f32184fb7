"""What all covers of one hand-back share: the gear as it was that day, who worked on it, from which lots."""

import hashlib
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from shoprepair.cover.models import Claim
from shoprepair.gear.describe import description, planform
from shoprepair.gear.planform import Planform
from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, Photo
from shoprepair.jobs.stored import plain
from shoprepair.shop import settings
from shoprepair.work import checks, hold_needs, stock
from shoprepair.work.models import HandBack, HoldTest
from shoprepair.work.stock import Taken

_TOLD = (HoldTest.Verdict.HOLDS, HoldTest.Verdict.FAILS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One visit of an inflatable, read once for all its covers."""

    job: Job
    given_at: datetime
    day: date
    """Of the hand-back, by the shop's own clock."""
    shop: dict[str, Any]
    gear: dict[str, Any]
    planform: Planform
    workers: tuple[str, ...]
    """Names of all who worked on it."""
    checked_by: str
    lots: tuple[Taken, ...]
    hold_tests: tuple[tuple[str, dict[str, Any]], ...]
    """Tube key and what is kept of its test."""
    photos: tuple[Photo, ...]
    claims: tuple[Claim, ...]
    """Those that this job makes good."""


def visit(hand_back: HandBack) -> Visit:
    """All that the covers of a hand-back have in common."""
    job, shop = hand_back.job, settings.current()
    zone = ZoneInfo(shop.time_zone)
    check = checks.latest(job)
    address = [line.strip() for line in (*shop.address.splitlines(), shop.phone)]
    return Visit(
        job=job,
        given_at=hand_back.at,
        day=hand_back.at.astimezone(zone).date(),
        shop={"name": shop.name, "lines": [line for line in address if line]},
        gear=_gear(job),
        planform=planform(job.inflatable.pattern),
        workers=tuple(map(str, checks.workers(job))),
        checked_by=str(check.who) if check and check.passed else "",
        lots=tuple(stock.lots_of(job)),
        hold_tests=tuple(_tests(job, zone)),
        photos=tuple(job.photos.filter(removed_at=None).select_related("at_bench__step")),
        claims=tuple(Claim.objects.filter(remedy=job).select_related("damage")),
    )


def photo_digest(photo: Photo) -> str:
    """SHA-256 of the large file; empty where the disk does not give it: no hand-back waits for a photo."""
    try:
        return hashlib.sha256(photos.path(photo, "large").read_bytes()).hexdigest()
    except OSError:
        return ""


def _gear(job: Job) -> dict[str, Any]:
    inflatable = job.inflatable
    pattern = inflatable.pattern
    return {
        "inflatable": inflatable.pk,
        "pattern": pattern.name,
        "kind": pattern.kind,
        "serial": inflatable.serial,
        "colour": inflatable.colour,
        "planform": plain(planform(pattern)),
        "description": plain(description(pattern)),
    }


def _tests(job: Job, zone: ZoneInfo) -> list[tuple[str, dict[str, Any]]]:
    """The latest test of each tube that came to a verdict, as its sentence was said then."""
    told = []
    for tube in hold_needs.standing(job):
        test = tube.test
        if test is not None and test.verdict in _TOLD:
            said = test.judged.get("reason") or {"text": test.get_verdict_display(), "values": {}}
            on = (test.decided_at or test.began_at).astimezone(zone).date()
            kept = {"tube": tube.label, "verdict": test.verdict, "said": said, "on": on.isoformat()}
            told.append((tube.key, kept))
    return told
