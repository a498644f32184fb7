"""What jobs erase of a customer: everything that names or describes the person.

The customer's row, the numbers of their jobs, their gear with its damages, and every date stay. Words that
somebody wrote about the work are kept, but for names, phone numbers and addresses in them.
"""

from collections.abc import Iterable
from typing import Any

from django.db.models import Model, Q, QuerySet
from django.utils.translation import gettext

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import search
from shoprepair.jobs.models import Customer, Damage, Enquiry, Job, Message, Photo, StatusLink
from shoprepair.jobs.personal import Erasure
from shoprepair.shop import journal
from shoprepair.shop.erasing import ERASED
from shoprepair.shop.models import JournalEntry, Letter

WHOLLY = frozenset(
    ["customer.added", "customer.corrected", "question.asked", "question.answered", "hand-back.given"]
)
"""Entries that are about the person and little else."""
_THEIRS = frozenset(["name", "phone", "email", "note", "hold_note", "came_with", "caption"])
"""Fields whose changes in the journal are what somebody said of the person."""
_OURS = frozenset(["bag", "pump", "leash"])
_BATCH = 500


def refuse(customer: Customer) -> Iterable[str]:
    """Why this customer cannot be erased yet."""
    if customer.erased_at:
        yield gettext("This customer was erased on %(erased_at)s.") % {
            "erased_at": f"{customer.erased_at:%Y-%m-%d}"
        }
    at_work = list(map(str, Job.objects.filter(customer=customer, is_open=True).order_by("number")))
    if len(at_work) == 1:
        yield gettext("Job %(at_work)s is still open: close it first.") % {"at_work": at_work[0]}
    elif at_work:
        yield gettext("Jobs %(join)s are still open: close them first.") % {"join": ", ".join(at_work)}


def know(erasure: Erasure) -> None:
    """Every name, number and address of theirs, also those that were corrected since."""
    customer, naming = erasure.customer, erasure.naming
    naming.add_name(customer.name)
    naming.add(customer.email)
    naming.add_phone(customer.phone)
    for entry in journal.entries(customer):
        for before, _ in (pair for name, pair in entry.changes.items() if name == "name"):
            naming.add_name(str(before or ""))
        for before, _ in (pair for name, pair in entry.changes.items() if name == "email"):
            naming.add(before)
        for before, _ in (pair for name, pair in entry.changes.items() if name == "phone"):
            naming.add_phone(before)
    for name in Message.objects.filter(job__in=erasure.jobs, by=None).values_list("name", flat=True):
        naming.add(name)
    numbers = Job.objects.filter(pk__in=erasure.jobs).values_list("number", flat=True)
    erasure.subjects.add(f"customer:{customer.pk}")
    erasure.subjects.update(f"job:{number}" for number in numbers)
    erasure.subjects.update(f"inflatable:{gear}" for gear in erasure.gear)


def erase(erasure: Erasure) -> None:
    """Write over the person, their messages, letters and journal; close their links."""
    _letters(erasure)
    _customer(erasure)
    _jobs(erasure)
    Message.objects.filter(job__in=erasure.jobs, by=None).update(name=erasure.name)
    Message.objects.filter(job__in=erasure.jobs).update(text=ERASED)
    live = StatusLink.objects.filter(job__in=erasure.jobs, withdrawn_at=None)
    live.update(withdrawn_at=erasure.at, withdrawn_by=erasure.who)
    write_over(Damage.objects.filter(job__in=erasure.jobs), erasure, "note")
    write_over(Inflatable.objects.filter(pk__in=erasure.gear), erasure, "note")
    Enquiry.objects.filter(job__in=erasure.jobs).update(words="")
    _photos(erasure)
    _journal(erasure)


def write_over(rows: "QuerySet[Any]", erasure: Erasure, *names: str) -> None:
    """Write over the names within these fields; rows that name nobody are left alone."""
    changed: list[Model] = []
    for row in rows.iterator(chunk_size=_BATCH):
        now = {name: erasure.naming.over(getattr(row, name)) for name in names}
        if any(getattr(row, name) != value for name, value in now.items()):
            for name, value in now.items():
                setattr(row, name, _fitting(row, name, value))
            changed.append(row)
    if changed:
        rows.model._base_manager.bulk_update(changed, names, batch_size=_BATCH)


def _fitting(row: Model, name: str, value: Any) -> Any:
    longest = getattr(row._meta.get_field(name), "max_length", None)
    return value[:longest] if longest and isinstance(value, str) else value


def _customer(erasure: Erasure) -> None:
    customer = erasure.customer
    customer.name, customer.phone, customer.email, customer.note = erasure.name, "", "", ""
    customer.erased_at = erasure.at
    customer.version += 1
    customer.save(update_fields=("name", "phone", "email", "note", "erased_at", "version"))
    search.index(customer)


def _jobs(erasure: Erasure) -> None:
    rows = Job.objects.filter(pk__in=erasure.jobs)
    rows.update(note="", hold_note="")
    for job in rows.exclude(came_with=[]):
        job.came_with = [thing for thing in job.came_with if thing in _OURS]
        job.save(update_fields=("came_with",))


def _letters(erasure: Erasure) -> None:
    to_them = Q(to__iexact=erasure.customer.email) if erasure.customer.email else Q()
    found = Letter.objects.filter(Q(about__in=_own(erasure)) | to_them)
    found.filter(state=Letter.State.WAITING).update(state=Letter.State.CANCELLED)
    found.update(to="", subject=ERASED, body=ERASED, last_error="")


def _own(erasure: Erasure) -> set[str]:
    """Their subjects without those of gear, which may be somebody else's by now."""
    return {subject for subject in erasure.subjects if not subject.startswith("inflatable:")}


def _photos(erasure: Erasure) -> None:
    rows = Photo.objects.filter(job__in=erasure.jobs)
    if erasure.photos:
        rows.update(caption=ERASED, shared=False)
        rows.filter(removed_at=None).update(removed_at=erasure.at)
    else:
        write_over(rows, erasure, "caption")


def _journal(erasure: Erasure) -> None:
    naming, changed = erasure.naming, []
    own = {f"customer:{erasure.customer.pk}"}
    for entry in JournalEntry.objects.filter(subject__in=erasure.subjects).iterator(chunk_size=_BATCH):
        wholly = entry.verb in WHOLLY or entry.subject in own
        text = ERASED if wholly else naming.over(entry.text)
        changes = {} if wholly else _changes(entry.changes, erasure)
        name = naming.over(entry.who_name) if entry.who_id is None else entry.who_name
        told = entry.said is not None and (wholly or entry.said != naming.over(entry.said))
        if told or (text, changes, name) != (entry.text, entry.changes, entry.who_name):
            entry.text, entry.changes, entry.who_name, entry.said = text, changes, name[:150], None
            changed.append(entry)
    JournalEntry.objects.bulk_update(changed, ["text", "changes", "who_name", "said"], batch_size=_BATCH)


def _changes(changes: dict[str, Any], erasure: Erasure) -> dict[str, Any]:
    return {
        name: [ERASED, ERASED] if name in _THEIRS else erasure.naming.over(pair)
        for name, pair in changes.items()
    }
