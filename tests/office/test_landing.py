"""The owner's evening: what wants a decision, what came in, who has time; each number with its list."""

import datetime
import re
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.cover.models import Claim
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.office.first_steps import mark_done
from shoprepair.pricing.models import Quote
from shoprepair.shop.models import Shop
from shoprepair.shop.settings import current
from shoprepair.shop.units import say_bench_time
from shoprepair.shop.weeks import IsoWeek
from shoprepair.work import used_hours
from shoprepair.work.models import BenchHours, Forecast
from tests.factories import JobFactory, QuoteFactory, QuoteLineFactory
from tests.office import years

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def words(client) -> str:
    return " ".join(client.get(reverse("office")).content.decode().split())


def numbers(page: str) -> dict[str, tuple[str, str]]:
    """Each big number by its label, with the address behind it."""
    found = re.findall(r'<a href="([^"]*)"[^>]*><b class="numeral">([^<]*)</b> <span>([^<]*)</span>', page)
    return {label: (said, address) for address, said, label in found}


def promised(days: int, **facts: object) -> Job:
    facts = {"stage": Stage.BENCH, **facts}
    return JobFactory(promised_on=timezone.localdate() + days * DAY, **facts)


def quote_out(days: int, amount: int = 100, currency: str = "USD", valid: int = 14) -> Job:
    """A quote without tax that went out so many days ago."""
    sent = timezone.now() - days * DAY
    job = promised(5, stage=Stage.QUOTE_OUT)
    quote = QuoteFactory(job=job, tax_percent=0, currency=currency, valid_until=sent.date() + valid * DAY)
    QuoteLineFactory(quote=quote, amount=Decimal(amount))
    Quote.objects.filter(pk=quote.pk).update(state="out", sent_at=sent)
    return job


def test_an_empty_shop_says_what_to_do_next(client):
    page = words(client)

    assert "nothing has come in yet" in page
    assert "Check in the first wing" in page
    for name in ("set-up-shop", "set-up-prices", "set-up-pattern", "set-up-people", "set-up-tag", "check-in"):
        assert f'href="{reverse(name)}"' in page
    assert numbers(page) == {}


def test_what_is_set_up_already_is_ticked_off(client, owner):
    assert words(client).count("evening-done") == 0
    mark_done("people", current(), who=owner)
    assert words(client).count("evening-done") == 1


def test_every_number_has_the_address_of_the_list_behind_it(client):
    promised(5, band="Grounded", urgency=99, rank=1)
    promised(0, hold=Hold.CUSTOMER)
    promised(-2)
    promised(-9, is_open=False, stage=Stage.HANDED_BACK)
    soon = promised(1, stage=Stage.READY)
    Job.objects.filter(pk=soon.pk).update(stage=Stage.BENCH)
    dates = {"likely_on": soon.promised_on + DAY, "late_on": soon.promised_on + 2 * DAY}
    Forecast.objects.create(job=soon, **dates, reason={}, made_at=timezone.now())
    promised(-1, stage=Stage.READY)
    week = IsoWeek.of(timezone.now())
    still_to_come = used_hours.together(used_hours.of_week(week, timezone.now())).free

    assert numbers(words(client)) == {
        "claims to decide": ("0", "/office/claims/"),
        "late": ("1", "/office/late/#late"),
        "about to be late": ("1", "/office/late/#soon"),
        "quotes wait": ("0", "/office/quotes/"),
        "to order": ("0", "/bench/stock/order/"),
        "quoted": ("$0.00", f"/office/money/{week}/#quoted"),
        "agreed": ("$0.00", f"/office/money/{week}/#agreed"),
        "done": ("$0.00", f"/office/money/{week}/#done"),
        "paid": ("$0.00", f"/office/money/{week}/#paid"),
        "used": ("0 min", f"/office/bench/{week}/"),
        "free": (say_bench_time(still_to_come), f"/office/bench/{week}/"),
        "open": ("5", "/"),
        "grounded": ("1", "/?band=Grounded"),
        "waiting for the customer": ("1", "/?hold=customer"),
        "ready to fetch": ("1", "/?stage=ready"),
    }


