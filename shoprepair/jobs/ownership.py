"""Whose an inflatable is, and was; and how it becomes somebody else's."""

import datetime

from django.db import transaction
from django.db.models import OuterRef, Q, Subquery
from django.utils import timezone

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import search
from shoprepair.jobs.models import Customer, Ownership
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext


class NotPassed(ValueError):
    """The gear cannot pass to this customer; the message says why in a sentence."""


def owner(inflatable: Inflatable, at: datetime.datetime | None = None) -> Customer | None:
    """Whose it is now, or was at a moment; None where the shop does not know."""
    held = Ownership.objects.filter(inflatable=inflatable).select_related("customer")
    if at is None:
        found = held.filter(until=None).first()
    else:
        found = held.filter(Q(until=None) | Q(until__gt=at), since__lte=at).order_by("-since").first()
    return found.customer if found else None


def now_of() -> Subquery:
    """Name of whoever owns a job's gear today, where that is not the job's customer; for lists of jobs."""
    others = Ownership.objects.filter(inflatable=OuterRef("inflatable"), until=None)
    return Subquery(others.exclude(customer=OuterRef("customer")).values("customer__name")[:1])


@transaction.atomic
def pass_on(
    inflatable: Inflatable,
    to: Customer,
    *,
    who: Staff | None,
    who_name: str = "",
    at: datetime.datetime | None = None,
) -> Ownership:
    """Make it another customer's from `at` on: now, unless said.

    Both are found by what is theirs from then on. Without `who`, the journal names `who_name`. Raises
    NotPassed where nobody owns it, the customer owns it already, or it has passed on meanwhile.
    """
    at = at or timezone.now()
    present = Ownership.objects.filter(inflatable=inflatable, until=None).select_related("customer").first()
    if present is None:
        raise NotPassed(gettext("The shop does not know whose this gear is, so it cannot pass on."))
    if present.customer_id == to.pk:
        raise NotPassed(gettext("This gear belongs to %(to)s already.") % {"to": to})
    # Whoever closes the present ownership has it; a second one finds it closed.
    if not Ownership.objects.filter(pk=present.pk, until=None).update(until=at):
        raise NotPassed(gettext("This gear has just passed to somebody else. Look at it again."))
    new = Ownership.objects.create(inflatable=inflatable, customer=to)
    Ownership.objects.filter(pk=new.pk).update(since=at)
    for customer in (present.customer, to):
        search.index(customer)
    text = gettext("%(inflatable)s passed from %(customer)s to %(to)s.") % {
        "inflatable": inflatable,
        "customer": present.customer,
        "to": to,
    }
    changes = {"owner": [str(present.customer), str(to)]}
    journal.record(
        f"inflatable:{inflatable.pk}", "inflatable.passed", text, who=who, who_name=who_name, changes=changes
    )
    new.refresh_from_db(fields=("since",))
    return new
