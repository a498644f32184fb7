"""Erasing a customer: everything that names them goes; accounts, numbers, gear and covers stay."""

import logging
from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from shoprepair.jobs import personal, photos
from shoprepair.jobs.models import Customer, Photo
from shoprepair.jobs.personal import Erasure
from shoprepair.shop import erasing, journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.erasing import ERASED
from shoprepair.shop.files import Kept
from shoprepair.shop.files.trouble import Away
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

logger = logging.getLogger("shoprepair.jobs.erasure")


class ErasureRefused(ValueError):
    """Nothing is erased; `reasons` says why, a sentence each."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


def refusals(customer: Customer) -> list[str]:
    """Why this customer cannot be erased yet, a sentence each; empty where they can."""
    return [why for part in personal.parts() for why in part.refuse(customer)]


def erase(customer: Customer, typed_name: str, *, who: Staff, photos_too: bool = False) -> Customer:
    """Erase a customer, once their name was typed. The owner does; the journal says so and names nobody.

    Their gear's photos stay, for its covers name them, unless `photos_too`. Raises ErasureRefused.
    """
    if not is_owner(who):
        raise ErasureRefused([gettext("Only the owner erases a customer.")])
    with erasing.window():
        held = Customer.objects.select_for_update().get(pk=customer.pk)
        if reasons := refusals(held):
            raise ErasureRefused(reasons)
        if _folded(typed_name) != _folded(held.name):
            raise ErasureRefused([gettext("That is not the customer's name. Type it as it stands above.")])
        _erase(held, who, photos_too)
    customer.refresh_from_db()
    return customer


def erase_by_itself(customer: Customer, *, photos_too: bool = True) -> Customer:
    """Erase somebody, with their photos, because their time is over: nobody is asked.

    Raises ErasureRefused.
    """
    with erasing.window():
        held = Customer.objects.select_for_update().get(pk=customer.pk)
        if reasons := refusals(held):
            raise ErasureRefused(reasons)
        _erase(held, None, photos_too)
    customer.refresh_from_db()
    return customer


def _erase(customer: Customer, who: Staff | None, photos_too: bool) -> None:
    jobs = tuple(job.pk for job in personal.jobs_of(customer))
    gear = tuple(personal.gear_of(customer))
    at = timezone.now()
    erasure = Erasure(customer=customer, who=who, at=at, photos=photos_too, jobs=jobs, gear=gear)
    for part in personal.parts():
        part.know(erasure)
    for part in personal.parts():
        part.erase(erasure)
    also = gettext(" The photos of their gear went too.") if photos_too else ""
    journal.record(
        customer,
        "customer.erased",
        gettext("Everything that named this customer went.%(also)s") % {"also": also},
        who=who,
    )
    if photos_too:
        transaction.on_commit(remove_files)


def remove_files() -> int:
    """Take away the files of photos that were erased; how many there still were."""
    removed = 0
    try:
        for file in _files(Photo.objects.filter(caption=ERASED).exclude(removed_at=None)):
            file.unlink()
            removed += 1
    except Away as away:
        # They go on another day: it is looked every day.
        logger.warning("Photos of somebody who was erased still lie in the store: %s", away)
    return removed


def _files(erased: Iterable[Photo]) -> Iterable[Kept]:
    for photo in erased:
        yield from (file for size in photos.SIZES if (file := photos.file(photo, size)).exists())


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
