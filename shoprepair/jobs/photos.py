"""Photos: decoded once, turned upright, made smaller and written anew without their metadata.

The file that was sent is never kept and never served. A photo is whole on the disk before the row
that names it is written.
"""

import os
import secrets
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext, gettext_noop
from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

from shoprepair.jobs.models import Damage, Job, Photo, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 25_000_000
MOST_PIXELS = 50_000_000
SIZES = {"large": 1600, "medium": 1000, "small": 400}
"""Longest side in pixels, the largest first, since each is made from the one before."""
QUALITY = {"large": 80, "medium": 80, "small": 75}
REDUCING_GAP = 1.1
"""Lets a JPEG be decoded at half its size, or less, where that is still larger than what is wanted."""

_DISK_REFUSED = gettext_noop(
    "The shop's disk did not take the photo: it may be full. All else is kept; tell the owner."
)
_one_at_a_time = threading.Lock()


class Jpeg:
    """A picture written anew, without anything that was attached to it."""

    __slots__ = ("content", "height", "width")

    def __init__(self, image: Image.Image, quality: int) -> None:
        buffer = BytesIO()
        # Nothing but pixels: no exif=, no icc_profile=, and a fresh image carries no info of its own.
        image.save(buffer, "JPEG", quality=quality)
        self.content = buffer.getvalue()
        self.width, self.height = image.size


Picture = dict[str, Jpeg]
"""A photo in all its sizes, read and not kept yet."""


def read(file: IO[bytes]) -> Picture:
    """A photo that was sent, made ready to be kept.

    Raises ValueError with a sentence when the file is no photo, too large, or broken.
    """
    content = _content(file)
    with _one_at_a_time:
        return _sizes(content)


def keep(
    job: Job, file: IO[bytes] | Picture, *, who: Staff | None, damage: Damage | None = None, caption: str = ""
) -> Photo:
    """Keep a photo of the job, or of one of its damages. `who` None is the customer.

    Raises ValueError with a sentence when the file is no photo, too large, or broken.
    """
    if damage is not None and damage.job_id != job.pk:
        raise ValueError("That damage belongs to another job.")
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
        _journal(photo, "photo.added", f"A photo{_of(photo)} was added.", who)
    return photo


def path(photo: Photo, size: str) -> Path:
    """The JPEG of a photo on the disk, "small", "medium" or "large"."""
    if size not in SIZES:
        raise ValueError(f"There is no size “{size}”; there are {', '.join(SIZES)}.")
    return _path(photo.key, size)


def remove(photo: Photo, who: Staff) -> Photo:
    """Take a photo off the job. It can be restored."""
    return _set_removed(photo, timezone.now(), "photo.removed", "removed", who)


def restore(photo: Photo, who: Staff) -> Photo:
    """Undo a removal."""
    return _set_removed(photo, None, "photo.restored", "restored", who)


def share(photo: Photo, shared: bool, *, who: Staff) -> Photo:
    """Let the customer see a photo on the status link, or no longer."""
    with transaction.atomic():
        if Photo.objects.filter(pk=photo.pk).exclude(shared=shared).update(shared=shared):
            verb, done = ("photo.shared", "shown to") if shared else ("photo.unshared", "hidden from")
            _journal(photo, verb, f"A photo{_of(photo)} was {done} the customer.", who)
    photo.refresh_from_db(fields=("shared",))
    return photo


def _content(file: IO[bytes]) -> bytes:
    content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise ValueError(too_large())
    if not content:
        raise ValueError(gettext("This file is empty. Take the photo again."))
    return content


def _sizes(content: bytes) -> Picture:
    """All three sizes from one decode."""
    try:
        with _strictly(), Image.open(BytesIO(content), formats=FORMATS) as image:
            _check_pixels(image)
            return _shrunk(image)
    except UnidentifiedImageError:
        raise ValueError(gettext("This file is not a photo. Send a JPEG, PNG or WebP picture.")) from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise ValueError(_too_many_pixels()) from None
    except (OSError, SyntaxError, EOFError, ArithmeticError, IndexError, MemoryError) as error:
        raise ValueError(gettext("This photo is broken or was cut off on its way. Send it again.")) from error


