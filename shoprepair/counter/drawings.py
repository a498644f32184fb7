"""The drawings that the rack and the job sheet show of a piece of gear."""

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, replace
from typing import Any

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.gear import diagram, kept_drawings, plot
from shoprepair.gear.describe import description, planform
from shoprepair.gear.diagram import camera_marks as diagram_marks
from shoprepair.jobs import photo_places
from shoprepair.jobs.models import Damage, Job, Photo
from shoprepair.jobs.words import damage_title
from shoprepair.mechanics.description import Element, LoadCases
from shoprepair.shop.units import Units

SWATCH_WIDE, SWATCH_TALL = 44, 22


@dataclass(frozen=True, slots=True)
class Swatch:
    """One step of the load map: its tone, its hatch as path data, and the share it stands for."""

    number: int
    hatch: str
    begins: str
    rest: str
    """What follows where it begins; whoever sees the strip reads that off the next step."""


def camera_marks(job: Job, photos: Sequence[Photo], units: Units) -> SafeString:
    """A small camera at each place of the drawing that one of these photos is pinned to."""
    there = [(photo, photo_places.place_of(photo)) for photo in photos if photo.removed_at is None]
    return diagram_marks.marks(
        planform(job.inflatable.pattern),
        [
            diagram_marks.PhotoMark(
                at.x_m,
                at.y_m,
                reverse("photo", args=[photo.key, "large"]),
                gettext("Photo: %(place)s")
                % {"place": photo.where or photo_places.place_words(photo, units)},
            )
            for photo, at in there
            if at
        ],
    )


def glyph(job: Job, damages: Sequence[Damage], mended: Set[int] = frozenset()) -> SafeString:
    """The small drawing of a row on the rack: where it is hurt, calm where it is `mended`, and no words."""
    pins = [
        diagram.Pin(one.number, one.x_m, one.y_m, "" if one.number in mended else one.band) for one in damages
    ]
    return diagram.draw(planform(job.inflatable.pattern), detail="glyph", pins=pins)


def sheet_drawings(
    job: Job,
    damages: Sequence[Damage],
    cases: LoadCases,
    units: Units,
    photos: Sequence[Photo] = (),
    mended: Set[int] = frozenset(),
) -> dict[str, Any]:
    """The drawing with load map, pins and legend, and the share of strength along the span.

    What is `mended` is pinned calmly.
    """
    pattern = job.inflatable.pattern
    drawn, described = planform(pattern), description(pattern)
    pins = [_pin(damage, units, calm=damage.number in mended) for damage in damages]
    (kept,) = kept_drawings.kept([pattern], cases)
    return {
        "drawing": diagram.draw(
            drawn,
            pins=pins,
            title=gettext("%(name)s with its damages") % {"name": str(pattern)},
            unique="sheet",
            kept=kept,
            beneath_pins=camera_marks(job, photos, units),
        ),
        "legend": list(_legend()),
        # More would lie over one another; the page says which have their number.
        "plot_numbers": plot.MOST_TAGS if len(plot.standing(pins)) > plot.MOST_TAGS else 0,
        # One picture to a screen reader: it holds no links.
        "plot": plot.strength_plot(
            described, cases, [replace(pin, href="") for pin in pins], letters=plot.GROWN_TEXT
        ),
    }


def _pin(damage: Damage, units: Units, *, calm: bool) -> diagram.Pin:
    return diagram.Pin(
        number=damage.number,
        x_m=damage.x_m,
        y_m=damage.y_m,
        band=damage.band if damage.kind and not calm else "",
        label=damage_title(damage, units),
        href=f"#damage-{damage.number}",
        element=Element(damage.element),
        load_ratio=damage.load_ratio,
    )


def _legend() -> Iterator[Swatch]:
    before = 0.0
    for step in diagram.STEPS:
        last = step is diagram.STEPS[-1]
        begins = f"{before * 100:.0f}"
        said = (f"{begins} %", gettext(" and more")) if last else (begins, f"–{step.below * 100:.0f} %")
        yield Swatch(step.number, _hatch(step.spacing_pens), *said)
        before = step.below


def _hatch(spacing: float | None) -> str:
    """Slanting lines over a swatch, as dense as on the drawing."""
    if spacing is None:
        return ""
    starts = range(int((SWATCH_WIDE + SWATCH_TALL) / spacing) + 1)
    return "".join(
        f"M{n * spacing - SWATCH_TALL:.1f} {SWATCH_TALL}l{SWATCH_TALL} -{SWATCH_TALL}" for n in starts
    )
