"""A damage as its owner told it, in one sentence for the shop."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext

from shoprepair.gear import everyday, named_places
from shoprepair.gear.geometry import OffTheDrawing
from shoprepair.shop.languages import begun_small, gettext_lazy

if TYPE_CHECKING:
    from shoprepair.jobs.advice.told import Told

LOOKS = {
    "cut": gettext_lazy("Cut"),
    "scrape": gettext_lazy("Scrape"),
    "seam": gettext_lazy("Opened seam"),
    "hole": gettext_lazy("Hole"),
    "burst": gettext_lazy("Burst"),
    "soft": gettext_lazy("Goes soft"),
    "torn": gettext_lazy("Tear"),
    "cloudy": gettext_lazy("Cloudy window"),
    "cracked": gettext_lazy("Cracked window"),
    "valve": gettext_lazy("Sits loose"),
}
LENGTHS = {
    "nail": gettext_lazy("up to 10 mm"),
    "coin": gettext_lazy("up to 25 mm"),
    "palm": gettext_lazy("up to 90 mm"),
    "hand": gettext_lazy("up to 190 mm"),
    "longer": gettext_lazy("longer than 190 mm"),
    "unsure": gettext_lazy("length not known"),
}
FOLDS = {
    "round": gettext_lazy("stays round in the fold"),
    "edge": gettext_lazy("folds to an edge"),
    "untried": gettext_lazy("fold not tried"),
}
SOFTENS = {
    "day": gettext_lazy("soft within a day"),
    "hour": gettext_lazy("soft within an hour"),
    "minutes": gettext_lazy("soft within minutes"),
    "unsure": gettext_lazy("not known how fast"),
}
FARS = {
    "home": gettext_lazy("at home"),
    "far": gettext_lazy("far from any shop"),
    "unsure": gettext_lazy("not known how far from a shop"),
}


def told_words(told: "Told") -> str:
    """'Cut, up to 25 mm, front tube, near the middle; at home.'"""
    length = f"{told.length} mm" if told.length.isdecimal() else LENGTHS.get(told.length, "")
    first = [LOOKS.get(told.look) or gettext("Not said what"), length, _where(told)]
    rest = [FOLDS.get(told.fold, ""), SOFTENS.get(told.softens, ""), FARS.get(told.far, "")]
    said = [", ".join(str(each) for each in first if each), *(str(each) for each in rest if each)]
    return "; ".join(said) + "."


def said_again(kept: Mapping[str, Any]) -> str:
    """What was told and kept, in the language that is spoken; as it was kept where its codes are older."""
    from shoprepair.jobs.advice.told import read

    words = str(kept.get("words") or "")
    try:
        told = read(str(kept["code"]))
        return told_words(told) if told.look else words
    except (KeyError, ValueError):
        return words


def _where(told: "Told") -> str:
    if not told.at:
        return ""
    return begun_small(str(named_places.label(_zone(told))))


def _zone(told: "Told") -> str:
    if told.at in named_places.CODES:
        return told.at
    try:
        place, *_pin = told.place(everyday.planform(told.gear))
    except OffTheDrawing:
        return named_places.CODES[0]
    return named_places.code_of(place)
