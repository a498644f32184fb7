"""The window through which words that name somebody may be written over in what else stays as it is."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import transaction

from shoprepair.shop.models import Erasing

ERASED = "(erased)"
Purpose = Erasing.Purpose


@contextmanager
def window(purpose: Erasing.Purpose = Purpose.PERSON) -> Iterator[None]:
    """Open the window for the length of one transaction, which is closed with it whatever happens.

    The triggers look for the row; another transaction never sees it, for it is gone before the commit.
    """
    with transaction.atomic():
        opened = Erasing.objects.create(purpose=purpose)
        yield
        opened.delete()
