"""What never changes of a gear's drawing, as a file of its own that a browser keeps for good.

A page with a drawing is mostly paths, the same for every job of the pattern. The file holds the paths alone:
no name, no pin, nothing of any job. Its address tells which patterns it draws and in which language, so that
any machine of the shop can answer, after a restart too, and a digest of what is drawn: a pattern, a load
figure or a way of drawing that changed since is another address, and the older one has nothing any more.
Who reads a status link has no log-in and draws the same shapes as the shop, so the address is no page's own
and asks nobody who they are; instead it is signed with the shop's key, so that no stranger finds one, nor has
the shop draw for them.
"""

import hashlib
import re
from collections.abc import Callable, Sequence
from functools import lru_cache

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.crypto import constant_time_compare, salted_hmac

from shoprepair.gear import describe
from shoprepair.gear.diagram.dressed import dressed, looks
from shoprepair.gear.diagram.loads import load_map
from shoprepair.gear.diagram.sheet import SVG, lent
from shoprepair.gear.diagram.svg import element
from shoprepair.gear.models import Pattern
from shoprepair.gear.planform import Planform
from shoprepair.mechanics.description import LoadCases
from shoprepair.shop import bundled, bundles
from shoprepair.shop.settings import cases

Load = tuple[tuple[str, float], ...]
"""A load map's items; none where no load is shown."""
MOST_HELD = 64
SHEET = "css/diagram.css"
"""The style sheet of every page that borrows shapes."""
_ADDRESS = re.compile(
    r"/drawings/(?P<asked>(?P<language>[a-z]{2})-(?P<keys>\d{1,18}(?:\+\d{1,18})?)(?P<loaded>-load)?)"
    r"/(?P<digest>[0-9a-f]{16})(?P<signed>[0-9a-f]{16})\.svg"
)


def kept(patterns: Sequence[Pattern], under: LoadCases | None = None) -> list[str]:
    """What begins the address of each shape of these patterns, one or two, all in one file.

    With `under` the tubes show their load by tone and hatch.
    """
    language = (translation.get_language() or settings.LANGUAGE_CODE)[:2]
    keys = "+".join(str(pattern.pk) for pattern in patterns)
    asked = f"{language}-{keys}{'-load' if under else ''}"
    digest = _drawn(patterns, under)[1]
    address = f"/drawings/{asked}/{digest}{_signed(asked, digest)}.svg"
    return [f"{address}#{_begin(number)}" for number, _ in enumerate(patterns)]


def at(path: str) -> bundles.Bundle | None:
    """The file at this address of this site; None where `kept` gave no such address, or would not today."""
    match = _ADDRESS.fullmatch(path)
    if match is None or not constant_time_compare(match["signed"], _signed(match["asked"], match["digest"])):
        return None
    wanted = [int(key) for key in match["keys"].split("+")]
    found = Pattern.objects.select_related("casing", "canopy", "window").in_bulk(wanted)
    if len(found) < len(set(wanted)):
        return None
    with translation.override(match["language"]):
        file, digest = _drawn([found[key] for key in wanted], cases() if match["loaded"] else None)
    return file if digest == match["digest"] else None


class KeptDrawingsMiddleware:
    """Answers for them before anybody asks who it is, so that no answer depends on a log-in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        file = at(request.path) if request.method in {"GET", "HEAD"} else None
        return self.get_response(request) if file is None else bundled.answer(file, request)


def _signed(asked: str, digest: str) -> str:
    return salted_hmac("shoprepair.drawings", f"{asked}/{digest}", algorithm="sha256").hexdigest()[:16]


def _begin(number: int) -> str:
    return f"{number}-"


def _drawn(patterns: Sequence[Pattern], under: LoadCases | None) -> tuple[bundles.Bundle, str]:
    """The file and the digest of what is in it."""
    return _file(tuple(_of(pattern, under) for pattern in patterns), translation.get_language())


def _of(pattern: Pattern, under: LoadCases | None) -> tuple[Planform, Load]:
    planform = describe.planform(pattern)
    load = load_map(planform, describe.description(pattern), under) if under else {}
    return planform, tuple(load.items())


@lru_cache(maxsize=MOST_HELD)
def _file(drawn: tuple[tuple[Planform, Load], ...], _language: str | None) -> tuple[bundles.Bundle, str]:
    worn = looks(bundles.content(SHEET).decode())
    body = "".join(
        lent(planform, dict(load), _begin(number)) for number, (planform, load) in enumerate(drawn)
    )
    text = element("svg", dressed(body, worn), xmlns=SVG).encode()
    return bundles.Bundle("svg", text), hashlib.sha256(text).hexdigest()[:16]
