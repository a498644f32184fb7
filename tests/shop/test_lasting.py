"""What is past its time: counted first, gone once the owner agreed, told in one line that names nobody."""

import datetime

import pytest
from django.utils import timezone

from shoprepair.cover import uncovered
from shoprepair.jobs import photos
from shoprepair.jobs.models import Job
from shoprepair.shop import journal, lasting, outbox
from shoprepair.shop.archive import keeping, registry
from shoprepair.shop.models import JournalEntry, Letter, Shop
from shoprepair.shop.outbox import emptying
from shoprepair.shop.settings import current
from tests.factories import CustomerFactory, InflatableFactory, JobFactory, OwnershipFactory
from tests.jobs.enquiries.asking import photo

pytestmark = pytest.mark.django_db

NOW = timezone.now()
YEAR = datetime.timedelta(days=366)
WORDS = {
    "job": "0412",
    "customer": "Ilka",
    "gear": "Petrel",
    "total": "$1",
    "link": "https://loft.example/s/key",
}


def letter(state=Letter.State.SENT, days=400) -> Letter:
    written = outbox.write("ilka@example.com", "ready", WORDS, about="job:412")
    Letter.objects.filter(pk=written.pk).update(state=state, written_at=NOW - datetime.timedelta(days=days))
    return written


def closed(years=4, **facts) -> Job:
    """A visit that ended so many years ago."""
    at = NOW - years * YEAR
    return JobFactory(stage="declined", is_open=False, closed_at=at, received_at=at, **facts)


def agree() -> None:
    current()
    Shop.objects.update(times_agreed=True)


def test_a_letter_past_its_time_keeps_that_it_went_and_loses_what_it_said():
    old, young, unsure = letter(), letter(days=300), letter(Letter.State.UNSURE)
    waiting = letter(Letter.State.WAITING)
    assert emptying.due(365, NOW) == 2
    assert emptying.empty(365, NOW) == 2
    assert emptying.empty(365, NOW) == 0
    for each in (old, young, unsure, waiting):
        each.refresh_from_db()
    assert (old.subject, old.to, old.body, old.state) == ("Ready (no longer kept)", "", "", Letter.State.SENT)
    assert unsure.state == Letter.State.CANCELLED
    assert "key" in young.body
    assert "key" in waiting.body


def test_photos_of_a_closed_job_go_with_their_files_and_no_backup_asks_for_them():
    kept = photos.keep(closed(), photo(), who=None)
    young = photos.keep(closed(years=2), photo(), who=None)
    assert uncovered.photos(3, NOW).get() == kept
    assert uncovered.let_photos_go(3, NOW) == 1
    assert uncovered.let_photos_go(3, NOW) == 0
    kept.refresh_from_db()
    row = {"key": kept.key, "caption": kept.caption, "removed_at": kept.removed_at}
    assert (registry.FILES["jobs.Photo"](row), kept.shared) == ([], False)
    assert photos.file(young, "small").exists()


def test_the_files_go_as_soon_as_it_is_written_down(django_capture_on_commit_callbacks):
    kept = photos.keep(closed(), photo(), who=None)
    with django_capture_on_commit_callbacks(execute=True):
        uncovered.let_photos_go(3, NOW)
    assert not any(photos.file(kept, size).exists() for size in photos.SIZES)


def test_photos_of_gear_that_is_here_again_stay():
    job = closed()
    photos.keep(job, photo(), who=None)
    JobFactory(inflatable=job.inflatable)
    assert not uncovered.photos(3, NOW)


def test_who_was_last_here_long_ago_is_erased_and_who_is_here_or_owns_gear_since_is_not():
    def customer(**facts):
        return CustomerFactory(created_at=NOW, **facts)

    gone, here, lately, buyer = (customer(name=name) for name in ("Gone", "Here", "Lately", "Buyer"))
    type(gone).objects.update(created_at=NOW - 5 * YEAR)
    closed(customer=gone)
    closed(customer=here)
    JobFactory(customer=here, inflatable=InflatableFactory())
    closed(customer=lately, years=2)
    OwnershipFactory(customer=buyer)
    assert set(uncovered.contacts(3, NOW)) == {gone}
    assert uncovered.erase_contacts(3, NOW) == 1
    assert uncovered.erase_contacts(3, NOW) == 0
    gone.refresh_from_db()
    assert (gone.name, bool(gone.erased_at)) == (f"Erased customer {gone.pk}", True)


def test_an_archive_goes_after_its_days(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    (tmp_path / "archives").mkdir()
    for day in (1, 25):
        (tmp_path / "archives" / f"shop-202605{day:02d}-120000.zip").touch()
    at = datetime.datetime(2026, 6, 2, tzinfo=datetime.UTC)
    assert (keeping.KIND.due(30, at), keeping.let_go(30, at)) == (1, 1)
    assert [each.name for each in (tmp_path / "archives").iterdir()] == ["shop-20260525-120000.zip"]


def test_nothing_goes_before_the_owner_agreed_and_what_waits_is_counted():
    letter()
    assert lasting.let_go(NOW) == {}
    assert Shop.objects.get().past_their_time == 1
    assert Letter.objects.get().body


def test_what_went_stands_in_the_journal_in_one_line_that_names_nobody():
    agree()
    letter(), letter()
    assert lasting.let_go(NOW) == {"letter_days": 2}
    assert lasting.let_go(NOW) == {}
    entry = journal.entries(lasting.SUBJECT).get()
    assert entry.text == "Past their time, and kept no longer: 2 letters’ words."
    assert entry.who_name == "the program"


def test_a_kind_that_fails_is_logged_and_keeps_no_other(monkeypatch, caplog):
    def stumble(time, at):
        raise OSError("as the test wants it")

    agree()
    letter()
    kind = lasting.Kind(
        field="photo_years",
        what="Photos",
        unit="years",
        fewest=1,
        most=2,
        then="",
        one="photo",
        many="photos",
        due=lambda time, at: 1,
        let_go=stumble,
    )
    monkeypatch.setitem(lasting._KINDS, "photo_years", kind)
    assert lasting.let_go(NOW) == {"letter_days": 1}
    assert "could not be let go: photo_years" in caplog.text


def test_covers_invoices_and_the_journal_have_no_time_by_which_they_go():
    assert {kind.field for kind in lasting.kinds()} == {
        "letter_days",
        "archive_days",
        "enquiry_days",
        "invoice_years",
        "photo_years",
        "contact_years",
    }
    agree()
    before = JournalEntry.objects.count()
    lasting.let_go(NOW)
    assert JournalEntry.objects.count() == before


def test_years_are_counted_by_the_calendar():
    leap = datetime.datetime(2028, 2, 29, 12, tzinfo=datetime.UTC)
    assert lasting.years_before(leap, 3) == datetime.datetime(2025, 2, 28, 12, tzinfo=datetime.UTC)
