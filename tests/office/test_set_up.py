from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.gear.models import Pattern
from shoprepair.office.first_steps import CODES, first_steps, next_open
from shoprepair.papers import bag_tag
from shoprepair.pricing import catalogue, rules, starting
from shoprepair.pricing.catalogue_changes import change_material
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry, Shop, Staff
from shoprepair.shop.settings import current
from tests import shelves
from tests.factories import JobFactory, QuoteFactory
from tests.papers.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def patterns(db):
    """A new shop has the library."""
    shelves.patterns()


@pytest.fixture
def owner_in(client, owner):
    client.force_login(owner)
    return client


def fields(page):
    """What a form of the page would send as it stands."""
    return {
        name: page.context["form"][name].value()
        for name in page.context["form"].fields
        if page.context["form"][name].value() is not None
    }


def rows(page):
    return {
        f"{row.prefix}-{name}": row[name].value() or ""
        for row in page.context["form"].rows
        for name in row.fields
    }


@pytest.mark.parametrize(
    ("accepted", "currency", "paper", "pressure", "length"),
    [
        ("nb-NO,nb;q=0.9", "NOK", "A4", "bar", "mm"),
        ("en-US", "USD", "Letter", "psi", "in"),
        ("de", "EUR", "A4", "bar", "mm"),
        ("pt-BR", "BRL", "A4", "bar", "mm"),
    ],
)
def test_the_country_of_the_browser_fills_in_what_is_usual_there(
    owner_in, accepted, currency, paper, pressure, length
):
    page = owner_in.get(reverse("set-up-shop"), headers={"accept-language": accepted})
    owner_in.post(reverse("set-up-shop"), fields(page))

    shop = current()
    assert (shop.currency, shop.paper, shop.pressure_unit, shop.length_unit) == (
        currency,
        paper,
        pressure,
        length,
    )


@pytest.mark.parametrize(("accepted", "day"), [("en-US", 6), ("en-CA", 6), ("de-DE", 0), ("ar-EG", 5)])
def test_the_week_begins_as_calendars_do_in_the_country(owner_in, accepted, day):
    page = owner_in.get(reverse("set-up-shop"), headers={"accept-language": accepted})
    assert page.context["form"]["week_begins"].value() == day
    owner_in.post(reverse("set-up-shop"), fields(page))
    assert current().week_begins == day


@pytest.mark.parametrize("new_in", ["its settings", "its jobs"])
def test_a_shop_that_runs_is_shown_its_own_values_and_none_of_the_browsers_country(owner_in, new_in):
    if new_in == "its jobs":
        JobFactory()
        own = ("USD", "UTC", "A4", "bar")
    else:
        Shop.objects.update(currency="GBP", time_zone="Europe/London")
        own = ("GBP", "Europe/London", "A4", "bar")
    page = owner_in.get(reverse("set-up-shop"), headers={"accept-language": "en-US"})
    form = page.context["form"]

    asked = ("currency", "time_zone", "paper", "pressure_unit")
    assert tuple(str(form[name].value()) for name in asked) == own
    assert page.context["country"] == ("GB" if new_in == "its settings" else "")


def test_a_shop_that_has_quoted_is_shown_its_own_rate_and_tax_and_prices_to_the_cent(owner_in):
    catalogue.load()
    Shop.objects.update(time_zone="Europe/London", currency="NOK")
    QuoteFactory()
    page = owner_in.get(reverse("set-up-prices"))

    assert page.context["form"]["hourly_rate"].value() == str(rules.current().hourly_rate)
    assert page.context["form"]["tax_percent"].value() == "8"
    assert any(one.amount % 1 for one in page.context["examples"])
    assert "These are the shop’s own figures" in page.content.decode()


def test_prices_set_in_another_money_are_not_raised_to_its_level_once_more(owner_in):
    catalogue.load()
    Shop.objects.update(currency="NOK")
    before = owner_in.get(reverse("set-up-prices"))
    owner_in.post(reverse("set-up-prices"), fields(before))
    after = owner_in.get(reverse("set-up-prices"))

    said = [
        (one.amount, again.amount)
        for one, again in zip(before.context["examples"], after.context["examples"], strict=True)
    ]
    assert said
    assert all(abs(one - again) < one / 10 for one, again in said)


def test_another_country_fills_in_its_own_and_keeps_what_was_typed(owner_in):
    page = owner_in.post(reverse("set-up-shop"), {"country": "CH", "phone": "+41 000", "fill": "1"})

    form = page.context["form"]
    assert page.status_code == 200
    assert (form["currency"].value(), form["time_zone"].value()) == ("CHF", "Europe/Zurich")
    assert form["phone"].value() == "+41 000"
    assert current().currency != "CHF"


