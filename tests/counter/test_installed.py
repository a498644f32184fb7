"""The shop as an app on a tablet: its name, its icons, where it begins, and nothing for a stranger."""

import json

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.shop.models import Shop, Staff
from shoprepair.shop.settings import current

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop() -> Shop:
    shop = current()
    shop.name, shop.language = "Northquay Sail Loft", "de"
    shop.phone, shop.email = "+44 1632 960000", "loft@northquay.example"
    shop.save()
    return shop


def read(client: Client) -> dict[str, object]:
    answer = client.get(reverse("manifest"))
    assert answer["Content-Type"] == "application/manifest+json"
    return json.loads(answer.content)


def test_a_device_installs_the_shop_by_its_name_in_its_language(client: Client, shop: Shop) -> None:
    told = read(client)
    assert (told["name"], told["short_name"], told["lang"]) == ("Northquay Sail Loft", "Northquay", "de")
    assert (told["display"], told["scope"], told["start_url"]) == ("standalone", "/", "/start/")
    assert [one["url"] for one in told["shortcuts"]] == [
        reverse(page) for page in ("check-in", "rack", "bench")
    ]
    assert told["shortcuts"][2]["name"] == "Werkbank"


def test_a_stranger_learns_the_name_of_the_shop_and_nothing_else_of_it(client: Client, shop: Shop) -> None:
    answer = client.get(reverse("manifest"))
    assert shop.phone not in answer.text
    assert shop.email not in answer.text
    assert not answer.cookies


def test_who_is_logged_in_reads_the_same_so_that_a_shared_tablet_keeps_one_app(
    client: Client, shop: Shop
) -> None:
    before = read(client)
    client.force_login(Staff.objects.create_user("benno", password="x", role="bench", language="es"))
    assert read(client) == before


@pytest.mark.parametrize(("role", "page"), [("counter", "rack"), ("bench", "bench"), ("owner", "rack")])
def test_the_app_begins_where_somebody_works(client: Client, role: str, page: str) -> None:
    client.force_login(Staff.objects.create_user("ida", password="x", role=role))
    answer = client.get(reverse("start"))
    assert (answer.status_code, answer["Location"]) == (302, reverse(page))


def test_before_the_log_in_the_app_begins_with_it(client: Client) -> None:
    Staff.objects.create_user("ida", password="x", role="owner")
    assert client.get(reverse("start"))["Location"] == "/log-in/?next=/start/"


def test_every_page_of_the_shop_names_its_manifest_and_what_it_may_load(client: Client) -> None:
    client.force_login(Staff.objects.create_user("ida", password="x", role="counter"))
    answer = client.get(reverse("rack"))
    assert f'<link rel="manifest" href="{reverse("manifest")}">' in answer.text
    assert 'rel="apple-touch-icon"' in answer.text
    assert "manifest-src 'self'" in answer["Content-Security-Policy"]
    assert "camera=(self)" in answer["Permissions-Policy"]
