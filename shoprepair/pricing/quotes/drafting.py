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
from shoprepair.pricing.quotes import finding
from shoprepair.pricing.quotes.lines import number, settle
from shoprepair.pricing.quotes.steps import editing, lock, subject, written
from shoprepair.shop import journal, settings
from shoprepair.shop.models import Staff

KEPT = ("discount_percent", "deposit_percent", "deposit_from", "note", "warranty")
"""What a revised quote takes over from the one before."""


class JobClosed(ValueError):
    """Nothing is quoted for a job that has left the shop."""


def draft(job: Job, *, who: Staff) -> Quote:
    """The job's open draft; begun from its repairs where there is none."""
    with transaction.atomic():
        job = lock(job)
        if open_draft := finding.open_draft(job):
            return open_draft
        now = rules.current()
        quote = _begin(job, now)
        number(_merged(quote, _reckoned(job, now)))
        settle(quote)
        _journal_begun(quote, "was begun", who)
    return quote


def revise(quote: Quote, *, who: Staff) -> Quote:
    """A new draft with the lines of a quote that is not a draft (any more); the open one where there is one.

    The quote that is out stays answerable until the new one is sent. What a line costs stays as it was
    reckoned until the draft is refreshed.
    """
    with transaction.atomic():
        job = lock(quote.job)
        if open_draft := finding.open_draft(job):
            return open_draft
        new = _begin(job, rules.current(), **{name: getattr(quote, name) for name in KEPT})
        taken = {line["id"]: line["taken"] for line in quote.agreed.get("lines", [])}
        for line in quote.lines.all():
            line.taken = taken.get(line.pk, line.taken)
            line.pk, line.quote = None, new
            line.save(force_insert=True)
        settle(new)
        _journal_begun(new, f"was begun from quote {quote.number}", who)
    return new


def refresh(quote: Quote, *, who: Staff, version: int) -> Quote:
    """Reckon a draft anew from the repairs and today's prices, tax and terms.

    Lines that a person added or changed stay as they are. Raises NotADraft and Stale.
    """
    with editing(quote, version) as draft:
        now = rules.current()
        before = {line.text: say(line.amount, draft.currency) for line in draft.lines.all()}
        values = _by_the_rules(draft.job, now)
        draft.rounding = values["rounding"]
        draft.lines.filter(by_hand=False).delete()
        number(_merged(draft, _reckoned(draft.job, now)))
        settle(draft)
        after = {line.text: say(line.amount, draft.currency) for line in draft.lines.all()}
        changes = journal.differences(before, after)
        told = "Reckoned the lines anew from the repairs."
        written(draft, "quote.refreshed", told, who=who, changes=changes, **values)
    return quote


def discard(quote: Quote, *, who: Staff, version: int) -> None:
    """Throw a draft away. Raises NotADraft when it is out, and Stale."""
    with editing(quote, version) as draft:
        text = f"The draft of quote {draft.number} was thrown away."
        journal.record(draft.job, "quote.discarded", text, who=who)
        draft.delete()


def _begin(job: Job, now: PriceRules, **kept: Any) -> Quote:
    if not job.is_open and job.stage != Stage.DECLINED:
        raise JobClosed(f"Job {job} is closed; nothing is quoted for it.")
    highest = Quote.objects.filter(job=job).aggregate(highest=Max("number"))["highest"] or 0
    today = timezone.localdate()
    return Quote.objects.create(
        job=job,
        number=highest + 1,
        valid_until=today + datetime.timedelta(days=now.valid_days),
        **{"deposit_percent": now.deposit_percent, "deposit_from": now.deposit_from} | kept,
        **_by_the_rules(job, now),
    )


def _by_the_rules(job: Job, now: PriceRules) -> dict[str, Any]:
    """What a quote takes from the shop on the day it is reckoned, and keeps."""
    shop = settings.current()
    return {
        "currency": shop.currency,
        "terms": shop.terms,
        "tax_name": now.tax_name,
        "tax_percent": now.tax_percent,
        "rounding": step_for(now.rounding, shop.currency),
        "minimum_charge": now.minimum_charge,
        "worth": worth.of(job.inflatable, timezone.localdate(), now),
    }


def _reckoned(job: Job, now: PriceRules) -> list[Line]:
    """The job's repairs proposed and priced by today's catalogue, with the access they share."""
    proposals.propose_job(job)
    return estimate.lines_for(job, now)


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
        journal.record(about, "quote.begun", f"Quote {quote.number} {how}.", who=who)
