"""Several people at one job at the same moment, by the pages' own forms, and what must hold all the while."""

import itertools
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from django.db import connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shoprepair.cover import chain
from shoprepair.cover.models import Cover
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote, Repair
from shoprepair.shop import journal
from shoprepair.shop.models import Letter, Staff
from shoprepair.work import invoices
from shoprepair.work.models import HandBack, Invoice, Payment, Step
from shoprepair.work.settling import state_of
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    JobFactory,
    OperationFactory,
    QuoteFactory,
    QuoteLineFactory,
)

_keys = itertools.count(1)
REASON = "So it is."
FIRST_VERSION = 1
TOLD = {
    "quote.sent": ("quote-out", "quote-replaced"),
    "quote.accepted": ("go-ahead-received",),
    "ready.told": ("ready",),
}
"""What the journal says happened, and the letters of which each time writes one."""


@dataclass
class Desk:
    """One job, whose quote is out, and those who work on it."""

    people: dict[str, Staff]
    job: Job = field(init=False)
    paid: set[str] = field(default_factory=set)
    """Keys of the payments that were acknowledged."""
    trouble: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        with transaction.atomic():
            self.job = _quoted_job(self.people["runa"])

    def client(self, name: str) -> Client:
        client = Client()
        client.force_login(self.people[name])
        return client

    def fresh(self) -> Job:
        return Job.objects.get(pk=self.job.pk)


def _quoted_job(owner: Staff) -> Job:
    """A cut with one covered repair for $110.00 and a wash at will, asked about by e-mail."""
    customer = CustomerFactory(name="Ilka Sandvoort", email="ilka@sandvoort.example")
    job = JobFactory(customer=customer, stage=Stage.ASSESSED, terms_agreed_at=timezone.now())
    repair = Repair.objects.create(damage=DamageFactory(job=job, number=1), operation=OperationFactory())
    quote = QuoteFactory(job=job)
    QuoteLineFactory(quote=quote, repair=repair, damages=[1], operation_code=repair.operation.code)
    QuoteLineFactory(quote=quote, text="Wash and dry", amount=Decimal(20), optional=True, kind="extra")
    quotes.send(quote, who=owner, version=quote.version, base_url="https://loft.example")
    job.refresh_from_db()
    return job


Form = tuple[str, str, dict[str, str]]
"""Who sends it, where to, and what is in it."""


def _answer(desk: Desk, said: str) -> Form | None:
    out = desk.job.quotes.filter(state=Quote.State.OUT).first()
    if out is None:
        return None
    total = totals.of(out, {line.pk for line in out.lines.filter(optional=False)}).total
    fields = {"answer": said, "name": "Ilka Sandvoort", "total": str(total), "version": str(out.version)}
    return "maja", reverse("quote-answer", args=[desk.job.number]), fields


def _send(desk: Desk) -> Form | None:
    draft = desk.job.quotes.filter(state=Quote.State.DRAFT).first()
    at = reverse("quote-send", args=[desk.job.number])
    return ("runa", at, {"version": str(draft.version)}) if draft else None


def _tick(desk: Desk, verb: str, who: str = "tomek") -> Form | None:
    step = desk.job.steps.order_by("?").first()
    fields = {"verb": verb, "device": "1", "reason": REASON}
    return (who, reverse("bench-tick"), {"step": str(step.pk), **fields}) if step else None


def _note(who: str) -> Callable[[Desk], Form]:
    """Answers of the one damage as its page has them now, and a note of one's own."""

    def form(desk: Desk) -> Form:
        damage = desk.job.damages.get()
        fields = {"version": str(damage.version), "kind": damage.kind, "note": f"{who} at {next(_keys)}"}
        return who, reverse("damage", args=[desk.job.number, damage.number]), fields

    return form


def _at_job(who: str, name: str, **fields: str) -> Callable[[Desk], Form]:
    return lambda desk: (who, reverse(name, args=[desk.job.number]), fields)


def _to(stage: Stage) -> Callable[[Desk], Form]:
    return _at_job("runa", "job-stage", to=stage.value, reason=REASON)


