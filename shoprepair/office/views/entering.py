"""Coming in: the code after the password, and the PIN on a shared tablet."""

import time

from django.contrib import auth, messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.utils.crypto import constant_time_compare
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.office.forms.log_in import CodeForm, PinTryForm
from shoprepair.shop import known_browsers, log_ins, pins, second_factor, sessions, tablets
from shoprepair.shop.models import SharedTablet, Staff
from shoprepair.shop.who import BY_PIN, ORDINARY, PinBackend

_HALF_WAY = "half-way"
_TEN_MINUTES = 600


def enter(request: HttpRequest, person: Staff, to: str) -> HttpResponse:
    """Let in somebody who gave the right password, or ask for the code first."""
    if request.user.is_authenticated:
        auth.logout(request)
    if not second_factor.is_asked(request, person):
        return _let_in(request, person, to)
    known = {"person": person.pk, "hash": person.get_session_auth_hash(), "to": to, "at": time.time()}
    request.session[_HALF_WAY] = known
    return redirect("log-in-code")


def _let_in(request: HttpRequest, person: Staff, to: str) -> HttpResponse:
    auth.login(request, person, backend=ORDINARY)
    response = redirect(to)
    known_browsers.remember(request, response, log_ins.plain(person.username))
    return response


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def code(request: HttpRequest) -> HttpResponse:
    """The second step; whoever took no first one lately begins there."""
    person = _half_way(request)
    if person is None:
        return redirect("login")
    form = CodeForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        try:
            said = second_factor.check(person, form.cleaned_data["code"])
        except second_factor.WrongCode as refused:
            form.add_error("code", str(refused))
        else:
            return _in(request, person, said, trust=form.cleaned_data["trust"])
    return render(request, "registration/code.html", {"form": form}, status=422 if form.is_bound else 200)


def _half_way(request: HttpRequest) -> Staff | None:
    """Who gave their password in this browser within ten minutes, and may still log in with it."""
    known = request.session.get(_HALF_WAY)
    if not known or not 0 <= time.time() - known["at"] <= _TEN_MINUTES:
        return None
    person = Staff.objects.filter(pk=known["person"], is_active=True).first()
    if person is None or not constant_time_compare(known["hash"], person.get_session_auth_hash()):
        return None
    return person


def _in(request: HttpRequest, person: Staff, said: str, *, trust: bool) -> HttpResponse:
    response = _let_in(request, person, request.session.pop(_HALF_WAY)["to"])
    if said:
        messages.warning(request, said)
    if trust:
        second_factor.trust(request, response, person)
    return response


@login_not_required
@require_safe
def switch(request: HttpRequest) -> HttpResponse:
    """Who takes the tablet over: everybody with a PIN, by name."""
    tablet = tablets.of(request)
    if tablet is None:
        return _by_password(request)
    found = [(pin.person, pins.is_locked(pin)) for pin in pins.people()]
    page = {"tablet": tablet, "people": found, "next": _next(request)}
    return render(request, "registration/switch.html", page)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def pin(request: HttpRequest, pk: int) -> HttpResponse:
    """One person's PIN. Only on a tablet that the owner enrolled is there such a page."""
    tablet = tablets.of(request)
    if tablet is None:
        return _by_password(request)
    found = get_object_or_404(pins.people(), person=pk)
    form = PinTryForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        try:
            if pins.fits(found, form.cleaned_data["pin"]):
                return _take_over(request, found.person, tablet)
            form.add_error("pin", gettext("That is not the PIN. Try again."))
        except pins.Locked as refused:
            form.add_error("pin", str(refused))
    page = {"form": form, "person": found.person, "locked": pins.is_locked(found), "next": _next(request)}
    return render(request, "registration/pin.html", page, status=422 if form.is_bound else 200)


def _take_over(request: HttpRequest, person: Staff, tablet: SharedTablet) -> HttpResponse:
    to = _next(request) or resolve_url("rack")
    if request.user.is_authenticated:
        auth.logout(request)
    come = PinBackend().get_user(person.pk)
    auth.login(request, come, backend=BY_PIN)
    sessions.begin(request, come, tablet)
    response = redirect(to)
    tablets.go_on(request, response)
    return response


def _by_password(request: HttpRequest) -> HttpResponse:
    """Here no PIN opens anything: whoever works on goes on, everybody else logs in."""
    return redirect("rack" if request.user.is_authenticated else "login")


def _next(request: HttpRequest) -> str:
    """Where somebody was, as long as it is a page of this shop."""
    to = request.POST.get("next") or request.GET.get("next") or ""
    secure = request.is_secure()
    return to if url_has_allowed_host_and_scheme(to, {request.get_host()}, require_https=secure) else ""
