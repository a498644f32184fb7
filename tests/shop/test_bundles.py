"""A page asks for its style sheets as one file and for its programs as another."""

import gzip
import re
from pathlib import Path

import brotli
import pytest
from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.template import Context, Template
from django.test import Client
from django.utils import translation

from shoprepair.shop import bundles

pytestmark = pytest.mark.django_db
HOUSE = ("fonts", "tokens", "base", "parts")
KEPT_FOR_GOOD = "max-age=315360000, public, immutable"


def source(name: str) -> bytes:
    return Path(str(finders.find(name))).read_bytes()


@pytest.fixture
def address() -> str:
    return bundles.address("css", HOUSE)


def test_every_sheet_is_in_it_whole_and_in_order(client: Client, address: str) -> None:
    assert client.get(address).content == b"\n".join(source(f"css/{name}.css") for name in HOUSE)


def test_a_browser_gets_it_as_small_as_it_can_read_it(client: Client, address: str) -> None:
    plain = client.get(address).content
    small = client.get(address, headers={"Accept-Encoding": "gzip, deflate, br;q=0.9"})
    older = client.get(address, headers={"Accept-Encoding": "gzip"})
    assert (small["Content-Encoding"], brotli.decompress(small.content)) == ("br", plain)
    assert (older["Content-Encoding"], gzip.decompress(older.content)) == ("gzip", plain)
    assert small["Vary"] == older["Vary"] == "Accept-Encoding"


def test_it_is_kept_for_good_and_asks_nobody_who_they_are(
    client: Client, address: str, django_assert_num_queries
) -> None:
    with django_assert_num_queries(0):
        answer = client.get(address)
    assert answer["Cache-Control"] == KEPT_FOR_GOOD
    assert answer["Content-Type"] == "text/css; charset=utf-8"
    assert not answer.cookies


@pytest.mark.parametrize(
    "wrong",
    [
        re.compile(r"\.[0-9a-f]{16}\."),  # of other content
        re.compile(r"tokens\+base"),  # in another order
        re.compile(r"parts(?=\.)"),  # with a sheet that is not there
        re.compile(r"/css/(?=fonts)"),  # of another kind
    ],
)
def test_a_set_that_no_page_has_is_not_put_together(client: Client, address: str, wrong) -> None:
    others = {"/css/": "/js/", "parts": "none-such", "tokens+base": "base+tokens"}
    elsewhere = wrong.sub(lambda found: others.get(found[0], ".0123456789abcdef."), address)
    assert elsewhere != address
    assert client.get(elsewhere).status_code != 200


def test_whoever_guesses_fills_no_memory(client: Client, address: str) -> None:
    held = len(bundles._held)
    for names in ("base", "base+base", "tokens+base", "parts+parts+parts"):
        assert client.get(f"/static/css/{names}.0123456789abcdef.css").status_code != 200
    assert len(bundles._held) == held


def test_nothing_but_sheets_and_programs_is_found_by_it(client: Client, address: str) -> None:
    digest = address.split(".")[1]
    for name in ("../settings", "%2e%2e/%2e%2e/manage", "fonts/LICENSE", ""):
        assert client.get(f"/static/css/{name}.{digest}.css").status_code != 200


def test_what_is_sent_to_it_is_no_question_of_a_sheet(client: Client, address: str) -> None:
    assert client.post(address).status_code != 200
    assert client.head(address).status_code == 200


def test_names_may_come_from_blocks_and_stand_once(client: Client) -> None:
    page = Template(
        "{% load bundles %}{% styles %}base parts {% if more %}base told{% endif %}{% endstyles %}"
    )
    assert "/static/css/base+parts+told." in page.render(Context({"more": True}))
    assert "/static/css/base+parts." in page.render(Context())


def test_a_page_without_programs_asks_for_none() -> None:
    assert Template("{% load bundles %}{% scripts %} {% endscripts %}").render(Context()) == ""


def test_a_sheet_that_is_not_there_is_a_fault_of_the_page() -> None:
    with pytest.raises(FileNotFoundError):
        bundles.address("css", ("none-such",))


def test_as_served_it_names_fonts_by_their_content(settings, tmp_path, client: Client) -> None:
    settings.STATIC_ROOT = tmp_path
    manifest = "whitenoise.storage.CompressedManifestStaticFilesStorage"
    settings.STORAGES = settings.STORAGES | {"staticfiles": {"BACKEND": manifest}}
    call_command("collectstatic", interactive=False, verbosity=0)
    bundles.forget()
    try:
        served = client.get(bundles.address("css", HOUSE)).content.decode()
    finally:
        bundles.forget()
    names = re.findall(r'url\("([^"]+\.woff2)"\)', served)
    assert names
    assert all((tmp_path / "css" / name).resolve().is_file() for name in names)
    assert all(re.search(r"\.[0-9a-f]{12}\.woff2$", name) for name in names)


def test_what_every_page_of_the_shop_runs_goes_by_one_short_name_and_each_file_once(client: Client) -> None:
    served = client.get(bundles.address("js", ("house", "keep"))).content
    assert served == b"\n".join(bundles.content(f"js/{name}.js") for name in bundles.ALL_PAGES)
    assert "house+keep." in bundles.address("js", ("house", "keep"))


def test_its_words_come_with_it_in_the_readers_language(client: Client) -> None:
    page = Template("{% load bundles %}{% scripts %}house{% endscripts %}")
    with translation.override("de"):
        assert "/words-de+house." in page.render(Context())
    assert "/house." in page.render(Context())
