"""While the line is gone: the page that a device shows in place of any other, and what keeps it there."""

import json
import re
from hashlib import sha256

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils import translation
from django.views.decorators.http import require_safe

from shoprepair.counter.views.taken_down import form_words

WORKER = "js/line-worker.js"
OTHERS = ("/s/", "/c/", "/o/", "/self-check/", "/alive/", "/ready/", "/static/")
"""Pages of customers and of whoever watches the server: for them the line is their own affair."""
LASTING = rf"^(?:{re.escape(settings.STATIC_URL)}.*\.[0-9a-f]{{12,16}}\.[a-z0-9]+|/drawings/.*\.svg)$"
"""Addresses that change with what they hold: files of the program, and drawings of patterns."""
LANGUAGE = "lang"


@login_not_required
@require_safe
def page(request: HttpRequest) -> HttpResponse:
    """What still works without a line. It is the same for everybody, and tells of nobody."""
    asked = request.GET.get(LANGUAGE, "")
    language = asked if asked in dict(settings.LANGUAGES) else translation.get_language()
    language = language or settings.LANGUAGE_CODE
    return HttpResponse(_page(request, language), headers={"Content-Language": language})


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker; another text as soon as the page that it keeps has changed."""
    about = {
        "version": _version(request),
        "shell": reverse("without-line"),
        "files": [static("img/icon.svg"), static("fonts/atkinson-hyperlegible-next-latin-600-normal.woff2")],
        "others": OTHERS,
        "lasting": LASTING,
    }
    text = f"self.line = {json.dumps(about)};\nimportScripts({json.dumps(static(WORKER))});\n"
    return HttpResponse(text, content_type="text/javascript", headers={"Cache-Control": "no-cache"})


def _version(request: HttpRequest) -> str:
    digest = sha256(static(WORKER).encode())
    for code, _name in settings.LANGUAGES:
        digest.update(_page(request, code).encode())
    return digest.hexdigest()[:16]


def _page(request: HttpRequest, language: str) -> str:
    with translation.override(language):
        known = {"shop": request.shop, "own": reverse("without-line")}  # type: ignore[attr-defined]
        return render_to_string("without_line.html", known | form_words())
