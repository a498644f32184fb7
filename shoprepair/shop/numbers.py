"""Numbers without gaps, such as those of jobs."""

from django.db import transaction
from django.db.models import F

from shoprepair.shop.models import Counter


def next_number(name: str) -> int:
    """The next number of the series `name`, from 1.

    Call it inside the transaction that writes the numbered record: if that fails, the number is
    given back. The update locks the row, so that two at the same moment never get the same one.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("A number is only taken inside the transaction that uses it.")
    taken = Counter.objects.filter(pk=name)
    if not taken.update(value=F("value") + 1):
        Counter.objects.get_or_create(pk=name)
        taken.update(value=F("value") + 1)
    return taken.values_list("value", flat=True).get()
