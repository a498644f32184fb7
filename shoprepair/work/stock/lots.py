"""Lots: deliveries that come in, are counted, and are closed when nothing of them is to be used."""

import calendar
import datetime
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from typing import Any

from django.db import models, transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from shoprepair.pricing.models import Material
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.languages import gettext_lazy, in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work.models import Lot, StockCount, StockRule
from shoprepair.work.stock.quantities import MOST, kept, say_quantity
from shoprepair.work.stock.refusals import StockRefused
from shoprepair.work.stock.rules import shelf_of

LONGEST_MARK = 60
LONGEST_REASON = 200
MOST_YEARS = 30
"""Nothing that a shop buys keeps longer, so that a slip in the year is noticed."""


class Closing(models.TextChoices):
    """Why nothing more is taken of a lot."""

    USED_UP = "used-up", gettext_lazy("Used up")
    THROWN_AWAY = "thrown-away", gettext_lazy("Thrown away")
    SET_ASIDE = "set-aside", gettext_lazy("Set aside")


def receive(
    material: Material,
    code: str,
    quantity: Decimal,
    received_on: datetime.date,
    expires_on: datetime.date | None,
    *,
    who: Staff,
    note: str = "",
) -> Lot:
    """A delivery comes in.

    code: its mark, as on the roll or the box. quantity: in the material's unit. expires_on: the last day
    on which it may be used; None reckons it from the shelf months of the material's rule, if it has any.
    Raises StockRefused with a sentence.
    """
    code, note, quantity = " ".join(code.split()), " ".join(note.split()), kept(quantity)
    _check_arrival(code, quantity, received_on)
    with transaction.atomic():
        Material.objects.select_for_update().get(pk=material.pk)
        _check_mark(material, code)
        expires_on = expires_on or _shelf_end(material, received_on)
        _check_expiry(received_on, expires_on)
        lot = Lot.objects.create(
            material=material,
            code=code,
            received_on=received_on,
            expires_on=expires_on,
            quantity=quantity,
            left=quantity,
            note=note[:LONGEST_REASON],
        )
        told = gettext("Received %(quantity)s of %(material)s, lot %(code)s.") % {
            "quantity": say_quantity(quantity, material.unit),
            "material": material,
            "code": code,
        }
        journal.record(lot, "lot.received", told, who=who)
        journal.record(shelf_of(material), "lot.received", told, who=who)
    return lot


def _check_arrival(code: str, quantity: Decimal, received_on: datetime.date) -> None:
    if not code:
        raise StockRefused(gettext("Write the lot's mark as it stands on the roll or the box."))
    if len(code) > LONGEST_MARK:
        raise StockRefused(
            gettext("Write the mark in %(LONGEST_MARK)s letters or fewer; these are %(code)s.")
            % {"LONGEST_MARK": LONGEST_MARK, "code": len(code)}
        )
    if not 0 < quantity <= MOST:
        raise StockRefused(
            gettext("Write how much came in: more than nought, and at most %(MOST)s.") % {"MOST": MOST}
        )
    today = timezone.localdate()
    if received_on > today:
        raise StockRefused(gettext("It cannot have come in on a day that is still to come."))
    if received_on.year < today.year - MOST_YEARS:
        raise StockRefused(
            gettext("%(year)s is too long ago; look at the year.") % {"year": received_on.year}
        )


def _check_mark(material: Material, code: str) -> None:
    there = Lot.objects.filter(material=material, code__iexact=code).first()
    if there:
        left = say_quantity(there.left, material.unit)
        raise StockRefused(
            gettext(
                "There is a lot %(code)s of this material already, with %(left)s left. "
                "Correct its count, or mark this one differently, such as %(code_2)s-2."
            )
            % {"code": there.code, "left": left, "code_2": code[: LONGEST_MARK - 2]}
        )


def _check_expiry(received_on: datetime.date, expires_on: datetime.date | None) -> None:
    if expires_on is None:
        return
    if expires_on < received_on:
        raise StockRefused(gettext("It would have expired before it came in. Look at both dates."))
    if expires_on.year > timezone.localdate().year + MOST_YEARS:
        raise StockRefused(
            gettext("Nothing keeps until %(year)s; look at the year.") % {"year": expires_on.year}
        )


def _shelf_end(material: Material, received_on: datetime.date) -> datetime.date | None:
    rule = StockRule.objects.filter(material=material).first()
    return months_after(received_on, rule.shelf_months) if rule and rule.shelf_months else None


