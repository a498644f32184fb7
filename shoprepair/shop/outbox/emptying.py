"""Letters whose time is over: that they went, and when, stays; what they said and to whom goes."""

import datetime

from django.db import transaction
from django.db.models import QuerySet

from shoprepair.shop.erasing import ERASED
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.lasting import Kind
from shoprepair.shop.models import Letter
from shoprepair.shop.outbox.texts import TEXTS

State = Letter.State
ENDED = (State.SENT, State.UNSURE, State.FAILED, State.CANCELLED)
NO_LONGER_KEPT = gettext_lazy("(no longer kept)")


def due(days: int, now: datetime.datetime) -> int:
    """How many letters still have their words after so many days."""
    return _due(days, now).count()


def empty(days: int, now: datetime.datetime) -> int:
    """Take words and address out of letters that are older; how many there were.

    One that never arrived is not sent any more: there is nothing left to send.
    """
    found = _due(days, now)
    with transaction.atomic():
        keys = list(found.select_for_update().values_list("pk", flat=True))
        # The order matters: each condition reads the state before it is changed.
        for code in sorted(set(found.values_list("code", flat=True))):
            name = TEXTS[code].name if code in TEXTS else "A letter"
            found.filter(code=code).update(subject=f"{name} {NO_LONGER_KEPT}")
        found.filter(state__in=(State.UNSURE, State.FAILED)).update(state=State.CANCELLED)
        found.update(to="", body="", last_error="")
    return len(keys)


def _due(days: int, now: datetime.datetime) -> "QuerySet[Letter]":
    old = Letter.objects.filter(state__in=ENDED, written_at__lt=now - datetime.timedelta(days=days))
    return old.exclude(body__in=("", ERASED)).order_by("pk")


KIND = Kind(
    field="letter_days",
    what=gettext_lazy("The words of letters"),
    unit="days",
    fewest=30,
    most=3650,
    then=gettext_lazy(
        "The words, the links in them and the address go. That the letter went, and when, stays."
    ),
    one=gettext_lazy("letter’s words"),
    many=gettext_lazy("letters’ words"),
    due=due,
    let_go=empty,
)
