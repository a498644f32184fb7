"""What the check-in page of a job shows: the drawing with its pins, the open damage, what is still to do."""

from typing import Any, NamedTuple
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.counter.ahead import arrival
from shoprepair.counter.claim_lines import claim_lines
from shoprepair.counter.drawings import camera_marks
from shoprepair.counter.enquiry_desk import asked_block
from shoprepair.counter.enquiry_told import told_of
from shoprepair.counter.forms.arrival import ArrivalForm
from shoprepair.counter.forms.damages import DamageForm
from shoprepair.counter.keys import new_key
from shoprepair.counter.questions import asked_about, kind_question
from shoprepair.counter.tube_view import tube_view
from shoprepair.gear import describe, diagram, kept_drawings
from shoprepair.gear.describe import planform
from shoprepair.gear.diagram import Pin
from shoprepair.gear.geometry import Spot
from shoprepair.gear.words import place_sentence
from shoprepair.jobs import assessment, damages, photo_places, stages, words
from shoprepair.jobs.models import Damage, Job, Photo, Stage
from shoprepair.jobs.models.words import choices
from shoprepair.mechanics.description import FindingKind
from shoprepair.shop.languages import written
from shoprepair.shop.settings import cases
from shoprepair.shop.units import Units, say

LARGEST_RATIO_SAID = 10
_DRAWING = "desk"
"""What the ids within the drawing begin with."""


class Tab(NamedTuple):
    """One pinned damage, as its numbered tab shows it."""

    damage: Damage
    words: str
    is_open: bool


class Missing(NamedTuple):
    """Something that keeps the check-in from ending, and where on the page it is mended."""

    sentence: str
    anchor: str


def desk(
    request: HttpRequest,
    job: Job,
    *,
    opened: int | None = None,
    form: DamageForm | None = None,
    spot: Spot | None = None,
    moving: bool = False,
    placing: Photo | None = None,
    **more: Any,
) -> dict[str, Any]:
    """What the desk shows: drawing, tabs, and the panel of the damage numbered `opened`, or of the last one.

    `spot` is a place tapped without a script, not pinned yet; `moving` waits for the open damage's new place,
    `placing` for that of a photo.
    """
    units: Units = request.units
    pinned = damages.live(job)
    damage = None if placing or (spot and not moving) else _opened(pinned, opened)
    return {
        "job": job,
        "damages": pinned,
        "tabs": [Tab(one, words.damage_title(one, units), one == damage) for one in pinned],
        "damage": damage,
        **_drawn(request, job, pinned, moving=damage if moving else None, placing=placing),
        "moving": moving,
        "placing": placing,
        "spot": spot,
        "spot_words": spot and _spot_words(job, spot, units),
        "spot_kinds": spot and kind_question(spot.place.element),
        "pin_key": new_key(),
        **(panel(damage, form, units) if damage else {}),
        **more,
    }


def panel(damage: Damage, form: DamageForm | None, units: Units) -> dict[str, Any]:
    """The open damage: its place in words, its questions and its verdict."""
    form = form or DamageForm(units=units)
    return {
        "damage": damage,
        "place": words.place_words(damage, units),
        "questions": asked_about(damage, form, units),
        "form": form,
        "tube": tube_view(damage, units),
        "said_of_it": told_of(damage),
        "assessed": (assessed := assessment.read(damage)),
        "ratio": assessed and _ratio(assessed.load_ratio),
        "missing": words.missing_words(damage, units),
        "claim_line": claim_lines(damage.job, [damage], units).get(damage.number),
        "refusal": assessment.refusal(damage),
    }


def _drawn(
    request: HttpRequest,
    job: Job,
    pinned: list[Damage],
    *,
    moving: Damage | None = None,
    placing: Photo | None = None,
) -> dict[str, Any]:
    """The drawing; its pins alone where the page that asks has it.

    A page says which drawing it shows: whoever opened it before the gear was said to be another model gets
    that one whole.
    """
    pattern = job.inflatable.pattern
    page = reverse("job-check-in", args=[job.number])
    pins = [_pin(damage, request.units, page) for damage in pinned]
    mark = "" if moving or placing else describe.mark(pattern)
    if request.htmx and mark and (request.POST or request.GET).get("drawn") == mark:
        return {"pins": diagram.pins_alone(planform(pattern), pins, unique=_DRAWING, data_hx_swap_oob="true")}
    mode = {"damage": moving.number, "move": 1} if moving else {"photo": placing.key} if placing else {}
    photos = camera_marks(job, job.photos.exclude(x_m=None), request.units)
    return {"drawing": _drawing(job, pins, page, mode, photos), "drawn": mark}


