"""One tap changes how a device's screens look, without a script too, and no page flashes in another first."""

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.shop.models import Staff

pytestmark = pytest.mark.django_db


@pytest.fixture
def counter(client: Client) -> Client:
    client.force_login(Staff.objects.create_user("ida", password="x", role=Staff.Role.COUNTER))
    return client


def test_a_device_keeps_its_look_whoever_holds_it(client: Client) -> None:
    for role in ("counter", "bench"):
        Staff.objects.create_user(role, password="x", role=role)
    client.force_login(Staff.objects.get(username="counter"))
    client.post(reverse("my-look"), {"look": "night"})
    client.logout()
    client.cookies["look"] = "night"
    client.force_login(Staff.objects.get(username="bench"))
    assert 'data-look="night"' in client.get(reverse("bench")).text


def test_the_log_in_has_the_look_of_the_device(client: Client) -> None:
    Staff.objects.create_user("owner", password="x", role="owner")
    client.cookies["look"] = "day"
    page = client.get(reverse("login")).text
    assert 'data-look="day"' in page
    assert '<meta name="theme-color" content="#000">' in page


def test_nothing_is_said_of_a_look_where_the_device_decides(counter: Client) -> None:
    page = counter.get(reverse("rack")).text
    assert "data-look" not in page
    assert "Change to daylight" in page


def test_a_look_is_changed_without_a_script_and_leads_back_to_the_page(counter: Client) -> None:
    answer = counter.post(
        reverse("my-look"), {"look": "day"}, headers={"referer": "http://testserver/check-in/?q=ida"}
    )
    assert (answer.status_code, answer["Location"]) == (302, "/check-in/?q=ida")
    assert answer.cookies["look"].value == "day"
    assert "Change to night" in counter.get(reverse("rack")).text


def test_a_script_gets_the_next_tap_alone(counter: Client) -> None:
    answer = counter.post(reverse("my-look"), {"look": "night"}, headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert "Change to the device" in answer.text


def test_a_look_that_does_not_exist_is_the_devices_own(counter: Client) -> None:
    counter.post(reverse("my-look"), {"look": "night"})
    counter.post(reverse("my-look"), {"look": '"><b>'})
    assert "data-look" not in counter.get(reverse("rack")).text
