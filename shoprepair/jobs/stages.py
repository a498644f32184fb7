"""The stages of a job: one table of the ways between them, and the guards on each way.

A guard is a small function that looks at the job and returns what is missing, as a sentence, or
an empty string. Work that adds records to a stage adds its guard here.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from shoprepair.jobs.models import Damage, Hold, Job, Stage
from shoprepair.jobs.questions import required
from shoprepair.jobs.reading import live_damages
from shoprepair.jobs.signals import moved
from shoprepair.shop import journal
from shoprepair.shop.access import is_owner
from shoprepair.shop.languages import gettext_lazy, in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

CLOSED = (Stage.HANDED_BACK, Stage.DECLINED, Stage.WITHDRAWN)
Guard = Callable[[Job], str]


class StageRefused(ValueError):
    """The job may not go there yet; `reasons` says what is missing, a sentence each."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True, slots=True)
class Transition:
    """One way from a stage to another."""

    start: Stage
    to: Stage
    label: str
    """What the person does, as a button says it."""
    guards: tuple[Guard, ...] = ()
    owner_only: bool = False
    needs_reason: bool = False
    back: bool = False
    """A way back or aside, not the next step."""
    by_customer: bool = False
    """A way that the customer takes too, by answering."""


@dataclass(frozen=True, slots=True)
class Action:
    """The one next thing to do with a job."""

    label: str
    url_name: str
    primary: bool
    to: str = ""
    """The stage it leads to, where it is a step of the job."""


def damage_pinned(job: Job) -> str:
    """Without a pin nobody knows what the visit is about."""
    return "" if live_damages(job) else gettext("Pin at least one damage.")


def every_damage_answered(job: Job) -> str:
    """Names the damages that nobody has described far enough to be judged."""
    open_ones = [str(damage.number) for damage in live_damages(job) if not _answered(damage)]
    if not open_ones:
        return ""
    named = (
        gettext("damage %(open_ones)s") % {"open_ones": open_ones[0]}
        if len(open_ones) == 1
        else gettext("damages %(join)s and %(open_ones)s")
        % {"join": ", ".join(open_ones[:-1]), "open_ones": open_ones[-1]}
    )
    return gettext("Answer the questions of %(named)s.") % {"named": named}


def terms_agreed(job: Job) -> str:
    """The gear stays in the shop on terms, so the customer must know them."""
    return "" if job.terms_agreed_at else gettext("The customer has not agreed the terms yet.")


def customer_reachable(job: Job) -> str:
    """A quote needs an answer."""
    customer = job.customer
    return (
        ""
        if customer.phone or customer.email
        else gettext("The customer has neither a phone number nor an e-mail address.")
    )


def nothing_held(job: Job) -> str:
    """What waits is not handed back or called ready."""
    return (
        ""
        if not job.hold
        else gettext("It is on hold: %(lower)s. Lift the hold first.")
        % {"lower": in_a_sentence(Hold(job.hold).label)}
    )


def dry(job: Job) -> str:
    """Nothing sticks to, or is sewn through, wet cloth."""
    return (
        gettext("It is on hold: drying. Lift the hold when it is bone dry.")
        if job.hold == Hold.DRYING
        else ""
    )


def of_its_owner(job: Job) -> str:
    """Gear that passed to somebody else since it was asked about comes in for them, on their terms."""
    ownerships = job.inflatable.ownerships.select_related("customer")
    gave = ownerships.filter(customer=job.customer_id, until__gte=job.received_at).exists()
    held = ownerships.filter(until=None).first() if gave else None
    if held is None or held.customer_id == job.customer_id:
        return ""
    return gettext("The gear belongs to %(customer)s now. Withdraw this, and check it in for them.") % {
        "customer": held.customer
    }


def no_other_enquiry(job: Job) -> str:
    """An inflatable has one open enquiry at a time."""
    other = Job.objects.filter(inflatable=job.inflatable_id, stage=Stage.ENQUIRY).exclude(pk=job.pk).first()
    return gettext("Job %(other)s is already an open enquiry about it.") % {"other": other} if other else ""


def _ahead(start: Stage, to: Stage, label: str, *guards: Guard, by_customer: bool = False) -> Transition:
    return Transition(start, to, label, guards, by_customer=by_customer)


def _back(
    start: Stage, to: Stage, label: str, *guards: Guard, owner_only: bool = False, by_customer: bool = False
) -> Transition:
    return Transition(
        start,
        to,
        label,
        guards,
        owner_only=owner_only,
        needs_reason=True,
        back=True,
        by_customer=by_customer,
    )


