"""The pages of the shelf: what they show, what they take, and what they refuse in a sentence."""

import datetime
import html
import re
from collections.abc import Callable
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.work import stock
from shoprepair.work.models import Lot, StockRule
from tests.factories import CustomerFactory, JobFactory
from tests.work.stocking import a_lot, a_material, a_repair, agreed_for

pytestmark = pytest.mark.django_db
EVIL = "<script>alert(1)</script>"


@pytest.fixture
def tomek(bench: Staff, as_person: Callable[[Staff], Client]) -> Client:
    return as_person(bench)


def words(answer: object) -> str:
    """What a page says, without its tags."""
    text = re.sub(r"<(script|style|title)\b.*?</\1>|<[^>]+>", " ", answer.content.decode(), flags=re.DOTALL)
    return " ".join(html.unescape(text).split())


def a_rule(material: object, who: Staff, low: str = "1", up_to: str = "5") -> None:
    stock.change_rule(
        material,
        low_at=Decimal(low),
        order_up_to=Decimal(up_to),
        supplier="Vellum & Reef",
        shelf_months=None,
        who=who,
    )


def receiving(**typed: str) -> dict[str, str]:
    sent = {"code": "KT 77", "quantity": "2,5", "received_on": timezone.localdate().isoformat()}
    return {f"lot-{name}": value for name, value in (sent | typed).items()}


def test_the_shelf_says_what_is_on_hand_reserved_and_free(tomek: Client) -> None:
    cloth = a_material()
    a_lot(cloth)
    agreed_for(a_repair(cloth=(cloth, "0.35")))
    page = words(tomek.get(reverse("stock")))
    assert "Casing cloth On hand 2 m² Reserved 0.35 m² Free 1.65 m²" in page
    assert "1 material, nothing low" in page


def test_the_short_and_the_low_come_first_and_what_was_never_stocked_last(
    tomek: Client, bench: Staff
) -> None:
    names = ["A plenty", "B never", "C low", "D short"]
    plenty, never, low, short = (a_material(name) for name in names)
    for material in (plenty, low):
        a_lot(material)
    a_rule(low, bench, "2", "3")
    agreed_for(a_repair(cloth=(short, "1")))
    page = words(tomek.get(reverse("stock")))
    places = [page.index(name) for name in ("D short", "C low", "A plenty", "B never")]
    assert places == sorted(places)
    assert "1 short 1 low 4 materials in all" in page
    assert "Short by 1 m²" in page
    assert never.name in page


def test_an_empty_shelf_says_where_materials_come_from(tomek: Client) -> None:
    assert "No material yet" in words(tomek.get(reverse("stock")))
    assert "Nothing to order" in words(tomek.get(reverse("stock-order")))


def test_the_search_finds_materials_suppliers_and_lots_that_are_used_up(tomek: Client, bench: Staff) -> None:
    cloth, film = a_material(), a_material("TPU film")
    a_rule(film, bench)
    stock.close(a_lot(cloth, "KV-2204"), stock.Closing.USED_UP, who=bench)

    def found(text: str) -> str:
        return words(tomek.get(reverse("stock"), {"text": text}, headers={"HX-Request": "true"}))

    assert "KV-2204" in found("kv-22")
    assert "TPU film" in found("vellum")
    assert "TPU film" not in found("casing")
    assert "Nothing on the shelf is called that" in found("no such thing")
    assert found("\0" + "x" * 500)
    assert EVIL in found("") + EVIL


def test_a_lot_is_received_with_a_comma_and_dated_by_the_shelf_life(tomek: Client, bench: Staff) -> None:
    cloth = a_material()
    answer = tomek.post(reverse("lot-add", args=[cloth.pk]), receiving(), follow=True)
    lot = Lot.objects.get()
    assert (lot.code, lot.left, lot.expires_on) == ("KT 77", Decimal("2.500"), None)
    assert "Lot KT 77 is on the shelf." in words(answer)


