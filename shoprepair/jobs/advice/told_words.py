"""A damage as its owner told it, in one English sentence for the shop."""

from typing import TYPE_CHECKING

from django.utils import translation

from shoprepair.gear import everyday, named_places
from shoprepair.gear.geometry import OffTheDrawing
from shoprepair.shop.languages import begun_small

if TYPE_CHECKING:
    from shoprepair.jobs.advice.told import Told

LOOKS = {
    "cut": "Cut",
    "scrape": "Scrape",
    "seam": "Opened seam",
    "hole": "Hole",
    "burst": "Burst",
    "soft": "Goes soft",
    "torn": "Tear",
    "cloudy": "Cloudy window",
    "cracked": "Cracked window",
    "valve": "Sits loose",
}
LENGTHS = {
    "nail": "up to 10 mm",
    "coin": "up to 25 mm",
    "palm": "up to 90 mm",
    "hand": "up to 190 mm",
    "longer": "longer than 190 mm",
    "unsure": "length not known",
}
FOLDS = {"round": "stays round in the fold", "edge": "folds to an edge", "untried": "fold not tried"}
SOFTENS = {
    "day": "soft within a day",
    "hour": "soft within an hour",
    "minutes": "soft within minutes",
    "unsure": "not known how fast",
}
FARS = {"home": "at home", "far": "far from any shop", "unsure": "not known how far from a shop"}


def told_words(told: "Told") -> str:
    """'Cut, up to 25 mm, front tube, near the middle; at home.'"""
    length = f"{told.length} mm" if told.length.isdecimal() else LENGTHS.get(told.length, "")
    first = [LOOKS.get(told.look, "Not said what"), length, _where(told)]
    rest = [FOLDS.get(told.fold, ""), SOFTENS.get(told.softens, ""), FARS.get(told.far, "")]
    return "; ".join(filter(None, [", ".join(filter(None, first)), *rest])) + "."


def _where(told: "Told") -> str:
    if not told.at:
        return ""
    with translation.override("en"):
        words = str(named_places.label(_zone(told)))
    return begun_small(words)


def _zone(told: "Told") -> str:
    if told.at in named_places.CODES:
        return told.at
    try:
        place, *_pin = told.place(everyday.planform(told.gear))
    except OffTheDrawing:
        return named_places.CODES[0]
    return named_places.code_of(place)
