"""PINs: how somebody takes a shared tablet over from another without typing a password.

A PIN works only on a tablet that the owner enrolled (`shop.tablets`), is locked after a few wrong tries, and
never opens what is the owner's alone.
"""

from itertools import pairwise

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import F, QuerySet

from shoprepair.shop import journal
from shoprepair.shop.models import Pin, Staff
from shoprepair.shop.said import gettext

SHORTEST, LONGEST = 4, 8
MOST_WRONG = 5


class Locked(ValueError):
    """Too many wrong tries: only the password helps now."""

    def __init__(self, person: Staff) -> None:
        super().__init__(
            gettext(
                "The PIN of %(person)s is locked after %(MOST_WRONG)s wrong tries. Log in "
                "with the password once; then it works again."
            )
            % {"person": person, "MOST_WRONG": MOST_WRONG}
        )


def fault(pin: str) -> str:
    """What is wrong with a PIN as a sentence; empty when it will do."""
    if not (pin.isascii() and pin.isdigit() and SHORTEST <= len(pin) <= LONGEST):
        return gettext("A PIN is %(SHORTEST)s to %(LONGEST)s figures and nothing else.") % {
            "SHORTEST": SHORTEST,
            "LONGEST": LONGEST,
        }
    steps = {int(after) - int(before) for before, after in pairwise(pin)}
    if len(steps) == 1 and steps <= {-1, 0, 1}:
        return gettext("That PIN is the first that anybody tries. Choose figures without such an order.")
    return ""


def give(person: Staff, pin: str, *, who: Staff) -> None:
    """Give somebody a PIN in place of any other. Raises ValueError with a sentence."""
    if wrong := fault(pin):
        raise ValueError(wrong)
    with transaction.atomic():
        Pin.objects.update_or_create(person=person, defaults={"hash": make_password(pin), "wrong_tries": 0})
        journal.record(
            person, "pin.given", gettext("%(person)s has a new PIN.") % {"person": person}, who=who
        )


def forget(person: Staff, *, who: Staff) -> bool:
    """Take somebody's PIN away; whether there was one."""
    with transaction.atomic():
        if not Pin.objects.filter(person=person).delete()[0]:
            return False
        journal.record(
            person,
            "pin.taken-away",
            gettext("The PIN of %(person)s was taken away.") % {"person": person},
            who=who,
        )
    return True


def people() -> QuerySet[Pin]:
    """The PINs of all who may log in, by name of the person."""
    ready = Pin.objects.filter(person__is_active=True).select_related("person")
    return ready.order_by("person__first_name", "person__username")


def is_locked(pin: Pin) -> bool:
    return pin.wrong_tries >= MOST_WRONG


def fits(pin: Pin, tried: str) -> bool:
    """Whether this is the PIN. Raises Locked, at the last wrong try too.

    A try counts before it is looked at, so that many at once get no more than one after the other.
    """
    left = Pin.objects.filter(pk=pin.pk, wrong_tries__lt=MOST_WRONG)
    if not left.update(wrong_tries=F("wrong_tries") + 1):
        raise Locked(pin.person)
    if check_password(tried, pin.hash):
        Pin.objects.filter(pk=pin.pk).update(wrong_tries=0)
        return True
    pin.refresh_from_db(fields=["wrong_tries"])
    if is_locked(pin):
        text = gettext("The PIN of %(person)s was locked after %(MOST_WRONG)s wrong tries.") % {
            "person": pin.person,
            "MOST_WRONG": MOST_WRONG,
        }
        journal.record(pin.person, "pin.locked", text, who=None)
        raise Locked(pin.person)
    return False
