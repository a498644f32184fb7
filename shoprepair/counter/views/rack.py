"""The rack: every open job, the most dangerous in front."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any
from urllib.parse import urlencode

from django.db.models import Q
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.drawings import glyph
from shoprepair.counter.enquiry_told import Told, told
from shoprepair.counter.promise import Promise, promise
from shoprepair.gear import describe
from shoprepair.jobs import queries, stages
from shoprepair.jobs.expected import AWAY, is_away
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.jobs.words import what_is_wrong
from shoprepair.mechanics.description import Band
from shoprepair.shop.units import Units
from shoprepair.work import forecast

TODAY_SHOWN = 12
LONGEST_TEXT = 80
CHECK_IN = stages.Action("Check in", "job-check-in", primary=False, to=Stage.CHECKED_IN)
"""What is done with gear that was asked about, once it is here."""
_BESIDE = ("forecast", "enquiry")


@dataclass(frozen=True, slots=True)
class Filter:
    """What narrows the rack; whatever an address holds that is none of these narrows nothing."""

    stage: str = ""
    band: str = ""
    hold: str = ""
    text: str = ""
    late: str = ""
    """“1”: only what will likely or perhaps be late."""

    @classmethod
    def read(cls, asked: QueryDict) -> "Filter":
        return cls(
            stage=_one_of(asked.get("stage"), Stage.values),
            band=_one_of(asked.get("band"), [str(band) for band in Band]),
            hold=_one_of(asked.get("hold"), [queries.ANY_HOLD, *filter(None, Hold.values)]),
            text=asked.get("text", "").replace("\0", "").strip()[:LONGEST_TEXT],
            late=_one_of(asked.get("late"), ["1"]),
        )

    @property
    def any(self) -> bool:
        return self != Filter()

    @property
    def chosen(self) -> dict[str, str]:
        return {name: value for name, value in asdict(self).items() if value}

    def page(self, after: str) -> queries.Page:
        """The jobs that it lets through, each with its forecast; what is not here yet by its stage alone."""
        also = forecast.LATE if self.late else Q()
        narrow = {name: value for name, value in self.chosen.items() if name != "late"}
        also = also if self.stage else also & ~AWAY
        return queries.rack(**narrow, after=after or None, also=also, beside=_BESIDE)

    def beside(self, *, away: bool, newest: int) -> tuple[list[Job], list[Job]]:
        """What was asked about from outside and is not here yet, as far as it lets that through; and the
        newest of all that is here."""
        away = away and not self.stage and not self.late
        narrow = {"band": self.band, "hold": self.hold, "text": self.text}
        return queries.away_and_newest(**narrow, away=away, newest=newest, beside=_BESIDE)

    def url(self, **beside: str) -> str:
        query = urlencode({**self.chosen, **beside})
        return f"{reverse('rack')}?{query}" if query else reverse("rack")


@dataclass(frozen=True, slots=True)
class Choice:
    """A link that narrows the rack, or lets it go again."""

    id: str
    label: str
    count: int
    url: str
    chosen: bool
    band: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One job as it hangs on the rack."""

    job: Job
    url: str
    glyph: SafeString
    wrong: str
    figure: str
    promise: Promise
    action: stages.Action
    action_url: str
    first: bool
    """Whether its action is the one that matters most on this page."""
    judged: bool
    """Whether any of its damages has figures; its urgency means nothing before."""
    unanswered: int
    """Damages that nobody has described far enough to be judged."""
    late: str
    """By how much it will likely, or perhaps, be late; empty where it is in time or not known."""
    told: Told | None
    """What was asked from outside, while the gear is not here yet."""


@require_safe
@vary_on_headers("HX-Request")
def rack(request: HttpRequest) -> HttpResponse:
    """All open jobs as far as the address asks for them; a fragment of the page for a narrowing tap."""
    chosen, after = Filter.read(request.GET), request.GET.get("after", "")
    page = chosen.page(after)
    more = chosen.url(after=page.after) if page.after else ""
    if request.htmx and after:
        queries.read_damages(page.jobs)
        shown = {"rows": list(_rows(page.jobs, request.units, at_front=False)), "more": more}
        return render(request, "counter/rack/page.html#rows", shown)
    counts = queries.counts(chosen.stage, chosen.band, chosen.hold)
    any_away = not after and counts.stages[Stage.ENQUIRY] > 0
    away, newest = chosen.beside(away=any_away, newest=0 if request.htmx else TODAY_SHOWN)
    queries.read_damages([*page.jobs, *away])
    shown = {
        "rows": list(_rows(page.jobs, request.units, at_front=not after)),
        "more": more,
        "away": list(_rows(away, request.units, at_front=False)),
        "today": _came_in_today(newest),
        **_around(chosen, after, counts, len(page), len(away)),
    }
    part = "#rack" if request.htmx else ""
    return render(request, f"counter/rack/page.html{part}", shown)