def test_a_slip_is_said_beside_its_field_and_the_step_stays_open(owner_in):
    page = owner_in.get(reverse("set-up-shop"))
    refused = owner_in.post(reverse("set-up-shop"), fields(page) | {"currency": "pounds"})

    assert refused.status_code == 422
    assert "A currency has three letters" in refused.content.decode()
    assert not any(step.done for step in first_steps(current()))


def test_one_hourly_rate_prices_the_catalogue_in_the_shops_money(owner_in):
    Shop.objects.update(currency="NOK")
    page = owner_in.get(reverse("set-up-prices"))
    owner_in.post(reverse("set-up-prices"), fields(page) | {"hourly_rate": "850"})

    dearest = max(material.price for material in Material.objects.all())
    assert rules.current().hourly_rate == Decimal(850)
    assert rules.current().minimum_charge == Decimal(250)
    assert Operation.objects.filter(active=True).count() >= 30
    assert dearest == Decimal(880)


@pytest.mark.parametrize(
    ("zone", "percent"), [("Europe/Berlin", "19"), ("Europe/Oslo", "25"), ("America/New_York", "8")]
)
def test_the_usual_tax_of_the_place_is_proposed_for_the_owner_to_check(owner_in, zone, percent):
    Shop.objects.update(time_zone=zone)
    page = owner_in.get(reverse("set-up-prices"))
    assert page.context["form"]["tax_percent"].value() == percent


def test_a_material_that_somebody_priced_keeps_its_price(owner_in, owner):
    catalogue.load()
    priced = Material.objects.order_by("-price").first()
    change_material(priced, who=owner, seen=0, price=Decimal(111))
    Shop.objects.update(currency="NOK")
    owner_in.post(reverse("set-up-prices"), fields(owner_in.get(reverse("set-up-prices"))))

    priced.refresh_from_db()
    assert priced.price == 111


def test_what_gear_costs_new_comes_to_the_level_of_the_shops_money(owner_in, owner):
    corrected, brought = Pattern.objects.filter(measured_here=False).order_by("pk")[:2]
    journal.record(corrected, "pattern.changed", "Corrected.", who=owner)
    Shop.objects.update(currency="NOK")
    dollars, own = brought.new_price, corrected.new_price
    owner_in.post(reverse("set-up-prices"), fields(owner_in.get(reverse("set-up-prices"))))
    library.load()

    brought.refresh_from_db()
    corrected.refresh_from_db()
    assert brought.new_price == starting.rounded(dollars * 10, "NOK")
    assert corrected.new_price == own


def test_what_gear_costs_new_stays_empty_where_the_level_of_the_money_is_not_known(owner_in):
    Shop.objects.update(currency="MWK")
    owner_in.post(reverse("set-up-prices"), fields(owner_in.get(reverse("set-up-prices"))))

    assert not Pattern.objects.filter(measured_here=False).exclude(new_price=None).exists()


def test_once_a_quote_is_written_its_materials_are_left_alone(owner_in):
    catalogue.load()
    before = dict(Material.objects.values_list("code", "price"))
    QuoteFactory()
    Shop.objects.update(currency="NOK")
    owner_in.post(reverse("set-up-prices"), fields(owner_in.get(reverse("set-up-prices"))))

    assert dict(Material.objects.values_list("code", "price")) == before


def test_the_examples_follow_the_rate_and_nothing_is_kept(owner_in):
    before = rules.current().hourly_rate
    sent = fields(owner_in.get(reverse("set-up-prices")))
    tried = owner_in.post(reverse("set-up-prices"), sent | {"hourly_rate": "200", "try": "1"})

    assert tried.status_code == 200
    assert rules.current().hourly_rate == before


def test_the_library_may_be_enough(owner_in):
    count = Pattern.objects.count()
    sent = fields(owner_in.get(reverse("set-up-pattern")))
    answer = owner_in.post(reverse("set-up-pattern"), sent)

    assert answer["Location"] == reverse("set-up-people")
    assert Pattern.objects.count() == count


