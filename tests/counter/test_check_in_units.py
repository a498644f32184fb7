import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


def test_a_person_reads_in_their_own_units_whatever_the_shop_uses(as_person, counter):
    client = as_person(counter)
    page = client.get(reverse("my-units")).content.decode()
    assert "As the shop: bar" in page
    chosen = {"pressure_unit": "psi", "length_unit": "in", "temperature_unit": "°F"}
    assert client.post(reverse("my-units"), chosen, follow=True).status_code == 200
    counter.refresh_from_db()
    assert (counter.pressure_unit, counter.length_unit, counter.temperature_unit) == ("psi", "in", "°F")


def test_going_back_to_the_shops_units_is_choosing_nothing(as_person, counter):
    counter.pressure_unit = "psi"
    counter.save()
    as_person(counter).post(reverse("my-units"), {"pressure_unit": "", "length_unit": ""})
    counter.refresh_from_db()
    assert counter.pressure_unit == ""


def test_a_unit_that_does_not_exist_is_refused(as_person, counter):
    response = as_person(counter).post(reverse("my-units"), {"pressure_unit": "<b>furlong</b>"})
    assert response.status_code == 422
    assert "<b>furlong" not in response.content.decode()
    counter.refresh_from_db()
    assert counter.pressure_unit == ""
