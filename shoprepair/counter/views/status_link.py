"""The status link and the conversation, from the shop's side: make, renew, withdraw, answer a question."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.counter.contact import base_url
from shoprepair.counter.sheet import find_job, sheet
from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import Job
from shoprepair.shop import undoing
from shoprepair.shop.submissions import once

CARD, SAID = "#status-link", "#conversation"
LONGEST_KEY = 18


@require_POST
def status_link(request: HttpRequest, number: int) -> HttpResponse:
    """Make the job's status link, or another one in its place."""
    job = find_job(number)
    if (back := request.POST.get("back", "")).isdecimal() and len(back) < LONGEST_KEY:
        if link := job.status_links.filter(pk=back).first():
            links.bring_back(link, who=request.user)
        return _back(request, job, gettext("The status link opens the job again."), CARD)
    if not request.POST.get("renew"):
        links.make(job, who=request.user)
        return _back(request, job, gettext("The status link is ready: copy it, or let it be scanned."), CARD)

    def renew() -> str:
        links.renew(job, who=request.user)
        return f"{job.get_absolute_url()}{CARD}"

    once(request.POST.get("key", ""), request.user, renew)
    return _back(
        request, job, gettext("There is a new status link. The old one opens nothing any more."), CARD
    )


@require_POST
def withdraw(request: HttpRequest, number: int) -> HttpResponse:
    """Close the job's status link. Done twice, it is closed once."""
    job = find_job(number)
    told = gettext("The status link is withdrawn. Whoever opens it finds nothing.")
    link = links.current(job)
    if link is None:
        return _back(request, job, told, CARD)
    links.withdraw(link, who=request.user)
    undoing.tell(request, told, reverse("status-link", args=[job.number]), back=link.pk)
    return redirect(f"{job.get_absolute_url()}{CARD}")


@require_POST
def reply(request: HttpRequest, number: int) -> HttpResponse:
    """Answer the customer. Sent twice, it is said once."""
    job, text = find_job(number), request.POST.get("text", "")

    def say() -> str:
        conversation.reply(job, who=request.user, text=text, base_url=base_url(request))
        return f"{job.get_absolute_url()}{SAID}"

    try:
        once(request.POST.get("key", ""), request.user, say)
    except conversation.NotSaid as refusal:
        shown = {**sheet(number, request), "reply_error": str(refusal), "reply_text": text}
        return render(request, "counter/job/page.html", shown, status=422)
    return _back(request, job, gettext("Your answer is kept and stands on the customer's page."), SAID)


def _back(request: HttpRequest, job: Job, words: str, part: str) -> HttpResponse:
    messages.success(request, words)
    return redirect(f"{job.get_absolute_url()}{part}")
