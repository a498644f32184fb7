"""The whole shop as one archive: made while it works, fetched, and brought into an empty shop."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.office.forms.leaving import ArchiveForm
from shoprepair.office.views.lines import lines
from shoprepair.shop import journal
from shoprepair.shop.access import OWNER_ONLY, is_owner, owner_only
from shoprepair.shop.archive import bringing, keeping
from shoprepair.shop.archive.opening import ArchiveRefused
from shoprepair.shop.bodies import bounds_itself
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

SUBJECT = "archive"
SHOWN = 10
_DISK_FULL = gettext_lazy(
    "The shop's disk did not take the archive: it may be full. The last one is still there."
)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def archive(request: HttpRequest) -> HttpResponse:
    """The archive that was made last; a POST makes another."""
    if request.method != "POST":
        return _page(request)
    if refused := _make(request):
        return _page(request, refused, status=409)
    return redirect("archive")


def _page(request: HttpRequest, refused: str = "", status: int = 200) -> HttpResponse:
    newest = keeping.newest()
    page = {
        "newest": newest,
        "bytes": newest.size if newest else 0,
        "made_at": newest.made_at if newest else None,
        "busy": keeping.is_busy(),
        "refused": refused,
        "lines": lines(journal.entries(SUBJECT)[:SHOWN], lambda *_: []),
    }
    return render(request, "office/leaving/archive.html", page, status=status)


def _make(request: HttpRequest) -> str:
    """Why no archive was made; empty where one is there now."""
    try:
        made = keeping.make()
    except keeping.Busy as busy:
        return str(busy)
    except OSError:
        return _DISK_FULL
    journal.record(
        SUBJECT, "archive.made", gettext("An archive of the whole shop was made."), who=request.user
    )
    missing = (
        gettext(" %(missing)s photos were no longer on the disk.") % {"missing": made.missing}
        if made.missing
        else ""
    )
    messages.success(
        request,
        gettext("The archive is there: %(rows)s records and %(files)s files of photos.%(missing)s")
        % {"rows": made.rows, "files": made.files, "missing": missing},
    )
    return ""


@owner_only
@require_safe
def download(request: HttpRequest) -> HttpResponse | FileResponse:
    """The archive that was made last; where there is none, the page that makes one."""
    newest = keeping.newest()
    if newest is None:
        return _page(request)
    answer = FileResponse(newest.open(), as_attachment=True, content_type="application/zip")
    answer["Cache-Control"] = "no-store"
    return answer


def _owner_or_nobody_yet(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """The owner's page, and anybody's while nobody works here: like the page that makes the first owner."""

    @login_not_required
    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if Staff.objects.exists():
            if not request.user.is_authenticated:
                return redirect_to_login(request.get_full_path())
            if not is_owner(request.user):
                raise PermissionDenied(OWNER_ONLY)
        return view(request, *args, **kwargs)

    return guarded


@_owner_or_nobody_yet
@require_http_methods(["GET", "HEAD", "POST"])
@bounds_itself
def bring_in(request: HttpRequest) -> HttpResponse:
    """Bring an archive into this shop, if it is empty."""
    form = ArchiveForm(request.POST, request.FILES) if request.method == "POST" else ArchiveForm()
    if form.is_bound and form.is_valid() and (brought := _bring(form)):
        # Whoever was logged in was somebody of the shop that has just given way.
        logout(request)
        messages.success(
            request,
            gettext(
                "%(shop)s is here: %(rows)s records, %(files)s files of photos. Log in as "
                "%(username)s with the password you chose, then give your people theirs."
            )
            % {
                "shop": brought.shop,
                "rows": brought.rows,
                "files": brought.files,
                "username": brought.owner.username,
            },
        )
        return redirect("login")
    page = {"form": form, "obstacle": bringing.obstacle()}
    return render(request, "office/leaving/bring_in.html", page, status=422 if form.is_bound else 200)


def _bring(form: ArchiveForm) -> bringing.Brought | None:
    try:
        return bringing.bring_in(form.cleaned_data["file"].file, password=form.cleaned_data["password"])
    except ArchiveRefused as refused:
        form.add_error("file", str(refused))
        return None
