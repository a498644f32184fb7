"""Somebody who may be in the books already, so that one customer does not become two."""

from collections.abc import Iterator

from django.utils.translation import gettext

from shoprepair.jobs.models import Customer
from shoprepair.jobs.search import customers_matching, fold, terms

SHORTEST_SAME_END = 7
"""Numbers with this many last digits in common are one, with or without a country code [common practice]."""
MOST_SHOWN = 3


def likely_doubles(name: str, phone: str = "", email: str = "") -> list[Customer]:
    """Customers of the same name, phone number or e-mail address, the oldest first."""
    return near(name, phone, email)[:MOST_SHOWN]


def near(name: str, phone: str = "", email: str = "") -> list[Customer]:
    """All of them, however many."""
    asked = [text for text in (name, _end(phone), email) if text]
    keys = {key for text in asked for key in customers_matching(text)}
    found = Customer.objects.filter(pk__in=keys).order_by("pk")
    return [customer for customer in found if any(alike(customer, name, phone, email))]


def alike(customer: Customer, name: str, phone: str = "", email: str = "") -> Iterator[str]:
    """In what the customer is the same, in words: "name", "phone number", "e-mail address"."""
    if bool(_end(phone)) and _end(customer.phone) == _end(phone):
        yield gettext("phone number")
    if bool(email) and fold(customer.email) == fold(email.strip()):
        yield gettext("e-mail address")
    if sorted(terms(customer.name)) == sorted(terms(name)):
        yield "name"


def same_phone(one: str, other: str) -> bool:
    """Whether two typings are one phone number."""
    return bool(_end(one)) and _end(one) == _end(other)


def _end(phone: str) -> str:
    """The last digits of a phone number, or nothing where it is too short to tell anybody apart."""
    digits = "".join(letter for letter in phone if letter.isdecimal())
    return digits[-SHORTEST_SAME_END:] if len(digits) >= SHORTEST_SAME_END else ""