@pytest.mark.parametrize("query", ["?band=Grounded", "?hold=customer", "?stage=ready"])
def test_the_rack_understands_the_addresses_of_the_big_numbers(client, query):
    promised(1)
    wanted = promised(1, band="Grounded", hold=Hold.CUSTOMER, stage=Stage.READY)
    page = client.get(f"/{query}").content.decode()

    assert re.findall(r'class="row-tag tagnumber"[^>]*>(\d+)<', page) == [str(wanted)]


def test_what_wants_a_decision_tonight_is_named_claims_first(client):
    years.ten_years(jobs=60)
    page = words(client)
    claims = list(Claim.objects.filter(decision=""))
    _, _, first = page.partition('id="first"')
    first, _, _ = first.partition("</section>")

    assert re.findall(r"<strong>(\w+)</strong>", first) == ["Claim", "Claim", "Late", "Late", "Quote"]
    for claim in claims:
        assert f'href="{reverse("claim", args=[claim.job.number, claim.damage.number])}"' in first
    assert "waits 3 days" in first
    assert "6 days late" in first
    assert re.search(r"\$[\d.]+, ran out", first)


def test_a_calm_evening_says_that_nothing_waits(client):
    quote_out(1)
    page = words(client)

    assert (
        "Nothing. No claim is open, no job is late, and every quote that is out can still be answered."
        in page
    )
    assert "the longest waits 1 day" in page


def test_a_quote_that_is_about_to_run_out_is_named_while_somebody_can_still_ring(client):
    quote_out(3, 40, valid=5)
    page = words(client)

    assert "<small>1 about to run out</small>" in page
    assert "$40.00, 2 days left" in page.partition('id="first"')[2]
    listed = " ".join(client.get(reverse("quotes-waiting")).content.decode().split())
    assert '<b class="evening-soon">' in listed


def test_quotes_of_two_currencies_are_never_added(client):
    Shop.objects.update_or_create(pk=1, defaults={"currency": "EUR"})
    quote_out(0, 120, "USD")
    quote_out(0, 80, "EUR")
    quote_out(9, 40, "EUR", valid=7)
    page = words(client)

    assert (
        "<small>€120.00 and $120.00</small> <small>the longest waits 9 days</small> <small>1 ran out</small>"
        in page
    )
    assert numbers(page)["quoted"][0] == "€80.00"
    assert "<small>and $120.00</small>" in page


def test_weeks_stand_beside_one_another_once_there_are_two(client):
    quote_out(0)
    assert "as soon as money moved in two of them" in words(client)

    quote_out(7)
    page = words(client)
    assert "Money of the last 8 weeks in USD" in page
    assert len(re.findall(r'class="evening-week"', page)) == 8


def test_the_kinds_of_money_are_named_in_the_readers_language(client, owner):
    quote_out(0, 100)
    quote_out(8, 60)
    owner.language = "de"
    owner.save()
    page = words(client)

    assert {"angeboten", "zugestimmt", "erledigt", "bezahlt"} <= set(numbers(page))
    assert "Angeboten</text>" in page
    assert "Quoted" not in page


def test_bench_hours_that_nobody_entered_are_said_to_be_assumed(client, owner):
    promised(1)
    assert "six hours on each weekday are assumed" in words(client)

    BenchHours.objects.create(who=owner, minutes=[60] * 7)
    assert "are assumed" not in words(client)


@pytest.mark.parametrize("jobs", [20, 100])
def test_the_evening_costs_the_same_whatever_the_age_of_the_shop(
    client, jobs, django_assert_num_queries, settings, tmp_path
):
    settings.BACKUP_DIR = tmp_path
    years.ten_years(jobs=jobs)
    words(client)
    with django_assert_num_queries(27):
        words(client)


def test_every_place_of_the_office_is_a_tap_away(client):
    places = (
        "settings",
        "load-figures",
        "people",
        "patterns",
        "cloths",
        "claims",
        "mail-texts",
        "work-rules",
        "office-self-check",
    )
    for _ in ("empty", "with a job"):
        page = words(client)
        assert [f'href="{reverse(name)}"' in page for name in places] == [True] * len(places)
        promised(1)
