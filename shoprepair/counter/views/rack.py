"""The rack: every open job, the most dangerous in front."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter import rack_rows
from shoprepair.counter.rack_narrowing import Filter, band_words, narrowing
from shoprepair.jobs import lines, queries, stages
from shoprepair.jobs.lines import Line, damages_of
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import in_a_sentence

TODAY_SHOWN = 12


@require_safe
@vary_on_headers("HX-Request")
def rack(request: HttpRequest) -> HttpResponse:
    """All open jobs as far as the address asks for them; a fragment of the page for a narrowing tap."""
    chosen, after = Filter.read(request.GET), request.GET.get("after", "")
    page = chosen.page(after)
    more = chosen.url(after=page.after) if page.after else ""
    if request.htmx and after:
        rows = rack_rows.written(page.lines, damages_of(page), request.units, at_front=False)
        shown = {"rows": rows, "more": more}
        return render(request, "counter/rack/page.html#rows", shown)
    counts = queries.counts(chosen.stage, chosen.band, chosen.hold)
    any_away = not after and counts.stages[Stage.ENQUIRY] > 0
    away, newest = chosen.beside(away=any_away, newest=0 if request.htmx else TODAY_SHOWN)
    damages = damages_of([*page, *away])
    shown = {
        "rows": rack_rows.written(page.lines, damages, request.units, at_front=not after),
        "more": more,
        "away": rack_rows.written(away, damages, request.units, at_front=False),
        "today": _came_in_today(newest),
        **_around(chosen, after, counts, len(page), len(away)),
    }
    part = "#rack" if request.htmx else ""
    return render(request, f"counter/rack/page.html{part}", shown)


def _around(chosen: Filter, after: str, counts: queries.Counts, shown: int, away: int) -> dict[str, Any]:
    """Everything about the rack but its rows."""
    return {
        "filter": chosen,
        "narrowing": narrowing(chosen, counts, shown),
        "clear": reverse("rack"),
        "front": chosen.url() if after else "",
        "gone": [(Filter(stage=stage).url(), Stage(stage).label) for stage in stages.CLOSED],
        "enquiries": replace(chosen, stage=Stage.ENQUIRY.value).url(),
        "said": _said(chosen, counts.total, shown, away),
    }


def _came_in_today(newest: list[Line]) -> list[Job]:
    """The newest jobs, as far as they came in today: read from the end of the table, however long it is."""
    today = timezone.localdate()
    return [lines.job(line) for line in newest if timezone.localdate(line.job.received_at) == today]


def _said(chosen: Filter, total: int, shown: int, away: int) -> str:
    jobs = counted(shown, "job")
    if not chosen.any and total < 2:
        return gettext("%(total)s open") % {"total": total}
    if not chosen.any:
        among = "" if shown == total - away else gettext(", %(jobs)s shown") % {"jobs": jobs}
        return gettext("%(total)s open%(away)s%(among)s; what would fail first hangs in front") % {
            "total": total,
            "away": gettext(", %(away)s of them not here yet") % {"away": _many(away)} if away else "",
            "among": among,
        }
    beside = gettext("; %(away)s more not here yet") % {"away": _many(away)} if away else ""
    return gettext("%(jobs)s shown: %(join)s%(beside)s") % {
        "jobs": jobs,
        "join": ", ".join(_in_words(chosen)),
        "beside": beside,
    }


def _many(away: int) -> str:
    """How many are not here yet, as far as they are read."""
    return gettext("%(away)s or more") % {"away": away} if away == queries.PAGE_SIZE else str(away)


def _in_words(chosen: Filter) -> Iterator[str]:
    if chosen.stage:
        yield str(Stage(chosen.stage).label)
    if chosen.band:
        yield band_words()[chosen.band]
    if chosen.hold:
        yield (
            gettext("on hold") if chosen.hold == queries.ANY_HOLD else in_a_sentence(Hold(chosen.hold).label)
        )
    if chosen.late:
        yield gettext("likely or perhaps late")
    if chosen.text:
        yield f"“{chosen.text}”"