def test_the_same_delivery_sent_twice_came_in_once(tomek: Client) -> None:
    cloth = a_material()
    for _ in range(2):
        answer = tomek.post(reverse("lot-add", args=[cloth.pk]), {**receiving(), "key": "once"})
        assert answer.status_code == 302
    assert Lot.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"code": ""}, "Write the mark"),
        ({"code": "x" * 61}, "At most 60"),
        ({"quantity": ""}, "Write how much."),
        ({"quantity": "-3"}, "cannot be below nought"),
        ({"quantity": "0"}, "more than nought"),
        ({"quantity": "9" * 30}, "cannot be read"),
        ({"quantity": "1e9"}, "cannot be read"),
        ({"quantity": "100000"}, "more than a shop can hold"),
        ({"quantity": EVIL}, "cannot be read"),
        ({"received_on": ""}, "Write the day"),
        ({"received_on": "31/31/31"}, "Write the day as 2031-05-30"),
        ({"received_on": "2999-01-01"}, "still to come"),
        ({"expires_on": "2001-01-01"}, "expired before it came in"),
        ({"expires_on": "9999-12-31"}, "look at the year"),
    ],
)
def test_a_delivery_that_cannot_be_keeps_what_was_typed(
    tomek: Client, typed: dict[str, str], said: str
) -> None:
    cloth = a_material()
    answer = tomek.post(reverse("lot-add", args=[cloth.pk]), receiving(note="of the blue roll", **typed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert b'value="of the blue roll"' in answer.content
    assert EVIL.encode() not in answer.content
    assert not Lot.objects.exists()


def test_marks_and_names_are_shown_as_written_and_run_nothing(tomek: Client, bench: Staff) -> None:
    cloth = a_material(f"Cloth {EVIL}"[:80], unit="m2", waste=0)
    lot = a_lot(cloth, EVIL)
    job = JobFactory(customer=CustomerFactory(name=EVIL))
    stock.use(lot, Decimal(1), job=job, who=bench)
    a_rule(cloth, bench, "4", "5")
    pages = ["stock", "stock-order"]
    addresses = [reverse(name) for name in pages] + [
        lot_page(lot),
        reverse("material-stock", args=[cloth.pk]),
    ]
    for address in addresses:
        assert EVIL.encode() not in tomek.get(address).content, address


def lot_page(lot: Lot) -> str:
    return reverse("lot", args=[lot.pk])


def test_the_rule_is_kept_and_its_figures_are_in_the_journal(tomek: Client) -> None:
    cloth = a_material()
    typed = {"low_at": "1,5", "order_up_to": "20 m2", "supplier": "Vellum & Reef", "shelf_months": "18"}
    tomek.post(reverse("stock-rule", args=[cloth.pk]), {f"rule-{name}": text for name, text in typed.items()})
    rule = StockRule.objects.get()
    assert (rule.low_at, rule.order_up_to, rule.shelf_months) == (Decimal("1.500"), Decimal(20), 18)
    said = "Low at 1.5 m²; ordered up to 20 m² from Vellum & Reef. It keeps for 18 months."
    assert journal.entries(stock.shelf_of(cloth)).first().text == said


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"low_at": "-1"}, "cannot be below nought"),
        ({"low_at": "many"}, "cannot be read"),
        ({"low_at": "30"}, "at least what counts as low"),
        ({"shelf_months": "-1"}, "or leave it empty"),
        ({"shelf_months": "99999999999999999999"}, "240 months at most"),
        ({"shelf_months": "1.5"}, "whole months"),
        ({"supplier": "x" * 121}, "At most 120"),
    ],
)
def test_a_rule_that_cannot_be_is_refused_in_a_sentence(
    tomek: Client, typed: dict[str, str], said: str
) -> None:
    cloth = a_material()
    sent = {"low_at": "1", "order_up_to": "20", "supplier": "", "shelf_months": ""} | typed
    answer = tomek.post(
        reverse("stock-rule", args=[cloth.pk]), {f"rule-{name}": text for name, text in sent.items()}
    )
    assert answer.status_code == 422
    assert said in words(answer)
    assert not StockRule.objects.exists()


def test_a_lot_names_every_repair_that_has_it_in_it(tomek: Client, bench: Staff) -> None:
    cloth = a_material()
    lot, repair = a_lot(cloth), a_repair(cloth=(cloth, "0.35"))
    job = repair.damage.job
    stock.use(lot, Decimal("0.35"), job=job, repair=repair, who=bench)
    answer = tomek.get(lot_page(lot))
    assert f"Job {job} {job.customer} damage {repair.damage.number}, Casing patch" in words(answer)
    assert f'href="{job.get_absolute_url()}"'.encode() in answer.content


def test_a_lot_that_nobody_used_says_so(tomek: Client) -> None:
    assert "None yet. Whatever a step takes" in words(tomek.get(lot_page(a_lot(a_material()))))