TRANSITIONS = (
    _ahead(
        Stage.ENQUIRY, Stage.CHECKED_IN, gettext_lazy("Check in"), damage_pinned, terms_agreed, of_its_owner
    ),
    _ahead(
        Stage.CHECKED_IN,
        Stage.ASSESSED,
        gettext_lazy("Assessment is done"),
        damage_pinned,
        every_damage_answered,
    ),
    _ahead(
        Stage.ASSESSED,
        Stage.QUOTE_OUT,
        gettext_lazy("Quote is out"),
        damage_pinned,
        every_damage_answered,
        customer_reachable,
    ),
    _ahead(Stage.QUOTE_OUT, Stage.GO_AHEAD, gettext_lazy("Customer says go ahead"), by_customer=True),
    _ahead(Stage.GO_AHEAD, Stage.BENCH, gettext_lazy("Put on the bench"), dry),
    _ahead(Stage.BENCH, Stage.HOLD_TEST, gettext_lazy("Start the hold test"), dry),
    _ahead(Stage.HOLD_TEST, Stage.READY, gettext_lazy("It holds: ready"), nothing_held),
    _ahead(Stage.READY, Stage.HANDED_BACK, gettext_lazy("Hand back"), nothing_held),
    _back(Stage.CHECKED_IN, Stage.ENQUIRY, gettext_lazy("Back to enquiry"), no_other_enquiry),
    _back(Stage.ASSESSED, Stage.CHECKED_IN, gettext_lazy("Assess again")),
    _back(Stage.QUOTE_OUT, Stage.ASSESSED, gettext_lazy("Take the quote back")),
    _back(Stage.QUOTE_OUT, Stage.DECLINED, gettext_lazy("Customer declines"), by_customer=True),
    _back(Stage.GO_AHEAD, Stage.ASSESSED, gettext_lazy("More was found: assess again")),
    _back(Stage.BENCH, Stage.GO_AHEAD, gettext_lazy("Take off the bench")),
    _back(Stage.BENCH, Stage.ASSESSED, gettext_lazy("More was found: assess again")),
    _back(Stage.BENCH, Stage.HANDED_BACK, gettext_lazy("Hand back as it is"), owner_only=True),
    _back(Stage.HOLD_TEST, Stage.BENCH, gettext_lazy("It does not hold: back to the bench")),
    _back(Stage.HOLD_TEST, Stage.HANDED_BACK, gettext_lazy("Hand back as it is"), owner_only=True),
    _back(Stage.READY, Stage.BENCH, gettext_lazy("Back to the bench")),
    _back(Stage.DECLINED, Stage.ASSESSED, gettext_lazy("Quote again")),
    _back(Stage.WITHDRAWN, Stage.ENQUIRY, gettext_lazy("Open again"), no_other_enquiry, owner_only=True),
    _back(Stage.HANDED_BACK, Stage.READY, gettext_lazy("It was not handed back"), owner_only=True),
    *(
        _back(start, Stage.WITHDRAWN, gettext_lazy("Withdraw"), by_customer=start == Stage.ENQUIRY)
        for start in (Stage.ENQUIRY, Stage.CHECKED_IN, Stage.ASSESSED, Stage.QUOTE_OUT, Stage.GO_AHEAD)
    ),
)
_BY_WAY = {(way.start, way.to): way for way in TRANSITIONS}
_ADDED: dict[tuple[Stage, Stage], tuple[Guard, ...]] = {}


def add_guard(start: Stage, to: Stage, guard: Guard) -> None:
    """Let a package above, whose records this one does not know, keep a way shut; called as it is loaded."""
    added = _ADDED.get((start, to), ())
    if guard not in added:
        _ADDED[start, to] = (*added, guard)


def guards_of(way: Transition) -> tuple[Guard, ...]:
    """All that looks at a job before it takes this way."""
    return (*way.guards, *_ADDED.get((way.start, way.to), ()))


def choices_from(job: Job) -> list[Transition]:
    """Every way out of the job's stage, the next step first."""
    return [way for way in TRANSITIONS if way.start == job.stage]


def refusals(job: Job, to: str, *, who: Staff | None = None, reason: str | None = None) -> list[str]:
    """What is missing before the job may go to `to`, a sentence each; empty where nothing is.

    Without `who` and `reason` only the job itself is looked at.
    """
    way = _BY_WAY.get((Stage(job.stage), Stage(to)))
    if way is None:
        return [_no_way(job, Stage(to))]
    return list(_refusals(way, job, who, reason))


