"""What a job sheet shows: the job, its damages in order of danger, the ways on, the journal."""

import math
from collections import defaultdict
from collections.abc import Sequence, Set
from dataclasses import dataclass, field, replace
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.counter import drawings
from shoprepair.counter.ahead import ahead, expected_parts
from shoprepair.counter.claim_lines import Line, claim_lines
from shoprepair.counter.contact import contact
from shoprepair.counter.enquiry_told import Said, told, told_of
from shoprepair.counter.journal import journal_of
from shoprepair.counter.keys import new_key
from shoprepair.counter.promise import Promise, promise
from shoprepair.counter.quote_added import quote_card
from shoprepair.counter.shared_words import Shared, own, shared
from shoprepair.counter.ways import course, next_step, ways_from
from shoprepair.cover import standing
from shoprepair.jobs import assessment, judging_anew, links, ownership, photo_places
from shoprepair.jobs.expected import is_away
from shoprepair.jobs.models import Damage, Hold, Job, Photo, Stage
from shoprepair.jobs.reading import read_once
from shoprepair.jobs.words import damage_title, missing_words, what_is_wrong
from shoprepair.mechanics.cautions import cautions
from shoprepair.mechanics.description import Assessment, Band, Element, Sentence
from shoprepair.pricing import quotes
from shoprepair.shop.languages import written
from shoprepair.shop.settings import cases
from shoprepair.shop.units import Units, say
from shoprepair.work import guards, mended
from shoprepair.work.stock import lots_of

LARGEST_RATIO_SAID = 10
_UNTOUCHED = (Stage.ENQUIRY, Stage.CHECKED_IN)
"""Stages in which no material can have been taken yet."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One damage with its figures, as the sheet shows it."""

    damage: Damage
    title: str
    missing: str
    result: Assessment | None
    photos: list[Photo] = field(default_factory=list)
    claim_line: Line | None = None
    """How it lies against an earlier repair."""
    said: Said | None = None
    """What the customer said of it before it came."""
    mended: bool = False
    reasons: tuple[str, ...] = ()
    """Why it is so, as far as that is not said of several together."""

    @property
    def ratio(self) -> str:
        """The load ratio to two places, as far as the places mean anything."""
        ratio = self.result.load_ratio if self.result else math.nan
        if math.isinf(ratio):
            return gettext("nothing left")
        return f"λ {written(f'{ratio:.2f}')}" if ratio < LARGEST_RATIO_SAID else "λ over 10"

    @property
    def danger(self) -> tuple[bool, bool, int, float, int]:
        """Sorts the most urgent first, by load where two are alike; behind them what nobody has described,
        and last what is mended.
        """
        if self.result is None:
            return self.mended, True, 0, 0.0, self.damage.number
        return self.mended, False, -self.result.urgency, -self.result.load_ratio, self.damage.number


def _promise(job: Job) -> Promise:
    return promise(job.promised_on, timezone.localdate(), ready=job.stage == Stage.READY)


def find_job(number: int, *beside: str) -> Job:
    """The job of this number with all that its pages name, and `beside` read with it; else a 404 page."""
    return get_object_or_404(_jobs(*beside), number=number)


def _jobs(*beside: str) -> QuerySet[Job]:
    pattern = "inflatable__pattern"
    jobs: QuerySet[Job] = Job.objects.select_related(
        "customer", "enquiry", f"{pattern}__casing", f"{pattern}__canopy", f"{pattern}__window", *beside
    )
    return jobs.annotate(now_of=ownership.now_of())


def sheet(number: int, request: HttpRequest, *, whole_journal: bool = False) -> dict[str, Any]:
    """Everything that the job sheet's template names, as it is now; else a 404 page.

    What several parts of it ask is read once.
    """
    jobs = standing.read_with(quotes.read_with(guards.read_with(links.read_with(_jobs("forecast")))))
    job = get_object_or_404(jobs.annotate(judged_before=judging_anew.waits()), number=number)
    with read_once(job, "damages"), quotes.read_all_once(job):
        return _sheet(job, request, whole_journal)


