"""What was found: the drawing with its pins, and each damage in words with the photos that are shared."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.gear import diagram, kept_drawings
from shoprepair.gear.describe import planform
from shoprepair.jobs import reading
from shoprepair.jobs.models import Damage, Job, Photo
from shoprepair.jobs.words import finding_words, place_words
from shoprepair.mechanics.description import Band
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say, sentence

NOT_JUDGED = gettext_lazy("The shop is still looking at it.")
SHOWN_AT_FIRST = 6
ROOMY = 12
"""Up to so many tags are legible on a drawing as wide as a phone."""
SEVEREST_FIRST = [Band.GROUNDED, Band.REPAIR_FIRST, Band.NEXT_SERVICE, Band.WATCH]


class Finding(NamedTuple):
    """One damage as the customer reads it."""

    number: int
    what: str
    where: str
    reason: str
    band: str
    photos: tuple[Photo, ...]
    mark: str = ""
    """What sets it apart from what was found at first."""


def live_damages(job: Job) -> list[Damage]:
    """What was found and not taken back, the most dangerous first."""
    damages = reading.live_damages(job)
    for damage in damages:
        damage.job = job
    return sorted(damages, key=_danger)


def findings(
    damages: Sequence[Damage], photos: Sequence[Photo], units: Units, marks: Mapping[int, str]
) -> list[Finding]:
    """The damages in words, each with its own of the shared photos and what `marks` says of its number."""
    of_damage = defaultdict(list)
    for photo in photos:
        of_damage[photo.damage_id].append(photo)
    return [
        _finding(damage, tuple(of_damage[damage.pk]), units, marks.get(damage.number, ""))
        for damage in damages
    ]


def shared_photos(job: Job) -> list[Photo]:
    """The photos that the shop lets the customer see; those of a removed damage are not among them."""
    shown = job.photos.filter(shared=True, removed_at=None, damage__removed_at=None)
    return list(shown.order_by("id"))


def drawing(job: Job, damages: Sequence[Damage], units: Units, *, seen: bool = True) -> SafeString:
    """The gear with a numbered tag at each damage, which leads to the damage's words.

    Until the shop has `seen` the gear no tag bears a band, as none stands beside the words.
    """
    pins = [_pin(damage, units, seen=seen) for damage in sorted(damages, key=lambda damage: damage.number)]
    pattern = job.inflatable.pattern
    title = gettext("%(name)s, with what was found") % {"name": str(pattern)} if pins else str(pattern)
    (kept,) = kept_drawings.kept([pattern])
    return diagram.draw(planform(pattern), pins=pins, title=title, unique="gear", kept=kept)


def _danger(damage: Damage) -> tuple[bool, int, int, int]:
    return not damage.model_version, SEVEREST_FIRST.index(Band(damage.band)), -damage.urgency, damage.number


def _finding(damage: Damage, photos: tuple[Photo, ...], units: Units, mark: str) -> Finding:
    judged = bool(damage.model_version)
    reason = say(sentence(damage.reason), units) if judged and damage.reason else ""
    return Finding(
        number=damage.number,
        what=finding_words(damage, units),
        where=place_words(damage, units),
        reason=reason if judged else NOT_JUDGED,
        band=damage.band if judged else "",
        photos=photos,
        mark=mark,
    )


def _pin(damage: Damage, units: Units, *, seen: bool) -> diagram.Pin:
    return diagram.Pin(
        number=damage.number,
        x_m=damage.x_m,
        y_m=damage.y_m,
        band=damage.band if seen and damage.model_version else "",
        label=f"{finding_words(damage, units)}, {place_words(damage, units)}",
        href=f"#damage-{damage.number}",
    )