def _drawing(job: Job, pins: list[Pin], page: str, mode: dict[str, Any], photos: SafeString) -> SafeString:
    """The job's gear with its load map and pins; every region is a link that works without a script.

    `mode` is what a tap there means besides its place.
    """
    pattern = job.inflatable.pattern
    (kept,) = kept_drawings.kept([pattern], cases())

    def href(region: diagram.Region) -> str:
        return f"{page}?{urlencode({**mode, 'x': f'{region.x_m:.3f}', 'y': f'{region.y_m:.3f}'})}#panel"

    return diagram.draw(
        planform(pattern),
        pins=pins,
        region_links=href,
        title=(
            gettext("%(name)s: tap where the photo was taken")
            if "photo" in mode
            else gettext("%(name)s: tap where it is damaged")
        )
        % {"name": str(pattern)},
        unique=_DRAWING,
        kept=kept,
        beneath_pins=photos,
    )


def render_desk(
    request: HttpRequest,
    job: Job,
    *,
    form: ArrivalForm | None = None,
    reasons: list[str] | None = None,
    status: int = 200,
    **asked: Any,
) -> HttpResponse:
    """The whole page, with the arrival as it was just typed in `form` and why finishing was refused."""
    context = desk(request, job, **asked)
    return render_desk_with(request, job, context, form=form, reasons=reasons, status=status)


def render_desk_with(
    request: HttpRequest,
    job: Job,
    context: dict[str, Any],
    *,
    form: ArrivalForm | None = None,
    reasons: list[str] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The whole page around a desk that is made already."""
    form = form or ArrivalForm()
    live = job.photos.filter(removed_at=None).select_related("damage")
    photos = photo_places.told_where(job, live, request.units)
    context |= {
        "arrival_form": form,
        **arrival(job, form),
        **asked_block(job, photos, request.GET.get("who", "")),
        "photos": photos,
        "unpinned": _unpinned(request, photos),
        "missing_for_check_in": finishing(job) if reasons is None else missing(job, reasons),
        "refused": bool(reasons),
        "finish_key": request.POST.get("key") or new_key(),
        "photo_key": new_key(),
        "finding_kinds": choices(FindingKind),
    }
    return render(request, "counter/check_in/desk.html", context, status=status)


def _unpinned(request: HttpRequest, photos: list[Photo]) -> dict[str, str]:
    """The photo just taken off its place, and where that was, to be put back."""
    asked = request.GET
    found = [photo for photo in photos if photo.key == asked.get("unpinned") and photo.x_m is None]
    return {"key": found[0].key, "x": asked.get("was_x", ""), "y": asked.get("was_y", "")} if found else {}


def finishing(job: Job) -> list[Missing]:
    """What is still missing before the job can be checked in."""
    if job.stage != Stage.ENQUIRY:
        return []
    return missing(job, stages.refusals(job, Stage.CHECKED_IN))


def missing(job: Job, sentences: list[str]) -> list[Missing]:
    """Refusals with the place of the page where each is mended."""
    places = {stages.damage_pinned(job): "#desk", stages.terms_agreed(job): "#terms"}
    return [Missing(sentence, places.get(sentence, "")) for sentence in sentences]


def _opened(pinned: list[Damage], number: int | None) -> Damage | None:
    """The damage asked for, else the one pinned last; of what was told from outside, the first."""
    chosen = [damage for damage in pinned if damage.number == number]
    newest = pinned[:1] if pinned and pinned[-1].told else pinned[-1:]
    return (chosen or newest or [None])[0]


def _pin(damage: Damage, units: Units, page: str) -> Pin:
    label = gettext("Damage %(number)s: %(damage_title)s") % {
        "number": damage.number,
        "damage_title": words.damage_title(damage, units),
    }
    band = damage.band if damage.model_version else ""
    return Pin(damage.number, damage.x_m, damage.y_m, band, label, f"{page}?damage={damage.number}#panel")


def _ratio(load_ratio: float) -> str:
    """The load ratio to two places, as far as the places mean anything."""
    return (
        written(f"{load_ratio:.2f}")
        if load_ratio < LARGEST_RATIO_SAID
        else gettext("over %(LARGEST_RATIO_SAID)s") % {"LARGEST_RATIO_SAID": LARGEST_RATIO_SAID}
    )


def _spot_words(job: Job, spot: Spot, units: Units) -> str:
    return say(place_sentence(planform(job.inflatable.pattern), spot.place, spot.x_m, spot.y_m), units)
