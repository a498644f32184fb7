"""The lines of a quote that is being written: changed in their place, added, removed and put back."""

from decimal import Decimal
from typing import Any

from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from shoprepair.counter.forms.quotes import ExtraForm, FromCatalogueForm
from shoprepair.counter.quote import WITH, catalogue_items, line_form
from shoprepair.counter.views.quote_step import carry_out, draft_of, gone, page
from shoprepair.jobs.models import Job
from shoprepair.pricing import extras, quotes, rules
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import Material, Operation, Quote, QuoteLine
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff

PUT_BACK = "a removed line of a quote"
FIGURES = ("minutes", "cost", "amount")
LINE_KEPT = (
    *("kind", "text", "detail", "optional", "choice", "taken"),
    *("repair_id", "operation_code", "damages"),
)
GONE = gettext_lazy("That line is no longer on this quote.")


@require_http_methods(["GET", "HEAD", "POST"])
@vary_on_headers("HX-Request")
def line(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """One line of the draft, opened for changing in its place."""
    job, draft = draft_of(number)
    found = _line(draft, pk)
    if draft is None or found is None:
        return gone(request, job, GONE)
    form = line_form(draft, found, request.POST if request.method == "POST" else None)
    shown = {"editing": form, "line_id": found.pk}
    if request.method != "POST":
        return page(request, job, draft, **shown)

    def act(version: int) -> str:
        said = {name: value for name, value in form.cleaned_data.items() if value is not None}
        if said["choice"].startswith(WITH):
            said["choice"] = _paired(draft, said["choice"], request.user, version)
            version = draft.version
        if not (said["optional"] or said["choice"]):
            said.pop("taken")
        quotes.change_line(draft, found, who=request.user, version=version, **said)
        return gettext("“%(said)s” is kept.") % {"said": said["text"]}

    return carry_out(request, job, draft, act, form, **shown)


@require_POST
@vary_on_headers("HX-Request")
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Add a line: in the shop's words, from the catalogue, or one that was just removed."""
    job, draft = draft_of(number)
    if draft is None:
        return gone(request, job, gettext("There is no draft to add to."))
    if token := request.POST.get("removed", ""):
        return _put_back(request, job, draft, token)
    own = request.POST.get("from") != "catalogue"
    form: ExtraForm | FromCatalogueForm = (
        ExtraForm(request.POST, currency=draft.currency, prefix="own")
        if own
        else FromCatalogueForm(request.POST, currency=draft.currency, prefix="cat", items=catalogue_items())
    )

    def act(version: int) -> str:
        said = form.cleaned_data
        fields = _own_line(said) if own else _of(_priced(said), optional=said["optional"])
        added = quotes.add_line(draft, who=request.user, version=version, **fields)
        return gettext("“%(text)s” is added.") % {"text": added.text}

    return carry_out(request, job, draft, act, form, **{"extra" if own else "from_catalogue": form})


@require_POST
@vary_on_headers("HX-Request")
def remove(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take a line off; the page offers it back."""
    job, draft = draft_of(number)
    found = _line(draft, pk)
    if draft is None or found is None:
        return gone(request, job, GONE)
    figures = {name: str(getattr(found, name)) for name in FIGURES}
    kept = {"job": job.number, **{name: getattr(found, name) for name in LINE_KEPT}, **figures}
    token = signing.dumps(kept, salt=PUT_BACK)

    def act(version: int) -> str:
        quotes.remove_line(draft, found, who=request.user, version=version)
        return gettext("“%(kept)s” is removed.") % {"kept": kept["text"]}

    return carry_out(request, job, draft, act, removed=token, removed_text=found.text)


def _line(draft: Quote | None, pk: int) -> QuoteLine | None:
    return draft.lines.filter(pk=pk).first() if draft and pk < 2**62 else None


def _paired(draft: Quote, answer: str, who: Staff, version: int) -> str:
    """Make a line that stood alone one of a choice; answers the choice's word."""
    other = draft.lines.filter(pk=int(answer.removeprefix(WITH))).first()
    if other is None:
        raise quotes.NoSuchLine
    word = f"choice {other.pk}"
    quotes.change_line(draft, other, who=who, version=version, choice=word)
    return word


def _own_line(said: dict[str, Any]) -> dict[str, Any]:
    fields = {name: said[name] for name in ("text", "amount", "optional")}
    return fields | ({"minutes": said["minutes"]} if said["minutes"] is not None else {})


def _priced(said: dict[str, Any]) -> Line:
    kind, _, code = said["item"].partition(":")
    quantity = said["quantity"] or extras.ONE
    if kind == "part":
        return extras.of_material(Material.objects.get(code=code), quantity)
    return extras.of_operation(Operation.objects.get(code=code), rules.current(), quantity)


def _of(made: Line, *, optional: bool) -> dict[str, Any]:
    names = ("kind", "text", "detail", "minutes", "cost", "amount")
    return {name: getattr(made, name) for name in names} | {"optional": optional}


def _put_back(request: HttpRequest, job: Job, draft: Quote, token: str) -> HttpResponse:
    try:
        kept = signing.loads(token, salt=PUT_BACK)
    except signing.BadSignature:
        return gone(request, job, gettext("That line cannot be put back. Write it again."))
    if kept.pop("job") != job.number:
        return gone(request, job, gettext("That line belongs to another job."))

    def act(version: int) -> str:
        fields = kept | {name: Decimal(kept[name]) for name in FIGURES}
        quotes.add_line(draft, who=request.user, version=version, **fields)
        return gettext("“%(kept)s” is back.") % {"kept": kept["text"]}

    return carry_out(request, job, draft, act)
