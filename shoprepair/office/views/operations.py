"""One operation of the catalogue: its steps, minutes, materials and cover, with an example price beside."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from shoprepair.office.forms.decimals import ExactField
from shoprepair.office.forms.operations import LABELS, PASSES_ON, OperationForm, UsesForm, as_sent
from shoprepair.office.views.lines import Said, lines, shown
from shoprepair.office.views.once import made
from shoprepair.office.views.refused import say_stale
from shoprepair.pricing import learning, rules, typical
from shoprepair.pricing.catalogue_changes import (
    NameTaken,
    add_operation,
    change_operation,
    take_measured,
)
from shoprepair.pricing.estimate import count
from shoprepair.pricing.models import Operation
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal, undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.languages import gettext_lazy

JOURNAL_LENGTH = 20
YES = {True: gettext_lazy("yes"), False: gettext_lazy("no")}


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    form, uses = OperationForm(None, sent, initial={"key": uuid4().hex}), UsesForm(None, sent)
    if _is_try(request):
        return _page(request, None, form, uses)
    if (
        sent is not None
        and uses.is_valid()
        and (place := made(request, form, lambda: _add(request, form, uses)))
    ):
        return redirect(place)
    return _page(request, None, form, uses)


def _add(request: HttpRequest, form: OperationForm, uses: UsesForm) -> str:
    operation = add_operation(who=request.user, uses=uses.uses(), **form.fields_of_operation())
    messages.success(request, gettext("%(operation)s is in the catalogue.") % {"operation": operation})
    return reverse("catalogue")


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """A POST saves; with `try` it only shows what the example would cost."""
    operation = get_object_or_404(Operation, pk=pk)
    sent = request.POST if request.method == "POST" else None
    form, uses = OperationForm(operation, sent), UsesForm(operation, sent)
    if sent is None or _is_try(request):
        return _page(request, operation, form, uses)
    if all([form.is_valid(), uses.is_valid()]) and _save(request, operation, form, uses):
        return redirect("operation", pk=pk)
    return _page(request, operation, form, uses)


def _is_try(request: HttpRequest) -> bool:
    return request.method == "POST" and "try" in request.POST


def _save(request: HttpRequest, operation: Operation, form: OperationForm, uses: UsesForm) -> bool:
    before, version = as_sent(operation), form.cleaned_data["version"]
    try:
        changed = change_operation(
            operation,
            who=request.user,
            version=version,
            uses=uses.uses(),
            does=form.cleaned_data["does"],
            **form.fields_of_operation(),
        )
    except NameTaken as refused:
        form.add_error("name", str(refused))
        return False
    except Stale as refused:
        sentence = gettext("%(refused)s Save again to set it as you typed it.") % {"refused": refused}
        say_stale(form, sentence, refused.record.version, field="version")
        return False
    except ValidationError as refused:
        form.add_error(None, refused)
        return False
    _tell(request, operation, changed, before | {"version": version + 1})
    return True


def _tell(
    request: HttpRequest, operation: Operation, changed: dict[str, Any], before: dict[str, Any]
) -> None:
    """Say what was saved, with the way back to the operation as it was."""
    if not changed:
        messages.success(request, gettext("Nothing was different, so nothing was changed."))
        return
    words = gettext("Saved: %(join)s.") % {"join": ", ".join(str(LABELS[name]) for name in changed)}
    undoing.tell(request, words, reverse("operation", args=[operation.pk]), **before)


@owner_only
@require_POST
def take_minutes(request: HttpRequest, pk: int) -> HttpResponse:
    """Take what the bench needed as the catalogue's minutes."""
    operation = get_object_or_404(Operation, pk=pk)
    sent = request.POST.get("version", "")
    version = int(sent) if sent.isascii() and sent.isdecimal() and len(sent) < 10 else 0
    before = as_sent(operation)
    try:
        changed = take_measured(operation, who=request.user, version=version)
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    except ValueError as refused:
        messages.error(request, str(refused))
    else:
        _tell(request, operation, changed, before | {"version": version + 1})
    return redirect("operation", pk=pk)


def _page(
    request: HttpRequest, operation: Operation | None, form: OperationForm, uses: UsesForm
) -> HttpResponse:
    page = {
        "form": form,
        "uses": uses,
        "operation": operation,
        "example": _example(operation, form, uses, request.shop.currency),
        "hourly_rate": rules.current().hourly_rate,
        "learned": learning.learned(operation) if operation and operation.measured.exists() else None,
        "lines": lines(journal.entries(operation)[:JOURNAL_LENGTH], say_change) if operation else [],
    }
    if _is_try(request) and getattr(request, "htmx", False):
        return render(request, "office/operation_example.html", page)
    refused = form.is_bound and not _is_try(request)
    return render(request, "office/operation.html", page, status=422 if refused else 200)


def _example(
    operation: Operation | None, form: OperationForm, uses: UsesForm, currency: str
) -> typical.Typical | None:
    """The typical case by what stands in the form; None while that cannot be read."""
    if not form.is_bound:
        return typical.case(operation, rules.current(), currency=currency) if operation else None
    if not all([form.is_valid(), uses.is_valid()]):
        return None
    typed = Operation(code=operation.code if operation else "", **form.fields_of_operation())
    return typical.case(typed, rules.current(), uses.uses(), currency=currency)


def say_change(name: str, before: Any, after: Any) -> list[Said]:
    """A change of an operation as it reads."""
    return [(LABELS.get(name, name), _value(name, before), _value(name, after))]


def _value(name: str, value: Any) -> str:
    if name == "cover_months":
        return (
            gettext("for the life of the gear")
            if value is None
            else gettext("%(value)s months") % {"value": value}
            if value
            else gettext("no cover")
        )
    field = OperationForm.base_fields.get(name)
    if isinstance(field, ExactField):
        return f"{count(Decimal(str(value)))} {gettext(str(field.unit))}"
    if name == "cover_passes_on":
        return str(PASSES_ON[value])
    if isinstance(value, bool):
        return str(YES[value])
    if isinstance(value, list):
        return "\n".join(value) or gettext("none")
    if name == "area":
        return str(dict(Operation.Area.choices).get(value, value))
    return shown(value)
