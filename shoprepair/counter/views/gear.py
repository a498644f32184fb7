"""A piece of gear over all its visits, its covers, and the end of its life."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shoprepair.counter.contact import base_url
from shoprepair.counter.cover_page import cover_page, fetch_cover
from shoprepair.counter.gear_page import fetch_gear, gear_page, told_of
from shoprepair.cover import endings, links, standing
from shoprepair.cover.endings import EndingRefused
from shoprepair.jobs import checkin, ownership
from shoprepair.papers import cover_record
from shoprepair.papers.answer import pdf_response
from shoprepair.shop import undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Paper
from shoprepair.shop.submissions import once

NO_OWNER = gettext_lazy(
    "The shop does not know whose this is. Search the customer, then check it in as theirs."
)


@require_safe
def gear(request: HttpRequest, pk: int) -> HttpResponse:
    """Whose it is, what was done to it in all its visits, and what stands behind it."""
    return render(request, "counter/gear/page.html", gear_page(fetch_gear(pk), request))


@require_POST
def check_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin a visit of this gear and its owner. Sent twice, it begins once."""
    one = fetch_gear(pk)
    customer = ownership.owner(one)
    if customer is None:
        return render(
            request, "counter/gear/page.html", gear_page(one, request, refused=NO_OWNER), status=422
        )

    def begin() -> str:
        if here := checkin.under_way(one):
            return here.get_absolute_url()
        return reverse("job-check-in", args=[checkin.start(customer, one, who=request.user).number])

    return redirect(once(request.POST.get("key", ""), request.user, begin))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """It is no longer used: what ends with it, and after a yes the end of it all."""
    one = fetch_gear(pk)
    note, error, status = request.POST.get("note", ""), "", 200
    if request.method == "POST":
        try:
            ended = endings.retire(one, note, who=request.user)
        except EndingRefused as refusal:
            error, status = str(refusal), 422
        else:
            covers = ngettext("%(ended)s cover", "%(ended)s covers", len(ended)) % {"ended": len(ended)}
            messages.success(
                request,
                gettext("It is written down that this gear is no longer used; %(covers)s ended.")
                % {"covers": covers},
            )
            return redirect("gear", one.pk)
    told = told_of(one, standing.of(one), request)
    context = {
        "gear": one,
        "ends": [said for said in told.covers if not said.ended],
        "still_open": one.jobs.filter(is_open=True).order_by("number"),
        "note": note,
        "error": error,
    }
    return render(request, "counter/gear/retire.html", context, status=status)


@require_safe
@cache_control(private=True, no_store=True)
def cover_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The cover record as PDF, on the shop's paper or on the one asked for."""
    one, asked = fetch_gear(pk), request.GET.get("paper", "")
    size = asked if asked in Paper.values else request.shop.paper
    try:
        content = cover_record.render(one, paper=size, base_url=base_url(request))
    except cover_record.NothingCovered as nothing:
        context = gear_page(one, request, refused=str(nothing))
        return render(request, "counter/gear/page.html", context, status=409)
    return pdf_response(content, f"cover-record-{one.serial or one.pk}.pdf")


@require_POST
def link(request: HttpRequest, pk: int) -> HttpResponse:
    """Make, replace or close the address that the cover record carries."""
    one = fetch_gear(pk)
    if "renew" in request.POST:
        links.renew(one, who=request.user)
        messages.success(
            request,
            gettext("The cover record has a new address. Print it again: the old code opens nothing."),
        )
    elif "withdraw" in request.POST:
        links.withdraw(one, who=request.user)
        told = gettext("The address is closed. Printed codes of this gear open nothing now.")
        undoing.tell(request, told, request.path, back="1")
    elif "back" in request.POST:
        links.bring_back(one, who=request.user)
        messages.success(request, gettext("The address is open again, with the codes that are printed."))
    else:
        links.make(one)
    return redirect(f"{reverse('gear', args=[one.pk])}#record")


@require_safe
def cover(request: HttpRequest, number: int) -> HttpResponse:
    """One cover opened: everything of its record."""
    return render(request, "counter/gear/cover.html", cover_page(fetch_cover(number), request))


@require_POST
@owner_only
def end(request: HttpRequest, number: int) -> HttpResponse:
    """The owner ends a cover, and says why."""
    one, note = fetch_cover(number), request.POST.get("note", "")
    try:
        endings.end(one, endings.Reason.VOID, note, who=request.user)
    except EndingRefused as refusal:
        context = cover_page(one, request, end_error=str(refusal), end_note=note)
        return render(request, "counter/gear/cover.html", context, status=422)
    messages.success(request, gettext("Cover %(one)s has ended.") % {"one": one})
    return redirect("cover-one", one.number)
