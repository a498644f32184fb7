"""Photos from the tablet's camera: sent one by one, kept once, shown to whoever works here."""

from collections.abc import Callable
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_POST, require_safe

from shoprepair.counter.fetch import fetch_job, next_page
from shoprepair.jobs import photo_places, photos
from shoprepair.jobs.models import Damage, Job, Photo, Stage
from shoprepair.shop.models import Staff
from shoprepair.shop.submissions import check, done_before, once

A_YEAR_S = 31_536_000


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the photos that were sent; each that cannot be kept is named with the reason."""
    job = fetch_job(number)
    of = _damage(job, request.POST.get("damage", ""))
    key = request.POST.get("key", "")
    kept, refused = [], []
    for place, file in enumerate(request.FILES.getlist("photo")):
        try:
            kept.append(_keep_once(job, file, of, request, f"{key}-{place}" if key else ""))
        except ValueError as error:
            refused.append({"name": file.name, "sentence": str(error)})
    if not kept and not refused:
        refused.append(
            {"name": "", "sentence": gettext("No photo was chosen. Take one, or choose one, first.")}
        )
    context = {
        "job": job,
        "photos": kept,
        "refused_photos": refused,
        "back": next_page(request, _photos_of(job)),
    }
    status = 422 if refused else 200
    if request.htmx:
        return render(request, "counter/check_in/photos_kept.html", context, status=status)
    if refused:
        return render(request, "counter/check_in/photos_refused.html", context, status=status)
    return redirect(next_page(request, _photos_of(job)))


@require_safe
def photo(_request: HttpRequest, key: str, size: str) -> HttpResponse | FileResponse:
    """One photo, in one of its sizes. It never changes, so the browser may keep it.

    Where its file is not there, or its store away, a picture stands in its place for now.
    """
    found = get_object_or_404(Photo, key=key)
    try:
        answer = FileResponse(photos.file(found, size).open(), content_type="image/jpeg")
    except ValueError:
        raise Http404 from None
    except OSError:
        return HttpResponse(
            photos.IN_ITS_PLACE,
            status=404,
            content_type="image/svg+xml",
            headers={"Cache-Control": "private, no-store"},
        )
    answer["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return answer


@require_POST
def remove(request: HttpRequest, key: str) -> HttpResponse:
    """Take a photo off the job; it can be brought back."""
    return _change(request, key, photos.remove)


@require_POST
def restore(request: HttpRequest, key: str) -> HttpResponse:
    """Bring a removed photo back."""
    return _change(request, key, photos.restore)


@require_POST
def share(request: HttpRequest, key: str) -> HttpResponse:
    """Let the customer see a photo, or with `shared` empty no longer. Sent twice, it is done once."""
    found = get_object_or_404(Photo.objects.select_related("job", "damage"), key=key)
    photos.share(found, bool(request.POST.get("shared")), who=request.user)
    return redirect(next_page(request, _photos_of(found.job)))


def _change(request: HttpRequest, key: str, change: Callable[[Photo, Staff], Any]) -> HttpResponse:
    beside = ("damage", "job__inflatable__pattern")
    found = get_object_or_404(Photo.objects.select_related(*beside), key=key)
    change(found, request.user)
    photo_places.told_where(found.job, [found], request.units)
    if request.htmx:
        return render(request, "counter/check_in/photo.html", {"photo": found, "job": found.job})
    return redirect(next_page(request, _photos_of(found.job)))


def _photos_of(job: Job) -> str:
    """Where the job's photos are seen: at its check-in until that is finished, then on its sheet."""
    page = "job-check-in" if job.stage == Stage.ENQUIRY else "job"
    return f"{reverse(page, args=[job.number])}#photos"


def _keep_once(job: Job, file: UploadedFile, of: Damage | None, request: HttpRequest, key: str) -> Photo:
    """Keep a photo unless its key was seen: the photo's row and its key come together, or neither does.

    Only decoding it stays outside, so that nobody waits for that.
    """
    who, caption = request.user, request.POST.get("caption", "")
    check(key)
    if key and (seen := done_before(key, who)):
        return Photo.objects.get(key=seen)
    picture = photos.read(file)
    kept = once(key, who, lambda: photos.keep(job, picture, who=who, damage=of, caption=caption).key)
    return Photo.objects.get(key=kept)


def _damage(job: Job, number: str) -> Damage | None:
    return job.damages.filter(number=number).first() if number.isdecimal() else None
