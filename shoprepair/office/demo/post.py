"""What became of the demo's letters: old ones arrived, today's wait, and a few went wrong.

No mail server is asked; the outbox is brought to the state in which one would have left it.
"""

from datetime import timedelta

from django.db.models import F

from shoprepair.mechanics.words import gettext_noop
from shoprepair.shop.models import Letter

State = Letter.State
WAITING = 6
"""The newest letters, which the post has not fetched yet."""


NO_MAILBOX = gettext_noop("no such mailbox")
LINE_BROKE = gettext_noop("the line broke while it was being sent")
"""Kept in English, said in the language of whoever reads them."""


def deliver() -> None:
    """The newest letters wait, the two before them went wrong, and all that are older have arrived."""
    recent = Letter.objects.exclude(state=State.FAILED).order_by("-written_at", "-id")
    newest = [letter.pk for letter in recent[: WAITING + 2]]
    Letter.objects.exclude(pk__in=newest).exclude(state=State.FAILED).update(
        state=State.SENT, tries=1, sent_at=F("written_at") + timedelta(minutes=1)
    )
    refused, unsure = newest[WAITING:]
    _went_wrong(refused, State.FAILED, NO_MAILBOX)
    _went_wrong(unsure, State.UNSURE, LINE_BROKE)


def _went_wrong(pk: int, state: str, why: str) -> None:
    Letter.objects.filter(pk=pk).update(state=state, last_error=why, tries=1, claimed_at=F("written_at"))
