"""What can be written into a quote: amounts from nought, lines with words, days that are still to come."""

import datetime
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.pricing.models import QuoteLine
from shoprepair.pricing.money import MOST, within
from shoprepair.shop.languages import thousands

LONGEST_NOTE = 5000
LONGEST_VALID_DAYS = 365
MOST_MINUTES = Decimal(9999)
_LONGEST = {"text": 200, "detail": 300, "choice": 40}


def line_fields(fields: dict[str, Any]) -> dict[str, Any]:
    """The fields of a line, tidied; raises ValidationError with a sentence per field that cannot be."""
    tidied = {name: _one_line(value) if name in _LONGEST else value for name, value in fields.items()}
    if problems := dict(_line_problems(tidied)):
        raise ValidationError(problems)
    return tidied


def quote_fields(fields: dict[str, Any]) -> dict[str, Any]:
    """The fields of a quote, tidied; raises ValidationError with a sentence per field that cannot be."""
    tidied = dict(fields)
    if "note" in tidied:
        tidied["note"] = tidied["note"].replace("\0", "").strip()
    if problems := dict(_quote_problems(tidied)):
        raise ValidationError(problems)
    return tidied


def _line_problems(fields: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name, longest in _LONGEST.items():
        if len(fields.get(name, "")) > longest:
            yield (
                name,
                gettext("Say it in %(longest)s letters or fewer; these are %(len)s.")
                % {"longest": longest, "len": len(fields[name])},
            )
    if "text" in fields and not fields["text"]:
        yield "text", gettext("Say what the line is for.")
    if "kind" in fields and fields["kind"] not in QuoteLine.Kind.values:
        yield "kind", gettext("Choose one of the kinds shown.")
    for name in ("amount", "cost"):
        if name in fields and not within(fields[name], MOST):
            yield name, gettext("An amount lies between nought and %(MOST)s.") % {"MOST": thousands(MOST)}
    if "minutes" in fields and not within(fields["minutes"], MOST_MINUTES):
        yield (
            "minutes",
            gettext("Minutes lie between 0 and %(MOST_MINUTES)s.") % {"MOST_MINUTES": MOST_MINUTES},
        )


def _quote_problems(fields: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name in ("discount_percent", "deposit_percent"):
        if name in fields and not within(fields[name], Decimal(100)):
            yield name, gettext("A percentage lies between 0 and 100, with two decimals at most.")
    if "deposit_from" in fields and not within(fields["deposit_from"], MOST):
        yield (
            "deposit_from",
            gettext("An amount lies between nought and %(MOST)s.") % {"MOST": thousands(MOST)},
        )
    if len(note := fields.get("note", "")) > LONGEST_NOTE:
        yield (
            "note",
            gettext("Say it in %(LONGEST_NOTE)s letters or fewer; these are %(note)s.")
            % {"LONGEST_NOTE": LONGEST_NOTE, "note": len(note)},
        )
    if "valid_until" in fields and (sentence := day_trouble(fields["valid_until"])):
        yield "valid_until", sentence


def day_trouble(day: datetime.date) -> str:
    """Why a quote cannot be valid until that day; empty where it can."""
    if not isinstance(day, datetime.date):
        return gettext("Write the date as 2026-05-31.")
    today = timezone.localdate()
    if day < today:
        return gettext("That day is past. A quote is valid until today or later.")
    if (day - today).days > LONGEST_VALID_DAYS:
        return gettext("A quote is valid for %(LONGEST_VALID_DAYS)s days at most.") % {
            "LONGEST_VALID_DAYS": LONGEST_VALID_DAYS
        }
    return ""


def _one_line(text: str) -> str:
    return " ".join(text.replace("\0", "").split())
