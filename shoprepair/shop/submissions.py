"""A creating form sent twice, by a double tap or after a lost answer, is carried out once."""

from collections.abc import Callable

from django.core.exceptions import SuspiciousOperation
from django.db import IntegrityError, transaction
from django.utils.translation import gettext

from shoprepair.shop.models import Staff, Submission

LONGEST_KEY = 64


class NotOurKey(ValueError, SuspiciousOperation):
    """A key that no form of ours carries. Where nobody catches it, the answer is a plain 400."""

    def __init__(self) -> None:
        super().__init__(gettext("This form's key is not one of ours; open the page again."))


def once(key: str, person: Staff, do: Callable[[], str]) -> str:
    """Carry out `do`, which returns where its result is to be seen, unless this key was carried out before.

    1. A key that was seen answers with the first result.
    2. Otherwise the key is taken first, in the same transaction as the work: whoever comes second
       waits for the first to finish, then finds its result; if the first failed, the key is free again.

    A form without a key, made by a program that cannot repeat itself, is simply carried out.
    """
    if not key:
        with transaction.atomic():
            return do()
    check(key)
    if result := done_before(key, person):
        return result
    try:
        with transaction.atomic():
            taken = Submission.objects.create(key=key, person=person, result="")
            taken.result = do()
            taken.save(update_fields=("result",))
            return taken.result
    except IntegrityError:
        if result := done_before(key, person):
            return result
        raise


def done_before(key: str, person: Staff) -> str:
    """Where the result of a form that this person has sent already is to be seen; empty for a new one."""
    return Submission.objects.filter(key=key, person=person).values_list("result", flat=True).first() or ""


def check(key: str) -> None:
    """Raise NotOurKey for a key that was not made here."""
    if len(key) > LONGEST_KEY or not (key.isascii() and key.isprintable()):
        raise NotOurKey
