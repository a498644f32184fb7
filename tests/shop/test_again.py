"""What is the owner's alone closes when it was left alone: the password, and nothing typed is lost."""

import datetime

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shoprepair.shop import again, own_password
from shoprepair.shop.models import Staff
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db
AN_HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def clock():
    with time_machine.travel("2026-11-25 08:00Z", tick=False) as clock:
        yield clock


@pytest.fixture
def page(bench: Staff) -> str:
    return reverse("person", args=[bench.pk])


def test_after_half_an_hour_elsewhere_the_office_asks_for_the_password(owner, as_person, clock):
    client = as_person(owner)
    for _ in range(3):
        clock.shift(again.SHUT_AFTER - datetime.timedelta(minutes=1))
        assert client.get("/office/people/").status_code == 200
    clock.shift(AN_HOUR)
    asked = client.get("/office/people/")
    assert asked["Location"] == "/log-in/?next=/office/people/"
    assert client.get("/").status_code == 200
    assert "Password" in client.get(asked["Location"]).content.decode()
    client.post("/log-in/", {"username": owner.username, "password": PASSWORD})

    assert client.get("/office/people/").status_code == 200


def test_nobody_else_is_asked_for_anything(counter, as_person, clock):
    client = as_person(counter)
    clock.shift(AN_HOUR)

    assert client.get("/").status_code == 200
    assert client.get("/office/people/").status_code == 403


def test_what_was_typed_meanwhile_is_saved_with_the_password(owner, bench, page, as_person, clock):
    client = as_person(owner)
    clock.shift(AN_HOUR)
    asked = client.post(page, {"name": "Tomek of the bench", "role": "bench"})
    assert asked.status_code == 403
    assert 'name="name" value="Tomek of the bench"' in asked.content.decode()
    wrong = client.post(page, {"name": "Tomek of the bench", "role": "bench", again.FIELD: "a guess"})
    assert wrong.status_code == 422
    assert own_password.WRONG in wrong.content.decode()
    assert "a guess" not in wrong.content.decode()
    bench.refresh_from_db()
    assert str(bench) == "Tomek Brandal"

    client.post(page, {"name": "Tomek of the bench", "role": "bench", again.FIELD: PASSWORD})
    bench.refresh_from_db()
    assert str(bench) == "Tomek of the bench"
    assert client.get(page).status_code == 200


def test_a_password_that_was_typed_for_somebody_is_written_into_no_page(owner, bench, as_person, clock):
    client = as_person(owner)
    clock.shift(AN_HOUR)
    asked = client.post(reverse("person-password", args=[bench.pk]), {"password": "gulls over the long pier"})

    assert "gulls over" not in asked.content.decode()
    assert "nothing was saved" in asked.content.decode()


def test_a_file_is_asked_for_once_more(owner, as_person, clock):
    client = as_person(owner)
    clock.shift(AN_HOUR)
    asked = client.post(reverse("catalogue-bring-in"), {"file": SimpleUploadedFile("a.csv", b"1,2")})

    assert "Choose the file once more" in asked.content.decode()


def test_the_password_is_not_guessed_there_either(owner, page, as_person, clock):
    client = as_person(owner)
    clock.shift(AN_HOUR)
    for _ in range(own_password.MOST):
        client.post(page, {again.FIELD: "a guess"})
    refused = client.post(page, {"name": "X", "role": "bench", again.FIELD: PASSWORD})

    assert own_password.TOO_OFTEN in refused.content.decode()
