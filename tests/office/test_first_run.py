from threading import Barrier, Thread

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from shoprepair.pricing.models import Material, Operation
from shoprepair.shop import people
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current

GOOD_PASSWORD = "wet sand on the quay"
BEGUN = {
    "shop_name": "Northquay Loft",
    "name": "Ingrid Falk",
    "username": "ingrid",
    "password": GOOD_PASSWORD,
    "again": GOOD_PASSWORD,
}


@pytest.mark.django_db
def test_the_log_in_of_a_new_shop_leads_to_the_page_that_opens_it(stranger):
    assert stranger.get(reverse("login"))["Location"] == reverse("first-run")
    assert stranger.get(reverse("first-run")).status_code == 200


@pytest.mark.django_db
def test_the_first_owner_names_the_shop_and_is_in(stranger):
    answer = stranger.post(reverse("first-run"), BEGUN)
    assert (answer.status_code, answer["Location"]) == (302, reverse("set-up-shop"))

    assert current().name == "Northquay Loft"
    assert Staff.objects.get().is_owner
    assert stranger.get(reverse("office")).status_code == 200
    assert "Holm 5.0 wing" in stranger.get(reverse("patterns")).content.decode()


@pytest.mark.django_db
def test_whoever_must_correct_something_else_is_told_to_write_the_password_again(stranger):
    page = stranger.post(reverse("first-run"), BEGUN | {"shop_name": ""}).content.decode()

    assert "all but the passwords" in page
    assert "It was fine, but no page sends a password back" in page
    assert GOOD_PASSWORD not in page


@pytest.mark.django_db
def test_there_is_no_second_first_owner(stranger, owner):
    assert stranger.get(reverse("first-run")).status_code == 404
    assert stranger.post(reverse("first-run"), BEGUN).status_code == 404
    assert not Staff.objects.filter(username="ingrid").exists()


@pytest.mark.django_db
def test_a_shop_whose_owner_was_shut_out_is_not_up_for_grabs(stranger, owner):
    Staff.objects.update(is_active=False)

    assert stranger.get(reverse("first-run")).status_code == 404


@pytest.mark.django_db
def test_the_log_in_of_a_shop_with_an_owner_is_the_log_in(stranger, owner):
    assert stranger.get(reverse("login")).status_code == 200


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"shop_name": ""}, "A shop needs a name"),
        ({"again": "wet sand on the key"}, "The two passwords differ. Write the same one twice."),
        ({"password": "short", "again": "short"}, "This password is too short:"),
        ({"username": "in grid"}, "and no spaces."),
    ],
)
def test_a_slip_is_said_and_opens_nothing(stranger, changes, sentence):
    answer = stranger.post(reverse("first-run"), BEGUN | changes)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not people.has_owner()


@pytest.mark.django_db(transaction=True)
def test_of_four_who_open_the_shop_at_once_one_owns_it():
    start, answers = Barrier(4), []

    def begin(number: int) -> None:
        try:
            start.wait()
            answer = Client().post(reverse("first-run"), BEGUN | {"username": f"ingrid{number}"})
            answers.append(answer.status_code)
        finally:
            connection.close()

    threads = [Thread(target=begin, args=[number]) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(answers) == [302, 404, 404, 404]
    assert Staff.objects.count() == 1


def test_a_new_shop_has_its_catalogue_from_the_first_day(stranger, db):
    stranger.post(reverse("first-run"), BEGUN)
    assert Operation.objects.filter(active=True).count() >= 30
    assert Material.objects.exists()
