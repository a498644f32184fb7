"""What makes the kept dates stale: they are reckoned anew once, after the transaction that moved any.

In a served shop that is done beside the requests: reading and planning all jobs takes longer than a tick may.
"""

import logging
from typing import Any

from django.db import connection, transaction
from django.db.models import Model
from django.db.models.signals import post_save

from shoprepair.pricing.models import Quote
from shoprepair.shop.models import JournalEntry
from shoprepair.work import forecast
from shoprepair.work.beside import Beside
from shoprepair.work.models import Tick

logger = logging.getLogger("shoprepair.work.forecast")
CHANGES = frozenset(
    {
        "stage.changed",
        "hold.changed",
        "job.corrected",
        "step.moved",
        "rules.changed",
        "parts.expected",
        "hours.changed",
        "holiday.added",
        "holiday.removed",
        "staff.disabled",
        "staff.enabled",
    }
)
"""What the journal tells of that moves a date."""


def mark() -> None:
    """Let all dates be reckoned anew after this transaction, once, however often it is asked for."""
    waits = any(entry[1] is _ask for entry in connection.run_on_commit)
    if not waits:
        transaction.on_commit(_ask)


def _refresh() -> None:
    # What was changed is kept by now: a plan that cannot be made must not look like a change that failed.
    try:
        forecast.refresh()
    except Exception:
        logger.exception("The dates could not be reckoned anew")


reckoning = Beside(_refresh)


def _ask() -> None:
    reckoning.ask()


def on_written(instance: Model, created: bool, **_: Any) -> None:
    """Receives every entry of the journal as it is written."""
    if created and isinstance(instance, JournalEntry) and instance.verb in CHANGES:
        mark()


def on_event(**_: Any) -> None:
    """Receives what is not in the journal: ticks."""
    mark()


def on_accepted(quote: Quote, **_: Any) -> None:
    """Receives each agreement: nothing says that it is not agreed, though the plan is made a moment later."""
    forecast.agreed(quote.job)
    mark()


def follow() -> None:
    """Follow all that moves a date."""
    from shoprepair.pricing.signals import accepted

    post_save.connect(on_written, sender=JournalEntry, dispatch_uid="work.stale.journal")
    post_save.connect(on_event, sender=Tick, dispatch_uid="work.stale.tick")
    accepted.connect(on_accepted, dispatch_uid="work.stale.accepted")
