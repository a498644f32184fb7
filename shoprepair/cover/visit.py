"""What all covers of one hand-back share: the gear as it was that day, who worked on it, from which lots."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from shoprepair.cover.models import Claim
from shoprepair.cover.reading import Lot
from shoprepair.gear.describe import description, planform
from shoprepair.gear.planform import Planform
from shoprepair.jobs import photos
from shoprepair.jobs.models import Job, Photo
from shoprepair.jobs.stored import plain
from shoprepair.shop import settings
from shoprepair.work import checks, hold_needs, hold_tubes
from shoprepair.work.models import HandBack, HoldTest, Use

_TOLD = (HoldTest.Verdict.HOLDS, HoldTest.Verdict.FAILS)


@dataclass(frozen=True, slots=True)
class Taken:
    """From which lot a repair or a step took something that was not put back."""

    repair: int | None
    step: int | None
    lot: Lot


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
    checked_by: str
    lots: tuple[Taken, ...]
    """Once for each repair or step that took something from them, by material."""
    hold_tests: tuple[tuple[str, dict[str, Any]], ...]
    """Tube key and what is kept of its test."""
    photos: tuple[Photo, ...]
    claims: tuple[Claim, ...]
    """Those that this job makes good."""

    def workers(self) -> list[str]:
        """Names of all who worked on it."""
        return [str(who) for who in checks.workers(self.job)]


def visit(hand_back: HandBack) -> Visit:
    """All that the covers of a hand-back have in common."""
    job, shop = hand_back.job, settings.current()
    zone = ZoneInfo(shop.time_zone)
    address = [line.strip() for line in (*shop.address.splitlines(), shop.phone)]
    return Visit(
        job=job,
        given_at=hand_back.at,
        day=hand_back.at.astimezone(zone).date(),
        shop={"name": shop.name, "lines": [line for line in address if line]},
        gear=_gear(job),
        planform=planform(job.inflatable.pattern),
        checked_by=_checked_by(job),
        lots=tuple(_taken(job)),
        hold_tests=tuple(_tests(job, zone)),
        photos=tuple(job.photos.filter(removed_at=None).select_related("at_bench")),
        claims=tuple(Claim.objects.filter(remedy=job).select_related("damage")),
    )


def photo_digest(key: str) -> str:
    """SHA-256 of the large file; empty where the disk does not give it: no hand-back waits for a photo."""
    try:
        return hashlib.sha256(photos.file(Photo(key=key), "large").read_bytes()).hexdigest()
    except OSError:
        return ""


def _taken(job: Job) -> Iterator[Taken]:
    stand = Use.objects.filter(job=job, puts_back=None, put_back_by=None)
    of = ("lot__material__name", "lot__code", "lot__material__cloth__name")
    rows = stand.order_by("lot__material__name", "id").values_list("repair", "step", *of)
    for repair, step, material, code, cloth in rows:
        yield Taken(repair, step, Lot(material=material, code=code, cloth=cloth or ""))


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
    """The latest test of each tube since the last step, where it came to a verdict, as it was said then."""
    since = hold_needs.last_step_done(job)
    tests = job.hold_tests.exclude(verdict=HoldTest.Verdict.STOPPED).order_by("id")
    latest = {test.tube_key: test for test in tests if since is None or test.began_at >= since}
    return [(key, _told(test, job, zone)) for key, test in latest.items() if test.verdict in _TOLD]


def _told(test: HoldTest, job: Job, zone: ZoneInfo) -> dict[str, Any]:
    said = test.judged.get("reason") or {"text": test.get_verdict_display(), "values": {}}
    # A cover's contents hold it as it was said then.
    said = {name: said[name] for name in ("text", "values")}
    on = (test.decided_at or test.began_at).astimezone(zone).date()
    tube = hold_tubes.label(job.inflatable.pattern, test.tube_key)
    return {"tube": tube, "verdict": test.verdict, "said": said, "on": on.isoformat()}


def _checked_by(job: Job) -> str:
    """Name of the second person who found the work good since its last step; empty where nobody looked."""
    check = checks.latest(job) if job.checks.exists() else None
    return str(check.who) if check and check.passed else ""
