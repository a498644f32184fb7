"""After a load figure changed all open jobs are judged anew beside the work, whoever stops in the middle."""

import re
import time

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone

from shoprepair.jobs import assessment, judging_anew
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.shop import changes, daily, journal, notes
from shoprepair.shop.models import Note, Staff
from shoprepair.shop.settings import cases, load_figures
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db


def judged_job(**facts: object) -> Job:
    job = JobFactory(**{"stage": Stage.CHECKED_IN, **facts})
    damage = DamageFactory(job=job, number=1)
    assessment.assess_damage(damage)
    damage.save()
    return assessment.assess_job(job)


def make_it_hotter(owner: Staff, celsius: float = 80) -> None:
    figures = load_figures()
    changes.change_load_figures(who=owner, seen=changes.newest(figures), hot_celsius=celsius)


def by_todays_figures() -> list[bool]:
    """Of each finding, in the order of the jobs."""
    kept = Damage.objects.order_by("job_id").values_list("assessment", flat=True)
    return [each["inputs"]["cases"]["hot_celsius"] == cases().hot_celsius for each in kept]


def marked(client: Client) -> list[str]:
    """The numbers of the rows that say they wait."""
    rows = client.get("/").content.decode().split('<li class="row"')[1:]
    return sorted(re.findall(r"tagnumber[^>]*>(\d+)<", row)[0] for row in rows if "row-waits" in row)


@pytest.fixture
def client(as_person, counter: Staff) -> Client:
    return as_person(counter)


def test_a_change_is_followed_by_the_worker_until_all_are_judged_by_it(owner: Staff) -> None:
    jobs = [judged_job() for _ in range(3)]
    before = [job.urgency for job in jobs]
    make_it_hotter(owner)
    assert by_todays_figures() == [False] * 3
    assert judging_anew.is_due()

    assert daily.look_after() is False

    assert by_todays_figures() == [True] * 3
    assert not judging_anew.is_due()
    assert [Job.objects.get(pk=job.pk).urgency for job in jobs] > before
    told = journal.entries(judging_anew.SUBJECT).get()
    assert (told.text, told.who_name) == (
        "3 open jobs judged anew, 3 came out differently.",
        "the program",
    )


def test_without_a_change_the_worker_has_nothing_to_do(owner: Staff, django_assert_num_queries) -> None:
    judged_job()
    load_figures()
    # The note, the figures, what was said of them last.
    with django_assert_num_queries(3):
        assert judging_anew.look() is False
    assert not journal.entries(judging_anew.SUBJECT).exists()


def test_jobs_that_wait_are_marked_on_the_rack_until_their_turn_has_come(
    client: Client, owner: Staff
) -> None:
    first, second = judged_job(), judged_job()
    assert marked(client) == []
    make_it_hotter(owner)
    assert marked(client) == [str(first), str(second)]
    judging_anew.go_on(time.monotonic())
    assert marked(client) == [str(second)]
    assert by_todays_figures() == [True, False]
    judging_anew.go_on(time.monotonic())
    assert marked(client) == []


def test_what_came_in_after_the_change_is_judged_by_it_already(client: Client, owner: Staff) -> None:
    judged_job()
    make_it_hotter(owner)
    late = judged_job()
    assert str(late) not in marked(client)
    judging_anew.look()
    assert by_todays_figures() == [True, True]
    assert journal.entries(judging_anew.SUBJECT).get().text.startswith("1 open job judged anew")


def test_a_worker_that_dies_in_a_batch_leaves_nothing_of_it_and_the_next_goes_on_from_there(
    owner: Staff, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(judging_anew, "BATCH", 2)
    jobs = [judged_job() for _ in range(5)]
    make_it_hotter(owner)
    judge, judged = judging_anew.reassess_job, []

    def lose_power(job: Job, **options: object) -> object:
        if job == jobs[3]:
            raise KeyboardInterrupt
        judged.append(job)
        return judge(job, **options)

    with monkeypatch.context() as dying:
        dying.setattr(judging_anew, "reassess_job", lose_power)
        with pytest.raises(KeyboardInterrupt):
            judging_anew.look()
    assert judged == jobs[:3]
    assert by_todays_figures() == [True, True, False, False, False]
    run = judging_anew.standing()
    assert (run.after, run.judged, run.left) == (jobs[1].pk, 2, 3)

    assert judging_anew.look() is False
    assert by_todays_figures() == [True] * 5
    assert journal.entries(judging_anew.SUBJECT).get().text.startswith("5 open jobs judged anew")


def test_a_worker_that_has_more_to_do_says_so(owner: Staff, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(judging_anew, "SLICE_S", 0.0)
    for _ in range(2):
        judged_job()
    make_it_hotter(owner)
    assert [daily.look_after(), daily.look_after(), daily.look_after()] == [True, False, False]


def test_a_change_in_the_middle_of_a_run_begins_it_anew(owner: Staff) -> None:
    for _ in range(2):
        judged_job()
    make_it_hotter(owner)
    judging_anew.go_on(time.monotonic())
    make_it_hotter(owner, 85)
    assert judging_anew.standing().judged == 0
    judging_anew.look()
    assert by_todays_figures() == [True, True]


def test_whoever_finds_that_another_has_come_to_the_end_begins_nothing(owner: Staff) -> None:
    judged_job()
    make_it_hotter(owner)
    judging_anew.look()
    assert judging_anew.go_on(time.monotonic()).judged == 0
    assert judging_anew.standing() is None
    assert journal.entries(judging_anew.SUBJECT).count() == 1


def test_a_run_whose_note_was_lost_is_begun_by_what_the_journal_says(owner: Staff) -> None:
    judged_job()
    make_it_hotter(owner)
    Note.objects.all().delete()
    judging_anew.look()
    assert by_todays_figures() == [True]
    assert notes.read(judging_anew.NAME) is None


def test_a_figure_and_its_run_are_written_together_or_not_at_all(owner: Staff) -> None:
    judged_job()
    seen = changes.newest(load_figures())
    make_it_hotter(owner)
    Note.objects.all().delete()
    with pytest.raises(changes.ChangedMeanwhile):
        changes.change_load_figures(who=owner, seen=seen, hot_celsius=90)
    assert judging_anew.standing() is None


def test_the_end_of_a_run_does_not_make_the_figures_on_an_open_page_look_changed(owner: Staff) -> None:
    judged_job()
    make_it_hotter(owner)
    seen = changes.newest(load_figures())
    judging_anew.look()
    assert changes.newest(load_figures()) == seen


def test_closed_jobs_keep_what_was_said_of_them_then(owner: Staff) -> None:
    judged_job(is_open=False, stage=Stage.HANDED_BACK, closed_at=timezone.now())
    make_it_hotter(owner)
    judging_anew.look()
    assert by_todays_figures() == [False]


def test_the_next_jobs_are_found_by_their_keys_however_many_are_open() -> None:
    for _ in range(3):
        judged_job()
    plan = judging_anew.Run(1, 10**6).jobs()[: judging_anew.BATCH].explain()
    if connection.vendor == "sqlite":
        assert "jobs_job USING INTEGER PRIMARY KEY (rowid>? AND rowid<?)" in plan
        assert "TEMP B-TREE" not in plan
    else:
        assert "jobs_job_pkey" in plan or "Seq Scan" in plan
