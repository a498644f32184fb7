"""From what a visitor told to an enquiry: somebody to answer, gear of an everyday pattern, a job, pins."""

from collections.abc import Iterator, Sequence
from typing import IO, Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import override

from shoprepair.gear import everyday
from shoprepair.jobs import checkin, links
from shoprepair.jobs import photos as album
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries import asked, letter, pinning, quotas
from shoprepair.jobs.enquiries.asked import Asked
from shoprepair.jobs.enquiries.pinning import Facts
from shoprepair.jobs.models import Enquiry, Job
from shoprepair.jobs.photos import Picture
from shoprepair.mechanics.description import Kind
from shoprepair.shop import journal
from shoprepair.shop.said import gettext


def send(
    tolds: Sequence[Told],
    *,
    name: str,
    contact: str,
    words: str = "",
    comes: str = Enquiry.Comes.BY_HAND,
    language: str = "en",
    key: str,
    photos: Sequence[IO[bytes] | Picture] = (),
    charge: dict[str, Any] | None = None,
    base_url: str = "",
) -> Enquiry:
    """Keep an enquiry of somebody outside; with a key that was kept before, answer with that one.

    The person is new each time: nobody is looked up, so nothing is told of who is known here. Photos are
    kept on the first damage; where strangers have left too many already, or the disk is nearly full, they
    are left out. Where an e-mail address was given and it is known where the shop is reached (`base_url`;
    empty: as its settings say), a letter tells of it. Raises ValidationError, a sentence per field: "name",
    "contact", "words", "comes", "photos", "damages".
    """
    if known := sent_before(key):
        return known
    with everyday.read_once():
        good = asked.read(damages=tolds, name=name, contact=contact, words=words, comes=comes)
        pictures = readable(photos)
        enquiry = Enquiry(key=key, language=language, charge=charge or {})
        try:
            _write(good, enquiry, pictures, base_url)
        except IntegrityError:
            # The same form came twice at the same moment.
            if known := sent_before(key):
                return known
            raise
    return enquiry


def sent_before(key: str) -> Enquiry | None:
    """The enquiry that was sent under this key, if it was."""
    return Enquiry.objects.filter(key=key).select_related("job").first()


def readable(photos: Sequence[IO[bytes] | Picture]) -> list[Picture]:
    """The photos, made ready to be kept. Raises ValidationError, a sentence for each that is bad."""
    read: list[Picture] = []
    problems = []
    for file in photos[: quotas.MOST_PHOTOS]:
        try:
            read.append(file if isinstance(file, dict) else album.read(file))
        except ValueError as error:
            problems.append(_named(file, str(error)))
    if len(photos) > quotas.MOST_PHOTOS:
        problems.append(quotas.too_many())
    if problems:
        raise ValidationError({"photos": problems})
    return read


def _write(good: Asked, enquiry: Enquiry, pictures: Sequence[Picture], base_url: str) -> None:
    """All of it or nothing, for sent again it is not asked for its photos once more.

    What the shop reads of it is in the shop's own language.
    """
    described = [pinning.described(told) for told in good.damages]
    with override("en"), transaction.atomic():
        enquiry.job = _job(good)
        enquiry.told, enquiry.advice = _pin(enquiry.job, good.damages, described)
        enquiry.comes, enquiry.words, enquiry.sent_at = good.comes, good.words, timezone.now()
        enquiry.save()
        said = " ".join(told["words"] for told in enquiry.told)
        by: dict[str, Any] = {"who": None, "who_name": good.who_name}
        journal.record(
            enquiry.job, "enquiry.sent", gettext("Enquiry from outside: %(said)s") % {"said": said}, **by
        )
        links.make(enquiry.job, **by)
        letter.write(enquiry, base_url)
        enquiry.job.refresh_from_db()
        _keep(enquiry.job, pictures)


def _pin(
    job: Job, tolds: Sequence[Told], described: Sequence[tuple[Facts, Facts]]
) -> tuple[list[Facts], ...]:
    told, advice = [], []
    for one, (kept, advised) in zip(tolds, described, strict=True):
        number = pinning.pin(job, one, kept).number
        told.append({"number": number, **kept})
        advice.append({"number": number, **advised})
    return told, advice


def _job(good: Asked) -> Job:
    by: dict[str, Any] = {"who": None, "who_name": good.who_name}
    first, reach = good.damages[0], good.contact
    pattern = everyday.pattern(everyday.code(Kind(first.kind), first.size))
    customer = checkin.add_customer(good.name, phone=reach.phone, email=reach.email, **by)
    inflatable = checkin.add_inflatable(customer, pattern, **by)
    return checkin.start(customer, inflatable, **by)


def _keep(job: Job, pictures: Sequence[Picture]) -> None:
    """Keep photos beside what was told: one that cannot be kept does not undo the enquiry."""
    first = job.damages.order_by("number").first()
    left = list(_left_out(job, pictures, first)) if quotas.room() else list(pictures)
    if left:
        which = gettext("A photo") if len(left) == 1 else gettext("%(left)s photos") % {"left": len(left)}
        text = gettext("%(which)s of the enquiry could not be kept: the room for them is used up.") % {
            "which": which
        }
        journal.record(job, "enquiry.photos-left-out", text, who=None)


def _left_out(job: Job, pictures: Sequence[Picture], damage: Any) -> Iterator[Picture]:
    for picture in pictures:
        try:
            album.keep(job, picture, who=None, damage=damage)
        except ValueError:
            yield picture


def _named(file: Any, sentence: str) -> str:
    name = str(getattr(file, "name", None) or "")[-60:]
    return f"{name}: {sentence}" if name else sentence
