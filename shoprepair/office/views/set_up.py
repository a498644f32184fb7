"""Setting a new shop up: five short steps, each skipped or come back to as one likes."""

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Job
from shoprepair.office.first_steps import CODES, after, first_steps, is_new, mark_done, next_open
from shoprepair.office.forms.crew import CrewForm
from shoprepair.office.forms.set_up import PlaceForm, RateForm, TagForm
from shoprepair.office.views.refused import say_refused, say_stale
from shoprepair.office.views.set_up_examples import examples
from shoprepair.papers import bag_tag
from shoprepair.papers.answer import pdf_response
from shoprepair.pricing import catalogue, rules, starting
from shoprepair.pricing.models import Material, Operation
from shoprepair.pricing.stale import Stale
from shoprepair.shop import changes, countries, people, submissions
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import Shop, Staff, TagPaper
from shoprepair.shop.settings import current

READ_OR_SEND = ["GET", "HEAD", "POST"]


@owner_only
@require_safe
def overview(request: HttpRequest) -> HttpResponse:
    """Which steps are done; at the end the way to the first check-in."""
    steps = first_steps(request.shop)
    page = {"steps": steps, "next": next_open(steps), "any_job": Job.objects.exists()}
    return render(request, "office/set_up/overview.html", page)


@owner_only
@require_http_methods(READ_OR_SEND)
def place(request: HttpRequest) -> HttpResponse:
    """Where the shop is; with `fill` what is usual in the chosen country is filled in, and nothing kept."""
    shop = current()
    sent = request.POST if request.method == "POST" else None
    is_fill = sent is not None and "fill" in sent
    is_guess = sent is None and is_new(shop)
    country = _country(request, shop, is_guess)
    seen = {"seen": changes.newest(shop)}
    if sent is None or is_fill:
        usual = countries.usual(country) if country and (is_fill or is_guess) else None
        form = PlaceForm(shop, usual, initial=seen | PlaceForm.typed(sent or {}))
    else:
        form = PlaceForm(shop, None, sent, initial=seen)
        if form.is_valid() and _keep_place(request, form):
            return _on(request, "shop")
    more = {"country": country, "countries": countries.names(), "guessed": is_guess, "tried": is_fill}
    return step_page(request, "shop", form, more)


def _country(request: HttpRequest, shop: Shop, is_guess: bool) -> str:
    """The country chosen; that of the browser's language for a new shop, else that of the shop's clock."""
    asked = request.POST.get("country", "")[:2]
    if asked in countries.codes():
        return asked
    if request.method == "POST":
        return ""
    accepted = request.headers.get("Accept-Language", "")
    return countries.guess(accepted) if is_guess else countries.of_zone(shop.time_zone)


def _keep_place(request: HttpRequest, form: PlaceForm) -> bool:
    try:
        changes.change_shop(who=request.user, seen=form.cleaned_data["seen"], **form.settings())
    except changes.ChangedMeanwhile as refused:
        say_stale(form, str(refused), changes.newest(current()))
        return False
    return True


@owner_only
@require_http_methods(READ_OR_SEND)
def prices(request: HttpRequest) -> HttpResponse:
    """One hourly rate for a catalogue that is ready-made; with `try` only the examples are reckoned anew."""
    currency = request.shop.currency
    stored, proposed = rules.current(), starting.proposed(currency)
    begun = starting.is_begun(stored)
    sent = request.POST if request.method == "POST" else None
    form = RateForm(stored, None if begun else proposed, currency, sent)
    is_try = sent is not None and "try" in sent
    if sent is not None and form.is_valid() and not is_try and _keep_prices(request, form):
        return _on(request, "prices")
    more = {
        "proposed": proposed,
        "begun": begun,
        "operations": Operation.objects.filter(active=True).count() or catalogue.missing(),
        "materials": Material.objects.filter(active=True).count(),
        "examples": examples(stored, form, None if begun else proposed, currency),
        "tried": is_try,
    }
    if is_try and getattr(request, "htmx", False):
        return render(request, "office/set_up/examples.html", more)
    return step_page(request, "prices", form, more)


