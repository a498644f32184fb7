from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.office.forms.materials import MaterialForm
from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop.changes import newest
from tests.office.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


@pytest.fixture
def hose() -> Material:
    library.load()
    catalogue.load()
    return Material.objects.get(code="hose")


def typed(material: Material | None, **changes) -> dict:
    form = MaterialForm(material, "USD", initial={"seen": newest(material) if material else 0})
    shown = {name: form[name].value() for name in form.fields} | changes
    return {name: "" if value is None else value for name, value in shown.items()}


def change(client, material: Material, **changes):
    return client.post(reverse("material", args=[material.pk]), typed(material, **changes))


def test_materials_stand_by_their_unit_with_their_price_and_waste(client, hose):
    page = words(client.get(reverse("materials")))
    assert page.index("By the square metre") < page.index("By the metre") < page.index("By the piece")
    row = page[page.index(str(hose)) :][:600]
    assert all(said in row for said in ("$9.00", "10 %", "$9.90", "1 operation"))


def test_a_shop_without_materials_is_told_where_they_come_from(client):
    assert "No material yet" in words(client.get(reverse("materials")))


@pytest.mark.parametrize(("text", "price"), [("12,50", "12.50"), ("1,234.50", "1234.50"), ("$8", "8.00")])
def test_a_price_is_read_as_people_type_it(client, hose, text, price):
    assert change(client, hose, price=text).status_code == 302
    assert Material.objects.get(pk=hose.pk).price == Decimal(price)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"price": "-3"}, "An amount cannot be below nought."),
        ({"price": "cheap"}, "Write an amount in figures, such as 12.50."),
        ({"price": "12 EUR"}, "The shop counts in USD."),
        ({"price": ""}, "Write an amount, such as 12.50."),
        ({"waste_percent": "200 %"}, "200 % is out of range; write a figure between 0 and 100."),
        ({"waste_percent": "-1"}, "-1 % is out of range"),
        ({"name": "  "}, "Give the material a name."),
        ({"name": "hose CLAMP"}, "The catalogue has “hose CLAMP” already."),
        ({"unit": "piece"}, "Operations use it by this unit; add another material instead."),
        ({"unit": "acre"}, "Choose one of those shown."),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(client, hose, changes, sentence):
    answer = change(client, hose, **changes)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert Material.objects.get(pk=hose.pk).price == hose.price


def test_a_change_is_journalled_from_what_to_what(client, hose):
    change(client, hose, price="11")
    page = words(client.get(reverse("material", args=[hose.pk])))
    assert "<dt>Price</dt><dd><del>$9.00</del>" in page


def test_a_material_switched_off_stays_where_it_is_used_and_is_offered_nowhere_else(client, hose):
    change(client, hose, active="no")
    user = Operation.objects.get(code="hose-replace")
    other = Operation.objects.get(code="canopy-tape")
    option = f"{hose} (m, switched off)"
    assert option in words(client.get(reverse("operation", args=[user.pk])))
    assert str(hose) not in words(client.get(reverse("operation", args=[other.pk])))
    assert "switched off" in words(client.get(reverse("materials")))


def test_a_material_is_added_once_however_often_it_is_sent(client, hose):
    sent = typed(None, name="Leash loop", unit="piece", price="2,20", key="k" * 32)
    for _ in range(2):
        assert client.post(reverse("material-add"), sent)["Location"] == reverse("materials")
    own = Material.objects.get(name="Leash loop")
    assert (own.price, own.unit, own.active) == (Decimal("2.20"), "piece", True)


def test_of_two_who_save_the_second_learns_of_the_first(client, hose):
    early = typed(hose, price="12")
    change(client, hose, price="11")
    answer = client.post(reverse("material", args=[hose.pk]), early)
    assert answer.status_code == 422
    assert "Somebody changed this since you opened the page." in words(answer)
    assert Material.objects.get(pk=hose.pk).price == 11
