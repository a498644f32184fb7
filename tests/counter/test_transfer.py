"""Gear passed to a new owner at the counter: from the gear's page to the new owner's next visit."""

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.cover import endings, transfer_links, transfers
from shoprepair.cover.models import Transfer
from shoprepair.jobs import ownership, queries, search
from shoprepair.jobs.models import Customer, Job
from shoprepair.shop.models import Letter
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory
from tests.papers.covering import cover, visit
from tests.portal.visits import words

pytestmark = pytest.mark.django_db

HTMX = {"HTTP_HX_REQUEST": "true"}
FIRST_ONLY = {"words": "For a year, to whoever had it sewn.", "months": 12, "passes_on": False}


@pytest.fixture
def client(as_person, counter) -> Client:
    return as_person(counter)


@pytest.fixture
def ilka(db) -> Customer:
    return CustomerFactory(name="Ilka Sandvoort", phone="+1 555 0134", email="")


@pytest.fixture
def brann(db) -> Customer:
    brann = CustomerFactory(name="Brann Sollvik", email="brann@soll.example", phone="+1 555 0178")
    search.index(brann)
    return brann


@pytest.fixture
def wing(ilka):
    wing = InflatableFactory(serial="PT-77010", colour="sea green")
    OwnershipFactory(customer=ilka, inflatable=wing)
    back = visit(wing, customer=ilka)
    cover(back)
    cover(back, x_m=-0.6, terms=FIRST_ONLY)
    search.index(ilka)
    return wing


@pytest.fixture
def offered(wing, brann, counter) -> Transfer:
    return transfers.offer(wing, brann, who=counter)


def offering(wing, query: str = "") -> str:
    return f"{reverse('transfer-offer', args=[wing.pk])}{query}"


def here(transfer: Transfer, name: str = "transfer") -> str:
    return reverse(name, args=[transfer.pk])


def shown_in(body: str) -> str:
    return unescape(re.search(r'name="shown" value="([^"]*)"', body)[1])


def test_from_the_sale_to_the_new_owner_s_first_visit(client, wing, ilka, brann):
    """The buyer agrees on a phone far away, the seller at the counter; then the buyer brings it in."""
    found = words(client.get(offering(wing, "?q=brann"), **HTMX))
    assert "Brann Sollvik" in found
    asked = words(client.get(offering(wing, f"?taker={brann.pk}")))
    assert asked.index("Goes along") < asked.index("Cover 00001") < asked.index("Ends with the present owner")
    assert "A letter goes to Brann Sollvik" in asked
    assert "Ilka Sandvoort has no e-mail address" in asked

    made = client.post(offering(wing), {"taker": brann.pk, "note": "Sold at the quay.", "key": "k1"})
    transfer = Transfer.objects.get()
    assert made.url == here(transfer)
    link = re.search(r"http://testserver(/o/\S+)", Letter.objects.get(code="transfer-offered").body)[1]
    buyer = Client()
    page = buyer.get(link).content.decode()
    buyer.post(f"{link}answer/", {"act": "agree", "shown": shown_in(page)})

    waits = client.get(here(transfer)).content.decode()
    assert "on the page sent to them" in waits
    client.post(here(transfer, "transfer-agree"), {"side": "giver", "shown": shown_in(waits)})
    done = words(client.get(here(transfer)))
    assert "it belongs to Brann Sollvik" in done
    assert "in the shop, in person" in done
    assert "Passed to Brann Sollvik" in words(buyer.get(link))

    assert [str(one.customer) for one in search.find("77010")] == ["Brann Sollvik"]
    tap = client.get(reverse("check-in"), {"q": "brann"}).content.decode()
    assert f'name="inflatable" value="{wing.pk}"' in tap
    assert "last here" in tap
    stale = client.post(reverse("check-in-start"), {"customer": ilka.pk, "inflatable": wing.pk}, follow=True)
    assert "belongs to Brann Sollvik now" in words(stale)
    client.post(reverse("check-in-start"), {"customer": brann.pk, "inflatable": wing.pk})
    assert Job.objects.get(is_open=True).customer == brann
    assert [line.customer.name for line in queries.rack(text="77010")] == ["Brann Sollvik"]


def test_a_visit_under_way_says_whose_the_gear_is_now(client, wing, ilka, brann, counter):
    job = JobFactory(inflatable=wing, customer=ilka, stage="bench")
    assert "It is still for Ilka Sandvoort to agree" in words(
        client.get(offering(wing, f"?taker={brann.pk}"))
    )
    ownership.pass_on(wing, brann, who=counter)
    for text in ("sandvoort", "sollvik", "77010"):
        assert [one.now_of for one in queries.rack(text=text)] == ["Brann Sollvik"]
    assert "gear of Brann Sollvik" in words(client.get(reverse("rack")))
    assert "The gear belongs to Brann Sollvik" in words(client.get(job.get_absolute_url()))
    assert "The gear belongs to Brann Sollvik" in words(client.get(reverse("hand-back", args=[job.number])))
    tap = client.get(reverse("check-in"), {"q": "brann"}).content.decode()
    assert f"Here: job {job}" in tap
    assert 'name="inflatable"' not in tap
    stale = client.post(reverse("check-in-start"), {"customer": brann.pk, "inflatable": wing.pk})
    assert stale.url == client.post(reverse("gear-check-in", args=[wing.pk])).url == job.get_absolute_url()
    assert Job.objects.filter(is_open=True).count() == 1


