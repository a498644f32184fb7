"""The quote while it is written: begun, looked at, its terms changed, weighed against the gear's worth."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.quote import fetch_quote, price_new_form, terms_form
from shoprepair.counter.sheet import find_job
from shoprepair.counter.views.quote_step import NOT_ASSESSED, carry_out, draft_of, gone, none_yet, page
from shoprepair.jobs import corrections
from shoprepair.jobs.models import Job
from shoprepair.pricing import quotes


@require_http_methods(["GET", "HEAD", "POST"])
@vary_on_headers("HX-Request")
def quote(request: HttpRequest, number: int) -> HttpResponse:
    """The job's quote: the draft, else the newest, or the version asked for; sent by POST, it is begun."""
    job = find_job(number)
    if request.method == "POST":
        return _begin(request, job)
    asked = request.GET.get("number", "")
    shown = fetch_quote(job, asked)
    if shown is None and asked:
        raise Http404
    return none_yet(request, job) if shown is None else page(request, job, shown)


def _begin(request: HttpRequest, job: Job) -> HttpResponse:
    if job.stage in NOT_ASSESSED:
        return none_yet(request, job, status=422)
    try:
        quotes.draft(job, who=request.user)
    except quotes.JobClosed as closed:
        messages.error(request, str(closed))
    return redirect("quote", job.number)


@require_POST
@vary_on_headers("HX-Request")
def change(request: HttpRequest, number: int) -> HttpResponse:
    """Discount, deposit, last day, note, warranty; or the lines reckoned anew from the repairs."""
    job, draft = draft_of(number)
    if draft is None:
        return gone(request, job, gettext("There is no draft to change."))
    if request.POST.get("refresh"):

        def anew(version: int) -> str:
            quotes.refresh(draft, who=request.user, version=version)
            return gettext(
                "The lines are reckoned anew from the repairs; what you wrote yourself stands as it was."
            )

        return carry_out(request, job, draft, anew)
    form = terms_form(draft, request.POST)

    def act(version: int) -> str:
        said = {name: value for name, value in form.cleaned_data.items() if value is not None}
        quotes.change(draft, who=request.user, version=version, **said)
        return gettext("The terms of the quote are kept.")

    return carry_out(request, job, draft, act, form, terms=form)


@require_POST
@vary_on_headers("HX-Request")
def worth(request: HttpRequest, number: int) -> HttpResponse:
    """What this piece of gear cost new, so that the repair can be weighed against what it is worth."""
    job, draft = draft_of(number)
    if draft is None:
        return gone(request, job, gettext("There is no draft to weigh."))
    form = price_new_form(draft, request.POST)

    def act(version: int) -> str:
        said = {name: form.cleaned_data[name] for name in form.changed_data}
        corrections.correct(job.inflatable, who=request.user, **said)
        quotes.refresh(draft, who=request.user, version=version)
        return gettext("The repair is weighed against what the gear is worth now.")

    return carry_out(request, job, draft, act, form, price_new=form)
