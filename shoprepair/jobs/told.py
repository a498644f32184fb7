"""What jobs hold about a customer, as rows that people and programs read."""

from collections.abc import Iterator

from django.db.models import Q
from django.utils.translation import gettext

from shoprepair.jobs.models import Customer, Damage, Enquiry, Job, Message, Ownership, Photo, StatusLink
from shoprepair.jobs.personal import Row, Section, jobs_of
from shoprepair.jobs.words import short_place_words
from shoprepair.shop.archive.plain import plain
from shoprepair.shop.logs import without_keys
from shoprepair.shop.models import JournalEntry, Letter


def tell(customer: Customer) -> Iterator[Section]:
    """The person, their gear, visits, damages, photos, and all that was written to and about them."""
    jobs = jobs_of(customer)
    number = {job.pk: job.number for job in jobs}
    yield Section(
        "customer", gettext("Person"), [row(customer, "name phone email note created_at erased_at")]
    )
    yield Section("gear", gettext("Gear"), list(_gear(customer)))
    yield Section("jobs", gettext("Visits"), [_job(job) for job in jobs])
    yield Section("enquiries", gettext("Enquiries"), [_enquiry(each) for each in _of(Enquiry, jobs)])
    yield Section("damages", gettext("Damages"), [_damage(each) for each in _of(Damage, jobs)])
    yield Section("messages", gettext("Messages"), [_message(each) for each in _of(Message, jobs)])
    yield Section("photos", gettext("Photos"), [_photo(each, number) for each in _of(Photo, jobs)])
    links = _of(StatusLink, jobs)
    yield Section(
        "status_links",
        gettext("Status links"),
        [{"job": number[each.job_id]} | row(each, "made_at withdrawn_at") for each in links],
    )
    subjects = [f"customer:{customer.pk}", *(f"job:{job.number}" for job in jobs)]
    yield Section("letters", gettext("Letters"), list(_letters(customer, subjects)))
    yield Section("journal", gettext("Journal"), list(_journal(subjects)))


def shared_photos(customer: Customer) -> list[Photo]:
    """The photos that they were shown."""
    shown = Photo.objects.filter(job__customer=customer, shared=True, removed_at=None)
    return list(shown.select_related("job").order_by("pk"))


def photo_name(photo: Photo) -> str:
    """What a shared photo is called beside the page: its job's number and its own."""
    return f"photos/job-{photo.job.number:04d}-{photo.pk}.jpg"


def row(record: object, names: str) -> Row:
    """Some fields of a record as JSON keeps them."""
    return {name: plain(getattr(record, name)) for name in names.split()}


def _of(model: "type", jobs: list[Job]) -> list:  # type: ignore[type-arg]
    found = model.objects.filter(job__in=jobs).select_related("job").order_by("pk")  # type: ignore[attr-defined]
    return list(found)


def _gear(customer: Customer) -> Iterator[Row]:
    owned = Ownership.objects.filter(customer=customer).select_related("inflatable__pattern").order_by("pk")
    for ownership in owned:
        gear = ownership.inflatable
        facts = "serial colour bought_year condition new_price"
        # What is written about gear that has passed on belongs to whoever has it now.
        note = {"note": gear.note} if ownership.until is None else {}
        yield {"pattern": str(gear.pattern)} | row(gear, facts) | note | row(ownership, "since until")


def _job(job: Job) -> Row:
    facts = "hold_note received_at promised_on closed_at came_with arrived_wet note terms terms_agreed_at"
    gear = str(job.inflatable)
    return {"number": job.number, "gear": gear, "stage": job.get_stage_display()} | row(job, facts)


def _enquiry(enquiry: Enquiry) -> Row:
    facts = "told advice charge comes words language sent_at came_at forgotten_at"
    return {"job": enquiry.job.number} | row(enquiry, facts)


def _damage(damage: Damage) -> Row:
    where = short_place_words(damage)
    facts = "number kind length_typed note load_ratio urgency band created_at removed_at"
    return {"job": damage.job.number, "where": where} | row(damage, facts)


def _message(message: Message) -> Row:
    by = gettext("the shop") if message.by_id else message.name
    return {"job": message.job.number, "by": by} | row(message, "text at")


def _photo(photo: Photo, number: dict[int, int]) -> Row:
    shown = photo.shared and photo.removed_at is None
    file = photo_name(photo) if shown else ""
    return {"job": number[photo.job_id], "file": file} | row(photo, "caption shared created_at removed_at")


def _letters(customer: Customer, subjects: list[str]) -> Iterator[Row]:
    to_them = Q(to__iexact=customer.email) if customer.email else Q()
    for letter in Letter.objects.filter(Q(about__in=subjects) | to_them).order_by("pk"):
        said = {"subject": without_keys(letter.subject), "body": without_keys(letter.body)}
        yield (
            {"to": letter.to, "state": letter.get_state_display()} | said | row(letter, "written_at sent_at")
        )


def _journal(subjects: list[str]) -> Iterator[Row]:
    for entry in JournalEntry.objects.filter(subject__in=subjects).order_by("pk").iterator():
        by = gettext("the shop") if entry.who_id else entry.who_name
        yield row(entry, "at subject") | {"by": by, "text": entry.text, "changes": entry.changes}
