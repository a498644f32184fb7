"""Who is at the bench on which weekday, and for how many minutes."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.dates import WEEKDAYS
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.office.forms.bench_hours import BenchHoursForm
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.shop import journal
from shoprepair.shop.access import owner_only
from shoprepair.shop.units import say_bench_time
from shoprepair.work import calendar

JOURNAL_LENGTH = 20


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def bench_hours(request: HttpRequest) -> HttpResponse:
    """Everybody's week in one form; a POST keeps it, and every promise is reckoned anew."""
    sent = request.POST if request.method == "POST" else None
    form = BenchHoursForm(calendar.weeks(), sent)
    if sent is not None and form.is_valid() and _keep(request, form):
        return redirect("bench-hours")
    page = {
        "form": form,
        "rows": form.rows(),
        "lines": lines(journal.entries(calendar.SUBJECT)[:JOURNAL_LENGTH], say),
    }
    return render(request, "office/bench_hours.html", page, status=200 if sent is None else 422)


def _keep(request: HttpRequest, form: BenchHoursForm) -> bool:
    try:
        changed = calendar.set_hours(form.wanted(), who=request.user)
    except ValidationError as refused:
        form.add_error(None, refused)
        return False
    told = (
        gettext("Saved. Every date is reckoned by these hours now.")
        if changed
        else gettext("Nothing was different.")
    )
    messages.success(request, told)
    return True


def say(name: str, before: Any, after: Any) -> list[Said]:
    """The weekdays whose minutes differ, those that changed alike in one line; the entry names the person."""
    if not (isinstance(before, list) and isinstance(after, list) and len(before) == len(after) == 7):
        return [(name, shown(before), shown(after))]
    alike: dict[tuple[int, int], list[str]] = {}
    for weekday, minutes in enumerate(zip(before, after, strict=True)):
        if minutes[0] != minutes[1]:
            alike.setdefault(minutes, []).append(str(WEEKDAYS[weekday]))
    return [
        (capfirst(", ".join(days)), say_bench_time(old), say_bench_time(new))
        for (old, new), days in alike.items()
    ]
