"""The customer's answer to a quote: taken once, for what was shown, by somebody who gives a name."""

import datetime
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs import links, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import signals, totals
from shoprepair.pricing.models import Quote
from shoprepair.pricing.money import say
from shoprepair.pricing.quotes import adding, choosing, finding, words
from shoprepair.pricing.quotes.sending import ADDS, STAYS
from shoprepair.pricing.quotes.steps import lock, written
from shoprepair.pricing.totals import Totals
from shoprepair.shop import outbox, settings
from shoprepair.shop.journal import record
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Staff

State = Quote.State
LONGEST_NAME = 120
_BLANK_LETTERS = frozenset("\u115f\u1160\u3164\uffa0")
"""Letters to Unicode, nothing to the eye."""
_WITH = ("job__customer", "job__inflatable__pattern", "addition_to")
_JOINERS = frozenset("\u200c\u200d")
"""Invisible, and part of how names are written in several scripts."""


class AnswerRefused(ValueError):
    """The answer cannot be taken; the message says in a sentence why, and what to do."""


@dataclass(frozen=True, slots=True)
class _Given:
    """An answer as it was given."""

    name: str
    accepted: bool
    taken: frozenset[int]
    total_shown: Decimal
    version: int
    who: Staff | None
    base_url: str
    ourselves: bool = False
    """The shop agrees with itself: nothing is to be paid, and nobody is thanked."""

    @property
    def state(self) -> Quote.State:
        return State.ACCEPTED if self.accepted else State.DECLINED

    @property
    def signed(self) -> dict[str, Any]:
        """Who the journal says it was: the customer, or whoever wrote it down for them."""
        return {
            "who": self.who,
            "who_name": "" if self.who else gettext("%(name)s (customer)") % {"name": self.name},
        }


def answer(
    quote: Quote,
    *,
    name: str,
    accepted: bool,
    taken: Collection[int],
    total_shown: Decimal,
    version: int,
    who: Staff | None = None,
    base_url: str = "",
) -> Quote:
    """Take the answer of a customer, or one given by phone that a member of staff writes down.

    taken: ids of the lines that the customer takes: each optional one wanted, and one of each choice.
    total_shown, version: as they stood on the page that was answered. The same answer again is the one
    on record. What was agreed is fixed in `quote.agreed`, exactly as shown. Raises AnswerRefused.
    """
    return _answer(
        quote, _Given(name_of(name), accepted, frozenset(taken), total_shown, version, who, base_url)
    )


def agree_ourselves(quote: Quote, *, who: Staff) -> Quote:
    """The shop agrees, in its own name, to mend what is its own: a quote that is out and comes to nought.

    Raises AnswerRefused for one that the customer has to pay.
    """
    total = totals.of(quote).total
    if not quote.warranty or total:
        raise AnswerRefused(gettext("Only what costs the customer nothing is agreed in the shop’s name."))
    taken = frozenset(line.pk for line in quote.lines.all() if line.taken)
    name = name_of(settings.current().name or gettext("The shop"))
    return _answer(quote, _Given(name, True, taken, total, quote.version, who, "", ourselves=True))


def _answer(quote: Quote, given: _Given) -> Quote:
    with transaction.atomic():
        job = lock(quote.job)
        stands = Quote.objects.select_related(*_WITH).get(pk=quote.pk)
        if not _is_on_record(stands, given):
            shown = totals.of(stands, given.taken)
            if reason := _refusal(stands, job, given.version) or _wrong_choice(stands, shown, given):
                raise AnswerRefused(reason)
            _take(stands, job, shown, given)
    quote.refresh_from_db()
    return quote


def name_of(typed: str) -> str:
    """A name as it is kept: without what cannot be seen. Raises AnswerRefused for none, or one too long."""
    seen = "".join(
        mark
        for mark in typed
        if mark.isspace() or mark in _JOINERS or unicodedata.category(mark) not in ("Cc", "Cf", "Cs", "Cn")
    )
    name = " ".join(seen.split())
    if not any(mark.isalnum() and mark not in _BLANK_LETTERS for mark in name):
        raise AnswerRefused(gettext("Type your name; it stands for your signature."))
    if len(name) > LONGEST_NAME:
        raise AnswerRefused(
            gettext("Type your name in %(LONGEST_NAME)s letters or fewer; these are %(name)s.")
            % {"LONGEST_NAME": LONGEST_NAME, "name": len(name)}
        )
    return name