def _sheet(job: Job, request: HttpRequest, whole_journal: bool) -> dict[str, Any]:
    units = request.units
    photos = photo_places.told_where(job, job.photos.select_related("damage"), units)
    done = mended.of(job)
    findings, removed = _findings(job, photos, units, done)
    findings, together = _said_together(findings)
    live = [finding.damage for finding in findings]
    danger = mended.danger(job, live, done)
    wrong, figure = what_is_wrong(job, danger.left, units)
    ways = list(ways_from(job, request.user))
    return {
        "job": job,
        "promise": _promise(job) if job.is_open else None,
        "wrong": wrong,
        "figure": "" if danger.repaired else figure,
        "danger": danger,
        "findings": findings,
        "together": together,
        "told": told(job),
        "away": is_away(job),
        "removed": removed,
        "cautions": _cautions([finding for finding in findings if not finding.mended] or findings),
        "photos": [photo for photo in photos if photo.removed_at is None],
        "gone": [photo for photo in photos if photo.removed_at is not None],
        "photo_key": new_key(),
        "ways": ways,
        "next": next_step(job, ways),
        "course": course(job),
        "holds": Hold.choices,
        **drawings.sheet_drawings(job, live, cases(), units, photos, done),
        "lots": [] if job.stage in _UNTOUCHED else lots_of(job),
        "declined": quotes.declined_damages(job),
        **quote_card(job),
        **contact(job, request),
        **ahead(job),
        **expected_parts(job),
        **journal_of(job, units, whole=whole_journal),
    }


def _findings(
    job: Job, photos: Sequence[Photo], units: Units, done: Set[int]
) -> tuple[list[Finding], list[Finding]]:
    """Live damages in order of danger, those `done` last, and those removed."""
    of_damage = defaultdict(list)
    for photo in photos:
        if photo.removed_at is None:
            of_damage[photo.damage_id].append(photo)
    found = [finding_of(job, damage, of_damage[damage.pk], units) for damage in job.damages.all()]
    lines = claim_lines(job, [finding.damage for finding in found], units)
    found = [
        replace(
            finding,
            claim_line=lines.get(finding.damage.number),
            mended=finding.damage.number in done,
        )
        for finding in found
    ]
    live = [finding for finding in found if finding.damage.removed_at is None]
    return sorted(live, key=lambda finding: finding.danger), [f for f in found if f.damage.removed_at]


def _said_together(findings: list[Finding]) -> tuple[list[Finding], list[Shared]]:
    """What many damages have in common, said once, and each of them without it."""
    together = shared({finding.damage.number: _sayings(finding) for finding in findings})
    return [_without(finding, together) for finding in findings], together


def _sayings(finding: Finding) -> list[str]:
    line = finding.claim_line
    return [*finding.reasons, *([line.words] if line and not line.near else [])]


def _without(finding: Finding, together: list[Shared]) -> Finding:
    line = finding.claim_line
    if line and not line.near:
        line = line._replace(words="".join(own([line.words], together)))
    return replace(finding, reasons=own(finding.reasons, together), claim_line=line)


def finding_of(job: Job, damage: Damage, photos: list[Photo], units: Units) -> Finding:
    """A damage of the job with its words and figures."""
    damage.job = job
    return Finding(
        damage=damage,
        title=damage_title(damage, units),
        missing=missing_words(damage, units) or assessment.refusal(damage),
        result=(result := assessment.read(damage)),
        reasons=tuple(say(sentence, units) for sentence in result.reasons) if result else (),
        photos=photos,
        said=told_of(damage),
    )


def _cautions(findings: Sequence[Finding]) -> list[Sentence]:
    """What stands beside all these figures, said once."""
    worst = max((finding.damage.urgency for finding in findings), default=0)
    bands = {Band(finding.damage.band) for finding in findings if finding.damage.urgency == worst}
    tube = any(Element(finding.damage.element) in _UNDER_PRESSURE for finding in findings)
    return list(cautions(min(bands, key=list(Band).index, default=Band.WATCH), under_pressure=tube))


_UNDER_PRESSURE = {Element.LEADING_EDGE, Element.STRUT, Element.VALVE, Element.HOSE}