def months_after(day: datetime.date, months: int) -> datetime.date:
    """The same day of the month so many months on; the month's last day where it has no such day."""
    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    return day.replace(year=year, month=month, day=min(day.day, calendar.monthrange(year, month)[1]))


def expired(lot: Lot, on: datetime.date | None = None) -> bool:
    """Whether the lot's last day is over, today or `on` another day."""
    return lot.expires_on is not None and lot.expires_on < (on or timezone.localdate())


def usable(on: datetime.date) -> QuerySet[Lot]:
    """Lots that something may be taken from on that day, the first to expire first, then the oldest."""
    fresh = Q(expires_on=None) | Q(expires_on__gte=on)
    return Lot.objects.filter(fresh, closed=False, left__gt=0).order_by(
        F("expires_on").asc(nulls_last=True), "received_on", "id"
    )


def choose_lot(material: Material, on: datetime.date, quantity: Decimal = Decimal(0)) -> Lot | None:
    """The lot to take from: the first to expire that has enough in one piece, else the first with any."""
    return choose(list(usable(on).filter(material=material).select_related("material")), quantity)


def choose(lots: Sequence[Lot], quantity: Decimal) -> Lot | None:
    """Of usable lots in order, the first that has enough in one piece, else the first."""
    return next((lot for lot in lots if lot.left >= quantity), lots[0] if lots else None)


@contextmanager
def holding(lot: Lot) -> Iterator[Lot]:
    """The lot as it stands, held until the block ends; the lot given is brought up to date."""
    with transaction.atomic():
        yield Lot.objects.select_for_update().select_related("material").get(pk=lot.pk)
    lot.refresh_from_db()


def written(lot: Lot, **values: Any) -> None:
    """Write values to a lot that nobody has changed since it was read; raises Stale when somebody has."""
    if not Lot.objects.filter(pk=lot.pk, version=lot.version).update(version=F("version") + 1, **values):
        raise Stale(gettext("lot %(code)s") % {"code": lot.code}, Lot.objects.get(pk=lot.pk))


def count(lot: Lot, found: Decimal, reason: str, *, who: Staff, version: int | None = None) -> Lot:
    """Correct what is left to what was found when it was counted.

    Raises StockRefused without a reason, and Stale when the lot changed since `version`: what was counted
    then is not what should be there now.
    """
    found, reason = kept(found), " ".join(reason.split())
    if not 0 <= found <= MOST:
        raise StockRefused(gettext("Write what is there: from nought to %(MOST)s.") % {"MOST": MOST})
    _check_reason(reason, gettext("Say why the count differs, such as “end of the roll was stained”."))
    with holding(lot) as held:
        _check_version(held, version)
        if found == held.left:
            return lot
        written(held, left=found)
        StockCount.objects.create(
            lot=held, before=held.left, found=found, reason=reason, who=who, at=timezone.now()
        )
        before, now = (say_quantity(each, held.material.unit) for each in (held.left, found))
        journal.record(
            held,
            "lot.counted",
            gettext("Counted %(now)s instead of %(before)s: %(reason)s")
            % {"now": now, "before": before, "reason": reason},
            who=who,
            changes={"left": [held.left, found]},
        )
    return lot


def close(lot: Lot, why: Closing, *, who: Staff, version: int | None = None) -> Lot:
    """Nothing more is taken of this lot. What is left stays on record, out of what the shop has on hand."""
    with holding(lot) as held:
        _check_version(held, version)
        if held.closed:
            return lot
        written(held, closed=True)
        left = say_quantity(held.left, held.material.unit)
        journal.record(
            held,
            "lot.closed",
            gettext("Closed it: %(lower)s, %(left)s left.")
            % {"lower": in_a_sentence(why.label), "left": left},
            who=who,
        )
    return lot


def reopen(lot: Lot, *, who: Staff, version: int | None = None) -> Lot:
    """A closed lot may be used again."""
    with holding(lot) as held:
        _check_version(held, version)
        if not held.closed:
            return lot
        written(held, closed=False)
        journal.record(held, "lot.opened", gettext("Opened it again."), who=who)
    return lot


def _check_version(held: Lot, version: int | None) -> None:
    if version is not None and held.version != version:
        raise Stale(gettext("lot %(code)s") % {"code": held.code}, held)


def _check_reason(reason: str, asked: str) -> None:
    if not any(letter.isalnum() for letter in reason):
        raise StockRefused(asked)
    if len(reason) > LONGEST_REASON:
        raise StockRefused(
            gettext("Say it in %(LONGEST_REASON)s letters or fewer; these are %(reason)s.")
            % {"LONGEST_REASON": LONGEST_REASON, "reason": len(reason)}
        )
