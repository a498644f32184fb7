"""In which language it is read, who may frame it, and how little it weighs."""

import gzip
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from shoprepair.portal.self_check.page import origin
from shoprepair.shop import bundles
from shoprepair.shop.models import Shop

FIRST_VIEW_BYTES = 60_000
TORN = "/self-check/?kind=wing&size=medium&at=canopy-outer&look=torn&length=palm"


def test_the_browser_s_language_is_spoken_and_the_address_overrules_it(shop: Shop, stranger: Client) -> None:
    german = stranger.get("/self-check/", headers={"Accept-Language": "de-AT,de;q=0.9,en;q=0.5"})
    assert (german["Content-Language"], '<html lang="de">' in german.content.decode()) == ("de", True)
    assert "Accept-Language" in german["Vary"]
    english = stranger.get("/self-check/?lang=en", headers={"Accept-Language": "de"})
    assert english["Content-Language"] == "en"
    assert "kind=wing&amp;lang=en" in english.content.decode()
    other = stranger.get("/self-check/", headers={"Accept-Language": "tlh, *;q=0.1"})
    assert other["Content-Language"] == "en"


@pytest.mark.parametrize("address", ["/self-check/", "/self-check/?kind=wing", TORN])
def test_the_title_parts_what_is_asked_from_the_shop_s_name(
    shop: Shop, stranger: Client, address: str
) -> None:
    page = stranger.get(address).content.decode()
    title = re.search(r"<title>(.+?)</title>", page, re.DOTALL)
    assert title
    assert re.search(rf"\S\s+· {shop.name}$", title[1])


def test_only_the_site_that_the_shop_named_may_frame_it(shop: Shop, stranger: Client) -> None:
    closed = stranger.get("/self-check/")
    assert "frame-ancestors 'none'" in closed["Content-Security-Policy"]
    assert closed["X-Frame-Options"] == "DENY"
    shop.self_check_site = "https://quay.example/repairs"
    shop.save()
    framed = stranger.get("/self-check/", headers={"Sec-Fetch-Dest": "iframe"})
    assert "frame-ancestors https://quay.example;" in framed["Content-Security-Policy"] + ";"
    assert "X-Frame-Options" not in framed
    assert "Sec-Fetch-Dest" in framed["Vary"]


def test_in_a_frame_the_enquiry_opens_in_the_whole_window(shop: Shop, stranger: Client) -> None:
    framed = stranger.get(TORN, headers={"Sec-Fetch-Dest": "iframe"}).content.decode()
    assert re.search(r'href="/self-check/enquiry/[^"]*"\s+target="_top"', framed)
    assert 'target="_top"' not in stranger.get(TORN).content.decode()


@pytest.mark.parametrize(
    "site",
    ["", "quay.example", "javascript:alert(1)", "https://a b.example", "https://x.example; script-src *"],
)
def test_what_is_no_site_frames_nothing(site: str) -> None:
    assert origin(site) == ""


def test_the_first_view_weighs_less_than_sixty_kilobytes(shop: Shop, stranger: Client) -> None:
    page = stranger.get("/self-check/", headers={"Accept-Encoding": "gzip"})
    assert page["Content-Encoding"] == "gzip"
    html = gzip.decompress(page.content).decode()
    files = set(re.findall(r'(?:href|src)="/static/([^"]+)"', html))
    assert {Path(name).suffix for name in files} == {".css", ".js", ".woff2", ".svg"}
    weights = {name: _weight(name) for name in files} | {"page": len(page.content)}
    assert sum(weights.values()) < FIRST_VIEW_BYTES, weights


def _weight(name: str) -> int:
    """Bytes of a file as it is sent at most: packed with gzip, a font as it is."""
    bundle = bundles.at(f"/static/{name}")
    if bundle is None:
        content = Path(str(finders.find(name))).read_bytes()
        return len(content if name.endswith(".woff2") else gzip.compress(content))
    if bundle.kind == "css":
        fonts = set(re.findall(r'url\("([^"]+\.woff2)"\)', bundle.text.decode()))
        assert len(fonts) == 1, "one typeface in one weight is all that a phone on a beach waits for"
    return len(bundle.as_gzip)
