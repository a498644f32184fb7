"""What no cover needs any more: photos of closed jobs, and how to reach customers who no longer come."""

import datetime
import logging

from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet

from shoprepair.cover import standing
from shoprepair.cover.models import Claim, Cover
from shoprepair.jobs import erasure
from shoprepair.jobs.erasure import ErasureRefused
from shoprepair.jobs.models import Customer, Job, Ownership, Photo
from shoprepair.shop.erasing import ERASED
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.lasting import Kind, years_before

A_NIGHT = 200
"""So many customers are erased in one night; the rest wait for the next."""

logger = logging.getLogger("shoprepair.cover.uncovered")


def photos(years: int, now: datetime.datetime) -> "QuerySet[Photo]":
    """Photos of jobs closed longer ago, of gear that never got a cover and is not in the shop."""
    gear = OuterRef("job__inflatable")
    old = Photo.objects.filter(job__is_open=False, job__closed_at__lt=years_before(now, years))
    return old.exclude(
        Q(caption=ERASED, removed_at__isnull=False)
        | Exists(Cover.objects.filter(inflatable=gear))
        | Exists(Job.objects.filter(inflatable=gear, is_open=True))
    )


def let_photos_go(years: int, now: datetime.datetime) -> int:
    """Take such photos away with their files; how many there were."""
    with transaction.atomic():
        keys = list(photos(years, now).values_list("pk", flat=True))
        gone = Photo.objects.filter(pk__in=keys)
        gone.filter(removed_at=None).update(removed_at=now)
        gone.update(caption=ERASED, shared=False)
        if keys:
            transaction.on_commit(erasure.remove_files)
    return len(keys)


def contacts(years: int, now: datetime.datetime) -> "QuerySet[Customer]":
    """Customers whose last visit ended longer ago, with no gear here and no cover on gear of theirs."""
    since, whose = years_before(now, years), OuterRef("pk")
    theirs = Ownership.objects.filter(customer=whose, until=None)
    lately = Q(is_open=True) | Q(closed_at__gte=since) | Q(received_at__gte=since)
    undecided = Claim.objects.filter(job__customer=whose, decision=Claim.Decision.OPEN)
    return Customer.objects.filter(
        ~Exists(Job.objects.filter(lately, customer=whose)),
        ~Exists(theirs.filter(Q(since__gte=since) | Exists(_covers_of(OuterRef("inflatable"))))),
        ~Exists(undecided),
        erased_at=None,
        created_at__lt=since,
    ).order_by("pk")


def erase_contacts(years: int, now: datetime.datetime) -> int:
    """Erase such customers as if they had asked for it; how many there were.

    Whoever still owes something, or has gear on offer to a new owner, stays until that is settled.
    """
    erased = 0
    for customer in contacts(years, now).iterator():
        if erased == A_NIGHT:
            break
        try:
            # Their photos have a time of their own, and may be named by covers of gear that passed on.
            erasure.erase_by_itself(customer, photos_too=False)
        except ErasureRefused:
            continue
        except Exception:
            logger.exception("Customer %s could not be erased", customer.pk)
        else:
            erased += 1
    return erased


def _covers_of(inflatable: OuterRef) -> "QuerySet[Cover]":
    return standing.standing_covers().filter(inflatable=inflatable)


PHOTOS = Kind(
    field="photo_years",
    what=gettext_lazy("Photos of closed jobs, where the gear has no cover"),
    unit="years",
    fewest=1,
    most=50,
    then=gettext_lazy(
        "The photos go; damages, figures and work done stay. Gear that ever had a cover keeps its photos."
    ),
    one="photo",
    many="photos",
    due=lambda years, now: photos(years, now).count(),
    let_go=let_photos_go,
)
CONTACTS = Kind(
    field="contact_years",
    what=gettext_lazy("Customers without gear here, and without a cover"),
    unit="years",
    fewest=1,
    most=50,
    then=gettext_lazy(
        "Name, phone, e-mail, notes and messages go, as when they ask to be erased. Gear, jobs and money "
        "stay; whoever still owes something stays too."
    ),
    one="customer",
    many="customers",
    due=lambda years, now: contacts(years, now).count(),
    let_go=erase_contacts,
)
