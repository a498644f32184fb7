"""A browser in words, so that somebody recognises their own log-ins."""

import re

from django.http import HttpRequest
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy

# In this order: many browsers name others before themselves.
_BROWSERS = (
    ("Edge", r"Edg(e|A|iOS)?/"),
    ("Opera", r"OPR/"),
    (gettext_lazy("Samsung browser"), r"SamsungBrowser/"),
    ("Firefox", r"(Firefox|FxiOS)/"),
    ("Chrome", r"(Chrome|CriOS|Chromium)/"),
    ("Safari", r"Safari/"),
)
_MACHINES = (
    ("iPad", r"iPad"),
    ("iPhone", r"iPhone"),
    (gettext_lazy("Android phone"), r"Android.*Mobile"),
    (gettext_lazy("Android tablet"), r"Android"),
    ("Windows", r"Windows"),
    ("Chromebook", r"CrOS"),
    ("Mac", r"Macintosh"),
    ("Linux", r"Linux"),
)
_LOOKED_AT = 400


def in_words(request: HttpRequest) -> str:
    """Such as "Firefox on Windows"; "a browser" where it does not say."""
    says = request.META.get("HTTP_USER_AGENT", "")[:_LOOKED_AT]
    browser, machine = _first(_BROWSERS, says), _first(_MACHINES, says)
    return (
        gettext("%(value)s on %(machine)s") % {"value": browser or "a browser", "machine": machine}
        if machine
        else browser or "a browser"
    )


def _first(names: tuple[tuple[str, str], ...], says: str) -> str:
    return next((name for name, pattern in names if re.search(pattern, says)), "")
