"""How somebody is reached, out of one field: an e-mail address has an @, all else is a phone number."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.jobs.models import Customer
from shoprepair.jobs.search import fold
from shoprepair.shop.outbox.writing import address_trouble

LEAST_DIGITS, MOST_DIGITS = 5, 15
LONGEST_PHONE = 40
_EXTRA = frozenset("+-/.() ")


@dataclass(frozen=True, slots=True)
class Contact:
    """A phone number or an e-mail address; the other is empty."""

    phone: str = ""
    email: str = ""

    @property
    def key(self) -> str:
        """The same for the same person, however it was typed."""
        return fold(self.email) if self.email else "".join(filter(str.isdecimal, self.phone))


def read(typed: str) -> Contact:
    """What was typed, as one or the other. Raises ValidationError, saying what would be right."""
    typed = " ".join(typed.split())
    if not typed:
        raise ValidationError(gettext("Write a phone number or an e-mail address, so that we can answer."))
    return Contact(email=_email(typed)) if "@" in typed else Contact(phone=_phone(typed))


def _email(typed: str) -> str:
    longest = Customer._meta.get_field("email").max_length or 0
    if address_trouble(typed) or len(typed) > longest:
        raise ValidationError(
            gettext("This e-mail address cannot be right. Write it like mina@example.org, or a phone number.")
        )
    return typed


def _phone(typed: str) -> str:
    digits = sum(letter.isdecimal() for letter in typed)
    fits = LEAST_DIGITS <= digits <= MOST_DIGITS and len(typed) <= LONGEST_PHONE
    if not fits or not all(letter.isdecimal() or letter in _EXTRA for letter in typed):
        raise ValidationError(
            gettext(
                "This phone number cannot be right. "
                "Write 5 to 15 digits, such as +1 555 0134, or an e-mail address."
            )
        )
    return typed
