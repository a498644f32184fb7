import datetime

import pytest
import time_machine
from django.urls import reverse

from shoprepair.shop import journal
from shoprepair.work import calendar, to_do
from shoprepair.work.models import BenchHours, Holiday

pytestmark = pytest.mark.django_db
PAGE = "holidays"


@pytest.fixture(autouse=True)
def _november():
    with time_machine.travel("2026-11-25 12:00Z", tick=False):
        yield


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def words(answer) -> str:
    return " ".join(answer.content.decode().split())


def add(client, first, last="", **more):
    return client.post(reverse(PAGE), {"first_day": first, "last_day": last, **more})


def test_a_day_on_which_the_shop_is_closed_is_kept_and_planned_around(client):
    assert add(client, "2026-12-25", note="Midwinter").status_code == 302

    page = words(client.get(reverse(PAGE)))
    assert "The shop is closed on Fri 25 Dec" in page
    assert "Midwinter" in page
    assert to_do.closed_days() == {datetime.date(2026, 12, 25)}


def test_a_day_of_another_year_is_said_with_its_year(client):
    add(client, "2026-12-30", "2027-01-02")

    page = words(client.get(reverse(PAGE)))
    assert page.count("The shop is closed from Wed 30 Dec to Sat 2 Jan 2027") >= 2


def test_one_person_is_away_while_the_others_work(client, bench):
    BenchHours.objects.create(who=bench, minutes=[60] * 7)
    add(client, "2026-12-07", "2026-12-09", who=bench.pk)

    assert "Tomek Brandal is away from Mon 7 Dec to Wed 9 Dec" in words(client.get(reverse(PAGE)))
    assert to_do.closed_days() == frozenset()
    (person,) = to_do.people()
    assert person.away == {datetime.date(2026, 12, day) for day in (7, 8, 9)}


def test_a_holiday_is_removed_and_the_journal_says_so(client):
    add(client, "2026-12-25")
    address = reverse("holiday-remove", args=[Holiday.objects.get().pk])

    for _ in range(2):
        assert client.post(address).status_code == 302

    assert not Holiday.objects.exists()
    assert [entry.verb for entry in journal.entries(calendar.SUBJECT)] == ["holiday.removed", "holiday.added"]


def test_a_form_sent_twice_adds_one_holiday(client):
    for _ in range(2):
        add(client, "2026-12-25", key="sent-by-one-form")

    assert Holiday.objects.count() == 1


@pytest.mark.parametrize(
    ("first", "last", "sentence"),
    [
        ("", "", "Say on which day it begins."),
        ("soon", "", "Write the day as 2026-12-24, or choose it."),
        ("2026-12-25", "2026-12-24", "It ends on Thu 24 Dec, before it begins on Fri 25 Dec."),
        ("2026-12-25", "2036-12-24", "A holiday lasts a year at most; write an earlier last day."),
    ],
)
def test_days_that_cannot_be_are_refused_with_a_sentence(client, first, last, sentence):
    answer = add(client, first, last, note="kept")

    assert answer.status_code == 422
    assert sentence in words(answer)
    assert 'value="kept"' in words(answer)
    assert not Holiday.objects.exists()


def test_past_holidays_stand_apart(client):
    Holiday.objects.create(first_day=datetime.date(2026, 1, 1), last_day=datetime.date(2026, 1, 1))

    page = words(client.get(reverse(PAGE)))

    assert page.index("<summary>Past</summary>") < page.index("The shop is closed on Thu 1 Jan")


@pytest.mark.parametrize("role", ["counter", "bench"])
def test_only_the_owner_closes_the_shop(role, request, as_person):
    client = as_person(request.getfixturevalue(role))
    gone = Holiday.objects.create(first_day=datetime.date(2026, 12, 1), last_day=datetime.date(2026, 12, 1))

    assert add(client, "2026-12-25").status_code == 403
    assert client.post(reverse("holiday-remove", args=[gone.pk])).status_code == 403
    assert Holiday.objects.get() == gone
