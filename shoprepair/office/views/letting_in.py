"""What the owner does about the log-ins of others, and which tablets may be shared."""

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.office.forms.log_in import TabletForm
from shoprepair.shop import pins, second_factor, sessions, tablets
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import LogIn, SharedTablet, Staff


@owner_only
@require_POST
def end(request: HttpRequest, pk: int, log_in: int) -> HttpResponse:
    """End one log-in of somebody."""
    person = get_object_or_404(Staff, pk=pk)
    sessions.end(_others(request, person).filter(pk=log_in), person, who=request.user)
    messages.success(
        request, gettext("That log-in of %(person)s is out with its next tap.") % {"person": person}
    )
    return redirect("person", pk)


@owner_only
@require_POST
def end_all(request: HttpRequest, pk: int) -> HttpResponse:
    """End every log-in of somebody but the one that this is."""
    person = get_object_or_404(Staff, pk=pk)
    sessions.end(_others(request, person), person, who=request.user)
    messages.success(request, gettext("%(person)s is logged in nowhere else any more.") % {"person": person})
    return redirect("person", pk)


def _others(request: HttpRequest, person: Staff) -> QuerySet[LogIn]:
    """Their log-ins, without the one that this is, where the owner is the person."""
    return sessions.of(person).exclude(session_key=request.session.session_key)


@owner_only
@require_POST
def forget_pin(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Staff, pk=pk)
    pins.forget(person, who=request.user)
    messages.success(request, gettext("%(person)s has no PIN any more.") % {"person": person})
    return redirect("person", pk)


@owner_only
@require_POST
def remove_factor(request: HttpRequest, pk: int) -> HttpResponse:
    """Help out another owner whose phone is lost; one's own goes only with the password."""
    person = get_object_or_404(Staff, pk=pk)
    if person == request.user:
        return redirect("my-log-in")
    second_factor.remove(person, who=request.user)
    messages.success(
        request,
        gettext("%(person)s logs in with the password alone, until they set it up again.")
        % {"person": person},
    )
    return redirect("person", pk)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def shared(request: HttpRequest) -> HttpResponse:
    """The shared tablets; a POST enrols the browser that it comes from."""
    here = tablets.of(request)
    form = TabletForm(request.POST if request.method == "POST" else None)
    if form.is_bound and not here and form.is_valid():
        response = redirect("tablets")
        tablet = tablets.enrol(form.cleaned_data["name"], response, who=request.user)
        messages.success(
            request,
            gettext("This is “%(tablet)s” now. Log out here, or switch the person: you are the owner.")
            % {"tablet": tablet},
        )
        return response
    found = SharedTablet.objects.order_by("name", "pk")
    page = {"tablets": found, "here": here, "form": form, "pins": pins.people().count()}
    return render(request, "office/tablets.html", page, status=422 if form.is_bound else 200)


@owner_only
@require_POST
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    tablet = get_object_or_404(SharedTablet, pk=pk)
    tablets.revoke(tablet, who=request.user)
    messages.success(request, gettext("On “%(tablet)s” no PIN opens anything any more.") % {"tablet": tablet})
    return redirect("tablets")
