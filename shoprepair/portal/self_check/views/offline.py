"""The self-check on the phone itself: the page that is kept there, and the worker that keeps it."""

import json
from collections import OrderedDict
from collections.abc import Iterator
from hashlib import sha256
from threading import Lock
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils import translation
from django.views.decorators.http import require_safe

from shoprepair.portal.self_check import kept, language, tree
from shoprepair.portal.self_check.page import open_page, surroundings
from shoprepair.shop import bundles
from shoprepair.shop.units import units_for

STYLES, SCRIPTS = ("self-check",), ("self-check-ruler", "self-check-offline")
OTHERS = ("fonts/atkinson-hyperlegible-next-latin-600-normal.woff2", "img/icon.svg")
WORKER = "js/self-check-worker.js"
MOST_KEPT = 8
_pages: OrderedDict[Any, str] = OrderedDict()
_writing = Lock()


@open_page
@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """Every question and every answer in one page, which tells of nobody."""
    return HttpResponse(_page(request))


@open_page
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker; another text as soon as anything that it keeps has changed."""
    about = {
        "version": _version(request),
        "check": reverse("self-check"),
        "offline": reverse("self-check-offline"),
        "enquiry": reverse("enquiry"),
        "files": files(),
    }
    text = f"self.selfCheck = {json.dumps(about)};\nimportScripts({json.dumps(static(WORKER))});\n"
    return HttpResponse(text, content_type="text/javascript", headers={"Cache-Control": "no-cache"})


def files() -> list[str]:
    """What the kept page looks like. Their names change with their content, so none grows stale."""
    together = [bundles.address("css", STYLES), bundles.address("js", SCRIPTS)]
    return [*together, *(static(name) for name in OTHERS)]


def forget() -> None:
    """Drop the pages written so far; they are written anew when asked for."""
    with _writing:
        _pages.clear()


def _version(request: HttpRequest) -> str:
    digest = sha256(static(WORKER).encode())
    for code in language.OFFERED:
        with translation.override(code):
            digest.update(_page(request).encode())
    return digest.hexdigest()[:16]


def _page(request: HttpRequest) -> str:
    """Written once for a language and the shop's figures, and kept: it is the same for all."""
    shop = request.shop  # type: ignore[attr-defined]
    about = (shop.name, shop.phone, units_for(None, shop), translation.get_language())
    of = (about, tree.key())
    with _writing:
        if of not in _pages:
            _pages[of] = _written(request)
        while len(_pages) > MOST_KEPT:
            _pages.popitem(last=False)
        return _pages[of]


def _languages() -> Iterator[language.Switch]:
    """Where the page stands in the end only its script knows."""
    names, read = dict(settings.LANGUAGES), translation.get_language()
    for code in language.OFFERED:
        yield language.Switch(code, names[code], f"?{language.PARAMETER}={code}", code == read)


def _written(request: HttpRequest) -> str:
    around = surroundings(request) | {"in_frame": False, "languages": list(_languages())}
    shown = kept.page(units_for(None, around["shop"]))
    return render_to_string("portal/self_check/offline.html", around | shown)
