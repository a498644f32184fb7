"""The cloths of the library: what each holds, and which patterns are cut from it."""

import pytest
from django.urls import reverse

from shoprepair.gear.models import Cloth, Pattern
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import (
    CanopyClothFactory,
    ClothFactory,
    PatternFactory,
)
from tests.office.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


@pytest.fixture
def wing(db) -> Pattern:
    """A wing of the library; of its figures the seam efficiency is assumed."""
    return PatternFactory(name="Petrel 5.0", assumed=["seam_efficiency"])


# Cloths
def cloth_typed(**changes: str) -> dict[str, str]:
    return {
        "name": "High-tenacity casing cloth 210",
        "use": "casing",
        "weight_g_per_m2": "210",
        "strength_warp_n_per_m": "44.5",
        "strength_weft_n_per_m": "41",
        "yarns_warp_per_m": "21",
        "yarns_weft_per_m": "20",
        "stiffness_n_per_m": "700",
        "measured": "measured",
        "source": "Pulled in our own clamp, five strips.",
        "key": "one",
        **changes,
    }


def test_the_table_says_what_each_cloth_holds_and_how_that_is_known(client):
    ClothFactory()
    CanopyClothFactory(measured=True)
    page = words(client.get(reverse("cloths")))

    assert '<td class="is-number" data-what="Warp">50.00 kN/m</td>' in page
    assert "<td>measured or published</td>" in page
    assert '<td><span class="assumed">assumed</span></td>' in page
    assert "invented for tests" in page


def test_a_new_cloth_is_kept_in_si_units(client):
    answer = client.post(reverse("cloth-add"), cloth_typed())
    cloth = Cloth.objects.get()

    assert answer["Location"] == reverse("cloths")
    assert (cloth.strength_warp_n_per_m, cloth.strength_weft_n_per_m) == (44_500, 41_000)
    assert (cloth.yarns_warp_per_m, cloth.stiffness_n_per_m, cloth.measured) == (2100, 700_000, True)


def test_yarns_are_counted_per_inch_by_whoever_measures_in_inches(client, owner):
    Staff.objects.filter(pk=owner.pk).update(length_unit="in")
    client.post(reverse("cloth-add"), cloth_typed(yarns_warp_per_m="50"))

    assert Cloth.objects.get().yarns_warp_per_m == pytest.approx(1968.5, abs=0.01)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("name", "", "Give the cloth a name."),
        ("strength_warp_n_per_m", "35000", "35000 is out of range; write a figure between 0.5 and 200."),
        ("strength_weft_n_per_m", "", "Write a figure between 0.5 and 200."),
        ("weight_g_per_m2", "light", "“light” is no number"),
        ("use", "sail", "Choose one of those shown."),
    ],
)
def test_a_cloth_that_cannot_be_is_refused(client, field, text, sentence):
    answer = client.post(reverse("cloth-add"), cloth_typed(**{field: text}))

    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not Cloth.objects.exists()


def test_two_cloths_never_share_a_name(client):
    ClothFactory(name="High-tenacity casing cloth 210")
    answer = client.post(reverse("cloth-add"), cloth_typed())

    assert "The library has High-tenacity casing cloth 210 already." in words(answer)


def test_a_cloths_strength_counts_for_every_pattern_cut_from_it(client, wing, owner):
    cloth = wing.casing
    shown = {
        "name": cloth.name,
        "weight_g_per_m2": "170",
        "strength_warp_n_per_m": "40",
        "strength_weft_n_per_m": "45",
        "yarns_warp_per_m": "18",
        "yarns_weft_per_m": "18",
        "stiffness_n_per_m": "250",
        "seen": "0",
    }
    answer = client.post(reverse("cloth-edit", args=[cloth.pk]), cloth_typed(**shown))
    assert answer.status_code == 302

    cloth.refresh_from_db()
    assert (cloth.strength_warp_n_per_m, cloth.measured) == (40_000, True)
    assert Pattern.objects.get(pk=wing.pk).version == 2
    changes = journal.entries(cloth).get().changes
    assert changes["strength_warp_n_per_m"] == [50_000, 40_000]
    page = words(client.get(reverse("cloth-edit", args=[cloth.pk])))
    assert "<del>50 kN/m</del>" in page
