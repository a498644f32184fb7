"""Whatever is sent to the price pages, the answer is a page or a refusal, and the figures stay sound."""

import random

import pytest
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.office.forms.operations import OperationForm
from shoprepair.office.forms.price_rules import PriceRulesForm
from shoprepair.pricing import catalogue, rules
from shoprepair.pricing.models import Material, Operation
from shoprepair.shop.units import Units
from tests.test_junk import JUNK

pytestmark = pytest.mark.django_db

SOUND = ("5", "0", "1", "12,5", "on", "each", "m2", "casing", "yes", "0.05", "Sew.")
ROUNDS = 20


@pytest.fixture
def client(as_person, owner):
    library.load()
    catalogue.load()
    client = as_person(owner)
    client.raise_request_exception = False
    return client


def addresses() -> dict[str, list[str]]:
    rows = [f"row{n}-{name}" for n in range(3) for name in ("material", "quantity", "basis")]
    operation = [*OperationForm(None).fields, *rows, "try", "active", "text", "area", "use"]
    material = ["name", "unit", "price", "waste_percent", "active", "seen", "key"]
    tape, hose = Operation.objects.get(code="canopy-tape").pk, Material.objects.get(code="hose").pk
    return {
        reverse("catalogue"): operation,
        reverse("operation-add"): operation,
        reverse("operation", args=[tape]): operation,
        reverse("operation-switch", args=[tape]): operation,
        reverse("operation-minutes", args=[tape]): ["version"],
        reverse("material-add"): material,
        reverse("material", args=[hose]): material,
        reverse("price-rules"): [*PriceRulesForm(rules.current(), Units(), "USD").fields, "try"],
    }


def test_junk_is_answered_and_never_kept(client):
    chance, broken = random.Random(11), []
    for address, fields in addresses().items():
        for _ in range(ROUNDS):
            sent = {field: chance.choice(JUNK + SOUND) for field in fields if chance.random() < 0.8}
            for send in (client.get, client.post):
                answer = send(address, sent, headers=chance.choice(({}, {"HX-Request": "true"})))
                if answer.status_code >= 500:
                    broken.append((address, answer.request["REQUEST_METHOD"], sent))
    assert not broken, broken[0]
    for row in [*Operation.objects.all(), *Material.objects.all(), rules.current()]:
        row.full_clean(validate_unique=False)
