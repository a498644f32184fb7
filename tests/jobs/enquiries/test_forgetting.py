"""Enquiries of which nothing came: forgotten after a time, with all that names the person."""

import datetime

import pytest
from django.apps import apps
from django.utils import timezone

from shoprepair.jobs import links, photos, stages
from shoprepair.jobs.enquiries import forget_due, forgetting
from shoprepair.jobs.models import Damage, Enquiry, Job, Stage
from shoprepair.shop.models import JournalEntry
from tests.factories import CustomerFactory, JobFactory
from tests.jobs.enquiries.asking import CUT, TEAR, ask, photo

pytestmark = pytest.mark.django_db

WORDS = "My name is Sandvoort, I live on Sand Lane"


@pytest.fixture
def enquiry():
    return ask(CUT, TEAR, words=WORDS, photos=[photo()])


def in_days(days):
    return timezone.now() + datetime.timedelta(days=days, minutes=1)


def everything():
    """All text in the database."""
    rows = [model._base_manager.values() for model in apps.get_models()]
    return " ".join(str(row) for values in rows for row in values)


def test_it_is_kept_for_as_long_as_the_shop_says_and_then_forgotten(enquiry):
    assert forget_due(in_days(89)) == 0
    assert forget_due(in_days(90)) == 1
    assert forget_due(in_days(91)) == 0
    enquiry.refresh_from_db()
    assert (enquiry.words, bool(enquiry.forgotten_at)) == ("", True)


def test_nothing_names_them_any_more(enquiry):
    assert "Sandvoort" in everything()
    forget_due(in_days(90))
    left = everything()
    assert not [word for word in ("Sandvoort", "ilka@", "Sand Lane") if word in left]


def test_the_visit_is_withdrawn_by_the_program_with_the_reason(enquiry):
    forget_due(in_days(90))
    job = Job.objects.get()
    entry = JournalEntry.objects.get(subject=f"job:{job.number}", verb="stage.changed")
    assert (job.stage, job.is_open) == (Stage.WITHDRAWN, False)
    assert (entry.who_name, "Nothing came of it in 90 days" in entry.text) == ("the program", True)


def test_the_files_of_their_photos_go_and_their_page_closes(enquiry):
    kept = enquiry.job.photos.get()
    token = links.token(links.current(enquiry.job))
    assert photos.file(kept, "small").exists()
    forget_due(in_days(90))
    assert not any(photos.file(kept, size).exists() for size in photos.SIZES)
    assert links.find(token) is None


def test_what_was_damaged_and_advised_stays(enquiry):
    forget_due(in_days(90))
    enquiry.refresh_from_db()
    assert Damage.objects.filter(job=enquiry.job).count() == 2
    assert [told["verdict"] for told in enquiry.advice] == ["bring-in", "fix"]


def test_what_the_shop_withdrew_is_forgotten_too(enquiry, counter):
    stages.move(enquiry.job, Stage.WITHDRAWN, who=counter, reason="They bought a new one.")
    assert forget_due(in_days(90)) == 1


def test_what_came_in_is_never_forgotten(enquiry, counter):
    Job.objects.filter(pk=enquiry.job_id).update(terms_agreed_at=timezone.now())
    stages.move(Job.objects.get(), Stage.CHECKED_IN, who=counter)
    assert forget_due(in_days(900)) == 0


def test_somebody_known_for_more_stays_and_only_the_enquiry_s_own_goes(enquiry):
    known = CustomerFactory(name="Oda Marrable")
    JobFactory(customer=known)
    Job.objects.filter(pk=enquiry.job_id).update(customer=known)
    kept = enquiry.job.photos.get()
    assert forget_due(in_days(90)) == 1
    known.refresh_from_db()
    assert (known.name, known.erased_at) == ("Oda Marrable", None)
    assert not photos.file(kept, "small").exists()
    assert Enquiry.objects.get().words == ""


def test_one_that_cannot_be_forgotten_is_logged_and_keeps_no_other(enquiry, caplog, monkeypatch):
    other = ask(CUT, key="another", contact="+1 555 0134", name="Brann Sollvik")
    forget = forgetting.forget

    def stumble(one):
        if one == enquiry:
            raise OSError("as the test wants it")
        forget(one)

    monkeypatch.setattr(forgetting, "forget", stumble)
    assert forget_due(in_days(90)) == 1
    other.refresh_from_db()
    assert other.forgotten_at
    assert "could not be forgotten" in caplog.text


def test_one_that_came_in_at_the_last_moment_is_left_alone(enquiry):
    due = forgetting.due(in_days(90))
    Enquiry.objects.update(came_at=timezone.now())
    Job.objects.update(stage=Stage.CHECKED_IN)
    for each in due:
        forgetting.forget(each)
    assert Job.objects.get().customer.name == "Ilka Sandvoort"
