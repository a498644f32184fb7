"""The library and the catalogue that come with the program, put back quickly once they have been read."""

import copy
from collections.abc import Callable

from django.db import IntegrityError, connection, transaction
from django.db.models import Model

from shoprepair.gear import library
from shoprepair.gear.models import Cloth, Panel, Pattern, Tube, Valve
from shoprepair.pricing import catalogue
from shoprepair.pricing.models import Material, Operation, OperationMaterial

LIBRARY = (Cloth, Pattern, Tube, Panel, Valve)
CATALOGUE = (Material, Operation, OperationMaterial)
Models = tuple[type[Model], ...]
_read: dict[Models, dict[type[Model], list[Model]]] = {}


def patterns() -> None:
    """The library of patterns and cloths."""
    _fill(LIBRARY, library.load)


def stocked() -> None:
    """The library and the catalogue."""
    _fill((*LIBRARY, *CATALOGUE), library.load, catalogue.load)


def _put_back(models: Models) -> bool:
    """Whether they were still missing: a page asked for in the test before may yet bring some of them."""
    try:
        with transaction.atomic():
            for model, rows in _read[models].items():
                model.objects.bulk_create([copy.copy(row) for row in rows])
    except IntegrityError:
        return False
    return True


def _fill(models: Models, *loads: Callable[[], object]) -> None:
    """Rows as they were when first read into empty tables; where a table is not empty, read anew.

    Elsewhere than on SQLite the sequences would give the same keys out again.
    """
    empty = connection.vendor == "sqlite" and not any(model.objects.exists() for model in models)
    if empty and models in _read and _put_back(models):
        return
    for load in loads:
        load()
    if empty:
        _read[models] = {model: list(model.objects.order_by("pk")) for model in models}
