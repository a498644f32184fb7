"""Checking in: the customer, their inflatable, and the job that begins."""

from collections.abc import Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from shoprepair.gear import serials
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs import ownership, promising, search, stages
from shoprepair.jobs.models import Customer, Job, Ownership, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.numbers import next_number
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import current


class NotTheirs(ValueError):
    """The gear belongs to another customer; the message says to whom."""


def start(
    customer: Customer,
    inflatable: Inflatable,
    *,
    who: Staff | None,
    who_name: str = "",
    not_theirs: bool = False,
) -> Job:
    """Begin a visit: an enquiry with a number and a date promised by the shop's usual days.

    Where the customer has an open enquiry about the inflatable, that one is gone on with; somebody else's
    is withdrawn. With `not_theirs` a customer brings what belongs to another; else raises NotTheirs.
    `who` None is the customer, who asks from outside and goes by `who_name`.
    """
    owner = ownership.owner(inflatable)
    if not not_theirs and owner is not None and owner != customer:
        raise NotTheirs(
            gettext("%(inflatable)s belongs to %(owner)s now. Check it in for them.")
            % {"inflatable": inflatable, "owner": owner}
        )
    begun = Job.objects.filter(inflatable=inflatable, stage=Stage.ENQUIRY)
    try:
        job = begun.first()
        if job and job.customer_id == customer.pk:
            return job
        return _begin(customer, inflatable, job, who=who, who_name=who_name)
    except IntegrityError:
        # Somebody else began at the same moment.
        return begun.get()


def under_way(inflatable: Inflatable) -> Job | None:
    """The visit for which it is in the shop now, whoever brought it; an enquiry is none yet."""
    here = Job.objects.filter(inflatable=inflatable, is_open=True).exclude(stage=Stage.ENQUIRY)
    return here.order_by("-id").first()


def _begin(
    customer: Customer, inflatable: Inflatable, former: Job | None, *, who: Staff | None, who_name: str
) -> Job:
    with transaction.atomic():
        if former:
            stages.move(
                former,
                Stage.WITHDRAWN,
                who=who,
                reason=gettext("The gear came in with %(customer)s.") % {"customer": customer},
            )
        job = Job.objects.create(
            number=next_number("job"),
            customer=customer,
            inflatable=inflatable,
            received_at=timezone.now(),
            promised_on=promising.usual(timezone.localdate()),
        )
        search.index(customer)
        text = gettext("Enquiry about %(inflatable)s for %(customer)s.") % {
            "inflatable": inflatable,
            "customer": customer,
        }
        journal.record(job, "job.started", text, who=who, who_name=who_name)
    return job


def add_customer(
    name: str, *, who: Staff | None, who_name: str = "", phone: str = "", email: str = "", note: str = ""
) -> Customer:
    """A new customer, found from now on while typing. Raises ValidationError, a sentence per field."""
    customer = Customer(
        name=" ".join(name.split()), phone=phone.strip(), email=email.strip(), note=note.strip()
    )
    check_customer(customer)
    with transaction.atomic():
        customer.save()
        search.index(customer)
        text = gettext("%(customer)s is a new customer.") % {"customer": customer}
        journal.record(customer, "customer.added", text, who=who, who_name=who_name)
    return customer


def check_customer(customer: Customer) -> None:
    """Raises ValidationError with a sentence per field that is wrong."""
    problems: dict[str, str] = {}
    if not any(letter.isalnum() for letter in customer.name):
        problems["name"] = gettext("Write the customer's name.")
    if customer.phone and not 5 <= sum(letter.isdigit() for letter in customer.phone) <= 15:
        problems["phone"] = gettext("A phone number has 5 to 15 digits, such as +1 555 0134.")
    try:
        customer.clean_fields(exclude=problems)
    except ValidationError as error:
        problems |= {name: " ".join(messages) for name, messages in error.message_dict.items()}
    if problems:
        raise ValidationError(problems)


