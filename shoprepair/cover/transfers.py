"""Gear and its covers passing to a new owner: offered by the shop, agreed by both sides, then done.

Neither side alone moves anything. Whoever comes second waits for the first, so that of an answer and a
calling off at the same moment one stands, and the other reads why it does not.
"""

import datetime
from dataclasses import dataclass
from typing import Literal

from django.db import IntegrityError, transaction
from django.db.models import F, QuerySet
from django.utils import timezone

from shoprepair.cover import endings, transfer_letters, transfer_links
from shoprepair.cover.models import Cover, Ending, Transfer
from shoprepair.cover.reading import UnreadableRecord, read
from shoprepair.cover.standing import standing
from shoprepair.cover.transfer_links import SIDES, Side
from shoprepair.cover.transfer_links import find as find
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import ownership
from shoprepair.jobs.models import Customer, Job, Stage
from shoprepair.shop import journal, outbox
from shoprepair.shop.languages import gettext_lazy, in_a_sentence
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

State = Literal["open", "done", "refused", "called off"]
FIRST_OWNER = gettext_lazy("It was given for the first owner only.")
ENDED_NOTE = gettext_lazy("Given for the first owner only.")
LONGEST_NOTE = 200


class TransferRefused(ValueError):
    """It cannot be offered, agreed or ended (any more); the message says why in a sentence."""


@dataclass(frozen=True, slots=True)
class Stays:
    """A cover that ends with the present owner, and why."""

    cover: Cover
    reason: str


@dataclass(frozen=True, slots=True)
class Passing:
    """What a transfer does to the covers that stand today."""

    along: tuple[Cover, ...]
    ends: tuple[Stays, ...]

    @property
    def shown(self) -> str:
        """Says which covers a page showed, so that nobody agrees to something else than they read."""
        return "{}|{}".format(
            ",".join(str(cover.number) for cover in self.along),
            ",".join(str(stays.cover.number) for stays in self.ends),
        )


def passing(inflatable: Inflatable) -> Passing:
    """The covers that would go along to a new owner today, and those that would end, with the reason.

    Raises UnreadableRecord where somebody changed a cover outside of the program.
    """
    along, ends = [], []
    for cover in standing(inflatable):
        if read(cover).terms.passes_on:
            along.append(cover)
        else:
            ends.append(Stays(cover, FIRST_OWNER))
    return Passing(tuple(along), tuple(ends))


def current(inflatable: Inflatable) -> Transfer | None:
    """The transfer that awaits an answer, if there is one."""
    return _open().filter(inflatable=inflatable).select_related("giver", "taker").first()


def history(inflatable: Inflatable) -> list[Transfer]:
    """Every transfer of this gear, the newest first, open or over."""
    return list(Transfer.objects.filter(inflatable=inflatable).select_related("giver", "taker"))


def open_jobs(inflatable: Inflatable) -> list[Job]:
    """Visits under way. They stay their customer's, who agrees, pays and is told when it is ready."""
    under_way = Job.objects.filter(inflatable=inflatable, is_open=True).exclude(stage=Stage.ENQUIRY)
    return list(under_way.select_related("customer").order_by("number"))


def state(transfer: Transfer) -> State:
    """Where it stands."""
    if transfer.done_at:
        return "done"
    if transfer.ended_at:
        return "refused" if transfer.ended_by in SIDES else "called off"
    return "open"


def agreed(transfer: Transfer, side: Side) -> datetime.datetime | None:
    """When this side agreed; None while it has not."""
    return transfer.giver_agreed_at if side == "giver" else transfer.taker_agreed_at


def obstacle(transfer: Transfer) -> str:
    """Why an open transfer cannot be agreed to any more, though nobody called it off; empty where it can."""
    if endings.is_retired(transfer.inflatable):
        return gettext("The gear was retired meanwhile and its covers have ended, so it cannot pass on.")
    if ownership.owner(transfer.inflatable) != transfer.giver:
        return gettext("The gear no longer belongs to %(giver)s, so it cannot pass from them.") % {
            "giver": transfer.giver
        }
    return ""


