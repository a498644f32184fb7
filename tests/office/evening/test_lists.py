"""The lists behind the numbers: what each adds up to is the number itself."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.pricing.money import read, say
from shoprepair.shop.weeks import IsoWeek
from tests.office import years
from tests.office.test_landing import numbers, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


@pytest.fixture
def old(client):
    """A shop of ten years, and its numbers this evening."""
    years.ten_years(jobs=60)
    return numbers(words(client))


def page(client, address: str) -> str:
    return " ".join(client.get(address.partition("#")[0]).content.decode().split())


def part(page: str, key: str) -> str:
    """The section of that name."""
    return page.partition(f'aria-labelledby="{key}"')[2].partition("</section>")[0]


def test_the_quotes_that_wait_are_as_many_as_the_number_says(client, old):
    said, address = old["quotes wait"]
    listed = page(client, address)

    amounts = re.findall(r'data-what="Amount"> <b>\$([\d.,]+)</b>', listed)
    assert len(amounts) == int(said)
    assert f"<b>{say(sum(read(amount, 'USD') for amount in amounts), 'USD')}</b>" in listed


@pytest.mark.parametrize("key", ["late", "soon"])
def test_the_late_jobs_are_as_many_as_the_number_says(client, old, key):
    said, address = old["late" if key == "late" else "about to be late"]
    section = part(page(client, address), key)

    assert f'<span class="numeral">{said}</span>' in section
    assert section.count("<li>") == int(said) > 0


@pytest.mark.parametrize("key", ["quoted", "agreed", "done", "paid"])
def test_the_amounts_of_a_week_add_up_to_its_number(client, old, key):
    said, address = old[key]
    section = part(page(client, address), key)

    assert f'<p class="evening-sum">{said}</p>' in section
    amounts = re.findall(r'<td class="is-number"> <b>\$([\d.,]+)</b>', section)
    assert say(sum(read(amount, "USD") for amount in amounts), "USD") == said


@pytest.mark.parametrize("label", ["used", "free"])
def test_the_hours_of_a_week_add_up_to_its_number(client, old, label):
    said, address = old[label]
    listed = page(client, address)

    assert f"<b>{said}</b> {label}" in listed
    each = re.findall(rf"(?:(\d+) h)? ?(?:(\d+) min)? {label}[,<]", listed.partition("<section")[2])
    minutes = sum(int(hours or 0) * 60 + int(rest or 0) for hours, rest in each)
    hours, rest = re.fullmatch(r"(?:(\d+) h)? ?(?:(\d+) min)?", said).groups()
    assert minutes == int(hours or 0) * 60 + int(rest or 0)


def test_what_to_order_is_as_much_as_the_number_says(client, old):
    said, address = old["to order"]
    listed = page(client, address)

    assert len(re.findall('data-what="Order"', listed)) == int(said)
    assert f"{said} materials" in listed


def test_a_week_leads_to_the_one_before_and_no_farther_than_now(client):
    week = IsoWeek.of(timezone.now())
    for name in ("money-week", "bench-week"):
        this, before = (
            page(client, reverse(name, args=[week])),
            page(client, reverse(name, args=[week.back(1)])),
        )
        assert reverse(name, args=[week.back(1)]) in this
        assert "Week after" not in this
        assert reverse(name, args=[week]) in before


@pytest.mark.parametrize("address", ["money/2025-w53/", "money/2026-w00/", "bench/2026-w99/", "money/now/"])
def test_a_week_that_never_was_is_not_found(client, address):
    assert client.get(f"/office/{address}").status_code == 404


def test_empty_lists_say_what_that_means(client):
    week = IsoWeek.of(timezone.now())
    assert "No quote waits" in page(client, reverse("quotes-waiting"))
    assert "As the bench is planned now, every promise is kept." in page(client, reverse("late-jobs"))
    assert "Nobody paid." in page(client, reverse("money-week", args=[week]))
    assert "No timer ran." in page(client, reverse("bench-week", args=[week]))


@pytest.mark.parametrize("jobs", [20, 80])
def test_each_list_costs_the_same_whatever_the_age_of_the_shop(client, jobs, django_assert_num_queries):
    years.ten_years(jobs=jobs)
    week = IsoWeek.of(timezone.now())
    costs = {"quotes-waiting": 3, "late-jobs": 4, "money-week": 5, "bench-week": 6}
    for name, cost in costs.items():
        address = reverse(name, args=[week] if name.endswith("week") else [])
        with django_assert_num_queries(cost):
            client.get(address)
