"""Somebody who may be in the books already, so that one customer does not become two."""

from shoprepair.jobs.models import Customer
from shoprepair.jobs.search import customers_matching, fold, terms

SHORTEST_SAME_END = 7
"""Numbers with this many last digits in common are one, with or without a country code [common practice]."""
MOST_SHOWN = 3


def likely_doubles(name: str, phone: str = "", email: str = "") -> list[Customer]:
    """Customers of the same name, phone number or e-mail address, the oldest first."""
    asked = [text for text in (name, _end(phone), email) if text]
    keys = {key for text in asked for key in customers_matching(text)}
    near = Customer.objects.filter(pk__in=keys).order_by("pk")
    return [customer for customer in near if _is_same(customer, name, phone, email)][:MOST_SHOWN]


def _is_same(customer: Customer, name: str, phone: str, email: str) -> bool:
    same_name = sorted(terms(customer.name)) == sorted(terms(name))
    same_phone = bool(_end(phone)) and _end(customer.phone) == _end(phone)
    same_email = bool(email) and fold(customer.email) == fold(email.strip())
    return same_name or same_phone or same_email


def _end(phone: str) -> str:
    """The last digits of a phone number, or nothing where it is too short to tell anybody apart."""
    digits = "".join(letter for letter in phone if letter.isdecimal())
    return digits[-SHORTEST_SAME_END:] if len(digits) >= SHORTEST_SAME_END else ""
