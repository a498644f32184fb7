"""An enquiry as the counter reads it: what was told from outside, what was advised, how the gear comes."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import get_language_info, gettext

from shoprepair.jobs.advice import Verdict
from shoprepair.jobs.advice.told_words import said_again
from shoprepair.jobs.enquiries import advised
from shoprepair.jobs.expected import asked
from shoprepair.jobs.models import Damage, Enquiry, Job
from shoprepair.pricing.money import say
from shoprepair.shop.languages import gettext_lazy

LONG_AGO_DAYS = 14
_COMES = {
    Enquiry.Comes.BY_HAND: gettext_lazy("they bring it"),
    Enquiry.Comes.BY_POST: gettext_lazy("comes by post"),
}


class Said(NamedTuple):
    """One damage as the customer told it, and what they were told to do about it."""

    number: int
    words: str
    verdict: str


@dataclass(frozen=True, slots=True)
class InShort:
    """An enquiry as a row on the rack tells it."""

    comes: str
    since: str
    verdict: str
    """The strictest that was given."""


@dataclass(frozen=True, slots=True)
class Told(InShort):
    """All of an enquiry, in the shop's words."""

    enquiry: Enquiry
    said: tuple[Said, ...]
    charge: str
    """The range that was named, or nothing."""
    language: str
    """In which it was asked, where that is not the shop's."""


def told(job: Job) -> Told | None:
    """What was told of the job before it came; None for one that began at the counter."""
    enquiry = asked(job)
    if enquiry is None:
        return None
    verdicts, short = advised.verdicts(enquiry), in_short(enquiry)
    return Told(
        enquiry=enquiry,
        comes=short.comes,
        since=short.since,
        verdict=short.verdict,
        said=tuple(_said(row, verdicts.get(row.get("number", 0))) for row in advised.rows(enquiry.told)),
        charge=_charge(enquiry.charge),
        language=_language(enquiry.language),
    )


def in_short(enquiry: Enquiry) -> InShort:
    """What a row on the rack tells of it."""
    return InShort(
        comes=_COMES.get(Enquiry.Comes(enquiry.comes), ""),
        since=since(enquiry.sent_at, timezone.now()),
        verdict=_title(advised.strictest(enquiry)),
    )


def told_of(damage: Damage) -> Said | None:
    """What the customer said of one damage; None where somebody of the shop pinned it."""
    if not damage.told:
        return None
    return _said({"number": damage.number, **damage.told}, advised.verdict(damage.told))


def since(sent_at: datetime.datetime, now: datetime.datetime) -> str:
    """How long ago it was asked: "asked today, 14:05", "asked 5 days ago", "asked 3 Aug"."""
    at, today = timezone.localtime(sent_at), timezone.localdate(now)
    days = (today - at.date()).days
    if days <= 0:
        return gettext("asked today, %(at)s") % {"at": date_format(at, "H:i")}
    if days == 1:
        return gettext("asked yesterday")
    if days <= LONG_AGO_DAYS:
        return gettext("asked %(days)s days ago") % {"days": days}
    year = "" if at.year == today.year else " Y"
    return (gettext("asked %(at)s") % {"at": date_format(at, f"j M{year}")}).replace(
        " ", "\N{NO-BREAK SPACE}"
    )


def _said(row: Mapping[str, Any], verdict: Verdict | None) -> Said:
    return Said(int(row.get("number") or 0), said_again(row), _title(verdict))


def _title(verdict: Verdict | None) -> str:
    return "" if verdict is None else str(verdict.title)


def _charge(kept: Mapping[str, Any]) -> str:
    try:
        low, high = Decimal(str(kept["low"])), Decimal(str(kept["high"]))
        currency = str(kept["currency"])
    except (KeyError, InvalidOperation):
        return ""
    ends = [say(amount, currency) for amount in (low, high)]
    return ends[0] if low == high else " to ".join(ends)


def _language(code: str) -> str:
    """The language's name in the shop's own; nothing where it is that one."""
    if code == settings.LANGUAGE_CODE or code not in dict(settings.LANGUAGES):
        return ""
    return str(get_language_info(code)["name_translated"])