ACTS: dict[str, Callable[[Desk], Form | None]] = {
    "says yes": lambda desk: _answer(desk, "yes"),
    "says no": lambda desk: _answer(desk, "no"),
    "revises": _at_job("maja", "quote-revise"),
    "sends": _send,
    "takes the quote back": _at_job("runa", "quote-withdraw", reason=REASON),
    "takes to the bench": lambda desk: ("tomek", reverse("bench-take"), {"number": str(desk.job.number)}),
    "begins a step": lambda desk: _tick(desk, "start"),
    "begins a step too": lambda desk: _tick(desk, "start", "runa"),
    "does a step": lambda desk: _tick(desk, "done"),
    "leaves a step out": lambda desk: _tick(desk, "skip"),
    "takes a step back": lambda desk: _tick(desk, "undo"),
    "writes of the damage": _note("maja"),
    "writes of the damage too": _note("runa"),
    "pays a part": _at_job("maja", "payment", amount="27.50", method="cash"),
    "gives a part back": lambda desk: (
        "runa",
        reverse("refund", args=[desk.job.number]),
        {"back-amount": "27.50", "back-method": "cash", "back-note": REASON},
    ),
    "makes the invoice": _at_job("maja", "invoice-make"),
    "takes the invoice back": _at_job("runa", "invoice-credit", reason=REASON),
    "hands back": _at_job(
        "runa",
        "hand-back-give",
        taker_name="Ilka",
        known_by="tag",
        on_paper="on",
        override_reason=REASON,
    ),
    "was not handed back": _at_job("runa", "hand-back-undo", reason=REASON),
    "assesses again": _to(Stage.ASSESSED),
    "goes to the hold test": _to(Stage.HOLD_TEST),
    "is ready": _to(Stage.READY),
    "goes back to the bench": _to(Stage.BENCH),
    "withdraws": _to(Stage.WITHDRAWN),
}


