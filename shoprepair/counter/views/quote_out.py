"""The quote on its way: sent, answered on the phone, revised, withdrawn, printed."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.contact import base_url
from shoprepair.counter.keys import new_key
from shoprepair.counter.quote import (
    answer_page,
    fetch_quote,
    reach_words,
    taken_from,
    version_of,
)
from shoprepair.counter.quote_added import addition
from shoprepair.counter.sheet import find_job
from shoprepair.counter.views.quote_step import draft_of, gone, none_yet, page
from shoprepair.jobs import stages
from shoprepair.jobs.models import Job
from shoprepair.papers import quote as paper
from shoprepair.papers.answer import pdf_response
from shoprepair.pricing import answers, quotes, totals
from shoprepair.pricing.models import Quote
from shoprepair.pricing.quotes.steps import meanwhile
from shoprepair.shop.models import Paper


@require_http_methods(["GET", "HEAD", "POST"])
def send(request: HttpRequest, number: int) -> HttpResponse:
    """Before it goes: to whom, how, how much, until when, in place of what. Then it goes."""
    job, draft = draft_of(number)
    if draft is None:
        return gone(request, job, gettext("There is no draft to send."))
    seen = version_of(request.POST)
    if request.method != "POST":
        return _confirm(request, job, draft)
    if seen != draft.version:
        return _confirm(request, job, draft, status=422, stale=meanwhile(draft, seen))
    try:
        quotes.send(draft, who=request.user, version=seen, base_url=base_url(request))
    except quotes.Stale as stale:
        return _confirm(request, job, stale.record, status=422, stale=stale.meanwhile)
    except (quotes.NotSendable, stages.StageRefused) as refusal:
        return _confirm(request, job, draft, status=422, refused=str(refusal))
    except quotes.NotADraft as refusal:
        return gone(request, job, str(refusal))
    what = (
        gettext("The addition")
        if draft.addition_to_id
        else gettext("Quote %(number)s") % {"number": draft.number}
    )
    messages.success(request, gettext("%(what)s is out.") % {"what": what})
    return redirect("quote", job.number)


def _confirm(request: HttpRequest, job: Job, draft: Quote, *, status: int = 200, **more: Any) -> HttpResponse:
    draft.job = job
    sums = totals.of(draft)
    shown = {
        "job": job,
        "quote": draft,
        "sums": sums,
        **addition(draft, sums.total),
        "reach": reach_words(job),
        "replaces": quotes.current(job),
        **more,
    }
    return render(request, "counter/quote/send.html", shown, status=status)


@require_POST
def revise(request: HttpRequest, number: int) -> HttpResponse:
    """Begin a new version from the one that the page shows, else from the one that stands."""
    job = find_job(number)
    asked = fetch_quote(job, request.POST.get("number", "")) if request.POST.get("number") else None
    standing = asked or quotes.current(job) or quotes.versions(job).exclude(state=Quote.State.DRAFT).first()
    if standing is None:
        return none_yet(request, job, status=422)
    try:
        quotes.revise(standing, who=request.user)
    except quotes.JobClosed as closed:
        return page(request, job, standing, status=422, refused=str(closed))
    messages.success(
        request,
        gettext("This is a new version. What the customer has stays as it is until you send this one."),
    )
    return redirect("quote", job.number)


@require_POST
def withdraw(request: HttpRequest, number: int) -> HttpResponse:
    """Take the quote back that is out, saying why; or throw the draft away."""
    job = find_job(number)
    reason = request.POST.get("reason", "")
    standing = quotes.current(job)
    if request.POST.get("draft"):
        return _discard(request, job)
    if standing is None:
        return gone(request, job, gettext("There is no quote out to take back."))
    if len(reason) > 200:
        words = gettext("Say it in 200 letters or fewer; these are %(reason)s.") % {"reason": len(reason)}
        return page(request, job, standing, status=422, reason=reason, reason_error=words)
    try:
        quotes.withdraw(standing, who=request.user, reason=reason)
    except quotes.NotSendable as refusal:
        return page(request, job, standing, status=422, reason=reason, reason_error=str(refusal))
    except quotes.NotOut as refusal:
        return gone(request, job, str(refusal))
    messages.success(request, gettext("Quote %(number)s is taken back.") % {"number": standing.number})
    return redirect("quote", job.number)


def _discard(request: HttpRequest, job: Job) -> HttpResponse:
    draft = quotes.open_draft(job)
    if draft is None:
        return gone(request, job, gettext("There is no draft to throw away."))
    try:
        quotes.discard(draft, who=request.user, version=version_of(request.POST))
    except quotes.Stale as stale:
        return page(request, job, stale.record, status=422, stale=stale.meanwhile)
    except quotes.NotADraft as refusal:
        return gone(request, job, str(refusal))
    messages.success(request, gettext("The draft is thrown away."))
    return redirect("quote", job.number)


@require_http_methods(["GET", "HEAD", "POST"])
@vary_on_headers("HX-Request")
def answer(request: HttpRequest, number: int) -> HttpResponse:
    """What the customer said on the phone: which lines, yes or no, and who said it."""
    job = find_job(number)
    standing = quotes.current(job)
    if standing is None or standing.state != Quote.State.OUT:
        return gone(request, job, gettext("No quote awaits an answer."))
    standing.job = job
    lines = list(standing.lines.all())
    asked = request.POST if request.method == "POST" else request.GET
    taken = taken_from(asked, lines) if "version" in asked else None
    if request.method != "POST" or request.POST.get("answer") not in ("yes", "no"):
        return _answering(request, job, standing, taken, name=asked.get("name", ""))
    try:
        answers.answer(
            standing,
            name=request.POST.get("name", ""),
            accepted=request.POST["answer"] == "yes",
            taken=taken or set(),
            total_shown=_amount(request.POST.get("total", "")),
            version=version_of(request.POST),
            who=request.user,
            base_url=base_url(request),
        )
    except answers.AnswerRefused as refusal:
        name = request.POST.get("name", "")
        return _answering(request, job, standing, taken, name=name, refused=str(refusal), status=422)
    except stages.StageRefused as refusal:
        return _answering(request, job, standing, taken, refused=str(refusal), status=422)
    messages.success(request, gettext("The customer's answer is written down."))
    return redirect("quote", job.number)


def _answering(
    request: HttpRequest,
    job: Job,
    standing: Quote,
    taken: set[int] | None,
    *,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    template = "counter/quote/answer.html#answer" if request.htmx else "counter/quote/answer.html"
    shown = {"job": job, "key": new_key(), **answer_page(standing, taken), **more}
    return render(request, template, shown, status=status)


def _amount(text: str) -> Decimal:
    """The total that the page showed; one that no quote has, where it does not say."""
    try:
        amount = Decimal(text)
    except InvalidOperation:
        return Decimal(-1)
    return amount if amount.is_finite() else Decimal(-1)


@require_safe
@cache_control(private=True, no_store=True)
def quote_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """A version of the quote as PDF, on the shop's paper or on the one asked for."""
    job = find_job(number)
    shown = fetch_quote(job, request.GET.get("number", ""))
    if shown is None:
        raise Http404
    size = request.GET.get("paper", "")
    rendered = paper.render(
        shown, paper=size if size in Paper.values else request.shop.paper, base_url=base_url(request)
    )
    return pdf_response(rendered, f"quote-{job}-{shown.number}.pdf")
