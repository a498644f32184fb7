"""How a quote stands: whether it can still be answered, and what its paper says about that."""

from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.papers.context import DAY
from shoprepair.pricing.models import Quote

MOMENT = f"{DAY}, H:i"
State = Quote.State


class Standing(NamedTuple):
    """A sentence at the head of the paper, where one is needed."""

    words: str = ""
    name: str = ""
    """Whoever answered, as they typed it; it stands after the words."""
    moment: str = ""
    watermark: str = ""
    public: bool = True
    """The customer may have seen it, so its status link may stand on it."""
    answerable: bool = False


def standing(quote: Quote, zone: ZoneInfo, now: datetime) -> Standing:
    """How it stands at that moment, with days as they are in the shop's zone."""
    match quote.state:
        case State.DRAFT:
            return Standing(
                gettext("Draft: not yet sent"), watermark=gettext("Draft: not yet sent"), public=False
            )
        case State.REPLACED:
            return Standing(gettext("A newer quote has replaced this one: it can no longer be answered."))
        case State.WITHDRAWN:
            return Standing(gettext("We have withdrawn this quote: it can no longer be answered."))
        case State.ACCEPTED:
            return Standing(gettext("Agreed by"), quote.answered_name, _moment(quote, zone))
        case State.DECLINED:
            return Standing(gettext("Declined by"), quote.answered_name, _moment(quote, zone))
    if now.astimezone(zone).date() > quote.valid_until:
        until = date_format(quote.valid_until, DAY)
        return Standing(gettext("It was valid until %(until)s: ask us for a new one.") % {"until": until})
    return Standing(answerable=True)


def _moment(quote: Quote, zone: ZoneInfo) -> str:
    return (
        gettext("on %(formatted)s") % {"formatted": date_format(quote.answered_at.astimezone(zone), MOMENT)}
        if quote.answered_at
        else ""
    )
