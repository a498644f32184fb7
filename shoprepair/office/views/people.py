"""The people of the shop: who they are, what they work as, who may still log in."""

from uuid import uuid4

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shoprepair.office.forms.people import AddForm, ChangeForm, PasswordForm
from shoprepair.office.views.lines import Said, lines
from shoprepair.office.views.once import made
from shoprepair.shop import journal, people, second_factor, sessions, undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Pin, Staff


@owner_only
@require_safe
def everyone(request: HttpRequest) -> HttpResponse:
    """Everybody who may log in, then those who may no longer."""
    staff = Staff.objects.order_by("-is_active", "first_name", "username")
    return render(request, "office/people.html", {"staff": staff})


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    form = AddForm(sent, initial={"key": uuid4().hex, "role": Staff.Role.COUNTER})
    if form.is_bound and (place := made(request, form, lambda: _add(request, form), name_field="username")):
        return redirect(place)
    status = 422 if form.is_bound else 200
    return render(request, "office/person_add.html", {"form": form}, status=status)


def _add(request: HttpRequest, form: AddForm) -> str:
    fields = {name: form.cleaned_data[name] for name in ("name", "username", "role", "password")}
    person = people.add(**fields, who=request.user)
    messages.success(
        request,
        gettext("%(person)s can log in now as %(username)s.")
        % {"person": person, "username": person.username},
    )
    return reverse("people")


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """One person's account; a POST changes name and role."""
    person = get_object_or_404(Staff, pk=pk)
    form = ChangeForm(person, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid() and _change(request, person, form):
        # Whoever has just stopped being an owner may not see this page any more.
        return redirect("rack" if person == request.user and not person.is_owner else "people")
    return _page(request, person, form=form)


def _change(request: HttpRequest, person: Staff, form: ChangeForm) -> bool:
    try:
        changed = people.change(person, **form.cleaned_data, who=request.user)
    except people.LastOwner as refused:
        form.add_error("role", str(refused))
        return False
    messages.success(
        request,
        gettext("Saved: %(person)s works as %(lower)s.")
        % {"person": person, "lower": in_a_sentence(person.get_role_display())}
        if changed
        else gettext("Nothing was different."),
    )
    return True


@owner_only
@require_POST
def password(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Staff, pk=pk)
    form = PasswordForm(person, request.POST)
    if not form.is_valid():
        return _page(request, person, password_form=form)
    people.set_password(person, form.cleaned_data["password"], who=request.user)
    if person == request.user:
        update_session_auth_hash(request, person)
        sessions.begin(request, request.user)
    messages.success(
        request,
        gettext("%(person)s has a new password. Log-ins with the old one have ended.") % {"person": person},
    )
    return redirect("people")


@owner_only
@require_POST
def disable(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Staff, pk=pk)
    try:
        people.disable(person, who=request.user)
    except people.LastOwner as refused:
        return _page(request, person, refused=str(refused))
    undoing.tell(
        request,
        gettext("%(person)s may no longer log in, and is out with the next tap.") % {"person": person},
        reverse("person-enable", args=[pk]),
    )
    return redirect("people")


@owner_only
@require_POST
def enable(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Staff, pk=pk)
    people.enable(person, who=request.user)
    messages.success(
        request, gettext("%(person)s may log in again, with the password from before.") % {"person": person}
    )
    return redirect("people")


def _page(
    request: HttpRequest,
    person: Staff,
    *,
    form: ChangeForm | None = None,
    password_form: PasswordForm | None = None,
    refused: str = "",
) -> HttpResponse:
    form = form or ChangeForm(person)
    password_form = password_form or PasswordForm(person)
    faulty = refused or form.errors or password_form.errors
    page = {
        "person": person,
        "form": form,
        "password_form": password_form,
        "refused": refused,
        "last_owner": people.is_last_owner(person),
        "log_ins": sessions.of(person),
        "here": request.session.session_key,
        "has_factor": second_factor.is_set_up(person),
        "has_pin": Pin.objects.filter(person=person).exists(),
        "lines": lines(journal.entries(person)[:20], _say),
    }
    return render(request, "office/person.html", page, status=422 if faulty else 200)


def _say(name: str, before: str, after: str) -> list[Said]:
    roles = dict(Staff.Role.choices)
    return [
        (
            gettext("Works as") if name == "role" else gettext("Name"),
            roles.get(before, before),
            roles.get(after, after),
        )
    ]