def signature(typed: str) -> str:
    """The name that stands for a customer's own signature: written in letters. Raises AnswerRefused."""
    name = name_of(typed)
    if not any(mark.isalpha() and mark not in _BLANK_LETTERS for mark in name):
        raise AnswerRefused(gettext("Type your name in letters; it stands for your signature."))
    return name


def _is_on_record(quote: Quote, given: _Given) -> bool:
    """Whether this very answer was given already, as a second tap or a page sent again gives it."""
    if quote.state != given.state or quote.answered_name.casefold() != given.name.casefold():
        return False
    agreed = {line["id"] for line in quote.agreed.get("lines", []) if line["taken"]}
    wanted = {line.pk for line in quote.lines.all() if totals.is_taken(line, given.taken)}
    return not given.accepted or agreed == wanted


def _refusal(quote: Quote, job: Job, version: int) -> str:
    """Why this quote cannot be answered at all (any more); empty where it can."""
    if quote.state in (State.ACCEPTED, State.DECLINED):
        told = gettext("%(lower)s by %(answered_name)s") % {
            "lower": in_a_sentence(quote.get_state_display()),
            "answered_name": quote.answered_name,
        }
        return gettext("This quote was already %(told)s. Ask the shop if that should change.") % {
            "told": told
        }
    if quote.state == State.REPLACED:
        return gettext(
            "There is a newer quote in place of this one. Open the page again and answer that one."
        )
    if quote.state == State.WITHDRAWN:
        return gettext("The shop has taken this quote back. Ask the shop for a new one.")
    if quote.state != State.OUT:
        return gettext("This quote has not been sent yet, so it cannot be answered.")
    if finding.expired(quote):
        return gettext("This quote was valid until %(day)s. Ask the shop for a new one.") % {
            "day": words.day(quote.valid_until)
        }
    if job.stage not in (ADDS if quote.addition_to else STAYS):
        return gettext("The job is at “%(label)s” and its quote cannot be answered. Ask the shop.") % {
            "label": Stage(job.stage).label
        }
    if quote.addition_to and quote.addition_to.state != State.ACCEPTED:
        return gettext("Quote %(number)s, which this adds to, is no longer in force. Ask the shop.") % {
            "number": quote.addition_to.number
        }
    if quote.version != version:
        return gettext(
            "This quote has changed since you opened the page. Open it again and answer what it says now."
        )
    return ""


def _wrong_choice(quote: Quote, shown: Totals, given: _Given) -> str:
    """Why these lines cannot be agreed to for that total; empty where they can."""
    if not given.accepted:
        return ""
    if trouble := choosing.trouble(list(quote.lines.all()), given.taken):
        return trouble
    if shown.total != given.total_shown:
        was, now = say(given.total_shown, quote.currency), say(shown.total, quote.currency)
        return gettext(
            "The page showed %(was)s, but what you chose comes to %(now)s. Look at it and answer again."
        ) % {"was": was, "now": now}
    return ""


def _take(quote: Quote, job: Job, shown: Totals, given: _Given) -> None:
    """Write the answer down: quote, stage, journal and letter, all or nothing."""
    verb, told = _told(quote, shown, given)
    if given.accepted and quote.addition_to is None:
        _replace_agreement(quote, given)
    now = timezone.now()
    written(
        quote,
        verb,
        told,
        **given.signed,
        state=given.state,
        answered_at=now,
        answered_name=given.name,
        agreed=_agreed(quote, shown, given, now) if given.accepted else {},
    )
    record(job, verb, told, **given.signed)
    if job.stage == Stage.QUOTE_OUT and quote.addition_to is None:
        to = Stage.GO_AHEAD if given.accepted else Stage.DECLINED
        stages.move(
            job,
            to,
            **given.signed,
            reason=gettext("quote %(number)s, %(name)s.") % {"number": quote.number, "name": given.name},
            told=_in_our_own_name(quote) if given.ourselves else "",
        )
    if draft := finding.open_draft(job):
        # Whoever writes a newer quote meanwhile hears of the answer before they send it.
        written(draft, verb, told, **given.signed)
    if given.accepted:
        signals.accepted.send(sender=Quote, quote=quote)
        if not given.ourselves:
            _thank(quote, shown, given.base_url)


