"""Taking from a lot for a job, and putting back."""

from decimal import Decimal

from django.db import IntegrityError, transaction
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Repair
from shoprepair.pricing.quotes.words import day
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.work.models import Lot, Step, Use
from shoprepair.work.stock.lots import LONGEST_REASON, expired, holding, written
from shoprepair.work.stock.quantities import kept, say_quantity
from shoprepair.work.stock.refusals import StockRefused


def use(
    lot: Lot,
    quantity: Decimal,
    *,
    job: Job,
    step: Step | None = None,
    repair: Repair | None = None,
    who: Staff,
    reason: str = "",
) -> Use:
    """Take a quantity (of the material's unit) from a lot for a job.

    The lot is held while it is read and written, so of two who take the last of it one is refused.
    reason: why the owner lets an expired lot be used; without it, or by anybody else, it is refused.
    Raises StockRefused with a sentence; nothing is taken then.
    """
    quantity, reason = kept(quantity), " ".join(reason.split())[:LONGEST_REASON]
    repair = repair or (step.repair if step else None)
    with holding(lot) as held:
        _check(held, quantity, who, reason)
        written(held, left=held.left - quantity)
        made = Use.objects.create(
            lot=held,
            job=job,
            step=step,
            repair=repair,
            quantity=quantity,
            reason=reason if expired(held) else "",
            who=who,
            at=timezone.now(),
        )
        _tell(made)
    return made


def _tell(made: Use) -> None:
    """Tell the journal of the lot and that of the job what was taken."""
    why = gettext(", though it has expired: %(reason)s") % {"reason": made.reason} if made.reason else ""
    taken = gettext("%(quantity)s of %(material)s, lot %(code)s%(why)s") % {
        "quantity": say_quantity(made.quantity, made.lot.material.unit),
        "material": made.lot.material,
        "code": made.lot.code,
        "why": why,
    }
    from_lot = gettext("Took %(taken)s for job %(job)s.") % {"taken": taken, "job": made.job}
    journal.record(made.lot, "lot.used", from_lot, who=made.who)
    journal.record(made.job, "material.used", gettext("Took %(taken)s.") % {"taken": taken}, who=made.who)


def _check(held: Lot, quantity: Decimal, who: Staff, reason: str) -> None:
    unit = held.material.unit
    if quantity <= 0:
        raise StockRefused(gettext("Write how much is taken: more than nought."))
    if held.closed:
        raise StockRefused(
            gettext("Lot %(code)s is closed. Take another one, or open it again.") % {"code": held.code}
        )
    if quantity > held.left:
        left = (
            gettext("%(left)s left") % {"left": say_quantity(held.left, unit)}
            if held.left
            else gettext("nothing left")
        )
        raise StockRefused(
            gettext("Lot %(code)s has %(left)s, not %(quantity)s.")
            % {"code": held.code, "left": left, "quantity": say_quantity(quantity, unit)}
        )
    if expired(held) and not is_owner(who):
        raise StockRefused(
            gettext("Lot %(code)s expired on %(held)s. Take another one, or ask the owner.")
            % {"code": held.code, "held": _last_day(held)}
        )
    if expired(held) and not any(letter.isalnum() for letter in reason):
        raise StockRefused(
            gettext("Lot %(code)s expired on %(held)s. Say why it may still be used.")
            % {"code": held.code, "held": _last_day(held)}
        )


def _last_day(held: Lot) -> str:
    return day(held.expires_on) if held.expires_on else ""


def put_back(use: Use, *, who: Staff) -> Use:
    """Put back what was taken, once. Answers the use that takes it back; the same when asked again."""
    if use.quantity <= 0:
        raise StockRefused(gettext("This was put back itself; take it anew."))
    try:
        with holding(use.lot) as held:
            if there := Use.objects.filter(puts_back=use).first():
                return there
            return _put_back(use, held, who)
    except IntegrityError:
        return Use.objects.get(puts_back=use)


@transaction.atomic
def _put_back(use: Use, held: Lot, who: Staff) -> Use:
    written(held, left=held.left + use.quantity)
    back = Use.objects.create(
        lot=held,
        job=use.job,
        step=use.step,
        repair=use.repair,
        quantity=-use.quantity,
        puts_back=use,
        who=who,
        at=timezone.now(),
    )
    told = gettext("Put back %(quantity)s of %(material)s, lot %(code)s") % {
        "quantity": say_quantity(use.quantity, held.material.unit),
        "material": held.material,
        "code": held.code,
    }
    journal.record(
        held, "lot.put-back", gettext("%(told)s from job %(job)s.") % {"told": told, "job": use.job}, who=who
    )
    journal.record(use.job, "material.put-back", f"{told}.", who=who)
    return back
