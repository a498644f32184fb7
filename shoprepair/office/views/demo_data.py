"""The demo data: what removing it takes away, and bringing it back."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.office.demo import bringing_back, removing
from shoprepair.office.forms.demo_data import BackForm, RemoveForm
from shoprepair.shop import sessions
from shoprepair.shop.access import owner_only
from shoprepair.shop.backup.layout import BackupTrouble


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def remove(request: HttpRequest) -> HttpResponse:
    """What goes and what stays; a POST with the password takes it away, a backup first."""
    if not removing.is_offered():
        return _none(request)
    form = RemoveForm(request.user, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid() and _remove(request, form):
        return redirect("set-up")
    page = {"form": form, "going": removing.going(), "days": removing.KEPT_FOR.days}
    return render(request, "office/leaving/demo.html", page, status=422 if form.is_bound else 200)


def _remove(request: HttpRequest, form: RemoveForm) -> bool:
    kept = {name: form.cleaned_data[name] for name in ("keep_people", "keep_patterns", "keep_catalogue")}
    password = form.cleaned_data.get("new_password", "")
    try:
        removing.remove(**kept, who=request.user, password=password)
    except (BackupTrouble, removing.NotTheDemo) as refused:
        form.add_error(None, str(refused))
        return False
    if password:
        update_session_auth_hash(request, request.user)
        sessions.begin(request, request.user)
        messages.success(
            request, gettext("The demo data is gone, and your new password counts. Now set the shop up.")
        )
    else:
        messages.success(request, gettext("The demo data is gone. Now set the shop up."))
    return True


def _none(request: HttpRequest) -> HttpResponse:
    """Nothing to remove, or nothing to bring back: said calmly, with the way back."""
    page = {"to_remove": removing.is_offered(), "to_bring_back": removing.to_bring_back()}
    return render(request, "office/leaving/demo_none.html", page, status=404)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def bring_back(request: HttpRequest) -> HttpResponse:
    """Undoes the removal while nothing has come in since; else says the command that brings it elsewhere."""
    found = removing.to_bring_back()
    if found is None:
        return _none(request)
    form = BackForm(request.user, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        try:
            bringing_back.bring_back()
        except BackupTrouble as refused:
            form.add_error(None, str(refused))
        else:
            return redirect("login")
    page = {
        "form": form,
        "found": found,
        "obstacle": bringing_back.obstacle(),
        "command": bringing_back.command(),
    }
    return render(request, "office/leaving/demo_back.html", page, status=422 if form.is_bound else 200)