def _keep_prices(request: HttpRequest, form: RateForm) -> bool:
    version = form.cleaned_data["version"]
    try:
        starting.begin(**form.figures(), currency=request.shop.currency, version=version, who=request.user)
    except (Stale, ValidationError) as refused:
        say_refused(form, refused)
        return False
    return True


@owner_only
@require_http_methods(READ_OR_SEND)
def crew(request: HttpRequest) -> HttpResponse:
    """The first people, a row each. A password that is proposed stands there to be told and written down."""
    sent = request.POST if request.method == "POST" else None
    form = CrewForm(request.shop.name, sent)
    if sent is not None and (place := _let_in(request, form)):
        return redirect(place)
    staff = Staff.objects.filter(is_active=True).order_by("pk")
    return step_page(request, "people", form, {"staff": staff, "key": request.POST.get("key") or uuid4().hex})


class _Refused(ValueError):
    """The form carries what is wrong with it; its key stays free."""


def _let_in(request: HttpRequest, form: CrewForm) -> str:
    """Where it goes on when all are in; empty when a row cannot be taken. Sent twice, they come in once."""

    def add_all() -> str:
        if not form.is_valid():
            raise _Refused
        said = [_add(member, request.user) for member in form.members()]
        mark_done("people", request.shop, who=request.user)
        if said:
            messages.success(request, gettext("Can log in now: %(who)s.") % {"who": ", ".join(said)})
        return after("people")

    try:
        return submissions.once(request.POST.get("key", ""), request.user, add_all)
    except _Refused:
        return ""
    except people.NameTaken as refused:
        form.rows[0].add_error(None, str(refused))
        form.errors = True
        return ""


def _add(member: dict[str, str], who: Any) -> str:
    fields = {name: member[name] for name in ("name", "username", "role", "password")}
    person = people.add(**fields, who=who)
    return gettext("%(person)s as %(username)s") % {"person": person, "username": person.username}


@owner_only
@require_http_methods(READ_OR_SEND)
def tag(request: HttpRequest) -> HttpResponse:
    """What tags are printed on, and one for trial."""
    shop = current()
    sent = request.POST if request.method == "POST" else None
    form = TagForm(sent, initial={"tag_paper": shop.tag_paper})
    if sent is not None and form.is_valid():
        chosen = form.cleaned_data["tag_paper"]
        changes.change_shop(who=request.user, seen=changes.newest(shop), tag_paper=chosen)
        return _on(request, "tag")
    return step_page(request, "tag", form, {})


@owner_only
@require_safe
@cache_control(private=True, no_store=True)
def trial(request: HttpRequest) -> HttpResponse:
    """The trial tag as PDF, on the paper that is chosen on the page, saved or not."""
    asked = request.GET.get("tag_paper", "")
    paper = asked if asked in TagPaper.values else request.shop.tag_paper
    pattern = Pattern.objects.filter(everyday="").order_by("measured_here", "pk").first()
    if pattern is None:
        return redirect("set-up-pattern")
    base_url = request.shop.web_address or request.build_absolute_uri("/")
    return pdf_response(bag_tag.render_trial(pattern, paper=paper, base_url=base_url), "bag-tag-trial.pdf")


def step_page(request: HttpRequest, code: str, form: Any, more: dict[str, Any]) -> HttpResponse:
    """A step with its place in the row of five."""
    steps = first_steps(request.shop)
    page = {"steps": steps, "here": code, "number": CODES.index(code) + 1, "skip": after(code), "form": form}
    refused = request.method == "POST" and not more.get("tried")
    return render(request, f"office/set_up/{code}.html", page | more, status=422 if refused else 200)


def _on(request: HttpRequest, code: str) -> HttpResponse:
    mark_done(code, request.shop, who=request.user)
    return redirect(after(code))
