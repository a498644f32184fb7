"""A letter sent again, or not sent at all: decided by whoever sees its state on the job."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.counter.fetch import next_page
from shoprepair.shop import outbox, undoing
from shoprepair.shop.models import Letter


@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    """Send a letter anew that was not sent, or perhaps was."""
    if "take-up" in request.POST:
        return _decide(request, pk, outbox.take_up, gettext("The letter stands again as it did."))
    return _decide(request, pk, outbox.send_again, gettext("The letter will be sent again."))


@require_POST
def cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a letter from being sent."""
    undo = reverse("letter-again", args=[pk])
    return _decide(request, pk, outbox.cancel, gettext("The letter will not be sent."), undo)


def _decide(
    request: HttpRequest, pk: int, decide: Callable[..., Any], done: str, undo: str = ""
) -> HttpResponse:
    letter = get_object_or_404(Letter, pk=pk)
    try:
        decide(letter, who=request.user)
    except outbox.NotPossible as refused:
        messages.error(request, str(refused))
    else:
        back = next_page(request, _page_about(letter))
        fields = {"next": back, "take-up": "1"}
        undoing.tell(request, done, undo, **fields) if undo else messages.success(request, done)
    return redirect(next_page(request, _page_about(letter)))


def _page_about(letter: Letter) -> str:
    """The page of the job or the transfer that the letter is about."""
    kind, _, number = letter.about.partition(":")
    known = kind in ("job", "transfer") and number.isdecimal()
    return reverse(kind, args=[number]) if known else reverse("rack")
