"""Photos: decoded once, turned upright, made smaller and written anew without their metadata.

The file that was sent is never kept and never served. A photo is whole on the disk before the row
that names it is written.
"""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import IO, Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext_noop

from shoprepair.jobs.decoding import bounded
from shoprepair.jobs.decoding.bounds import Bounds, Jpeg, Refused, Why
from shoprepair.jobs.models import Damage, Job, Photo, Stage
from shoprepair.shop import files, journal
from shoprepair.shop.files import Kept
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

MOST_BYTES = 25_000_000
MOST_PIXELS = 50_000_000
MOST_SIDE = 12_000
"""Pixels."""
SIZES = {"large": 1600, "medium": 1000, "small": 400}
"""Longest side in pixels, the largest first, since each is made from the one before."""
QUALITY = {"large": 80, "medium": 80, "small": 75}
FULL_SHARE, FULL_BYTES = 0.05, 500_000_000
"""With less left of the disk than this share of it, and than so many bytes, no photo is taken any more: the
rest is for what people write."""
IN_ITS_PLACE = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 160 120" fill="none" stroke="#6b7280">'
    b'<rect width="160" height="120" fill="#e5e7eb" stroke="none"/>'
    b'<rect x="44" y="34" width="72" height="52" rx="6" stroke-width="4"/>'
    b'<path d="M52 78l20-24 14 16 8-8 14 16M40 96l80-72" stroke-width="4"/></svg>'
)
"""A picture, without a word, of a photo that cannot be shown; as SVG."""

_DISK_REFUSED = gettext_noop(
    "The shop's disk did not take the photo: it may be full. All else is kept; tell the owner."
)

Picture = dict[str, Jpeg]
"""A photo in all its sizes, read and not kept yet."""


def read(file: IO[bytes]) -> Picture:
    """A photo that was sent, made ready to be kept.

    Raises ValueError with a sentence when the file is no photo, too large, or broken.
    """
    if not room():
        raise ValueError(gettext(_DISK_REFUSED))
    content = _content(file)
    bounds = Bounds(MOST_PIXELS, MOST_SIDE, tuple((side, QUALITY[size]) for size, side in SIZES.items()))
    try:
        return dict(zip(SIZES, bounded.decode(content, bounds), strict=True))
    except Refused as refused:
        raise ValueError(_sentence(refused.why)) from refused


def room() -> bool:
    """Whether the disk has so much left that a photo takes nobody's words their place."""
    left = files.room()
    return left.free >= min(left.total * FULL_SHARE, FULL_BYTES)


def keep(
    job: Job, file: IO[bytes] | Picture, *, who: Staff | None, damage: Damage | None = None, caption: str = ""
) -> Photo:
    """Keep a photo of the job, or of one of its damages. `who` None is the customer.

    Raises ValueError with a sentence when the file is no photo, too large, or broken.
    """
    if damage is not None and damage.job_id != job.pk:
        raise ValueError(gettext("That damage belongs to another job."))
    images = file if isinstance(file, dict) else read(file)
    with _files_of(images) as key, transaction.atomic():
        photo = Photo.objects.create(
            job=job,
            damage=damage,
            key=key,
            width=images["large"].width,
            height=images["large"].height,
            caption=" ".join(caption.split())[:200],
            taken_by=who,
        )
        told = _told(photo, gettext("A photo was added."), gettext("A photo of damage %(number)s was added."))
        _journal(photo, "photo.added", told, who)
    return photo


def file(photo: Photo, size: str) -> Kept:
    """The JPEG of a photo, "small", "medium" or "large"."""
    if size not in SIZES:
        raise ValueError(
            gettext("There is no size “%(size)s”; there are %(join)s.")
            % {"size": size, "join": ", ".join(SIZES)}
        )
    return _file(photo.key, size)


def remove(photo: Photo, who: Staff) -> Photo:
    """Take a photo off the job. It can be restored."""
    told = _told(photo, gettext("A photo was removed."), gettext("A photo of damage %(number)s was removed."))
    return _set_removed(photo, timezone.now(), "photo.removed", told, who)


def restore(photo: Photo, who: Staff) -> Photo:
    """Undo a removal."""
    told = _told(
        photo, gettext("A photo was restored."), gettext("A photo of damage %(number)s was restored.")
    )
    return _set_removed(photo, None, "photo.restored", told, who)


def share(photo: Photo, shared: bool, *, who: Staff) -> Photo:
    """Let the customer see a photo on the status link, or no longer."""
    with transaction.atomic():
        if Photo.objects.filter(pk=photo.pk).exclude(shared=shared).update(shared=shared):
            if shared:
                plain = gettext("A photo was shown to the customer.")
                of_one = gettext("A photo of damage %(number)s was shown to the customer.")
            else:
                plain = gettext("A photo was hidden from the customer.")
                of_one = gettext("A photo of damage %(number)s was hidden from the customer.")
            verb = "photo.shared" if shared else "photo.unshared"
            _journal(photo, verb, _told(photo, plain, of_one), who)
    photo.refresh_from_db(fields=("shared",))
    return photo


def _content(file: IO[bytes]) -> bytes:
    content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise ValueError(too_large())
    if not content:
        raise ValueError(gettext("This file is empty. Take the photo again."))
    return content


@contextmanager
def _files_of(images: Picture) -> Iterator[str]:
    """The key under which all sizes are kept; takes them away again if no row comes to name them."""
    key = secrets.token_urlsafe(16)
    try:
        for size, jpeg in images.items():
            _file(key, size).write(jpeg.content)
        yield key
    except BaseException as error:
        for size in SIZES:
            with suppress(OSError):
                _file(key, size).unlink()
        if isinstance(error, OSError):
            raise ValueError(gettext(_DISK_REFUSED)) from error
        raise


def _file(key: str, size: str) -> Kept:
    return Kept(f"photos/{key[:2]}/{key}-{size}.jpg")


def _set_removed(photo: Photo, at: Any, verb: str, told: str, who: Staff) -> Photo:
    with transaction.atomic():
        if Photo.objects.filter(pk=photo.pk, removed_at__isnull=at is not None).update(removed_at=at):
            _journal(photo, verb, told, who)
    photo.refresh_from_db(fields=("removed_at",))
    return photo


def _told(photo: Photo, plain: str, of_one: str) -> str:
    return of_one % {"number": photo.damage.number} if photo.damage else plain


def _journal(photo: Photo, verb: str, text: str, who: Staff | None) -> None:
    if photo.job.stage != Stage.ENQUIRY:
        journal.record(photo.job, verb, text, who=who, changes={"photo": [None, photo.key]})


def too_large() -> str:
    """What is said of a file that is larger than any photo."""
    return gettext("This photo is larger than %(most)d MB. Send it smaller.") % {
        "most": MOST_BYTES // 1_000_000
    }


def _sentence(why: Why) -> str:
    """What is said of a picture that was not taken."""
    match why:
        case Why.NOT_A_PHOTO:
            return gettext("This file is not a photo. Send a JPEG, PNG or WebP picture.")
        case Why.TOO_MANY_PIXELS:
            most = MOST_PIXELS // 1_000_000
            return gettext("This picture has more than %(most)d million pixels. Send it smaller.") % {
                "most": most
            }
        case Why.TOO_THIN:
            return gettext("This picture is too thin to be a photo.")
        case Why.TOO_LONG:
            return gettext("This picture is longer than %(most)d pixels. Send it smaller.") % {
                "most": MOST_SIDE
            }
        case Why.TOO_MUCH:
            return gettext("This picture takes too long to read. Send it smaller, as a JPEG.")
    return gettext("This photo is broken or was cut off on its way. Send it again.")
