"""One step on a quote that is being written: done and shown, or refused with everything that was typed."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from shoprepair.counter.forms.fields import refuse
from shoprepair.counter.quote import fetch_quote, quote_page, version_of
from shoprepair.counter.sheet import find_job
from shoprepair.jobs import corrections, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Operation, Quote
from shoprepair.pricing.quotes.steps import meanwhile
from shoprepair.shop.submissions import once

NOT_ASSESSED = (Stage.ENQUIRY, Stage.CHECKED_IN)


def none_yet(request: HttpRequest, job: Job, *, status: int = 200) -> HttpResponse:
    """There is no quote: what is missing for one, or the way to begin it."""
    live = job.damages.filter(removed_at=None)
    shown = {
        "job": job,
        "pinned": live.count(),
        "unanswered": stages.every_damage_answered(job),
        "not_assessed": job.stage in NOT_ASSESSED,
        "catalogue": Operation.objects.filter(active=True).exists(),
    }
    return render(request, "counter/quote/none.html", shown, status=status)


def draft_of(number: int) -> tuple[Job, Quote | None]:
    """The job and its open draft, if it has one."""
    job = find_job(number)
    draft = quotes.open_draft(job)
    if draft:
        draft.job = job
    return job, draft


def carry_out(
    request: HttpRequest,
    job: Job,
    draft: Quote,
    act: Callable[[int], str],
    form: Form | None = None,
    *,
    removed: str = "",
    removed_text: str = "",
    **shown: Any,
) -> HttpResponse:
    """Do one thing to a draft and show the page again: with what was done, or with what was refused.

    Whatever was typed is still there after a refusal, and after somebody else's change, which is told.
    """
    seen = version_of(request.POST)
    if form is not None and not form.is_valid():
        _point_at_first_wrong(form)
        return page(request, job, draft, status=422, **_told_if_stale(draft, seen), **shown)
    said: list[str] = []

    def do() -> str:
        said.append(act(seen))
        return reverse("quote", args=[job.number])

    if refusal := _refusal(request, job, draft, do, form, shown):
        return refusal
    if request.htmx or removed:
        done = {"done": "".join(said), "removed": removed, "removed_text": removed_text}
        return page(request, job, fetch_quote(job) or draft, **done)
    for words in said:
        messages.success(request, words)
    return redirect("quote", job.number)


def _refusal(
    request: HttpRequest,
    job: Job,
    draft: Quote,
    do: Callable[[], str],
    form: Form | None,
    shown: dict[str, Any],
) -> HttpResponse | None:
    """Carry it out once; where it is refused, the page that says why and keeps what was typed."""
    try:
        once(request.POST.get("key", ""), request.user, do)
    except quotes.Stale as stale:
        return page(request, job, stale.record, status=422, stale=stale.meanwhile, **shown)
    except ValidationError as problems:
        if form is None:
            return page(request, job, draft, status=422, refused=" ".join(problems.messages))
        refuse(form, problems.message_dict)
        _point_at_first_wrong(form)
        return page(request, job, draft, status=422, **shown)
    except (quotes.NotADraft, quotes.NoSuchLine, corrections.StaleRecord) as refusal:
        return gone(request, job, str(refusal))
    return None


def page(request: HttpRequest, job: Job, shown: Quote, *, status: int = 200, **more: Any) -> HttpResponse:
    """The quote's page, or only its sheet where the page is there already."""
    template = "counter/quote/page.html#quote" if request.htmx else "counter/quote/page.html"
    return render(request, template, quote_page(job, shown, request, **more), status=status)


def gone(request: HttpRequest, job: Job, words: str) -> HttpResponse:
    """The draft or the line is not there any more: the quote as it is now, and why."""
    shown = fetch_quote(job)
    if shown is None:
        return none_yet(request, job, status=422)
    return page(request, job, shown, status=422, refused=words)


def _point_at_first_wrong(form: Form) -> None:
    """Put the cursor where something has to be mended."""
    wrong = next((name for name in form.fields if name in form.errors), None)
    if wrong:
        form.fields[wrong].widget.attrs["autofocus"] = True


def _told_if_stale(draft: Quote, seen: int) -> dict[str, Any]:
    return {"stale": meanwhile(draft, seen)} if seen != draft.version else {}
