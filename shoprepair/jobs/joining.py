"""An enquiry from outside is of somebody new by the books. Often it is a known customer, and known gear.

Nothing is joined by itself: who asks from outside could name anybody. A person of the shop says so.
"""

from dataclasses import dataclass

from django.db import transaction
from django.db.models import F, ProtectedError

from shoprepair.gear.describe import planform
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import doubles, ownership, repin, search
from shoprepair.jobs.corrections import correct
from shoprepair.jobs.models import Customer, Enquiry, Job, Ownership, Stage
from shoprepair.shop import erasing, journal
from shoprepair.shop.erasing import ERASED
from shoprepair.shop.models import JournalEntry, Staff
from shoprepair.shop.said import gettext

JOINED_AT = (Stage.ENQUIRY, Stage.CHECKED_IN)
"""While nothing was agreed with anybody yet."""
MOST_SHOWN = 4
PERSON_SAID = "enquiry.person-said"


class JoinRefused(ValueError):
    """Nothing is changed; the message says why in a sentence."""


@dataclass(frozen=True, slots=True)
class Gear:
    """A piece of gear of a candidate; `here` is the open job that has it already, or None."""

    inflatable: Inflatable
    here: Job | None


@dataclass(frozen=True, slots=True)
class Candidate:
    """A known customer who may be the one who asked."""

    customer: Customer
    alike: str
    """In what they are the same: "phone number and name"."""
    gear: tuple[Gear, ...]


def person_said(job: Job) -> bool:
    """Whether somebody of the shop has said who the enquiry's person is."""
    return journal.entries(job).filter(verb=PERSON_SAID).exists()


def candidates(job: Job) -> list[Candidate]:
    """Known customers much like the enquiry's person, each with their gear, that of its kind in front.

    Those alike in most come first, then the oldest. Five statements, however many they are.
    """
    asked = job.customer
    facts = (asked.name, asked.phone, asked.email)
    found = [one for one in doubles.near(*facts) if one.pk != asked.pk and one.erased_at is None]
    words = {one.pk: tuple(doubles.alike(one, *facts)) for one in found}
    nearest = sorted(found, key=lambda one: (-len(words[one.pk]), one.pk))[:MOST_SHOWN]
    gear = _gear_of(nearest, job)
    return [Candidate(one, " and ".join(words[one.pk]), tuple(gear[one.pk])) for one in nearest]


def looked_up(job: Job, text: str) -> list[Candidate]:
    """Customers found by a few letters, as candidates."""
    found = [one for one in search.find(text, limit=MOST_SHOWN) if one.customer.pk != job.customer_id]
    gear = _gear_of([one.customer for one in found], job)
    return [Candidate(one.customer, one.why, tuple(gear[one.customer.pk])) for one in found]


def other_gear(job: Job) -> list[Gear]:
    """What else the job's customer owns: the enquiry may be about one of these."""
    owned = _gear_of([job.customer], job)[job.customer_id]
    return [one for one in owned if one.inflatable.pk != job.inflatable_id]


@transaction.atomic
def join(job: Job, customer: Customer, inflatable: Inflatable | None = None, *, who: Staff) -> Job:
    """Say who it is and, where that is known too, which piece of gear. Raises JoinRefused, RepinRefused."""
    is_customer(job, customer, who=who)
    return is_gear(job, inflatable, who=who) if inflatable else job


def _gear_of(customers: list[Customer], job: Job) -> dict[int, list[Gear]]:
    held = Ownership.objects.filter(customer__in=customers, until=None).select_related("inflatable__pattern")
    owned = list(held.order_by("pk"))
    at_work = Job.objects.filter(inflatable__in=[one.inflatable_id for one in owned], is_open=True)
    here = {one.inflatable_id: one for one in at_work.exclude(pk=job.pk)}
    gear: dict[int, list[Gear]] = {customer.pk: [] for customer in customers}
    kind = job.inflatable.pattern.kind
    for one in sorted(owned, key=lambda one: one.inflatable.pattern.kind != kind):
        gear[one.customer_id].append(Gear(one.inflatable, here.get(one.inflatable_id)))
    return gear


@transaction.atomic
def is_customer(job: Job, customer: Customer, *, who: Staff) -> Job:
    """The enquiry's person is this known one: the job and its gear go to them, and what they wrote anew.

    The person of the enquiry goes from the books, unless more hangs on them by now. Raises JoinRefused.
    """
    held = _held(job)
    former = held.customer
    if former.pk == customer.pk:
        return _shown(job, held)
    if customer.erased_at:
        raise JoinRefused(gettext("That customer was erased. Choose another."))
    Job.objects.filter(pk=held.pk).update(customer=customer, version=F("version") + 1)
    Ownership.objects.filter(customer=former, inflatable=held.inflatable_id).update(customer=customer)
    _learn(customer, former, who)
    text = gettext("The enquiry is of %(customer)s, who is known here.") % {"customer": customer}
    journal.record(held, PERSON_SAID, text, who=who)
    _take_away(former)
    search.index(customer)
    return _shown(job, _held(job))