def party(transfer: Transfer, side: Side) -> Customer:
    """Who stands on this side."""
    return transfer.giver if side == "giver" else transfer.taker


def offer(
    inflatable: Inflatable, taker: Customer, *, who: Staff, note: str = "", base_url: str = ""
) -> Transfer:
    """Put it before both sides: a letter to each that has an e-mail address.

    An open visit of the present owner is no obstacle; it stays theirs. Raises TransferRefused.
    """
    with transaction.atomic():
        giver = ownership.owner(inflatable)
        if giver is None:
            raise TransferRefused(_NO_OWNER)
        if reason := _not_offered(inflatable, giver, taker):
            raise TransferRefused(reason)
        transfer = Transfer(
            inflatable=inflatable,
            giver=giver,
            taker=taker,
            note=" ".join(note.split())[:LONGEST_NOTE],
            offered_by=who,
            offered_at=timezone.now(),
        )
        transfer_links.make(transfer)
        _save_only_one(transfer)
        _told(
            transfer,
            "offered",
            gettext("Offered to pass from %(giver)s to %(taker)s.") % {"giver": giver, "taker": taker},
            who,
        )
        transfer_letters.write(transfer, transfer_letters.OFFERED, base_url)
    return transfer


def agree(
    transfer: Transfer,
    side: Side,
    how: str,
    *,
    who: Staff | None = None,
    shown: str | None = None,
    base_url: str = "",
) -> Transfer:
    """This side agrees: on the page sent to them, or in the shop before `who` writes it down.

    When both have, it is done in the same transaction. `shown` is what the page said of the covers.
    Raises TransferRefused for what is over, agreed already, or shown otherwise.
    """
    if how == Transfer.How.PERSON and who is None:
        raise TypeError("A consent given in person is written down by somebody of the shop.")
    with transaction.atomic():
        held, now = _locked(transfer), timezone.now()
        goes = _readable(held.inflatable)
        if reason := _not_agreed(held, side, goes, shown):
            raise TransferRefused(reason)
        _swap(held, **{f"{side}_agreed_at": now, f"{side}_how": how})
        way = in_a_sentence(Transfer.How(how).label)
        _told(
            held,
            "agreed",
            gettext("%(held)s agreed to the transfer, %(way)s.") % {"held": party(held, side), "way": way},
            who,
            party(held, side),
        )
        if all(agreed(held, each) for each in SIDES):
            _finish(held, goes, now, who, party(held, side), base_url)
    transfer.refresh_from_db()
    return transfer


def end(transfer: Transfer, by: Side | Literal["shop"], *, who: Staff | None = None) -> Transfer:
    """A side refuses, or somebody of the shop calls it off: nothing passes.

    Raises TransferRefused when it is over.
    """
    if by == "shop" and who is None:
        raise TypeError("The shop calls it off through somebody.")
    with transaction.atomic():
        held = _locked(transfer)
        if reason := _over(held):
            raise TransferRefused(reason)
        _swap(held, ended_at=timezone.now(), ended_by=str(who) if by == "shop" else by)
        outbox.overtaken(held, transfer_letters.OFFERED)
        if by == "shop":
            _told(held, "ended", gettext("The transfer was called off."), who)
        else:
            _told(
                held,
                "ended",
                gettext("%(held)s refused the transfer.") % {"held": party(held, by)},
                who,
                party(held, by),
            )
    transfer.refresh_from_db()
    return transfer


def _not_offered(inflatable: Inflatable, giver: Customer, taker: Customer) -> str:
    if giver.pk == taker.pk:
        return gettext("%(taker)s is the present owner. Pick whoever gets it.") % {"taker": taker}
    if taker.erased_at:
        return gettext("What was known of this customer was erased. Pick whoever gets it, or add them.")
    if endings.is_retired(inflatable):
        return gettext("This gear is retired and its covers have ended, so it cannot pass on.")
    if waits := current(inflatable):
        return gettext(
            "It is passing to %(taker)s already. Both agree to that, or the shop calls it off first."
        ) % {"taker": waits.taker}
    return ""


