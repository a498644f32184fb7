"""A new quote: begun from the repairs, reckoned anew, or begun from one that was out."""

import datetime
from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import estimate, proposals, rules, worth
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import PriceRules, Quote, QuoteLine
from shoprepair.pricing.money import rounded, say, step_for
from shoprepair.pricing.quotes import adding, finding
from shoprepair.pricing.quotes.lines import number, settle
from shoprepair.pricing.quotes.steps import editing, lock, subject, written
from shoprepair.pricing.totals import NOUGHT
from shoprepair.shop import journal, settings
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

KEPT = ("discount_percent", "deposit_percent", "deposit_from", "note", "warranty")
"""What a revised quote takes over from the one before."""


class JobClosed(ValueError):
    """Nothing is quoted for a job that has left the shop."""


class NotInForce(JobClosed):
    """Nothing is added to what is no longer agreed."""


def draft(job: Job, *, who: Staff) -> Quote:
    """The job's open draft; begun from its repairs where there is none.

    In work, where more was found than the customer has answered, it is an addition to what was agreed: of
    that alone, and without the least charge, which the agreed quote has met.
    """
    with transaction.atomic():
        job = lock(job)
        if open_draft := finding.open_draft(job):
            return open_draft
        now, base = rules.current(), adding.base_of(job)
        quote = _begin(job, now, addition_to=base)
        number(_merged(quote, _reckoned(job, now, base)))
        settle(quote)
        _journal_begun(
            quote,
            gettext("was begun, in addition to quote %(number)s") % {"number": base.number}
            if base
            else gettext("was begun"),
            who,
        )
    return quote


def revise(quote: Quote, *, who: Staff) -> Quote:
    """A new draft with the lines of a quote that is not a draft (any more); the open one where there is one.

    The quote that is out stays answerable until the new one is sent. What a line costs stays as it was
    reckoned until the draft is refreshed. An addition that was not agreed is written anew as one; a new
    version of what was agreed takes the place of all of it, additions too, and so holds all its lines.
    """
    with transaction.atomic():
        job = lock(quote.job)
        if open_draft := finding.open_draft(job):
            return open_draft
        base, sources = _written_anew(quote, job)
        kept = {name: getattr(sources[0], name) for name in KEPT}
        new = _begin(job, rules.current(), addition_to=base, **kept)
        number([_copied(line, source, new) for source in sources for line in source.lines.all()])
        settle(new)
        _journal_begun(new, gettext("was begun from quote %(number)s") % {"number": quote.number}, who)
    return new


def _written_anew(quote: Quote, job: Job) -> tuple[Quote | None, list[Quote]]:
    """What a new version of a quote adds to, if anything, and whose lines it takes over."""
    if quote.state == Quote.State.ACCEPTED:
        return None, finding.agreements(job)
    base = quote.addition_to
    if base and base.state != Quote.State.ACCEPTED:
        raise NotInForce(
            gettext("Quote %(number)s, which this added to, is no longer in force.") % {"number": base.number}
        )
    return base, [quote]


def _copied(line: QuoteLine, source: Quote, new: Quote) -> QuoteLine:
    taken = {line["id"]: line["taken"] for line in source.agreed.get("lines", [])}
    line.taken = taken.get(line.pk, line.taken)
    line.pk, line.quote = None, new
    line.save(force_insert=True)
    return line


def refresh(quote: Quote, *, who: Staff, version: int) -> Quote:
    """Reckon a draft anew from the repairs and today's prices, tax and terms.

    Lines that a person added or changed stay as they are. Raises NotADraft and Stale.
    """
    with editing(quote, version) as draft:
        now = rules.current()
        before = {line.text: say(line.amount, draft.currency) for line in draft.lines.all()}
        base = draft.addition_to
        values = _by_the_rules(draft.job, now, base)
        draft.rounding = values["rounding"]
        draft.lines.filter(by_hand=False).delete()
        number(_merged(draft, _reckoned(draft.job, now, base)))
        settle(draft)
        after = {line.text: say(line.amount, draft.currency) for line in draft.lines.all()}
        changes = journal.differences(before, after)
        told = gettext("Reckoned the lines anew from the repairs.")
        written(draft, "quote.refreshed", told, who=who, changes=changes, **values)
    return quote