def add_inflatable(
    customer: Customer,
    pattern: Pattern,
    *,
    who: Staff | None,
    who_name: str = "",
    serial: str = "",
    colour: str = "",
    bought_year: int | None = None,
    condition: str = "sound",
    note: str = "",
) -> Inflatable:
    """A wing or kite of this customer. Raises ValidationError, a sentence per field."""
    inflatable = Inflatable(
        pattern=pattern,
        serial=" ".join(serial.split()),
        colour=colour.strip(),
        bought_year=bought_year,
        condition=condition,
        note=note.strip(),
    )
    check_inflatable(inflatable)
    with transaction.atomic():
        inflatable.save()
        Ownership.objects.create(customer=customer, inflatable=inflatable)
        search.index(customer)
        text = gettext("%(inflatable)s belongs to %(customer)s.") % {
            "inflatable": inflatable,
            "customer": customer,
        }
        journal.record(f"inflatable:{inflatable.pk}", "inflatable.added", text, who=who, who_name=who_name)
    return inflatable


def check_inflatable(inflatable: Inflatable) -> None:
    """Raises ValidationError with a sentence per field that is wrong, among them a serial that exists."""
    problems: dict[str, str] = {}
    if inflatable.serial and (owner := _owner_of_serial(inflatable)):
        problems["serial"] = gettext(
            "This serial is already here: it belongs to %(owner)s. Pick it there, or read it again."
        ) % {"owner": owner}
    year = timezone.localdate().year
    if inflatable.bought_year is not None and not 1990 <= inflatable.bought_year <= year:
        problems["bought_year"] = gettext("The year lies between 1990 and %(year)s.") % {"year": year}
    try:
        inflatable.clean_fields(exclude={*problems, "pattern"})
    except ValidationError as error:
        problems |= {name: " ".join(messages) for name, messages in error.message_dict.items()}
    if problems:
        raise ValidationError(problems)


def _owner_of_serial(inflatable: Inflatable) -> str:
    same = serials.bearing(inflatable.serial).exclude(pk=inflatable.pk).first()
    if same is None:
        return ""
    ownership = same.ownerships.filter(until=None).select_related("customer").first()
    return str(ownership.customer) if ownership else gettext("nobody any more")


def note_arrival(job: Job, *, who: Staff, **facts: Any) -> Job:
    """Keep what came along: `came_with` (a list of words), `arrived_wet` (True, False, None), `note`.

    What is wet waits until it is dry, so saying so sets the hold.
    """
    known = {"came_with", "arrived_wet", "note"}
    if unknown := set(facts) - known:
        raise TypeError(f"Not a fact of an arrival: {', '.join(sorted(unknown))}")
    before = {name: getattr(job, name) for name in facts}
    if "came_with" in facts:
        facts["came_with"] = _words(facts["came_with"])
    changes = journal.differences(before, facts)
    if not changes:
        return job
    with transaction.atomic():
        for name, value in facts.items():
            setattr(job, name, value)
        job.save(update_fields=tuple(facts))
        if job.stage != Stage.ENQUIRY:
            journal.record(
                job, "job.corrected", gettext("What came along was corrected."), who=who, changes=changes
            )
        if job.arrived_wet and not job.hold:
            stages.set_hold(job, "drying", gettext("It came in wet or sandy."), who=who)
    return job


def agree_terms(job: Job, *, who: Staff) -> Job:
    """The customer agrees the shop's terms as they stand now; their words are kept with the job."""
    if job.terms_agreed_at:
        return job
    with transaction.atomic():
        job.terms, job.terms_agreed_at = current().terms, timezone.now()
        job.save(update_fields=("terms", "terms_agreed_at"))
        journal.record(
            job,
            "terms.agreed",
            gettext("%(customer)s agreed the shop's terms.") % {"customer": job.customer},
            who=who,
        )
    return job


def finish(job: Job, *, who: Staff) -> Job:
    """Check the job in. Raises StageRefused with what is missing."""
    return stages.move(job, Stage.CHECKED_IN, who=who)


def _words(written: Sequence[str]) -> list[str]:
    return [word for word in dict.fromkeys(" ".join(item.split())[:60] for item in written) if word]
