"""Where on the inflatable a photo was taken: a point of its drawing, which anybody may take off again."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from shoprepair.gear.carrying import carried
from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import Spot, resolve
from shoprepair.gear.planform import Planform
from shoprepair.gear.words import place_sentence
from shoprepair.jobs.models import Job, Photo, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.units import Units, say


@dataclass(frozen=True, slots=True)
class Point:
    """Of the drawing, in m."""

    x_m: float
    y_m: float


def place_of(photo: Photo) -> Point | None:
    """The point that a photo is pinned to."""
    if photo.x_m is None or photo.y_m is None:
        return None
    return Point(photo.x_m, photo.y_m)


def put(photo: Photo, x_m: float, y_m: float, *, who: Staff) -> Photo:
    """Pin a photo to a point of the drawing; one that was pinned is moved there.

    Raises OffTheDrawing, a ValueError, where there is nothing under the point, and ValueError for a photo
    that was taken off the job.
    """
    spot = resolve(planform(photo.job.inflatable.pattern), x_m, y_m)
    if photo.removed_at is not None:
        raise ValueError(gettext("This photo was removed. Bring it back first, then pin it."))
    text = gettext("A photo was pinned to: %(place)s.") % {"place": _words(photo.job, spot, Units())}
    return _write(photo, Point(spot.x_m, spot.y_m), "photo.placed", text, who)


def take_off(photo: Photo, *, who: Staff) -> Photo:
    """Unpin a photo; it stays among the job's photos."""
    return _write(photo, None, "photo.unplaced", gettext("A photo was taken off its place."), who)


def _write(photo: Photo, point: Point | None, verb: str, text: str, who: Staff) -> Photo:
    """Sent twice, it is done once and told once."""
    before = place_of(photo)
    x_m, y_m = (point.x_m, point.y_m) if point else (None, None)
    with transaction.atomic():
        others = Photo.objects.filter(pk=photo.pk, removed_at=None).exclude(x_m=x_m, y_m=y_m)
        if others.update(x_m=x_m, y_m=y_m) and photo.job.stage != Stage.ENQUIRY:
            moved: dict[str, list[Any]] = {"photo": [None, photo.key]}
            moved["place"] = [_point(before), _point(point)]
            journal.record(photo.job, verb, text, who=who, changes=moved)
    photo.refresh_from_db(fields=("x_m", "y_m"))
    return photo


def _point(point: Point | None) -> str | None:
    return None if point is None else f"{point.x_m:.3f} m by {point.y_m:.3f} m"


def place_words(photo: Photo, units: Units) -> str:
    """Where it was taken: "leading edge, 1.20 m left of centre"; empty for one that is pinned nowhere."""
    if (point := place_of(photo)) is None:
        return ""
    try:
        spot = resolve(planform(photo.job.inflatable.pattern), point.x_m, point.y_m)
    except ValueError:
        return ""
    return _words(photo.job, spot, units)


def told_where(job: Job, photos: Iterable[Photo], units: Units) -> list[Photo]:
    """Photos of a job, each with the words of its place for this reader."""
    told = list(photos)
    for photo in told:
        photo.job = job
        photo.where = place_words(photo, units)
    return told


def _words(job: Job, spot: Spot, units: Units) -> str:
    drawing = planform(job.inflatable.pattern)
    return say(place_sentence(drawing, spot.place, spot.x_m, spot.y_m), units)


def carry(job: Job, old: Planform) -> None:
    """Put the places of a job's photos, pinned on `old`, where they belong on its gear as it is now.

    A photo of a part that the gear does not have is pinned nowhere any more.
    """
    new = planform(job.inflatable.pattern)
    for photo in job.photos.exclude(x_m=None):
        point = _carried(place_of(photo), old, new)
        x_m, y_m = (point.x_m, point.y_m) if point else (None, None)
        Photo.objects.filter(pk=photo.pk).update(x_m=x_m, y_m=y_m)


def _carried(point: Point | None, old: Planform, new: Planform) -> Point | None:
    try:
        spot = carried(old, new, point.x_m, point.y_m) if point else None
    except ValueError:
        return None
    return Point(spot.x_m, spot.y_m) if spot else None
