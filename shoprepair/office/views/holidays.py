"""Days on which the shop, or one of its people, does not work."""

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.office.forms.holidays import HolidayForm
from shoprepair.office.views.bench_hours import JOURNAL_LENGTH, say
from shoprepair.office.views.lines import lines
from shoprepair.office.views.once import made
from shoprepair.shop import journal, undoing
from shoprepair.shop.access import owner_only
from shoprepair.work import calendar
from shoprepair.work.models import Holiday

PAST_SHOWN = 12


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def holidays(request: HttpRequest) -> HttpResponse:
    """Those to come and the last ones; a POST adds one."""
    sent = request.POST if request.method == "POST" else None
    form = HolidayForm(sent, initial={"key": uuid4().hex})
    if sent is not None and (place := made(request, form, lambda: _add(request, form))):
        return redirect(place)
    today = timezone.localdate()
    every = Holiday.objects.select_related("who")
    page = {
        "form": form,
        "ahead": [(each, calendar.words(each)) for each in every.filter(last_day__gte=today)],
        "past": list(
            map(calendar.words, every.filter(last_day__lt=today).order_by("-last_day")[:PAST_SHOWN])
        ),
        "lines": lines(journal.entries(calendar.SUBJECT)[:JOURNAL_LENGTH], say),
    }
    return render(request, "office/holidays.html", page, status=200 if sent is None else 422)


def _add(request: HttpRequest, form: HolidayForm) -> str:
    said = form.cleaned_data
    holiday = calendar.add_holiday(
        said["first_day"], said["last_day"], who=request.user, person=said["who"], note=said["note"]
    )
    messages.success(
        request, gettext("%(words)s. Every date is reckoned by it now.") % {"words": calendar.words(holiday)}
    )
    return reverse("holidays")


@owner_only
@require_POST
def remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a holiday back. Sent twice, it was taken back once."""
    holiday = Holiday.objects.select_related("who").filter(pk=pk).first()
    told = gettext("Removed: those days are worked.")
    if holiday is None:
        messages.success(request, told)
        return redirect("holidays")
    calendar.remove_holiday(holiday, who=request.user)
    undoing.tell(
        request,
        told,
        reverse("holidays"),
        key=uuid4().hex,
        who=holiday.who_id or "",
        first_day=holiday.first_day.isoformat(),
        last_day=holiday.last_day.isoformat(),
        note=holiday.note,
    )
    return redirect("holidays")
