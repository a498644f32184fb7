"""What somebody outside sends with an enquiry, read and found good."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.jobs import conversation
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.conversation import LONGEST_NAME, LONGEST_TEXT, NotSaid
from shoprepair.jobs.enquiries import contact
from shoprepair.jobs.enquiries.contact import Contact
from shoprepair.jobs.models import Enquiry
from shoprepair.shop.languages import thousands

MOST_DAMAGES = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """An enquiry in which nothing is wrong."""

    damages: tuple[Told, ...]
    name: str
    contact: Contact
    words: str
    comes: Enquiry.Comes

    @property
    def who_name(self) -> str:
        """What the journal calls them."""
        return gettext("%(name)s (customer)") % {"name": self.name}


def read(**typed: Any) -> Asked:
    """What was sent, by the names of its fields. Raises ValidationError with a sentence per field."""
    good: dict[str, Any] = {}
    problems: dict[str, list[str]] = {}
    for field, clean in CLEANERS.items():
        try:
            good[field] = clean(typed[field])
        except ValidationError as error:
            problems[field] = error.messages
    if problems:
        raise ValidationError(problems)
    return Asked(**good)


def name(typed: str) -> str:
    """A person's name on one line. Raises ValidationError."""
    try:
        return conversation.clean_name(typed)
    except NotSaid:
        if len(typed) <= LONGEST_NAME:
            raise ValidationError(gettext("Write your name, so that we know whom to answer.")) from None
        most = {"most": LONGEST_NAME}
        raise ValidationError(gettext("A name has %(most)d letters at most.") % most) from None


def words(typed: str) -> str:
    """What they wrote besides, which may be nothing. Raises ValidationError where it is over-long."""
    if not typed.strip():
        return ""
    try:
        return conversation.clean_text(typed, "")
    except NotSaid:
        if len(typed) <= LONGEST_TEXT:
            return ""
        sizes = {"most": thousands(LONGEST_TEXT), "has": thousands(len(typed))}
        raise ValidationError(
            gettext("At most %(most)s characters; this has %(has)s. Shorten it, and tell us the rest later.")
            % sizes
        ) from None


def comes(typed: str) -> Enquiry.Comes:
    """How the gear comes. Raises ValidationError."""
    try:
        return Enquiry.Comes(typed)
    except ValueError:
        raise ValidationError(gettext("Choose how it will come: by hand or by post.")) from None


def damages(tolds: Sequence[Told]) -> tuple[Told, ...]:
    """What is damaged, all of it on one wing or kite. Raises ValidationError."""
    if not tolds or any(told.missing() for told in tolds):
        raise ValidationError(gettext("Say first what is damaged."))
    if len({(told.kind, told.size) for told in tolds}) > 1:
        raise ValidationError(gettext("Send one wing or kite at a time."))
    if len(tolds) > MOST_DAMAGES:
        raise ValidationError(
            gettext("%(most)d damages at most. Tell us the rest below.") % {"most": MOST_DAMAGES}
        )
    return tuple(tolds)


CLEANERS: dict[str, Callable[[Any], Any]] = {
    "damages": damages,
    "name": name,
    "contact": contact.read,
    "words": words,
    "comes": comes,
}
