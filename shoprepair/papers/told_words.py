"""Damages as they were told, and gear whose model nobody knows, in the language of whoever told it."""

from typing import NamedTuple

from django.utils.formats import number_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shoprepair.gear import everyday, named_places
from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import OffTheDrawing
from shoprepair.gear.models import Pattern
from shoprepair.jobs.advice import looks
from shoprepair.jobs.advice.looks import Look
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import Kind

LENGTHS = {
    "nail": _("no longer than a fingernail"),
    "coin": _("no longer than a coin"),
    "palm": _("no longer than a palm is wide"),
    "hand": _("no longer than a hand"),
    "longer": _("longer than a hand"),
}


class Row(NamedTuple):
    """One damage: the number of its pin, what it looks like, and where it is, how long."""

    number: int
    what: str
    detail: str


def row(damage: Damage) -> Row:
    """The damage as it was told. One that the shop pinned has a place and no words of its own."""
    look = str(damage.told.get("look", ""))
    what = str(looks.TITLES[Look(look)]) if look in list(Look) else gettext("Damage")
    words = (_place(damage), _length(str(damage.told.get("length", ""))))
    return Row(damage.number, what, ", ".join(word for word in words if word))


def gear(pattern: Pattern) -> str:
    """The pattern's name; for gear whose model nobody knows its kind and size."""
    if not pattern.everyday:
        return pattern.name
    figures = everyday.figures(pattern.everyday)
    low, high = (number_format(f"{area:g}") for area in (figures.area_low_m2, figures.area_high_m2))
    words = _WINGS if figures.kind is Kind.WING else _KITES
    return str(words[figures.size]).format(low=low, high=high)


_WINGS = {
    "small": _("Wing, up to {high} m²"),
    "medium": _("Wing, {low} to {high} m²"),
    "large": _("Wing, over {low} m²"),
}
_KITES = {
    "small": _("Kite, up to {high} m²"),
    "medium": _("Kite, {low} to {high} m²"),
    "large": _("Kite, over {low} m²"),
}


def _place(damage: Damage) -> str:
    """By the name that was chosen, or by the zone that its pin lies in."""
    at = str(damage.told.get("at", ""))
    if at not in named_places.CODES:
        try:
            at = named_places.code_at(planform(damage.job.inflatable.pattern), damage.x_m, damage.y_m)
        except OffTheDrawing:
            return ""
    return str(named_places.label(at))


def _length(code: str) -> str:
    if code.isdecimal():
        return gettext("{length} mm long").format(length=code)
    return str(LENGTHS.get(code, ""))
