"""A quote goes out, and is taken back: with its stage, its status link and its letter, all or nothing."""

from functools import partial

from django.db import transaction
from django.utils import timezone

from shoprepair.jobs import links, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import totals
from shoprepair.pricing.models import Quote
from shoprepair.pricing.money import say
from shoprepair.pricing.quotes import adding, checks, finding, words
from shoprepair.pricing.quotes.steps import editing, lock, written
from shoprepair.shop import journal, outbox
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

State = Quote.State
STAYS = (Stage.QUOTE_OUT, Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY)
"""Where a newer quote leaves the job: more was found while the work goes on."""
ADDS = (Stage.GO_AHEAD, *adding.IN_WORK)
"""Where an addition is sent and answered; a job may have been taken off the bench meanwhile."""


class NotSendable(ValueError):
    """Something is still missing on the draft; the message says what."""


class NotOut(ValueError):
    """Only a quote that awaits its answer can be taken back."""


def send(quote: Quote, *, who: Staff, version: int, base_url: str, tell: bool = True) -> Quote:
    """Send a draft out. From then on nobody changes it, and the one out before can no longer be answered.

    tell: write the customer a letter; not where the shop agrees with itself to mend what is its own.

    An agreement that is in force stays so until the new quote is accepted, and an addition leaves it as it
    is whatever the answer. Raises NotSendable, StageRefused, NotADraft and Stale.
    """
    with editing(quote, version) as draft:
        if reason := _unsendable(draft):
            raise NotSendable(reason)
        newer = _replace_older(draft, who)
        total = say(totals.of(draft).total, draft.currency)
        written(
            draft,
            "quote.sent",
            gettext("Sent it out: %(total)s.") % {"total": total},
            who=who,
            state=State.OUT,
            sent_at=timezone.now(),
        )
        journal.record(
            draft.job,
            "quote.sent",
            gettext("Quote %(number)s was sent out: %(total)s.") % {"number": draft.number, "total": total},
            who=who,
        )
        if draft.addition_to is None:
            _to_quote_out(draft, who)
        code = "addition-out" if draft.addition_to else "quote-replaced" if newer else "quote-out"
        link = links.make(draft.job, who=who)
        if tell:
            _write_letter(draft, code, links.url(link, base_url))
    return quote


def withdraw(quote: Quote, *, who: Staff, reason: str) -> Quote:
    """Take a quote back that is out; the job is assessed again.

    Raises NotOut when it awaits no answer, and NotSendable without a reason.
    """
    because = " ".join(reason.replace("\0", "").split())
    if not because:
        raise NotSendable(gettext("Say why the quote is taken back, in a few words."))
    with transaction.atomic():
        job = lock(quote.job)
        fresh = Quote.objects.select_related("job").get(pk=quote.pk)
        if fresh.state != State.OUT:
            state = in_a_sentence(fresh.get_state_display())
            raise NotOut(
                gettext("Quote %(number)s does not await an answer: %(state)s.")
                % {"number": fresh.number, "state": state}
            )
        written(
            fresh,
            "quote.withdrawn",
            gettext("Withdrew it: %(because)s") % {"because": because},
            who=who,
            state=State.WITHDRAWN,
        )
        journal.record(
            job,
            "quote.withdrawn",
            gettext("Quote %(number)s was withdrawn: %(because)s")
            % {"number": fresh.number, "because": because},
            who=who,
        )
        if job.stage == Stage.QUOTE_OUT:
            stages.move(job, Stage.ASSESSED, who=who, reason=because)
    quote.refresh_from_db()
    return quote


def _unsendable(draft: Quote) -> str:
    if not draft.lines.exists():
        return gettext("There is nothing on this quote yet. Add a line first.")
    if trouble := checks.day_trouble(draft.valid_until):
        return gettext("It would be valid until %(day)s. %(trouble)s Set another day.") % {
            "day": words.day(draft.valid_until),
            "trouble": trouble,
        }
    return _adds_to_nothing(draft) if draft.addition_to else ""


def _adds_to_nothing(draft: Quote) -> str:
    """Why an addition cannot be sent; empty where it can."""
    base, job = draft.addition_to, Job.objects.get(pk=draft.job_id)
    assert base is not None
    if base.state != State.ACCEPTED:
        return gettext(
            "Quote %(number)s, which this adds to, is no longer in force. Throw this draft away."
        ) % {"number": base.number}
    if job.stage not in ADDS:
        stage = Stage(job.stage).label
        return gettext(
            "The job is at “%(stage)s”: nothing is added to work any more. Write a whole new quote."
        ) % {"stage": stage}
    out = finding.out(job)
    if out and out.addition_to is None:
        return gettext(
            "Quote %(number)s still awaits its answer and would take the place of all "
            "that was agreed. Take it back first."
        ) % {"number": out.number}
    return ""


def _replace_older(draft: Quote, who: Staff) -> bool:
    """What the customer saw before is replaced; what they agreed to, or answered in work, is not."""
    gives_way = (State.OUT,) if draft.addition_to else (State.OUT, State.DECLINED)
    older = list(finding.versions(draft.job).filter(state__in=gives_way))
    was_out = any(quote.state == State.OUT for quote in older)
    for quote in older:
        text = gettext("Replaced it by quote %(number)s.") % {"number": draft.number}
        written(quote, "quote.replaced", text, who=who, state=State.REPLACED)
    return was_out


def _to_quote_out(quote: Quote, who: Staff) -> None:
    job = Job.objects.get(pk=quote.job_id)
    if job.stage == Stage.DECLINED:
        stages.move(
            job,
            Stage.ASSESSED,
            who=who,
            reason=gettext("quote %(number)s is a new one.") % {"number": quote.number},
        )
    if job.stage not in STAYS:
        stages.move(job, Stage.QUOTE_OUT, who=who)


def _write_letter(quote: Quote, code: str, address: str) -> None:
    job = quote.job
    if job.customer.email:
        outbox.write(job.customer.email, code, partial(_told, quote, address), about=job)


def _told(quote: Quote, address: str) -> dict[str, str]:
    total = totals.of(quote).total
    context = words.letter(quote.job, address, say(total, quote.currency))
    context |= adding.told_together(quote, total)
    return context | {"valid_until": words.day(quote.valid_until)}