def test_six_figures_draw_a_pattern_that_stands_in_the_library(owner_in):
    sent = fields(owner_in.get(reverse("set-up-pattern"))) | {
        "choice": "ours",
        "name": "Gull 4.2",
        "span": "3.1 m",
    }
    tried = owner_in.post(reverse("set-up-pattern"), sent | {"try": "1"}, headers={"hx-request": "true"})
    assert "<svg" in tried.content.decode()
    assert not Pattern.objects.filter(name="Gull 4.2").exists()

    owner_in.post(reverse("set-up-pattern"), sent)
    owner_in.post(reverse("set-up-pattern"), sent)
    made = Pattern.objects.get(name="Gull 4.2")
    assert not made.measured_here
    assert "area_m2" in made.assumed
    assert made.tubes.count() == 3


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"struts": "4"}, "odd in number"),
        ({"span": ""}, "This is needed to draw it"),
        ({"diameter_tip": "400 mm"}, "no more than at the centre"),
        ({"pressure": "50 bar"}, "50 bar"),
    ],
)
def test_figures_that_clash_are_said_and_draw_nothing(owner_in, changes, sentence):
    sent = fields(owner_in.get(reverse("set-up-pattern"))) | {"choice": "ours", "name": "Gull"}
    refused = owner_in.post(reverse("set-up-pattern"), sent | changes)

    assert refused.status_code == 422
    assert sentence in refused.content.decode()
    assert not Pattern.objects.filter(name="Gull").exists()


def test_a_name_is_enough_to_let_somebody_in(owner_in, client):
    page = owner_in.get(reverse("set-up-people"))
    sent = rows(page) | {"key": page.context["key"], "p1-name": "Søren Bræk", "p2-name": "Ute Öl"}
    for _ in range(2):
        assert owner_in.post(reverse("set-up-people"), sent)["Location"] == reverse("set-up-tag")

    added = {person.username: person for person in Staff.objects.exclude(role="owner")}
    assert {name: person.role for name, person in added.items()} == {"ute": "counter", "soren": "bench"}
    assert added["ute"].check_password(sent["p2-password"])


def test_one_wrong_row_adds_nobody_and_keeps_what_was_typed(owner_in, owner):
    page = owner_in.get(reverse("set-up-people"))
    sent = rows(page) | {"p1-name": "Ada", "p2-name": "Bo", "p2-username": owner.username}
    refused = owner_in.post(reverse("set-up-people"), sent)

    assert refused.status_code == 422
    assert "Somebody logs in as" in refused.content.decode()
    assert sent["p1-password"] in refused.content.decode()
    assert Staff.objects.count() == 1


def test_two_of_one_first_name_cannot_log_in_by_it_both(owner_in):
    sent = rows(owner_in.get(reverse("set-up-people"))) | {"p1-name": "Ada Berg", "p2-name": "Ada Dahl"}
    assert owner_in.post(reverse("set-up-people"), sent).status_code == 422


@pytest.mark.parametrize("paper", ["62", "100", "sheet"])
def test_a_trial_tag_is_printed_on_each_paper_before_any_job(owner_in, paper):
    tag = owner_in.get(reverse("set-up-trial"), {"tag_paper": paper})
    assert tag.content.startswith(b"%PDF")


def test_a_trial_tag_promises_no_day_on_which_the_shop_is_closed():
    shop = current()
    shop.working_hours = {str(day): ["09:00", "17:30"] for day in range(6)}
    shop.usual_days = 10
    shop.save()

    with time_machine.travel("2026-11-26 12:00Z", tick=False):
        tag = bag_tag.render_trial(Pattern.objects.all()[0], paper="62", base_url="http://shop.example")

    assert "promised Mon 7 Dec 2026" in text(tag)


def test_a_shop_that_took_gear_in_is_led_to_the_next_and_not_to_the_first(owner_in):
    assert "Check in the first wing" in owner_in.get(reverse("set-up")).content.decode()

    JobFactory()

    page = owner_in.get(reverse("set-up")).content.decode()
    assert "Check in the next" in page
    assert "Check in the first wing" not in page


def test_each_step_can_be_left_for_later_and_is_come_back_to(owner_in, owner):
    page = owner_in.get(reverse("set-up"))
    assert page.context["next"].code == "shop"

    for code in CODES[1:]:
        owner_in.get(reverse(f"set-up-{code}"))
    owner_in.post(reverse("set-up-tag"), {"tag_paper": "100"})

    assert [step.code for step in first_steps(current()) if step.done] == ["tag"]
    assert next_open(first_steps(current())).code == "shop"
    assert current().tag_paper == "100"


def test_a_step_done_twice_stands_once_in_the_journal(owner_in):
    for _ in range(2):
        owner_in.post(reverse("set-up-tag"), {"tag_paper": "62"})
    assert JournalEntry.objects.filter(verb="set-up.tag").count() == 1