def test_a_new_owner_who_is_new_here_is_added_on_the_way(client, wing, brann):
    add = reverse("transfer-customer", args=[wing.pk])
    double = client.post(add, {"name": "brann sollvik", "key": "k2"})
    assert double.status_code == 422
    assert f"?taker={brann.pk}" in double.content.decode()
    wrong = client.post(add, {"name": "Nuria Holtane", "phone": "12"})
    assert (wrong.status_code, "5 to 15 digits" in words(wrong)) == (422, True)
    assert 'value="Nuria Holtane"' in wrong.content.decode()
    for _ in range(2):
        made = client.post(add, {"name": "Nuria Holtane", "key": "k3"})
        assert made.url == offering(wing, f"?taker={Customer.objects.get(name='Nuria Holtane').pk}")


def test_sending_the_offer_twice_offers_it_once(client, wing, brann):
    fields = {"taker": brann.pk, "key": "k1"}
    assert client.post(offering(wing), fields).url == client.post(offering(wing), fields).url
    again = client.post(offering(wing), fields | {"key": "k2", "note": "Kept as typed."})
    assert (again.status_code, Transfer.objects.count()) == (422, 1)
    assert "It is passing to Brann Sollvik already" in words(again)
    assert 'value="Kept as typed."' in again.content.decode()
    assert client.get(offering(wing)).url == here(Transfer.objects.get())


@pytest.mark.parametrize("taker", ["", "x", "99999999", "9" * 40, "-1", "１"])
def test_an_offer_to_nobody_is_not_made(client, wing, taker):
    answer = client.post(offering(wing), {"taker": taker})
    assert (answer.status_code, "Choose who gets it." in words(answer)) == (422, True)
    assert not Transfer.objects.exists()


def test_an_offer_to_its_owner_says_so_and_searches_on(client, wing, ilka):
    assert "Ilka Sandvoort is the present owner" in words(client.get(offering(wing, f"?taker={ilka.pk}")))
    answer = client.post(offering(wing), {"taker": ilka.pk})
    assert (answer.status_code, "is the present owner" in words(answer)) == (422, True)
    assert "Ilka Sandvoort" not in words(client.get(offering(wing, "?q=ilka"), **HTMX))


def test_gear_of_nobody_and_retired_gear_say_why_they_cannot_pass(client, wing, owner):
    assert "does not know whose this is" in words(client.get(offering(InflatableFactory())))
    endings.retire(wing, "Cut up for cloth.", who=owner)
    assert "This gear is retired" in words(client.get(offering(wing)))


def test_gear_retired_while_it_waits_says_that_only_calling_off_is_left(client, offered, wing, owner):
    endings.retire(wing, "Cut up for cloth.", who=owner)
    page = words(client.get(here(offered)))
    assert "so it cannot pass on. Call it off." in page
    assert "Agrees here" not in page
    assert "I agree" not in words(Client().get(transfer_links.path(offered, "taker")))


def test_called_off_it_says_who_did_and_nothing_more_can_be_written_down(client, offered, wing, ilka):
    stale = client.get(here(offered)).content.decode()
    client.post(here(offered, "transfer-end"))
    assert "Called off by Maja Orrevik" in words(client.get(here(offered)))
    late = client.post(here(offered, "transfer-agree"), {"side": "giver", "shown": shown_in(stale)})
    assert late.status_code == 422
    assert "The shop has called this transfer off" in words(late)
    assert client.post(here(offered, "transfer-end")).status_code == 422
    assert ownership.owner(wing) == ilka


@pytest.mark.parametrize("side", ["", "shop", "both", "\0"])
def test_a_consent_of_neither_side_is_not_written_down(client, offered, side):
    answer = client.post(here(offered, "transfer-agree"), {"side": side})
    assert (answer.status_code, "Choose which of the two agreed." in words(answer)) == (422, True)


def test_the_code_of_a_side_s_page_leads_the_shop_to_the_transfer(client, offered):
    for side in transfers.SIDES:
        path = transfer_links.path(offered, side)
        for scanned in (f"https://loft.example{path}", path.split("/")[2]):
            assert client.get(reverse("search"), {"q": scanned}).url == here(offered)
    assert client.get(reverse("search"), {"q": f"/o/{'A' * 43}/"}).status_code == 200


def test_only_the_shop_sees_it_and_only_by_its_forms(client, stranger, offered, wing):
    for address in (offering(wing), here(offered)):
        assert stranger.get(address).status_code == 302
    for name in ("transfer-agree", "transfer-end"):
        assert client.get(here(offered, name)).status_code == 405
    for pk in (999, 10**30):
        assert client.get(reverse("transfer", args=[pk])).status_code == 404
        assert client.get(reverse("transfer-offer", args=[pk])).status_code == 404
