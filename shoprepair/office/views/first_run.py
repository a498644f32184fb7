"""A shop that has no owner yet: its name and its first owner, once; afterwards there is no such page."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import translation
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.gear import library
from shoprepair.office.forms.people import FirstRunForm
from shoprepair.pricing import catalogue
from shoprepair.shop import people
from shoprepair.shop.languages import active
from shoprepair.shop.who import ORDINARY


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    if people.has_owner():
        raise Http404(gettext("This shop has its owner."))
    # Nobody has chosen yet; the browser says what its person reads.
    translation.activate(translation.get_language_from_request(request))
    sent = request.POST if request.method == "POST" else None
    form = FirstRunForm(sent, initial={"language": active()})
    if form.is_bound and form.is_valid():
        return _begin(request, form)
    return render(request, "office/first_run.html", {"form": form}, status=422 if form.is_bound else 200)


def _begin(request: HttpRequest, form: FirstRunForm) -> HttpResponse:
    asked = ("shop_name", "name", "username", "password")
    fields = {name: form.cleaned_data[name] for name in asked}
    try:
        owner = people.first_owner(**fields, language=form.cleaned_data["language"] or active())
    except people.OwnerExists as refused:
        raise Http404(str(refused)) from refused
    library.load()
    catalogue.load()
    login(request, owner, backend=ORDINARY)
    translation.activate(form.cleaned_data["language"] or active())
    messages.success(request, gettext("The shop is yours. Five short steps, and the first gear can come in."))
    return redirect("set-up-shop")


def or_first_run(log_in: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Wrap the log-in page: while nobody owns the shop there is nobody to log in, only a shop to begin."""

    # Whoever is in already is led on, but not by a method that means something else.
    @require_http_methods(["GET", "HEAD", "POST"])
    @wraps(log_in)
    def page(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        return log_in(request, *args, **kwargs) if people.has_owner() else redirect("first-run")

    return page