def discard(quote: Quote, *, who: Staff, version: int) -> None:
    """Throw a draft away. Raises NotADraft when it is out, and Stale."""
    with editing(quote, version) as draft:
        text = gettext("The draft of quote %(number)s was thrown away.") % {"number": draft.number}
        journal.record(draft.job, "quote.discarded", text, who=who)
        draft.delete()


def _begin(job: Job, now: PriceRules, *, addition_to: Quote | None, **kept: Any) -> Quote:
    if not job.is_open and job.stage != Stage.DECLINED:
        raise JobClosed(gettext("Job %(job)s is closed; nothing is quoted for it.") % {"job": job})
    highest = Quote.objects.filter(job=job).aggregate(highest=Max("number"))["highest"] or 0
    today = timezone.localdate()
    return Quote.objects.create(
        job=job,
        number=highest + 1,
        addition_to=addition_to,
        valid_until=today + datetime.timedelta(days=now.valid_days),
        **{"deposit_percent": now.deposit_percent, "deposit_from": now.deposit_from} | kept,
        **_by_the_rules(job, now, addition_to),
    )


def _by_the_rules(job: Job, now: PriceRules, base: Quote | None) -> dict[str, Any]:
    """What a quote takes from the shop on the day it is reckoned, and keeps."""
    shop = settings.current()
    return {
        "currency": shop.currency,
        "terms": shop.terms,
        "tax_name": now.tax_name,
        "tax_percent": now.tax_percent,
        "rounding": step_for(now.rounding, shop.currency),
        "minimum_charge": NOUGHT if base else now.minimum_charge,
        "worth": worth.of(job.inflatable, timezone.localdate(), now),
    }


def _reckoned(job: Job, now: PriceRules, base: Quote | None) -> list[Line]:
    """The job's repairs proposed and priced by today's catalogue, with the access they share."""
    repairs = proposals.propose_job(job)
    return adding.lines_for(job, now) if base else estimate.lines_for(job, now, repairs)


def _merged(quote: Quote, reckoned: Iterable[Line]) -> list[QuoteLine]:
    """The reckoned lines in their order, a person's line in place of the one it stands for, then the rest."""
    own = list(quote.lines.all())
    lines: list[QuoteLine] = []
    for line in reckoned:
        kept = next((each for each in own if _stands_for(each, line)), None)
        if kept is None or kept not in lines:
            lines.append(kept or _put(quote, line))
    lines += [each for each in own if each not in lines]
    kinds = list(QuoteLine.Kind)
    return sorted(lines, key=lambda line: kinds.index(QuoteLine.Kind(line.kind)))


def _put(quote: Quote, line: Line) -> QuoteLine:
    """A reckoned line in a quote, rounded to the quote's step; it is numbered afterwards."""
    return QuoteLine.objects.create(
        quote=quote,
        position=0,
        kind=line.kind,
        text=line.text[:200],
        detail=line.detail[:300],
        repair_id=line.repair_id,
        operation_code=line.operation_code,
        damages=list(line.damages),
        minutes=line.minutes,
        cost=line.cost,
        amount=rounded(line.amount, quote.rounding),
        optional=line.optional,
        choice=line.choice,
        taken=line.taken,
    )


def _stands_for(kept: QuoteLine, line: Line) -> bool:
    """Whether a person's line stands for a reckoned one: the same repair, opening or words.

    The opening may serve other damages by now than when the person set its price.
    """
    if kept.kind != line.kind:
        return False
    if line.repair_id or kept.repair_id:
        return line.repair_id == kept.repair_id
    if line.operation_code:
        shared = set(kept.damages) & set(line.damages)
        return kept.operation_code == line.operation_code and bool(shared or not line.damages)
    return kept.text == line.text


def _journal_begun(quote: Quote, how: str, who: Staff) -> None:
    for about in (subject(quote), quote.job):
        journal.record(
            about,
            "quote.begun",
            gettext("Quote %(number)s %(how)s.") % {"number": quote.number, "how": how},
            who=who,
        )
