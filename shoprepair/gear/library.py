"""The library of cloths and patterns that comes with the program, and patterns measured at the counter."""

import json
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import transaction

from shoprepair.gear import measured
from shoprepair.gear.models import Cloth, Panel, Pattern, Tube, Valve
from shoprepair.mechanics.description import Kind
from shoprepair.shop import journal
from shoprepair.shop.settings import current

CURRENCY = "USD"
"""What the library's prices stand in."""
IN_LIBRARY: dict[str, Any] = {"measured_here": False, "everyday": ""}
"""Which patterns are the library: neither measured at the counter, nor standing in for a model not known."""
PARTS = ("casing", "canopy", "window", "leading_edge", "struts", "windows", "valves")


@transaction.atomic
def measured_here(
    *,
    kind: Kind,
    support: str,
    span_m: float,
    diameter_centre_m: float,
    diameter_tip_m: float,
    rated_pressure_pa: float,
    rated_pressure_typed: str,
    struts: int,
    pumping: str = Pattern.Pumping.LINKED,
    name: str = "",
) -> Pattern:
    """Keep a pattern measured at the counter; what was not measured is filled by proportion and marked.

    Raises ValueError with a sentence when the figures cannot belong together.
    """
    measured.check(kind, support, span_m, diameter_centre_m, diameter_tip_m, rated_pressure_pa, struts)
    row = measured.row(
        kind=kind,
        support=support,
        pumping=pumping,
        span_m=span_m,
        centre_m=diameter_centre_m,
        tip_m=diameter_tip_m,
        struts=struts,
    )
    figures = {field: value for field, value in row.items() if field not in PARTS}
    pattern = Pattern.objects.create(
        name=name.strip() or f"{kind.capitalize()} of {span_m:.2f} m, measured here",
        rated_pressure_pa=rated_pressure_pa,
        rated_pressure_typed=rated_pressure_typed,
        casing=_usual(Cloth.Use.CASING),
        canopy=_usual(Cloth.Use.CANOPY),
        assumed=list(measured.ASSUMED),
        measured_here=True,
        **figures,
    )
    write_parts(pattern, row)
    return pattern


def _usual(use: str) -> Cloth:
    """The weakest of a use, so that a guess errs on the safe side."""
    cloth = Cloth.objects.filter(use=use).order_by("strength_weft_n_per_m", "name").first()
    if cloth is None:
        load()
        return _usual(use)
    return cloth


def cloth(name: str, use: str) -> Cloth:
    """A cloth of the library by its name; where the shop has renamed it, the weakest of its use."""
    if not Cloth.objects.filter(use=use).exists():
        _load_cloths()
    return Cloth.objects.filter(name=name, use=use).first() or _usual(use)


@transaction.atomic
def load() -> list[Pattern]:
    """Bring the library's cloths and patterns into the database.

    Patterns measured here, and whatever the owner has corrected, stay as they are. In a shop of other money a
    new pattern has no price: the library's would be wrong by far.
    """
    _load_cloths()
    known = current().currency == CURRENCY
    return [
        _load_pattern(row | {"new_price": Decimal(row["new_price"]) if known else None})
        for row in _read("patterns.json")
    ]


def price_to_begin(price: Callable[[Decimal], Decimal | None]) -> int:
    """Give the library's patterns their price new, worked out from the library's own; how many changed.

    What somebody in the shop has corrected stays.
    """
    changed = 0
    for row in _read("patterns.json"):
        found = Pattern.objects.filter(name=row["name"], measured_here=False).first()
        priced = price(Decimal(row["new_price"]))
        if found and found.new_price != priced and not _is_the_shops_own(found):
            found.new_price, found.version = priced, found.version + 1
            found.save(update_fields=["new_price", "version"])
            changed += 1
    return changed


def _load_cloths() -> None:
    for row in _read("cloths.json"):
        found = Cloth.objects.filter(name=row["name"]).first()
        if not (found and _is_the_shops_own(found)):
            Cloth.objects.update_or_create(name=row["name"], defaults=row)


def _is_the_shops_own(record: Cloth | Pattern) -> bool:
    """Whether somebody in the shop changed or made it: the journal tells."""
    return journal.entries(record).exists()


def _read(name: str) -> list[dict[str, Any]]:
    path = settings.BASE_DIR / "fixtures" / name
    rows: list[dict[str, Any]] = json.loads(path.read_text())
    return rows


def _load_pattern(row: dict[str, Any]) -> Pattern:
    found = Pattern.objects.filter(name=row["name"], measured_here=False).first()
    if found:
        row = row | {"new_price": found.new_price}
    if found and (_is_the_shops_own(found) or _as_row(found) == row):
        return found
    figures = {name: value for name, value in row.items() if name not in PARTS}
    pattern = found or Pattern()
    for name, value in (figures | _cloths(row)).items():
        setattr(pattern, name, value)
    if found:
        pattern.version += 1
    pattern.save()
    write_parts(pattern, row)
    return pattern


def _cloths(row: dict[str, Any]) -> dict[str, Cloth | None]:
    return {
        use: Cloth.objects.get(name=row[use]) if row[use] else None for use in ("casing", "canopy", "window")
    }


def write_parts(pattern: Pattern, row: dict[str, Any]) -> None:
    """Give a pattern its tubes, panels and valves in place of those it has."""
    for parts in (pattern.tubes, pattern.panels, pattern.valves):
        parts.all().delete()
    edge = Tube(pattern=pattern, kind=Tube.Kind.LEADING_EDGE, **row["leading_edge"])
    struts = [Tube(pattern=pattern, kind=Tube.Kind.STRUT, **strut) for strut in row["struts"]]
    Tube.objects.bulk_create([edge, *struts])
    Valve.objects.bulk_create([Valve(pattern=pattern, **valve) for valve in row["valves"]])
    Panel.objects.bulk_create(_panels(pattern, row))


def _panels(pattern: Pattern, row: dict[str, Any]) -> list[Panel]:
    cells = 1 + sum(strut["station"] > 0 for strut in row["struts"])
    rows = 1 + len(row["canopy_seams"])
    return [
        Panel(pattern=pattern, cell=cell, row=number, window=[cell, number] in row["windows"])
        for cell in range(cells)
        for number in range(rows)
    ]


def _as_row(pattern: Pattern) -> dict[str, Any]:
    """The pattern as it would stand in the file."""
    figures = {
        f.name: getattr(pattern, f.name)
        for f in Pattern._meta.concrete_fields
        if f.name not in {"id", "measured_here", "everyday", "version", *PARTS}
    }
    edge = pattern.tubes.get(kind=Tube.Kind.LEADING_EDGE)
    return figures | {
        "casing": pattern.casing.name,
        "canopy": pattern.canopy.name,
        "window": pattern.window.name if pattern.window else None,
        "leading_edge": _tube_row(edge),
        "struts": [
            {"station": tube.station} | _tube_row(tube) for tube in pattern.tubes.filter(kind=Tube.Kind.STRUT)
        ],
        "windows": [[p.cell, p.row] for p in pattern.panels.filter(window=True)],
        "valves": list(pattern.valves.order_by("pk").values("kind", "station", "strut_share")),
    }


def _tube_row(tube: Tube) -> dict[str, Any]:
    return {name: getattr(tube, name) for name in ("diameter_root_m", "diameter_tip_m", "doublings")}