def test_a_count_with_a_reason_is_kept(tomek: Client) -> None:
    lot = a_lot(a_material())
    sent = {"count-found": "1,25", "count-reason": "Stained end.", "count-version": "1"}
    answer = tomek.post(reverse("lot-count", args=[lot.pk]), sent, follow=True)
    assert "Counted 1.25 m² instead of 2 m²: Stained end." in words(answer)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"found": ""}, "Write how much."),
        ({"found": "-1"}, "cannot be below nought"),
        ({"found": "9999999"}, "more than a shop can hold"),
        ({"reason": "  "}, "Say why the count differs"),
        ({"reason": "…"}, "Say why the count differs"),
        ({"reason": "x" * 201}, "At most 200"),
        ({"version": "9"}, "Somebody has changed lot A1"),
    ],
)
def test_a_count_that_cannot_be_is_refused_in_a_sentence(
    tomek: Client, typed: dict[str, str], said: str
) -> None:
    lot = a_lot(a_material())
    sent = {"found": "1", "reason": "Stained.", "version": "1"} | typed
    answer = tomek.post(
        reverse("lot-count", args=[lot.pk]), {f"count-{name}": text for name, text in sent.items()}
    )
    assert answer.status_code == 422
    assert said in words(answer)
    assert Lot.objects.get().left == 2


def test_a_lot_is_closed_with_its_reason_and_opened_again(tomek: Client) -> None:
    lot = a_lot(a_material())
    address = reverse("lot-close", args=[lot.pk])
    assert "Choose why." in words(tomek.post(address, {}))
    assert "Choose one of those shown." in words(tomek.post(address, {"why": "eaten"}))
    assert "Closed it: thrown away, 2 m² left." in words(
        tomek.post(address, {"why": "thrown-away"}, follow=True)
    )
    assert "Opened it again." in words(tomek.post(address, {"again": "yes"}, follow=True))


def test_the_order_stands_under_its_supplier(tomek: Client, bench: Staff) -> None:
    cloth = a_material()
    a_rule(cloth, bench)
    page = words(tomek.get(reverse("stock-order")))
    assert "Material On hand Reserved Order When it has come Ordered Casing cloth" in page
    assert page.index("Vellum & Reef") < page.index("5 m² Casing cloth")
    assert "It came : Casing cloth" in page


def test_the_list_is_there_as_text_to_be_sent_and_what_came_is_received_from_it(
    tomek: Client, bench: Staff
) -> None:
    cloth = a_material()
    a_rule(cloth, bench)
    page = tomek.get(reverse("stock-order")).content.decode()

    assert "readonly>5 m²  Casing cloth</textarea>" in page
    assert f'href="{reverse("material-stock", args=[cloth.pk])}#receive-title"' in page


def test_pages_of_what_is_not_there_are_not_found(tomek: Client) -> None:
    for name in ("lot", "material-stock"):
        for pk in (99, 10**30):
            assert tomek.get(reverse(name, args=[pk])).status_code == 404


def test_a_stranger_sees_no_shelf(stranger: Client) -> None:
    lot = a_lot(a_material())
    for address in (reverse("stock"), reverse("stock-order"), lot_page(lot)):
        assert stranger.get(address).status_code == 302


def test_the_shelf_costs_no_more_with_many_lots_and_uses(
    tomek: Client, bench: Staff, django_assert_max_num_queries
) -> None:
    cloth = a_material()
    many = a_lot(cloth, "many", "50")
    tomek.get(reverse("stock"))
    for place in range(6):
        other, repair = a_material(f"Cloth {place}"), a_repair(cloth=(cloth, "0.5"))
        agreed_for(repair)
        for lot in (many, a_lot(cloth, f"L{place}", expires_in=place), a_lot(other, f"M{place}")):
            stock.use(lot, Decimal("0.1"), job=repair.damage.job, repair=repair, who=bench)
    for address, most in [
        (reverse("stock"), 8),
        (reverse("stock-order"), 8),
        (reverse("material-stock", args=[cloth.pk]), 15),
        (lot_page(many), 6),
    ]:
        with django_assert_max_num_queries(most):
            tomek.get(address)


def test_what_expires_soon_and_what_has_expired_stands_beside_the_level(tomek: Client) -> None:
    cloth = a_material()
    a_lot(cloth, "old", "1", expires_in=-1)
    a_lot(cloth, "soon", "0.5", expires_in=10)
    until = timezone.localdate() + datetime.timedelta(days=10)
    page = words(tomek.get(reverse("stock")))
    assert "1 m² more, expired: not counted as on hand" in page
    assert f"0.5 m² to use by {until:%-d %b %Y}" in page


def test_the_job_sheet_names_the_lots_that_went_into_the_job(tomek: Client, bench: Staff) -> None:
    cloth = a_material()
    lot, repair = a_lot(cloth), a_repair(cloth=(cloth, "0.35"))
    job = repair.damage.job
    assert "Materials in it" not in words(tomek.get(job.get_absolute_url()))
    stock.use(lot, Decimal("0.35"), job=job, repair=repair, who=bench)
    answer = tomek.get(job.get_absolute_url())
    said = f"Materials in it Casing cloth , lot A1 damage {repair.damage.number} 0.35 m²"
    assert said in words(answer)
    assert f'href="{lot_page(lot)}"'.encode() in answer.content