def move(
    job: Job, to: str, *, who: Staff | None, who_name: str = "", reason: str = "", told: str = ""
) -> Job:
    """Take the job to another stage, and write that in the journal.

    `told` stands in the journal where the label of the way would not be true.
    `who` None is the customer, who goes by `who_name` and has only the ways that an answer takes. Raises
    StageRefused with what is missing, or when somebody else has moved the job meanwhile.
    """
    start, to = Stage(job.stage), Stage(to)
    if reasons := refusals(job, to, who=who, reason=reason):
        raise StageRefused(reasons)
    if who is None and not _BY_WAY[start, to].by_customer:
        raise StageRefused([gettext("Only somebody of the shop may do that.")])
    changes = {"stage": [start.label, to.label], **(_no_longer_waits(job) if to in CLOSED else {})}
    with transaction.atomic():
        unmoved = Job.objects.filter(pk=job.pk, stage=start)
        if not unmoved.update(stage=to, **_open_or_closed(to), version=F("version") + 1):
            raise StageRefused([_moved_meanwhile(job)])
        because = f": {reason.strip()}" if reason.strip() else "."
        journal.record(
            job,
            "stage.changed",
            told or f"{_BY_WAY[start, to].label}{because}",
            who=who,
            who_name=who_name,
            changes=changes,
        )
        job.refresh_from_db(fields=("stage", "is_open", "closed_at", "hold", "hold_note", "version"))
        moved.send(sender=Job, job=job, start=start, to=to, who=who)
    return job


def _open_or_closed(to: Stage) -> dict[str, Any]:
    """What a job is at a stage; one that is closed waits for nothing."""
    if to not in CLOSED:
        return {"is_open": True, "closed_at": None}
    return {"is_open": False, "closed_at": timezone.now(), "hold": Hold.NONE, "hold_note": ""}


def _no_longer_waits(job: Job) -> dict[str, list[str]]:
    before = {"hold": Hold(job.hold).label, "note": job.hold_note}
    return journal.differences(before, {"hold": Hold.NONE.label, "note": ""})


def set_hold(job: Job, hold: str, note: str = "", *, who: Staff) -> Job:
    """Say why the job waits, or that it waits no longer."""
    hold, before = Hold(hold), {"hold": Hold(job.hold).label, "note": job.hold_note}
    if hold and not job.is_open:
        raise ValueError(gettext("This job is closed; only an open job can wait."))
    after = {"hold": hold.label, "note": note.strip() if hold else ""}
    if before == after:
        return job
    with transaction.atomic():
        job.hold, job.hold_note = hold, after["note"]
        Job.objects.filter(pk=job.pk).update(hold=hold, hold_note=job.hold_note, version=F("version") + 1)
        text = (
            gettext("On hold: %(lower)s.") % {"lower": in_a_sentence(hold.label)}
            if hold
            else gettext("The hold is lifted.")
        )
        journal.record(job, "hold.changed", text, who=who, changes=journal.differences(before, after))
    job.refresh_from_db(fields=("version",))
    return job


def next_action(job: Job) -> Action:
    """The one next thing to do. What is missing for the next step comes before the step itself."""
    if job.stage == Stage.ENQUIRY:
        return Action(gettext("Go on with check-in"), "job-check-in", primary=True, to=Stage.CHECKED_IN)
    if job.hold == Hold.DRYING:
        return Action(gettext("Check that it is dry"), "job", primary=False)
    way = next((way for way in choices_from(job) if not way.back), None)
    if way is None:
        return Action(gettext("Look at the job"), "job", primary=False)
    page = _PAGES.get(way.to, "job")
    return Action(_NEXT.get(way.to, way.label), page, primary=not job.hold, to=way.to)


_PAGES = {Stage.QUOTE_OUT: "quote", Stage.READY: "hold-test", Stage.HANDED_BACK: "hand-back"}
"""Steps that have a page of their own."""
_NEXT = {
    Stage.ASSESSED: gettext_lazy("Assess the damage"),
    Stage.QUOTE_OUT: gettext_lazy("Write the quote"),
    Stage.GO_AHEAD: gettext_lazy("Await the customer's answer"),
    Stage.HOLD_TEST: gettext_lazy("Repair, then hold test"),
    Stage.READY: gettext_lazy("Read the hold test"),
}


def _refusals(way: Transition, job: Job, who: Staff | None, reason: str | None) -> Iterator[str]:
    if who is not None and way.owner_only and not is_owner(who):
        yield gettext("Only the owner may do that.")
    if reason is not None and way.needs_reason and not reason.strip():
        yield gettext("Say why, in a few words.")
    yield from filter(None, (guard(job) for guard in guards_of(way)))


def _answered(damage: Damage) -> bool:
    return bool(damage.kind) and all(getattr(damage, name) is not None for name in required(damage))


def _no_way(job: Job, to: Stage) -> str:
    if job.stage == to:
        return gettext("The job is already at “%(label)s”.") % {"label": to.label}
    ways = " or ".join(f"“{way.to.label}”" for way in choices_from(job))
    here = Stage(job.stage).label
    return gettext(
        "The job is at “%(here)s” and cannot jump to “%(label)s”; from there it goes to %(ways)s."
    ) % {"here": here, "label": to.label, "ways": ways}


def _moved_meanwhile(job: Job) -> str:
    stage = Stage(Job.objects.values_list("stage", flat=True).get(pk=job.pk))
    return gettext("Somebody has just moved this job to “%(label)s”. Look at it again.") % {
        "label": stage.label
    }
