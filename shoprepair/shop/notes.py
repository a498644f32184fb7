"""Notes from one machine of the shop to the others, where there can be others.

A shop on one machine keeps such things in its data folder. Once neither its records nor its photos lie there,
the programs that serve it may run anywhere, and what one of them knows stands in the database.
"""

from typing import Any

from django.db import connection
from django.utils import timezone

from shoprepair.shop.files import lie_in_a_folder
from shoprepair.shop.models import Note


def are_read() -> bool:
    """Whether the shop may run on several machines that share no disk."""
    return connection.vendor == "postgresql" and not lie_in_a_folder()


def write(name: str, said: dict[str, Any] | None = None) -> None:
    """Say something under a name, in place of what was said there before."""
    Note.objects.update_or_create(name=name, defaults={"at": timezone.now(), "said": said or {}})


def read(name: str) -> Note | None:
    """What was said last under a name."""
    return Note.objects.filter(pk=name).first()
