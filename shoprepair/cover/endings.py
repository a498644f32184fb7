"""How a cover ends: with its gear, by a later repair, by the owner, or because the hand-back was none."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from shoprepair.cover import standing
from shoprepair.cover.models import Cover, Ending
from shoprepair.gear.models import Inflatable
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

Reason = Ending.Reason
LONGEST_NOTE = 300


class EndingRefused(ValueError):
    """The cover, or the gear's covers, cannot be ended so; the message says why."""


@transaction.atomic
def end(cover: Cover, reason: str, note: str = "", *, who: Staff | None, who_name: str = "") -> Ending:
    """End a cover for good. One that has ended already keeps the ending it has.

    Who is not of the staff goes by `who_name`. Raises EndingRefused.
    """
    if reason not in Reason.values:
        raise EndingRefused(
            gettext("Say why the cover ends: taken back, retired, replaced, passed on or void.")
        )
    note = _short(note)
    if reason == Reason.VOID and not note:
        raise EndingRefused(gettext("Say why this cover ends, in a few words."))
    # Two at the same moment: the second waits and finds the first's.
    held = Cover.objects.select_for_update().select_related("inflatable").get(pk=cover.pk)
    if ended := Ending.objects.filter(cover=held).first():
        return ended
    name = str(who) if who else who_name or gettext("the program")
    ending = Ending.objects.create(
        cover=held, reason=reason, note=note, at=timezone.now(), who=who, who_name=name
    )
    text = gettext("Cover %(held)s ended: %(lower)s%(value)s.") % {
        "held": held,
        "lower": in_a_sentence(ending.get_reason_display()),
        "value": f" ({note.removesuffix('.')})" if note else "",
    }
    journal.record(held.inflatable, "cover.ended", text, who=who, who_name=name)
    return ending


@transaction.atomic
def retire(inflatable: Inflatable, note: str, *, who: Staff) -> list[Ending]:
    """The gear is no longer used: every cover that stands on it ends; those that ran out did so before.

    It cannot be undone, so the owner alone says it.

    Raises EndingRefused.
    """
    if not is_owner(who):
        raise EndingRefused(gettext("Only the owner ends all covers of a piece of gear."))
    if not _short(note):
        raise EndingRefused(gettext("Say what became of the gear, in a few words."))
    covers = standing.standing(inflatable)
    if not covers:
        raise EndingRefused(gettext("No cover stands on this gear, so there is nothing to end."))
    return [end(cover, Reason.RETIRED, note, who=who) for cover in covers]


def is_retired(inflatable: Inflatable) -> bool:
    """Whether the gear's covers were ended because it is no longer used."""
    return Ending.objects.filter(cover__inflatable=inflatable, reason=Reason.RETIRED).exists()


def end_all(covers: Iterable[Cover], reason: str, note: str, *, who: Staff | None) -> list[Ending]:
    """End each of these covers; those that have ended already keep the ending they have."""
    return [end(cover, reason, note, who=who) for cover in covers]


def _short(note: str) -> str:
    said = " ".join(note.replace("\0", "").split())
    if len(said) > LONGEST_NOTE:
        raise EndingRefused(
            gettext("Say it in %(LONGEST_NOTE)s letters or fewer; these are %(said)s.")
            % {"LONGEST_NOTE": LONGEST_NOTE, "said": len(said)}
        )
    return said
