"""The customer's answer to a quote."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import translation
from django.views.decorators.http import require_http_methods

from shoprepair.jobs import links
from shoprepair.jobs.models import StatusLink
from shoprepair.portal.forms.answer import ACCEPT, DECLINE, RECKON, Answered, read
from shoprepair.portal.guard import TOO_OLD, by_link, from_our_form
from shoprepair.portal.page import base_url, page
from shoprepair.pricing import answers, quotes, totals
from shoprepair.pricing.models import Quote
from shoprepair.pricing.money import say
from shoprepair.shop.languages import gettext_lazy

NEWER = gettext_lazy(
    "The shop has sent a newer quote since you opened this page. This is it; look at it before you answer."
)
TAKEN_BACK = gettext_lazy(
    "The shop has taken this quote back since you opened the page, so it was not answered."
)
OTHER_TOTAL = gettext_lazy(
    "What you chose comes to {now}. Accept again if that is right; nothing was sent yet."
)


@by_link
@require_http_methods(["GET", "HEAD", "POST"])
def answer(request: HttpRequest, link: StatusLink) -> HttpResponse:
    """Take the answer to the quote that was shown, or show again what is to be answered, and why."""
    if request.method != "POST":
        return _back(link)
    sent, quote = read(request.POST), quotes.current(link.job)
    if not from_our_form(request):
        return page(request, link, status=403, sent=sent, trouble=TOO_OLD)
    if quote is None:
        return page(request, link, status=409, trouble=TAKEN_BACK)
    if quote.number != sent.quote:
        return page(request, link, status=409, sent=sent, trouble=NEWER)
    if sent.act == RECKON:
        return page(request, link, sent=sent)
    return _take(request, link, quote, sent)


def _take(request: HttpRequest, link: StatusLink, quote: Quote, sent: Answered) -> HttpResponse:
    try:
        name = answers.signature(sent.name)
    except answers.AnswerRefused as refusal:
        field = "decline_error" if sent.act == DECLINE else "name_error"
        return page(request, link, status=422, sent=sent, **{field: str(refusal)})
    total = totals.of(quote, sent.taken).total
    if sent.act == ACCEPT and quote.state == Quote.State.OUT and total != sent.total_shown:
        said = OTHER_TOTAL.format(now=say(total, quote.currency))
        return page(request, link, status=409, sent=sent, trouble=said)
    try:
        # What is kept of it is read by the shop.
        with translation.override(request.shop.language):
            answers.answer(
                quote,
                name=name,
                accepted=sent.act == ACCEPT,
                taken=sent.taken,
                total_shown=total,
                version=sent.version,
                base_url=base_url(request),
            )
    except answers.AnswerRefused as refusal:
        return page(request, link, status=409, sent=sent, trouble=str(refusal))
    return _back(link)


def _back(link: StatusLink) -> HttpResponse:
    return redirect(f"{links.path(link)}#quote")
