"""Erasing a customer: nothing names them any more, and nothing of accounts, numbers or covers has changed."""

import datetime
import io

import pytest
import time_machine
from django.core.management import call_command
from django.db import DatabaseError, transaction
from django.utils import timezone

from shoprepair.cover import chain
from shoprepair.cover.models import Transfer
from shoprepair.jobs import checkin, conversation, corrections, erasure, personal, photos, search
from shoprepair.jobs.models import Customer, Photo
from shoprepair.shop import erasing, outbox
from shoprepair.shop.models import Letter, Staff
from shoprepair.work.models import HandBack, Invoice, Payment
from tests.factories import CustomerFactory, JobFactory, StaffFactory
from tests.shop.archive import shops

pytestmark = pytest.mark.django_db
NAME, PHONE, EMAIL = "Ilka Sandvoort", "+1 555 010-7788", "ilka@example.com"
FIGURES = {
    "work.Invoice": ("number", "total", "currency", "made_at", "job_id", "credits_id"),
    "work.Payment": ("amount", "method", "at", "job_id"),
    "pricing.Quote": ("number", "state", "worth", "sent_at", "answered_at", "tax_percent"),
    "pricing.QuoteLine": ("amount", "cost", "minutes", "taken"),
    "jobs.Job": ("number", "stage", "received_at", "closed_at", "customer_id", "inflatable_id"),
    "shop.Counter": ("name", "value"),
}


@pytest.fixture
def customer(settings, tmp_path):
    """Somebody who was here, wrote, was written to, paid, and whose name is found in many a place."""
    settings.MEDIA_ROOT = tmp_path
    owner = shops.lived_in()
    customer = Customer.objects.get(jobs__isnull=False)
    job = customer.jobs.get()
    corrections.correct(customer, who=owner, name=NAME, phone=PHONE, email=EMAIL, note="Left-handed.")
    corrections.correct(job, who=owner, note="Ring Ilka on +1 (555) 0107788 first.")
    conversation.ask(job, name="Ilka S.", text="Is it done? I am away from Friday.")
    conversation.reply(job, who=owner, text="It is, Ilka.", base_url="https://loft.example")
    Photo.objects.update(caption="Ilka’s wing", shared=True)
    return customer


@pytest.fixture
def owner(customer):
    return Staff.objects.get(username="runa")


def figures():
    return {
        label: list(shops.table(label).model.objects.order_by("pk").values_list(*names))
        for label, names in FIGURES.items()
    }


def everything():
    return "\n".join(f"{label}: {row}" for label, rows in shops.rows().items() for row in rows)


def test_what_is_told_holds_every_part(customer):
    told = {section.name: section.rows for section in personal.told(customer)}
    assert told["customer"][0]["phone"] == PHONE
    assert [row["text"] for row in told["messages"]] == ["Is it done? I am away from Friday.", "It is, Ilka."]
    assert told["invoices"][0]["total"] == told["payments"][0]["amount"] == "110.00"
    assert told["covers"][0]["number"] == 1
    assert told["photos"][0]["file"].startswith("photos/job-")


def test_nothing_names_them_any_more_and_no_figure_has_changed(customer, owner):
    before = figures()
    covers = shops.rows()["cover.Cover"]
    erasure.erase(customer, NAME, who=owner)

    left = everything().replace("Erased customer", "")
    current = Invoice.objects.get()
    kept = f"{current.lines!r}"
    named = ["Ilka", "Sandvoort", "0107788", "010-7788", "010 7788", EMAIL, "Left-handed", "Friday"]
    found = {word: left.replace(kept, "").count(word) for word in named}
    # The invoice is young: the law keeps its name, and it alone.
    assert found == dict.fromkeys(named, 0)
    assert "Sandvoort" in kept or current.lines["customer"].startswith("Ilka")
    assert figures() == before
    assert shops.rows()["cover.Cover"] == covers
    assert chain.first_broken() is None
    given = HandBack.objects.get()
    assert (given.taker_name, given.signature) == (f"Erased customer {customer.pk}", [])
    assert not Letter.objects.filter(state=Letter.State.WAITING).exists()
    assert not search.find("Sandvoort")
    assert [photo.removed_at for photo in Photo.objects.all()] == [None]


