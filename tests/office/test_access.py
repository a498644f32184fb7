"""The office is the owner's: everybody else meets a sentence, a stranger the log-in."""

from collections.abc import Iterator
from datetime import date

import pytest
from django.http import HttpResponse
from django.urls import reverse

from shoprepair.pricing.models import Material
from shoprepair.shop import tablets
from shoprepair.shop.access import OWNER_ONLY
from shoprepair.work.models import Holiday
from tests.factories import ClothFactory, CustomerFactory, OperationFactory, PatternFactory

pytestmark = pytest.mark.django_db

PAGES = ["office", "settings", "load-figures", "people", "person-add", "patterns", "cloths", "cloth-add"]
PAGES += [
    "mail-texts",
    "catalogue",
    "operation-add",
    "materials",
    "material-add",
    "price-rules",
    "work-rules",
    "bench-hours",
    "holidays",
    "claims",
    "quotes-waiting",
    "late-jobs",
]
PAGES += ["failing", "lives"]
PAGES += ["leaving", "archive", "archive-download", "archive-import", "backups", "times-kept", "how-it-runs"]
PAGES += ["office-self-check", "self-check-leaflet"]
PAGES += ["tablets", "page-parts"]
PAGES += [
    "set-up",
    "set-up-shop",
    "set-up-prices",
    "set-up-pattern",
    "set-up-people",
    "set-up-tag",
    "set-up-trial",
]
ONLY_OF_THE_DEMO = ["demo-remove", "demo-back"]
PAGES += ONLY_OF_THE_DEMO
PAGES_OF_ONE = ["person", "pattern", "pattern-edit", "cloth-edit", "mail-text", "operation", "material"]
PAGES_OF_ONE += ["money-week", "bench-week"]
PAGES_OF_ONE += ["customer-data", "customer-data-download", "customer-erase"]
DEEDS = ["re-assess", "catalogue-bring-in"]
DEEDS_OF_ONE = ["person-password", "person-disable", "person-enable", "pattern-copy"]
DEEDS_OF_ONE += ["mail-text-preview", "mail-text-reset", "operation-switch", "operation-minutes"]
DEEDS_OF_ONE += ["holiday-remove", "tablet-revoke"]
DEEDS_OF_ONE += ["person-log-ins-end", "person-pin-forget", "person-factor-remove"]


@pytest.fixture
def addresses(counter) -> dict[str, str]:
    """Every address of the office but the first owner's."""
    one = {"person": counter.pk, "pattern": PatternFactory().pk, "cloth": ClothFactory().pk}
    one["mail"] = "quote-out"
    one["customer"] = CustomerFactory().pk
    one["operation"] = OperationFactory(code="own").pk
    one["material"] = Material.objects.create(code="own", name="Own", unit="m", price=1).pk
    day = date(2026, 12, 24)
    one["money"] = one["bench"] = "2026-w48"
    one["tablet"] = tablets.enrol("Counter", HttpResponse(), who=counter).pk
    one["holiday"] = Holiday.objects.create(first_day=day, last_day=day).pk
    found = {name: reverse(name) for name in [*PAGES, *DEEDS]}
    for name in [*PAGES_OF_ONE, *DEEDS_OF_ONE]:
        found[name] = reverse(name, args=[one[name.partition("-")[0]]])
    found["person-log-in-end"] = reverse("person-log-in-end", args=[counter.pk, 1])
    found["export-table"] = reverse("export-table", args=["jobs.Job", "csv"])
    return found


def test_every_address_of_the_office_is_tried_here(addresses):
    from shoprepair.office.urls import urlpatterns

    # How it runs is the owner's to read too, and lies with the rest of what looks after the shop's health.
    assert {*names(urlpatterns), "how-it-runs"} == {*addresses, "first-run"}


def names(patterns) -> Iterator[str]:
    """What every address is called, those of included modules too."""
    for pattern in patterns:
        if hasattr(pattern, "url_patterns"):
            yield from names(pattern.url_patterns)
        else:
            yield pattern.name


@pytest.mark.parametrize("role", ["counter", "bench"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_whoever_is_not_the_owner_reads_why_not(role, method, request, as_person, addresses):
    client = as_person(request.getfixturevalue(role))
    answers = {name: getattr(client, method)(address) for name, address in addresses.items()}

    assert {name: answer.status_code for name, answer in answers.items()} == dict.fromkeys(addresses, 403)
    assert all(OWNER_ONLY in answer.content.decode() for answer in answers.values())


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_led_to_the_log_in(method, stranger, addresses):
    for address in addresses.values():
        answer = getattr(stranger, method)(address)
        assert (answer.status_code, answer["Location"]) == (302, f"/log-in/?next={address}")


def test_the_owner_opens_every_page(as_person, owner, addresses):
    client = as_person(owner)
    pages = [*PAGES, *PAGES_OF_ONE]
    wanted = dict.fromkeys(pages, 200) | dict.fromkeys(ONLY_OF_THE_DEMO, 404)

    assert {name: status(client.get(addresses[name])) for name in pages} == wanted


def status(answer) -> int:
    """What it was answered with, once all of it has come: what is sent bit by bit, too."""
    if answer.streaming:
        list(answer.streaming_content)
    return answer.status_code


def test_what_changes_something_is_never_done_by_looking_at_it(as_person, owner, addresses):
    client = as_person(owner)
    deeds = [*DEEDS, *DEEDS_OF_ONE]

    assert {name: client.get(addresses[name]).status_code for name in deeds} == dict.fromkeys(deeds, 405)


@pytest.mark.parametrize("role", ["counter", "bench", "owner"])
def test_only_the_owner_is_shown_the_way_to_the_office(role, request, as_person):
    page = as_person(request.getfixturevalue(role)).get(reverse("rack")).content.decode()

    assert (reverse("office") in page) == (role == "owner")