def _not_agreed(transfer: Transfer, side: Side, goes: Passing, shown: str | None) -> str:
    if reason := _over(transfer):
        return reason
    if agreed(transfer, side):
        return gettext("%(transfer)s has agreed to this already.") % {"transfer": party(transfer, side)}
    if reason := obstacle(transfer):
        return reason
    if shown is not None and shown != goes.shown:
        return gettext(
            "The covers have changed since you opened the page. Look at what passes now, then agree."
        )
    return ""


def _readable(inflatable: Inflatable) -> Passing:
    try:
        return passing(inflatable)
    except UnreadableRecord as unreadable:
        raise TransferRefused(str(unreadable)) from unreadable


def _over(transfer: Transfer) -> str:
    """Why nothing can be answered any more; empty while it is open."""
    return {
        "open": "",
        "done": gettext("It is done: the gear belongs to %(taker)s.") % {"taker": transfer.taker},
        "refused": gettext("%(transfer)s has refused this transfer, so nothing passes.")
        % {"transfer": _name(transfer, transfer.ended_by)},
        "called off": gettext("The shop has called this transfer off, so nothing passes."),
    }[state(transfer)]


def _name(transfer: Transfer, side: str) -> str:
    return str(transfer.giver if side == "giver" else transfer.taker)


def _finish(
    transfer: Transfer,
    goes: Passing,
    now: datetime.datetime,
    who: Staff | None,
    last: Customer,
    base_url: str,
) -> None:
    """Both have agreed: the gear is the taker's, with the covers that pass; the others end."""
    name = gettext("%(last)s (customer)") % {"last": last}
    try:
        ownership.pass_on(transfer.inflatable, transfer.taker, who=who, who_name=name, at=now)
    except ownership.NotPassed as refused:
        raise TransferRefused(str(refused)) from None
    for stays in goes.ends:
        endings.end(stays.cover, Ending.Reason.PASSED_ON, ENDED_NOTE, who=who, who_name=name)
    passed = [cover.number for cover in goes.along]
    not_passed = [stays.cover.number for stays in goes.ends]
    _swap(transfer, done_at=now, passed=passed, not_passed=not_passed)
    outbox.overtaken(transfer, transfer_letters.OFFERED)
    transfer_letters.write(transfer, "transfer-done", base_url)


def _open() -> QuerySet[Transfer]:
    return Transfer.objects.filter(done_at=None, ended_at=None)


def _locked(transfer: Transfer) -> Transfer:
    """The transfer as it stands, held until the transaction ends."""
    return Transfer.objects.select_for_update().get(pk=transfer.pk)


def _swap(transfer: Transfer, **fields: object) -> None:
    """Write the fields if nobody changed the transfer since it was read."""
    unchanged = _open().filter(pk=transfer.pk, version=transfer.version)
    if not unchanged.update(**fields, version=F("version") + 1):
        raise TransferRefused(gettext("Somebody has just answered this transfer. Look at it again."))
    transfer.refresh_from_db(fields=(*fields, "version"))


def _save_only_one(transfer: Transfer) -> None:
    try:
        with transaction.atomic():
            transfer.save()
    except IntegrityError:
        raise TransferRefused(
            gettext("Somebody has just offered this gear to pass on. Look at it again.")
        ) from None


def _told(
    transfer: Transfer, verb: str, text: str, who: Staff | None, customer: Customer | None = None
) -> None:
    """Journalled with the gear, by somebody of the shop or by the customer who answered."""
    name = gettext("%(customer)s (customer)") % {"customer": customer} if customer else ""
    subject = f"inflatable:{transfer.inflatable_id}"
    journal.record(subject, f"transfer.{verb}", text, who=who, who_name=name)


_NO_OWNER = gettext_lazy("The shop does not know whose this gear is. Check it in for its owner first.")