@transaction.atomic
def is_gear(job: Job, inflatable: Inflatable, *, who: Staff) -> Job:
    """The enquiry's gear is this known piece of its customer's; what was pinned is carried over to it.

    Raises JoinRefused where it is not theirs or already here, RepinRefused where the pins must stay.
    """
    held = _held(job)
    former = held.inflatable
    if former.pk == inflatable.pk:
        return _shown(job, held)
    if why := _not_joined(held, inflatable):
        raise JoinRefused(why)
    if reasons := repin.refusals(former):
        raise repin.RepinRefused(reasons)
    Job.objects.filter(pk=held.pk).update(inflatable=inflatable, version=F("version") + 1)
    joined = _held(job)
    text = gettext("The enquiry is about %(inflatable)s, which is known here.") % {"inflatable": inflatable}
    journal.record(joined, "enquiry.gear-said", text, who=who, changes={"gear": [former, inflatable]})
    repin.carry(joined, planform(former.pattern), who=who)
    _take_gear_away(former)
    search.index(joined.customer)
    return _shown(job, _held(job))


def _held(job: Job) -> Job:
    """The job as it stands, held until the transaction ends. Raises JoinRefused where it stays as it is."""
    jobs = Job.objects.select_for_update(of=("self",)).select_related("customer", "inflatable__pattern")
    held = jobs.get(pk=job.pk)
    if not Enquiry.objects.filter(job=held).exists():
        raise JoinRefused(gettext("This job did not come as an enquiry, so its customer and gear are known."))
    if held.stage not in JOINED_AT:
        raise JoinRefused(
            gettext("The job is at “%(get_stage_display)s” already: its customer and gear stay.")
            % {"get_stage_display": held.get_stage_display()}
        )
    return held


def _shown(job: Job, held: Job) -> Job:
    """What the caller holds, as it is kept now."""
    job.refresh_from_db(fields=("version", "urgency", "rank", "band", "damage_count"))
    job.customer, job.inflatable = held.customer, held.inflatable
    return job


def _not_joined(job: Job, inflatable: Inflatable) -> str:
    """Why the job cannot be about this gear, in a sentence; empty where it can."""
    owner = ownership.owner(inflatable)
    if owner is None or owner.pk != job.customer_id:
        return gettext("%(inflatable)s belongs to %(value)s by our books, not to %(customer)s.") % {
            "inflatable": inflatable,
            "value": owner or gettext("nobody"),
            "customer": job.customer,
        }
    here = Job.objects.filter(inflatable=inflatable, is_open=True).exclude(pk=job.pk).order_by("pk").first()
    if here is None:
        return ""
    if here.stage == Stage.ENQUIRY:
        return gettext(
            "Job %(here)s is already an open enquiry about it. Go on with that one, or withdraw it first."
        ) % {"here": here}
    return gettext("It is in the shop already, as job %(here)s. Pin the damage there, and withdraw this.") % {
        "here": here
    }


def _learn(customer: Customer, former: Customer, who: Staff) -> None:
    """Take over how to reach them; a number or address that differs goes into the note.

    The journal keeps what they called themselves, so that erasing them finds that too.
    """
    note = "\n".join(filter(None, [customer.note, *_else_reached(customer, former)]))
    phone, email = customer.phone or former.phone, customer.email or former.email
    correct(customer, who=who, phone=phone, email=email, note=note)
    kept = {name: (getattr(former, name), getattr(customer, name)) for name in ("name", "phone", "email")}
    changes = {name: list(pair) for name, pair in kept.items() if pair[0] and pair[0] != pair[1]}
    text = gettext("%(former)s asked from outside, and is %(customer)s.") % {
        "former": former,
        "customer": customer,
    }
    journal.record(customer, "customer.joined", text, who=who, changes=changes)


def _else_reached(customer: Customer, former: Customer) -> list[str]:
    other_phone = customer.phone and not doubles.same_phone(customer.phone, former.phone)
    other_email = customer.email and customer.email.casefold() != former.email.casefold()
    found = [former.phone if other_phone else "", former.email if other_email else ""]
    return [
        gettext("Also reached at %(way)s") % {"way": way} for way in found if way and way not in customer.note
    ]


def _take_away(former: Customer) -> None:
    """The person goes from the books, with all the journal says of them; who has other visits stays."""
    key = former.pk
    with erasing.window():
        try:
            with transaction.atomic():
                former.delete()
        except ProtectedError:
            search.index(former)
            return
        _write_over(f"customer:{key}")


def _take_gear_away(former: Inflatable) -> None:
    """The gear that stood for it goes; gear with other visits or covers stays theirs."""
    key = former.pk
    with erasing.window():
        try:
            with transaction.atomic():
                Ownership.objects.filter(inflatable=former).delete()
                former.delete()
        except ProtectedError:
            return
        _write_over(f"inflatable:{key}")


def _write_over(subject: str) -> None:
    about = JournalEntry.objects.filter(subject=subject)
    about.filter(who=None).update(who_name=ERASED)
    about.update(text=ERASED, changes={}, said=None)
