"""Gear by what is printed on it."""

from django.db.models import QuerySet, Value
from django.db.models.functions import Upper

from shoprepair.gear.models import Inflatable


def bearing(serial: str) -> QuerySet[Inflatable]:
    """Gear of this serial, whatever the size of its letters; sought in an index, where a likeness is not."""
    return Inflatable.objects.alias(large=Upper("serial")).filter(large=Upper(Value(serial)))
