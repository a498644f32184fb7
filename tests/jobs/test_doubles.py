import pytest

from shoprepair.jobs import search
from shoprepair.jobs.doubles import likely_doubles
from tests.factories import CustomerFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def ida():
    customer = CustomerFactory(name="Ída Quist-Åberg", phone="+47 555 01 990", email="ida@example.org")
    search.index(customer)
    return customer


@pytest.mark.parametrize(
    ("name", "phone", "email"),
    [
        ("Ida Quist-Aberg", "", ""),
        ("åberg quist ída", "", ""),
        ("Somebody", "5550 1990", ""),
        ("Somebody", "0047 555-01-990", ""),
        ("Somebody", "", "Ida@Example.org "),
    ],
)
def test_the_same_name_phone_or_address_is_likely_the_same_person(ida, name, phone, email):
    assert likely_doubles(name, phone, email) == [ida]


@pytest.mark.parametrize(
    ("name", "phone", "email"),
    [
        ("Ida Quist", "", ""),
        ("Ida", "990", ""),
        ("Oda Tveit", "+47 555 01 991", "oda@example.org"),
        ("", "", ""),
    ],
)
def test_a_part_of_a_name_or_number_is_somebody_else(ida, name, phone, email):
    assert likely_doubles(name, phone, email) == []


def test_no_more_are_named_than_can_be_looked_at():
    for _ in range(5):
        search.index(CustomerFactory(name="Oda Tveit"))
    assert len(likely_doubles("Oda Tveit")) == 3