def at_once(desk: Desk, names: list[str], *, twice: bool) -> None:
    """All of it at the same moment, each over a connection of its own; with `twice` each by a double tap."""
    forms = [form for name in names if (form := ACTS[name](desk))]
    taps = [(form, f"crowd-{next(_keys)}") for form in forms]
    taps = taps * 2 if twice else taps
    clients = [desk.client(form[0]) for form, _ in taps]
    start = threading.Barrier(len(taps)) if taps else None

    def tap(form: Form, key: str, client: Client) -> None:
        assert start
        _, at, fields = form
        said = {**fields, "key": key}
        if at.endswith("/payments/"):
            said["note"] = key
        start.wait()
        try:
            status = client.post(at, said).status_code
            if status >= 500:
                desk.trouble.append(f"{at} {said}: {status}")
            if status == 302 and at.endswith("/payments/"):
                desk.paid.add(key)
        except Exception as error:
            desk.trouble.append(f"{at} {said}: {error!r}")
        finally:
            connection.close()

    threads = [
        threading.Thread(target=tap, args=(*each, client)) for each, client in zip(taps, clients, strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def wrong(desk: Desk) -> list[str]:
    """All that does not hold any more, a line each."""
    job = desk.fresh()
    looks = (_stages, _quotes, _money, _gone, _steps, _hands, _versions, _letters)
    return [*desk.trouble, *(said for look in looks for said in look(desk, job)), *_chained()]


def _stages(_desk: Desk, job: Job) -> Iterator[str]:
    """Each move began where the one before it ended, and the last one ended where the job is."""
    at = Stage.ASSESSED.label
    for entry in journal.entries(job).filter(verb="stage.changed").order_by("id"):
        before, after = entry.changes["stage"]
        if before != at:
            yield f"it moved from {before} while it was at {at}"
        at = after
    if at != Stage(job.stage).label:
        yield f"the job is at {job.stage}, and its journal ends at {at}"


def _quotes(_desk: Desk, job: Job) -> Iterator[str]:
    for state in (Quote.State.DRAFT, Quote.State.OUT, Quote.State.ACCEPTED):
        if (many := job.quotes.filter(state=state, addition_to=None).count()) > 1:
            yield f"{many} quotes are {state} at once"
    numbers = sorted(job.quotes.values_list("number", flat=True))
    if len(numbers) != len(set(numbers)):
        yield f"two quotes have one number: {numbers}"
    for quote in job.quotes.exclude(agreed={}):
        lines = [Decimal(line["amount"]) for line in quote.agreed["lines"] if line["taken"]]
        if sum(lines) != Decimal(quote.agreed["subtotal"]):
            yield f"what was agreed in quote {quote.number} does not add up"


def _money(desk: Desk, job: Job) -> Iterator[str]:
    paid = list(Payment.objects.filter(job=job, amount__gt=0).values_list("note", flat=True))
    if sorted(paid) != sorted(desk.paid):
        yield f"acknowledged were {sorted(desk.paid)}, there are {sorted(paid)}"
    told = journal.entries(job).filter(verb__in=("payment.taken", "payment.refunded")).count()
    if told != Payment.objects.filter(job=job).count():
        yield "the journal does not tell of each payment once"
    if invoices.owed(job).paid < 0:
        yield "more went back than came in"
    standing, all_of_it = invoices.standing(job), Invoice.objects.filter(job=job)
    if sum(each.total for each in all_of_it) != (standing.total if standing else 0):
        yield "invoices less credits are not the invoice that stands"


def _gone(_desk: Desk, job: Job) -> Iterator[str]:
    out = HandBack.objects.filter(job=job, taken_back_at=None).count()
    if out != (job.stage == Stage.HANDED_BACK):
        yield f"the job is at {job.stage}, with {out} hand-backs that stand"
    if job.is_open == (job.stage in (Stage.HANDED_BACK, Stage.DECLINED, Stage.WITHDRAWN)):
        yield f"a job at {job.stage} is {'open' if job.is_open else 'closed'}"
    if Cover.objects.filter(job=job, ending=None).exclude(hand_back__taken_back_at=None).exists():
        yield "a cover lives on from a hand-back that was none"


def _steps(_desk: Desk, job: Job) -> Iterator[str]:
    for step in job.steps.all():
        settled = state_of(step.ticks.select_related("who"))
        if step.ticks.exists() and step.state != settled.state:
            yield f"step {step} stands at {step.state}, its ticks come to {settled.state}"
        if step.state == Step.State.DONE and not step.done_by_id:
            yield f"nobody did {step}"


def _hands(desk: Desk, _job: Job) -> Iterator[str]:
    """Whose hands are at what: each at one thing, at a step that is being done."""
    for name, person in desk.people.items():
        running = list(person.stints.filter(ended_at=None).select_related("step"))
        if len(running) > 1:
            yield f"the time of {name} runs {len(running)} times at once"
        for stint in running:
            if stint.step and stint.step.state != Step.State.RUNNING:
                yield f"the time of {name} runs on a step that is {stint.step.state}"


def _versions(_desk: Desk, job: Job) -> Iterator[str]:
    """Each change that the journal tells of took one version, and none took two."""
    every = journal.entries(job)
    for what, verbs in (
        (job, ("stage.changed", "hold.changed")),
        (job.damages.get(), ("damage.answered",)),
    ):
        changes = every.filter(verb__in=verbs).count()
        if what.version != FIRST_VERSION + changes:
            yield f"{what} was changed {changes} times and is at version {what.version}"


def _letters(_desk: Desk, job: Job) -> Iterator[str]:
    """Whatever tells the customer, as the journal has it, is told by one letter each time."""
    for verb, codes in TOLD.items():
        times = journal.entries(job).filter(verb=verb).count()
        letters = Letter.objects.filter(code__in=codes, about=journal.subject_of(job)).count()
        if times != letters:
            yield f"{times} times {verb}, and {letters} letters of it"


def _chained() -> Iterator[str]:
    if broken := chain.first_broken():
        yield broken.what
    for model in (Job, Invoice, Cover):
        numbers = list(model.objects.order_by("number").values_list("number", flat=True))
        if numbers != list(range(1, len(numbers) + 1)):
            yield f"numbers of {model.__name__} have a gap: {numbers}"