def _around(chosen: Filter, after: str, counts: queries.Counts, shown: int, away: int) -> dict[str, Any]:
    """Everything about the rack but its rows."""
    return {
        "filter": chosen,
        "stages": list(_stages(chosen, counts)),
        "bands": list(_choices(chosen, "band", counts.bands.items(), dict(zip(Band, Band, strict=True)))),
        "held": list(_held(chosen, counts)),
        "holds": list(_choices(chosen, "hold", counts.holds.items(), dict(Hold.choices)))
        if chosen.hold
        else [],
        "late": list(_late(chosen, shown)),
        "hidden": [(name, value) for name, value in chosen.chosen.items() if name != "text"],
        "clear": reverse("rack"),
        "front": chosen.url() if after else "",
        "gone": [(Filter(stage=stage).url(), Stage(stage).label) for stage in stages.CLOSED],
        "enquiries": replace(chosen, stage=Stage.ENQUIRY.value).url(),
        "said": _said(chosen, counts.total, shown, away),
    }


def _rows(jobs: list[Job], units: Units, *, at_front: bool) -> Iterator[Row]:
    today, first = timezone.localdate(), at_front
    describe.warm([job.inflatable.pattern for job in jobs])
    for job in jobs:
        wrong, figure = what_is_wrong(job, job.live_damages, units)  # type: ignore[attr-defined]
        asked = told(job) if is_away(job) else None
        action = CHECK_IN if asked else stages.next_action(job)
        yield Row(
            job=job,
            url=job.get_absolute_url(),
            glyph=glyph(job, job.live_damages),  # type: ignore[attr-defined]
            wrong=wrong,
            figure=figure,
            promise=promise(job.promised_on, today),
            action=action,
            action_url=reverse(action.url_name, args=[job.number]),
            first=first and action.primary,
            judged=any(damage.reason for damage in job.live_damages),  # type: ignore[attr-defined]
            unanswered=sum(not damage.reason for damage in job.live_damages),  # type: ignore[attr-defined]
            late="" if asked else forecast.lateness(job.promised_on, getattr(job, "forecast", None)),
            told=asked,
        )
        first = first and not action.primary


def _stages(chosen: Filter, counts: queries.Counts) -> Iterator[Choice]:
    yield Choice("stage-all", "All open", counts.total, replace(chosen, stage="").url(), not chosen.stage)
    for stage, count in counts.stages.items():
        url = replace(chosen, stage=stage).url()
        yield Choice(f"stage-{stage}", Stage(stage).label, count, url, chosen.stage == stage)


def _held(chosen: Filter, counts: queries.Counts) -> Iterator[Choice]:
    """All that waits, whatever for; what for is asked once this is chosen."""
    if (waiting := sum(counts.holds.values())) or chosen.hold:
        url = replace(chosen, hold="" if chosen.hold else queries.ANY_HOLD).url()
        yield Choice("hold-any", "On hold", waiting, url, bool(chosen.hold))


def _late(chosen: Filter, shown: int) -> Iterator[Choice]:
    """The way out of what an address from elsewhere narrowed to: what will be late."""
    if chosen.late:
        yield Choice("late", "Will be late", shown, replace(chosen, late="").url(), True)


def _choices(chosen: Filter, name: str, counts: Any, labels: dict[Any, str]) -> Iterator[Choice]:
    """A choice for each value that a job has; the chosen one leads back out."""
    for value, count in counts:
        is_chosen = getattr(chosen, name) == value
        if count or is_chosen:
            without = queries.ANY_HOLD if name == "hold" else ""
            url = replace(chosen, **{name: without if is_chosen else value}).url()
            slug = str(value).lower().replace(" ", "-")
            band = str(value) if name == "band" else ""
            yield Choice(f"{name}-{slug}", labels[value], count, url, is_chosen, band)


def _came_in_today(newest: list[Job]) -> list[Job]:
    """The newest jobs, as far as they came in today: read from the end of the table, however long it is."""
    today = timezone.localdate()
    return [job for job in newest if timezone.localdate(job.received_at) == today]


def _said(chosen: Filter, total: int, shown: int, away: int) -> str:
    jobs = "1 job" if shown == 1 else f"{shown} jobs"
    beside = f"; {away} more not here yet" if away else ""
    if not chosen.any:
        front, here = "what would fail first hangs in front", total - away
        return (
            f"{here} open, {front}{beside}"
            if shown == here
            else f"{here} open, {jobs} shown, {front}{beside}"
        )
    return f"{jobs} shown: {', '.join(_in_words(chosen))}{beside}"


def _in_words(chosen: Filter) -> Iterator[str]:
    if chosen.stage:
        yield Stage(chosen.stage).label
    if chosen.band:
        yield chosen.band
    if chosen.hold:
        yield "on hold" if chosen.hold == queries.ANY_HOLD else Hold(chosen.hold).label.lower()
    if chosen.late:
        yield "likely or perhaps late"
    if chosen.text:
        yield f"“{chosen.text}”"


def _one_of(asked: str | None, known: list[str]) -> str:
    return asked if asked and asked in known else ""