def _shrunk(image: Image.Image) -> Picture:
    longest = max(SIZES.values())
    image.thumbnail((longest, longest), Image.Resampling.LANCZOS, reducing_gap=REDUCING_GAP)
    upright = ImageOps.exif_transpose(image)
    current = _flat(upright)
    made: Picture = {}
    for size, side in SIZES.items():
        current.thumbnail((side, side), Image.Resampling.LANCZOS, reducing_gap=REDUCING_GAP)
        made[size] = Jpeg(current, QUALITY[size])
    return made


def _check_pixels(image: Image.Image) -> None:
    """Looks at the size that the header states: nothing has been decoded yet."""
    width, height = image.size
    if width * height > MOST_PIXELS:
        raise ValueError(_too_many_pixels())
    if min(width, height) < 2:
        raise ValueError(gettext("This picture is too thin to be a photo."))


def _flat(image: Image.Image) -> Image.Image:
    """Plain red, green and blue, on white where the picture is clear, with nothing attached."""
    if image.mode in {"I", "I;16", "I;16B", "F"}:
        image = image.point(lambda level: level / 256).convert("L")
    if image.has_transparency_data:
        clear = image.convert("RGBA")
        flat = Image.new("RGB", image.size, "white")
        flat.paste(clear, mask=clear.getchannel("A"))
        return flat
    flat = image.convert("RGB")
    flat.info = {}
    return flat


@contextmanager
def _strictly() -> Iterator[None]:
    """Bombs and cut-off files are errors, even where printing papers has told Pillow to bear with them."""
    bears_with = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = bears_with


@contextmanager
def _files_of(images: Picture) -> Iterator[str]:
    """The key under which all sizes are on the disk; takes them away again if no row comes to name them."""
    key = secrets.token_urlsafe(16)
    try:
        for size, jpeg in images.items():
            _write_whole(_path(key, size), jpeg.content)
        yield key
    except BaseException as error:
        for size in SIZES:
            _path(key, size).unlink(missing_ok=True)
            _passing(_path(key, size)).unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise ValueError(gettext(_DISK_REFUSED)) from error
        raise


def _passing(target: Path) -> Path:
    return target.with_suffix(".part")


def _path(key: str, size: str) -> Path:
    return Path(settings.MEDIA_ROOT) / "photos" / key[:2] / f"{key}-{size}.jpg"


def _write_whole(target: Path, content: bytes) -> None:
    """Under a passing name first, down to the disk, then renamed: a file by its true name is never half."""
    target.parent.mkdir(parents=True, exist_ok=True)
    passing = _passing(target)
    with passing.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    passing.replace(target)
    folder = os.open(target.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def _set_removed(photo: Photo, at: Any, verb: str, done: str, who: Staff) -> Photo:
    with transaction.atomic():
        if Photo.objects.filter(pk=photo.pk, removed_at__isnull=at is not None).update(removed_at=at):
            _journal(photo, verb, f"A photo{_of(photo)} was {done}.", who)
    photo.refresh_from_db(fields=("removed_at",))
    return photo


def _of(photo: Photo) -> str:
    return f" of damage {photo.damage.number}" if photo.damage else ""


def _journal(photo: Photo, verb: str, text: str, who: Staff | None) -> None:
    if photo.job.stage != Stage.ENQUIRY:
        journal.record(photo.job, verb, text, who=who, changes={"photo": [None, photo.key]})


def too_large() -> str:
    """What is said of a file that is larger than any photo."""
    return gettext("This photo is larger than %(most)d MB. Send it smaller.") % {
        "most": MOST_BYTES // 1_000_000
    }


def _too_many_pixels() -> str:
    most = MOST_PIXELS // 1_000_000
    return gettext("This picture has more than %(most)d million pixels. Send it smaller.") % {"most": most}
