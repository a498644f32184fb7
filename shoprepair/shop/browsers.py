"""A device in words, so that somebody recognises their own log-ins."""

import re

from django.http import HttpRequest
from django.utils.translation import gettext

_LOOKED_AT = 400


def in_words(request: HttpRequest) -> str:
    """What kind of device asks, as far as its browser says: it names no maker, and neither does the shop."""
    says = request.META.get("HTTP_USER_AGENT", "")[:_LOOKED_AT]
    if re.search(r"\bTablet\b", says):
        return gettext("a tablet")
    if request.headers.get("Sec-CH-UA-Mobile") == "?1" or re.search(r"\bMobile\b", says):
        return gettext("a phone")
    if re.search(r"X11|Intel|x64", says):
        return gettext("a computer or tablet")
    return gettext("a browser")
