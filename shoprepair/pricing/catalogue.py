"""The catalogue that comes with the program: materials, and operations with their steps and minutes."""

import json
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils import translation
from django.utils.translation import gettext

from shoprepair.gear.models import Cloth
from shoprepair.pricing.models import Material, Operation, OperationMaterial
from shoprepair.pricing.step_codes import BEWARE
from shoprepair.shop.settings import current

DECIMALS = {"price", "waste_percent", "set_up_minutes", "minutes_per_m", "minutes_per_m2", "drying_hours"}


@transaction.atomic
def load() -> list[Operation]:
    """Bring in what the shop does not have yet; answers the operations that are new.

    A row that is there stays as it is: the owner may have changed it or switched it off. What is new is
    written in the shop's language, for it is the shop's own from then on.
    """
    with translation.override(current().language):
        return _load()


def _load() -> list[Operation]:
    _load_materials()
    there = set(Operation.objects.values_list("code", flat=True))
    return [_load_operation(row) for row in read("operations.json") if row["code"] not in there]


def missing() -> int:
    """How many operations the program has that the shop has not."""
    there = set(Operation.objects.values_list("code", flat=True))
    return sum(row["code"] not in there for row in read("operations.json"))


def read(name: str) -> list[dict[str, Any]]:
    """The rows of one of the files that come with the program, with their figures as decimals."""
    rows: list[dict[str, Any]] = json.loads((settings.BASE_DIR / "fixtures" / name).read_text())
    return [
        {name: Decimal(str(value)) if name in DECIMALS else value for name, value in row.items()}
        for row in rows
    ]


def _load_materials() -> None:
    there = set(Material.objects.values_list("code", flat=True))
    cloths = {cloth.name: cloth for cloth in Cloth.objects.all()}
    Material.objects.bulk_create(
        Material(**row | {"name": _named(row["name"]), "cloth": cloths.get(row["cloth"])})
        for row in read("materials.json")
        if row["code"] not in there
    )


def _in_words(row: dict[str, Any]) -> dict[str, Any]:
    """What is read of an operation, in the language that is spoken."""
    name, terms = row["name"], row["cover_terms"]
    steps = [_step(line) for line in row["steps"]]
    return {"name": gettext(name), "steps": steps, "cover_terms": gettext(terms)}


def _named(name: str) -> str:
    return gettext(name)


def _step(line: str) -> str:
    parts = (part.strip() for part in line.split(BEWARE))
    return f" {BEWARE} ".join(gettext(part) for part in parts if part)


def _load_operation(row: dict[str, Any]) -> Operation:
    uses = row.pop("materials")
    operation = Operation.objects.create(**row | _in_words(row))
    materials = {material.code: material for material in Material.objects.all()}
    OperationMaterial.objects.bulk_create(
        OperationMaterial(
            operation=operation,
            material=materials[use["material"]],
            basis=use["basis"],
            quantity=Decimal(use["quantity"]),
        )
        for use in uses
    )
    return operation
