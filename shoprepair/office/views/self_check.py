"""The public self-check, from the owner's side: its settings, where it is reached, what it was asked."""

from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from shoprepair.office import asked
from shoprepair.office.forms.self_check import LABELS, SelfCheckForm
from shoprepair.office.views.refused import say_stale
from shoprepair.papers import leaflet as paper_leaflet
from shoprepair.papers.answer import pdf_response
from shoprepair.papers.marks import qr
from shoprepair.shop import changes
from shoprepair.shop.access import owner_only
from shoprepair.shop.models import Paper, Shop
from shoprepair.shop.settings import current

A_PAGE = 25
TABLE = "not-here"
LANGUAGES = dict(settings.LANGUAGES)
NEAR = ("localhost", "127.", "10.", "192.168.", "[::1]")
"""How addresses begin that only the shop's own network knows."""


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def self_check(request: HttpRequest) -> HttpResponse:
    """The settings with all that was asked; a POST saves, `table` gives the enquiries as CSV."""
    if request.GET.get("table") == TABLE:
        return _csv()
    shop = current()
    sent = request.POST if request.method == "POST" else None
    form = SelfCheckForm(shop, sent, initial={"seen": changes.newest(shop)})
    if sent is not None and form.is_valid() and _save(request, form):
        return redirect("office-self-check")
    today = timezone.localdate()
    pages = Paginator(asked.not_here(), A_PAGE)
    page = pages.get_page(request.GET.get("page"))
    shown = {
        "form": form,
        **_reached(request),
        **asked.questions(today),
        "standing": asked.standing(),
        "page": page,
        "rows": list(asked.rows(page.object_list, today)),
        "papers": _leaflets(shop),
    }
    return render(request, "office/self_check/page.html", shown, status=422 if sent is not None else 200)


@owner_only
@require_safe
def leaflet(request: HttpRequest) -> HttpResponse:
    """The leaflet for the counter as PDF, on the paper and in the language asked for, or the shop's own."""
    paper, language = request.GET.get("paper", ""), request.GET.get("language", "")
    content = paper_leaflet.render(
        paper=paper if paper in Paper.values else request.shop.paper,
        base_url=_base_url(request),
        language=language if language in LANGUAGES else request.shop.language,
    )
    return pdf_response(content, "self-check.pdf")


def _save(request: HttpRequest, form: SelfCheckForm) -> bool:
    try:
        changed = changes.change_shop(
            who=request.user, seen=form.cleaned_data["seen"], **form.fields_of_shop()
        )
    except changes.ChangedMeanwhile as refused:
        say_stale(form, str(refused), changes.newest(current()))
        return False
    names = ", ".join(LABELS[name] for name in changed)
    messages.success(
        request,
        gettext("Saved: %(names)s.") % {"names": names}
        if names
        else gettext("Nothing was different, so nothing was changed."),
    )
    return True


def _reached(request: HttpRequest) -> dict[str, Any]:
    """Where the self-check is found, and how it is put on another site."""
    address = _base_url(request).rstrip("/") + reverse("self-check")
    title = (gettext("Self-check of %(name)s") % {"name": request.shop.name}).replace('"', "”")
    return {
        "address": address,
        "code": mark_safe(qr(address)),  # noqa: S308 - drawn here
        "is_near": (urlsplit(address).hostname or "").startswith(NEAR),
        "snippet": f'<iframe src="{address}" title="{title}" width="100%" height="800"></iframe>',
    }


def _leaflets(shop: Shop) -> list[tuple[str, str, str]]:
    """Paper, language and its name of each leaflet, on the shop's own paper in its own language first."""
    languages = sorted(LANGUAGES.items(), key=lambda each: each[0] != shop.language)
    papers = sorted(Paper.values, key=lambda paper: paper != shop.paper)
    return [(paper, code, name) for code, name in languages for paper in papers]


def _base_url(request: HttpRequest) -> str:
    return request.shop.web_address or request.build_absolute_uri("/")


def _csv() -> HttpResponse:
    today = timezone.localdate()
    found = asked.as_table(asked.rows(asked.not_here().iterator(chunk_size=500), today))
    headers = {"Content-Disposition": f'attachment; filename="enquiries-not-here-{today:%Y-%m-%d}.csv"'}
    return HttpResponse(found.csv(), content_type="text/csv; charset=utf-8", headers=headers)
