"""A device in words, so that somebody recognises their own log-ins."""

import re

from django.http import HttpRequest

from shoprepair.shop.languages import gettext_lazy

_LOOKED_AT = 400
TABLET, PHONE = gettext_lazy("a tablet"), gettext_lazy("a phone")
COMPUTER, OTHER = gettext_lazy("a computer or tablet"), gettext_lazy("a browser")


def in_words(request: HttpRequest) -> str:
    """What kind of device asks, as far as its browser says: it names no maker, and neither does the shop.

    Kept in English, and said in the language of whoever looks at their log-ins.
    """
    says = request.META.get("HTTP_USER_AGENT", "")[:_LOOKED_AT]
    if re.search(r"\bTablet\b", says):
        return TABLET
    if request.headers.get("Sec-CH-UA-Mobile") == "?1" or re.search(r"\bMobile\b", says):
        return PHONE
    if re.search(r"X11|Intel|x64", says):
        return COMPUTER
    return OTHER
