"""The shop as an app on a tablet: what it is called there, where it begins, what it looks like.

The manifest is read before anybody logs in, so it holds nothing but the shop's name, which the log-in shows
too. Its start is the same for everybody, since one tablet is used by several: `start` leads on.

There are no pictures of its own for the moment of starting. Most devices draw one from the icon and the
ground named here. Some would want one for each size of screen, forty files that every new device puts out
of date, for a second in which they show an empty ground otherwise.
"""

from typing import Any

from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import get_language_bidi, gettext

from shoprepair.shop.languages import active
from shoprepair.shop.models import Shop, Staff

CLOTH, BAR = "#f2eee1", "#15252b"
"""`--cloth` and `--bar` of `static/css/tokens.css`."""
ICONS = {
    "any-192": (192, "any"),
    "any-512": (512, "any"),
    "maskable-192": (192, "maskable"),
    "maskable-512": (512, "maskable"),
    "monochrome-512": (512, "monochrome"),
}
"""Files of `static/img/app`, made by `make icons`: their size, and what each is for."""
LONGEST_BENEATH = 12
"""Letters that a device shows beneath an icon before it cuts them off."""


def manifest(shop: Shop) -> dict[str, Any]:
    """What a device keeps of the shop that is installed on it [Web Application Manifest, W3C]."""
    return {
        "id": "/",
        "name": shop.name,
        "short_name": short_name(shop.name),
        "lang": active(),
        "dir": "rtl" if get_language_bidi() else "ltr",
        "start_url": reverse("start"),
        "scope": "/",
        "display": "standalone",
        "background_color": CLOTH,
        "theme_color": BAR,
        "icons": [icon(name) for name in ICONS],
        "shortcuts": [
            _shortcut(gettext("Check in"), "check-in"),
            _shortcut(gettext("Rack"), "rack"),
            _shortcut(gettext("Bench"), "bench"),
        ],
    }


def icon(name: str) -> dict[str, str]:
    """One of the icons, as a manifest names it."""
    size, purpose = ICONS[name]
    return {
        "src": static(f"img/app/{name}.png"),
        "sizes": f"{size}x{size}",
        "type": "image/png",
        "purpose": purpose,
    }


def short_name(name: str) -> str:
    """As many whole words of a shop's name as stand beneath an icon; of one long word its beginning."""
    words = name.split()
    short = words[0] if words else ""
    for word in words[1:]:
        if len(f"{short} {word}") > LONGEST_BENEATH:
            break
        short = f"{short} {word}"
    return short[:LONGEST_BENEATH]


def begins_at(person: Staff) -> str:
    """The page that the app opens with: the bench for who works there, else the rack."""
    return reverse("bench" if person.role == Staff.Role.BENCH else "rack")


def _shortcut(name: str, page: str) -> dict[str, Any]:
    return {"name": name, "url": reverse(page), "icons": [icon("any-192")]}
