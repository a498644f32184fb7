"""What came through the demo's self-check."""

from collections import Counter

from shoprepair.jobs.models import Enquiry, Job, SelfCheckTally, Stage
from shoprepair.mechanics.description import Band
from shoprepair.shop.models import JournalEntry
from tests.office.demo import NOW


def enquiry(name) -> Enquiry:
    return Enquiry.objects.select_related("job__inflatable__pattern").get(job__customer__name=name)


def test_of_five_enquiries_two_came_in_two_wait_and_one_never_came():
    stages = Counter(Enquiry.objects.values_list("job__stage", flat=True))

    assert stages == {Stage.CHECKED_IN: 2, Stage.ENQUIRY: 2, Stage.WITHDRAWN: 1}
    assert Enquiry.objects.exclude(came_at=None).count() == 2


def test_whoever_never_came_is_forgotten_and_named_nowhere():
    old = Enquiry.objects.exclude(forgotten_at=None).get()

    assert (old.words, old.job.stage) == ("", Stage.WITHDRAWN)
    assert old.job.damages.get().told["look"] == "scrape"
    assert "Ottoline" not in " ".join(JournalEntry.objects.values_list("text", flat=True))
    assert not Job.objects.filter(customer__name__contains="Ottoline").exists()


def test_the_school_asked_and_the_bench_measured_less():
    job = enquiry("Zoë Vandermeulenbroucke").job
    cut = job.damages.get()

    assert (job.inflatable.pattern.name, job.inflatable.colour) == ("Holm 4.0 wing", "white and red")
    assert (cut.told["length"], cut.length_typed) == ("coin", "18 mm")


def test_one_is_on_its_way_by_post_with_a_photo():
    sent = enquiry("Noor Strandhoven")

    assert (sent.comes, sent.job.damages.count(), sent.job.photos.count()) == ("by-post", 2, 1)


def test_what_was_asked_today_must_not_be_inflated():
    asked = enquiry("Mereana Tidewell")

    assert (NOW - asked.sent_at).days == 0
    assert asked.advice[0]["verdict"] == "bring-in"
    assert asked.job.band == Band.GROUNDED


def test_some_weeks_of_questions_are_counted():
    assert len(set(SelfCheckTally.objects.values_list("day", flat=True))) > 40
    assert len(set(SelfCheckTally.objects.values_list("verdict", flat=True))) == 4
    assert SelfCheckTally.objects.filter(day__gt=NOW.date()).count() == 0