def test_the_name_goes_off_an_invoice_once_its_years_are_over(customer, owner):
    before = figures()
    erasure.erase(customer, NAME, who=owner)
    total = Invoice.objects.get().lines["total"]
    call_command("erase_due", stdout=io.StringIO())
    assert Invoice.objects.get().lines["customer"] != f"Erased customer {customer.pk}"
    year = timezone.localdate().year
    with time_machine.travel(datetime.datetime(year + 10, 12, 31, 12, tzinfo=datetime.UTC)):
        call_command("erase_due", stdout=io.StringIO())
        assert Invoice.objects.get().lines["customer"] != f"Erased customer {customer.pk}"
    said = io.StringIO()
    with time_machine.travel(datetime.datetime(year + 11, 1, 2, tzinfo=datetime.UTC)):
        call_command("erase_due", stdout=said)
    assert said.getvalue().startswith("1 invoices")
    lines = Invoice.objects.get().lines
    assert (lines["customer"], lines["total"]) == (f"Erased customer {customer.pk}", total)
    assert "Ilka" not in str(lines)
    assert figures() == before


def test_photos_go_with_their_files_only_when_asked(
    customer, owner, django_capture_on_commit_callbacks, settings
):
    photo = Photo.objects.get()
    with django_capture_on_commit_callbacks(execute=True):
        erasure.erase(customer, NAME, who=owner, photos_too=True)
    assert not photos.file(photo, "large").exists()
    assert Photo.objects.get().removed_at is not None


def test_nobody_is_erased_with_a_job_open_money_owed_or_by_somebody_else(customer, owner):
    with pytest.raises(erasure.ErasureRefused, match="Only the owner"):
        erasure.erase(customer, NAME, who=StaffFactory())
    with pytest.raises(erasure.ErasureRefused, match="not the customer's name"):
        erasure.erase(customer, "Ilka", who=owner)
    job = JobFactory(customer=customer)
    assert erasure.refusals(customer) == [f"Job {job} is still open: close it first."]
    customer.jobs.update(is_open=False)
    job = customer.jobs.first()
    Payment.objects.create(job=job, amount="-10.00", method="cash", who=owner, at=timezone.now())
    assert erasure.refusals(customer) == [f"$10.00 is still to be paid for job {job}."]
    with pytest.raises(erasure.ErasureRefused, match="still to be paid"):
        erasure.erase(customer, NAME, who=owner)
    assert Customer.objects.get(pk=customer.pk).name == NAME


def test_even_inside_the_window_no_amount_and_no_date_can_be_changed(customer):
    invoice = Invoice.objects.get()
    forged = invoice.lines | {"total": "1.00"}
    changes = [
        lambda: Invoice.objects.update(total="1.00"),
        lambda: Invoice.objects.update(lines=forged),
        lambda: Payment.objects.update(amount="1.00"),
        lambda: HandBack.objects.update(at=timezone.now()),
        lambda: invoice.delete(),
    ]
    with erasing.window():
        for change in changes:
            with pytest.raises(DatabaseError), transaction.atomic():
                change()
        Invoice.objects.update(lines=invoice.lines | {"customer": "…"})


def test_whoever_took_over_their_gear_no_longer_reads_from_whom(customer, owner):
    taker = CustomerFactory(name="Ida Quist", email="ida@example.com")
    gear = customer.jobs.get().inflatable
    transfer = Transfer.objects.create(
        inflatable=gear, giver=customer, taker=taker, offered_by=owner, offered_at=timezone.now()
    )
    assert erasure.refusals(customer) == [f"{gear} is offered to a new owner; end that first."]
    Transfer.objects.update(done_at=timezone.now(), note="Ilka’s cousin")
    outbox.write(
        taker.email,
        "ready",
        dict.fromkeys(("customer", "job", "gear", "total", "link"), NAME),
        about=transfer,
    )
    erasure.erase(customer, NAME, who=owner)
    letter = Letter.objects.get(to=taker.email)
    assert "Ilka" not in letter.body + letter.subject + Transfer.objects.get().note
    assert "(erased)" in letter.body


def test_somebody_who_was_erased_can_be_a_customer_again(customer, owner):
    erasure.erase(customer, NAME, who=owner)
    anew = checkin.add_customer(NAME, who=owner, phone=PHONE)
    assert search.find("Sandvoort")[0].customer == anew
