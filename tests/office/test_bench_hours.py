import re

import pytest
from django.urls import reverse

from shoprepair.shop import journal
from shoprepair.shop.models import Shop, WeekBegins
from shoprepair.shop.settings import current
from shoprepair.work import calendar, to_do
from shoprepair.work.models import BenchHours

pytestmark = pytest.mark.django_db
PAGE = "bench-hours"
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@pytest.fixture
def client(as_person, owner, bench):
    return as_person(owner)


def words(answer) -> str:
    return " ".join(answer.content.decode().split())


def week(person, *minutes) -> dict:
    return {f"{day}-{person.pk}": each for day, each in zip(DAYS, minutes, strict=True)}


def keep(client, person, *minutes):
    return client.post(reverse(PAGE), week(person, *minutes))


def test_before_anybody_said_so_the_bench_is_taken_to_be_there_on_weekdays_and_the_page_says_it(client):
    page = words(client.get(reverse(PAGE)))

    assert "Tomek Brandal" in page
    assert "assumed, nobody has entered it" in page
    assert page.count('value="360"') == 5


def test_a_week_is_kept_monday_first_and_the_plan_uses_it(client, bench):
    assert keep(client, bench, "300", "300 min", "5:00", "", "0", "90", "0").status_code == 302

    assert BenchHours.objects.get(who=bench).minutes == [300, 300, 300, 0, 0, 90, 0]
    (person,) = to_do.people()
    assert person.minutes == (300, 300, 300, 0, 0, 90, 0)
    assert "assumed" not in words(client.get(reverse(PAGE))).split("Tomek Brandal")[1].split("Save")[0]


def test_minutes_entered_as_they_were_planned_are_said_to_be_kept(client, bench):
    (person,) = to_do.people()

    keep(client, bench, *map(str, person.minutes))

    page = words(client.get(reverse(PAGE))).split("What was changed")[1]
    assert "The bench minutes of Tomek Brandal were kept as they were planned." in page


def test_what_was_changed_names_the_days_that_differ_and_those_alike_together(client, bench):
    keep(client, bench, "300", "300", "360", "360", "360", "120", "0")

    page = words(client.get(reverse(PAGE))).split("What was changed")[1]

    assert "The bench minutes of Tomek Brandal were set." in page
    assert re.search(r"Monday, Tuesday</dt>.*?6 h.*?5 h", page)
    assert re.search(r"Saturday</dt>.*?0 min.*?2 h", page)
    assert not re.search("Wednesday|Thursday|Friday|Sunday", page)


def test_saving_the_same_again_writes_nothing(client, bench):
    for _ in range(2):
        keep(client, bench, *["300"] * 7)

    assert journal.entries(calendar.SUBJECT).count() == 1


@pytest.mark.parametrize("typed", ["six", "-60", "901", "1e3", "25:00", "6:75", "3.5", "٣٦٠", "99999999999"])
def test_minutes_that_are_none_are_refused_with_a_sentence_and_kept_as_typed(client, bench, typed):
    answer = keep(client, bench, typed, *["60"] * 6)
    page = words(answer)

    assert answer.status_code == 422
    assert not BenchHours.objects.exists()
    assert "Write minutes from 0 to 900, such as 360, or hours as 6:00." in page or "at most 12" in page
    assert page.count('value="60"') == 6


def test_an_evening_of_fifteen_hours_just_fits_into_a_day(client, bench):
    assert keep(client, bench, "900", *["0"] * 6).status_code == 302
    to_do.people()


def test_somebody_added_while_the_page_was_open_keeps_what_the_plan_assumes(client, bench, counter):
    keep(client, bench, *["60"] * 7)

    assert list(BenchHours.objects.values_list("who", flat=True)) == [bench.pk]


@pytest.mark.parametrize("role", ["counter", "bench"])
def test_only_the_owner_says_who_works_when(role, request, as_person, bench):
    answer = keep(as_person(request.getfixturevalue(role)), bench, *["60"] * 7)

    assert answer.status_code == 403
    assert not BenchHours.objects.exists()


def test_the_office_leads_to_hours_and_holidays(client):
    page = words(client.get(reverse("office")))

    assert f'href="{reverse(PAGE)}"' in page
    assert f'href="{reverse("holidays")}"' in page


def shown_days(client) -> list[str]:
    """The short names of the weekdays above the fields, and the fields' own."""
    page = client.get(reverse(PAGE)).content.decode()
    return re.findall(r'<span aria-hidden="true">(\w+)</span>', page)[:7]


def test_where_the_week_begins_on_sunday_the_days_are_listed_from_it_and_kept_all_the_same(client, bench):
    current()
    Shop.objects.update(week_begins=WeekBegins.SUNDAY)

    assert shown_days(client) == ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"]
    keep(client, bench, "300", "0", "0", "0", "0", "0", "10")
    assert BenchHours.objects.get(who=bench).minutes == [300, 0, 0, 0, 0, 0, 10]


@pytest.mark.parametrize(("language", "first", "label"), [("de", "Mo", "montag"), ("es", "lun", "lunes")])
def test_the_days_are_named_in_the_readers_language(client, owner, bench, language, first, label):
    owner.language = language
    owner.save()

    page = words(client.get(reverse(PAGE)))
    assert shown_days(client)[0] == first
    labels = re.findall(r'<span class="visually-hidden">([^<]*)</span>', page)
    assert any(str(bench) in each and label in each.casefold() for each in labels)
    assert "Monday" not in page


def test_minutes_typed_in_another_language_are_kept_on_their_days(client, owner, bench):
    owner.language = "de"
    owner.save()
    keep(client, bench, "1", "2", "3", "4", "5", "6", "7")
    assert BenchHours.objects.get(who=bench).minutes == [1, 2, 3, 4, 5, 6, 7]
