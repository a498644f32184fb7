"""How somebody logs in themselves: where they are logged in, their PIN, their second factor."""

from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shoprepair.office.forms.log_in import ConfirmForm, PinForm, WithOwnPassword
from shoprepair.shop import pins, second_factor, sessions
from shoprepair.shop.models import LogIn, Pin


@require_safe
def mine(request: HttpRequest) -> HttpResponse:
    """Everything by which this person gets in."""
    return _page(request)


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """End one log-in of one's own."""
    return _ended(request, _others(request).filter(pk=pk))


@require_POST
def end_others(request: HttpRequest) -> HttpResponse:
    """End all log-ins of one's own but this one."""
    return _ended(request, _others(request))


def _others(request: HttpRequest) -> QuerySet[LogIn]:
    """Where this person is logged in besides; here they log out."""
    return sessions.of(request.user).exclude(session_key=request.session.session_key)


def _ended(request: HttpRequest, log_ins: QuerySet[LogIn]) -> HttpResponse:
    many = sessions.end(log_ins, request.user, who=request.user)
    messages.success(
        request, gettext("It is out with its next tap.") if many else gettext("There was none left to end.")
    )
    return redirect("my-log-in")


@require_POST
def pin(request: HttpRequest) -> HttpResponse:
    """Choose a PIN, in place of any before."""
    form = PinForm(request.user, request.POST)
    if not form.is_valid():
        return _page(request, pin_form=form)
    pins.give(request.user, form.cleaned_data["pin"], who=request.user)
    messages.success(request, gettext("Your PIN works now, on the tablets that the owner enrolled."))
    return redirect("my-log-in")


@require_POST
def forget_pin(request: HttpRequest) -> HttpResponse:
    pins.forget(request.user, who=request.user)
    messages.success(request, gettext("You have no PIN any more. Your password works as ever."))
    return redirect("my-log-in")


@require_http_methods(["GET", "HEAD", "POST"])
def factor(request: HttpRequest) -> HttpResponse:
    """Setting up the second factor: the square to scan, then the first code, then the codes to write down."""
    person, posted = request.user, request.method == "POST"
    form = ConfirmForm(person, request.POST if posted else None)
    if posted and form.is_valid():
        try:
            return _written(request, second_factor.confirm(person, form.cleaned_data["code"]))
        except ValueError as refused:
            form.add_error("code", str(refused))
    phone = second_factor.begun(person)
    page: dict[str, Any] = {"form": form, "is_set_up": second_factor.is_set_up(person)}
    if phone:
        page |= {
            "square": second_factor.square(phone, request.shop.name),
            "secret": second_factor.secret(phone),
        }
    return render(request, "office/my/second_factor.html", page, status=422 if posted else 200)


@require_POST
def begin_factor(request: HttpRequest) -> HttpResponse:
    second_factor.begin(request.user)
    return redirect("my-second-factor")


@require_POST
def new_codes(request: HttpRequest) -> HttpResponse:
    """Ten new codes in place of those before."""
    form = WithOwnPassword(request.user, request.POST)
    if not form.is_valid() or not second_factor.is_set_up(request.user):
        return _page(request, factor_form=form)
    return _written(request, second_factor.new_codes(request.user))


@require_POST
def remove_factor(request: HttpRequest) -> HttpResponse:
    form = WithOwnPassword(request.user, request.POST)
    if not form.is_valid():
        return _page(request, factor_form=form)
    second_factor.remove(request.user, who=request.user)
    messages.success(request, gettext("From now on your password alone lets you in."))
    return redirect("my-log-in")


@require_POST
def later(request: HttpRequest) -> HttpResponse:
    """Be reminded of the second factor in a week."""
    response = redirect("office")
    second_factor.put_off(response, request.user)
    return response


def _written(request: HttpRequest, codes: list[str]) -> HttpResponse:
    return render(request, "office/my/codes.html", {"codes": codes})


def _page(
    request: HttpRequest, *, pin_form: PinForm | None = None, factor_form: WithOwnPassword | None = None
) -> HttpResponse:
    person = request.user
    page = {
        "log_ins": sessions.of(person),
        "here": request.session.session_key,
        "pin": Pin.objects.filter(person=person).first(),
        "pin_form": pin_form or PinForm(person, auto_id="pin_%s"),
        "most_wrong": pins.MOST_WRONG,
        "is_set_up": second_factor.is_set_up(person),
        "codes_left": second_factor.codes_left(person),
        "factor_form": factor_form or WithOwnPassword(person, auto_id="factor_%s"),
    }
    return render(request, "office/my/log_in.html", page, status=422 if pin_form or factor_form else 200)
