"""How many photos strangers may leave here, so that they never fill the shop's disk."""

from django.utils.translation import gettext

from shoprepair.jobs.enquiries.coming import waiting
from shoprepair.jobs.models import Photo
from shoprepair.shop import files

MOST_PHOTOS = 4
"""With one enquiry."""
MOST_WAITING = 400
"""With all enquiries whose gear has not come in."""
LEAST_FREE_BYTES = 1_000_000_000


def room() -> bool:
    """Whether photos of another enquiry are taken now."""
    return free_bytes() >= LEAST_FREE_BYTES and photos_waiting() + MOST_PHOTOS <= MOST_WAITING


def photos_waiting() -> int:
    """How many photos hang on enquiries whose gear has not come in."""
    return Photo.objects.filter(job__in=waiting().values("job")).count()


def free_bytes() -> int:
    """What is free on the disk that holds the photos, or through which they pass to a store."""
    return files.room().free


def too_many() -> str:
    """What is said of more photos than one enquiry takes."""
    return gettext("%(most)d photos at most. Choose the ones that show it best.") % {"most": MOST_PHOTOS}
