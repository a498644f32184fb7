"""Time at the bench: what runs, what was forgotten, and putting it right."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe

from shoprepair.bench import queue
from shoprepair.bench.forms.time import MendForm
from shoprepair.work import stints
from shoprepair.work.models import Stint

MOST = 30


@require_safe
def time(request: HttpRequest) -> HttpResponse:
    return _page(request)


@require_POST
def stop(request: HttpRequest) -> HttpResponse:
    """Stop what this person is at; a second tap finds nothing running and says so."""
    stopped = stints.stop(request.user, timezone.now())
    said = gettext("Your time is stopped.") if stopped else gettext("Nothing of yours was running.")
    messages.success(request, said)
    return redirect("bench")


@require_POST
def mend(request: HttpRequest, pk: int) -> HttpResponse:
    """Put the end of a stretch right."""
    stint = get_object_or_404(Stint, pk=pk)
    form = MendForm(stint, request.POST)
    if not form.is_valid():
        return _page(request, form)
    try:
        stints.mend(stint, form.cleaned_data["ended_at"], who=request.user, why=form.cleaned_data["why"])
    except stints.NotMended as refused:
        form.add_error("ended_at", str(refused))
        return _page(request, form)
    messages.success(request, gettext("Put right."))
    return redirect("bench-time")


def _page(request: HttpRequest, sent: MendForm | None = None) -> HttpResponse:
    now = timezone.now()
    mine = queue.on_me(request.user, now)
    late = mine["forgotten"]
    midnight = timezone.localtime(now).replace(hour=0, minute=0, second=0, microsecond=0)
    today = request.user.stints.filter(began_at__gte=midnight).select_related("job", "step", "who")
    rest = [stint for stint in today.order_by("-began_at", "-pk")[:MOST] if stint not in late]
    context = {
        **mine,
        "late": [_row(stint, now, sent) for stint in late],
        "today": [_row(stint, now, sent) for stint in rest],
        "sent": sent,
    }
    return render(request, "bench/time.html", context, status=422 if sent else 200)


def _row(stint: Stint, now: Any, sent: MendForm | None) -> dict[str, Any]:
    own = sent is not None and sent.stint.pk == stint.pk
    return {
        "stint": stint,
        "minutes": stints.minutes_of([stint], now),
        "form": sent if own else MendForm(stint),
        "open": own,
    }