def _told(quote: Quote, shown: Totals, given: _Given) -> tuple[str, str]:
    """The journal's verb and sentence."""
    for_whom = gettext(" for %(name)s, who said so to the shop") % {"name": given.name} if given.who else ""
    if given.ourselves:
        for_whom = gettext(" in the shop’s name, as ours to mend")
    which = gettext("quote %(number)s") % {"number": quote.number}
    if quote.addition_to:
        which += gettext(", in addition to quote %(number)s") % {"number": quote.addition_to.number}
    if given.accepted:
        return "quote.accepted", gettext("Accepted %(which)s%(for_whom)s: %(total)s.") % {
            "which": which,
            "for_whom": for_whom,
            "total": say(shown.total, quote.currency),
        }
    return "quote.declined", gettext("Declined %(which)s%(for_whom)s.") % {
        "which": which,
        "for_whom": for_whom,
    }


def _in_our_own_name(quote: Quote) -> str:
    return gettext("Go-ahead in the shop’s own name: quote %(number)s.") % {"number": quote.number}


def _replace_agreement(quote: Quote, given: _Given) -> None:
    """What was agreed before gives way to what is agreed now."""
    for older in finding.versions(quote.job).filter(state=State.ACCEPTED):
        text = gettext("Replaced it by quote %(number)s.") % {"number": quote.number}
        written(older, "quote.replaced", text, **given.signed, state=State.REPLACED)


def _thank(quote: Quote, shown: Totals, base_url: str) -> None:
    job, link = quote.job, links.current(quote.job)
    if not job.customer.email:
        return
    address = links.url(link, base_url or settings.current().web_address) if link else ""
    code = "addition-agreed" if quote.addition_to else "go-ahead-received"
    outbox.write(job.customer.email, code, partial(_thanks, quote, shown, address), about=job)


def _thanks(quote: Quote, shown: Totals, address: str) -> dict[str, str]:
    context = words.letter(quote.job, address, say(shown.total, quote.currency))
    context |= adding.told_together(quote, shown.total)
    deposit = say(shown.deposit, quote.currency) if shown.deposit else ""
    return context | {"agreed": words.parts(shown, quote.currency), "deposit": deposit}


def _agreed(quote: Quote, shown: Totals, given: _Given, at: datetime.datetime) -> dict[str, Any]:
    """All that the customer saw and agreed to, in plain values; amounts as they are written."""
    amounts = ("subtotal", "minimum_added", "discount", "net", "tax", "total", "deposit")
    percents = ("discount_percent", "tax_percent", "deposit_percent")
    return {
        "quote": quote.number,
        "name": given.name,
        "at": at.isoformat(),
        "written_down_by": str(given.who or ""),
        "currency": quote.currency,
        "lines": [_line(each) for each in shown.lines],
        **{field: str(getattr(shown, field)) for field in (*amounts, *percents)},
        "tax_name": shown.tax_name,
        "warranty": quote.warranty,
        "valid_until": quote.valid_until.isoformat(),
        "note": quote.note,
        "terms": quote.terms,
    }


def _line(shown: totals.Shown) -> dict[str, Any]:
    line: Any = shown.line
    return {
        "id": line.pk,
        "kind": line.kind,
        "text": line.text,
        "detail": line.detail,
        "damages": line.damages,
        "optional": line.optional,
        "choice": line.choice,
        "amount": str(shown.amount),
        "taken": shown.taken,
    }
