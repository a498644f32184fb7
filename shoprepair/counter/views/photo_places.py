"""Pinning a photo to a place of the drawing, and taking it off again; both can be undone."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from shoprepair.counter.desk import desk, render_desk_with
from shoprepair.counter.fetch import fetch_job
from shoprepair.counter.forms.damages import PinForm
from shoprepair.jobs import photo_places
from shoprepair.jobs.models import Photo


@require_POST
def put(request: HttpRequest, key: str) -> HttpResponse:
    """Pin a photo where the drawing was tapped."""
    photo = _photo(key)
    form = PinForm(request.POST)
    if not form.is_valid():
        return _not_there(request, photo, " ".join(form.non_field_errors()))
    try:
        photo_places.put(photo, form.cleaned_data["x"], form.cleaned_data["y"], who=request.user)
    except ValueError as off:
        return _not_there(request, photo, str(off))
    messages.success(request, gettext("The photo is pinned to its place."))
    return redirect(_photos_of(photo))


@require_POST
def take_off(request: HttpRequest, key: str) -> HttpResponse:
    """Unpin a photo; the page offers to put it back where it was."""
    photo = _photo(key)
    was = photo_places.place_of(photo)
    photo_places.take_off(photo, who=request.user)
    undo = {"unpinned": photo.key, "was_x": f"{was.x_m:.4f}", "was_y": f"{was.y_m:.4f}"} if was else {}
    return redirect(_photos_of(photo, **undo))


def _not_there(request: HttpRequest, photo: Photo, sentence: str) -> HttpResponse:
    """A tap beside the drawing: says so, and still waits for the place."""
    context = desk(request, photo.job, placing=photo, said=sentence)
    return render_desk_with(request, photo.job, context, status=422)


def _photo(key: str) -> Photo:
    photo = get_object_or_404(Photo.objects.select_related("damage", "job"), key=key)
    photo.job = fetch_job(photo.job.number)
    return photo


def _photos_of(photo: Photo, **undo: str) -> str:
    page = reverse("job-check-in", args=[photo.job.number])
    return f"{page}{'?' if undo else ''}{urlencode(undo)}#photos"
