from io import StringIO

import pytest
from django.core.management import call_command

from shoprepair.jobs import reassessment
from shoprepair.jobs.assessment import assess_damage, assess_job
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.reassessment import reassess, reassess_job
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import load_figures
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db


def judged_job(**facts: object) -> Job:
    job = JobFactory(**facts)
    damage = DamageFactory(job=job)
    assess_damage(damage)
    damage.save()
    return assess_job(job)


def make_the_wind_stronger() -> None:
    figures = load_figures()
    figures.held_lift_cap_n, figures.held_wind_m_per_s = 4000, 30
    figures.save()


def test_judging_anew_by_the_same_figures_changes_nothing(django_assert_num_queries) -> None:
    job = judged_job()
    before = Damage.objects.values().get()
    assert [change for _, change in reassess()] == [None]
    assert Damage.objects.values().get() == before
    assert not journal.entries(job).exists()


def test_stronger_wind_makes_the_same_cut_more_urgent_and_the_journal_says_so(owner: Staff) -> None:
    job = judged_job()
    before = job.urgency
    make_the_wind_stronger()
    [(key, change)] = reassess(who=owner)
    assert (key, change.urgency[0]) == (job.pk, before)
    assert change.urgency[1] > before
    job.refresh_from_db()
    assert job.urgency == change.urgency[1]
    entry = journal.entries(job).get()
    assert (entry.who, entry.text) == (owner, f"Judged anew: {change}.")
    assert entry.changes["urgency"] == list(change.urgency)


def test_the_change_reads_as_a_line() -> None:
    job = Job(number=7)
    assert str(reassessment.Change(job, (40, 80), ("Watch", "Grounded"))) == (
        "0007: urgency 40 → 80, Watch → Grounded"
    )
    assert str(reassessment.Change(job, (76, 80), ("Grounded", "Grounded"))) == (
        "0007: urgency 76 → 80, Grounded"
    )


def test_a_broken_off_run_goes_on_where_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reassessment, "CHUNK", 2)
    jobs = [judged_job() for _ in range(5)]
    run = reassess()
    done = [next(run)[0] for _ in range(3)]
    rest = [key for key, _ in reassess(after=done[-1])]
    assert done + rest == [job.pk for job in jobs]


def test_closed_jobs_are_judged_anew_only_when_asked() -> None:
    job = judged_job(is_open=False, stage="handed-back")
    assert list(reassess()) == []
    assert [key for key, _ in reassess(closed=True)] == [job.pk]


def test_an_answer_given_meanwhile_is_not_overwritten(monkeypatch: pytest.MonkeyPatch) -> None:
    job = judged_job()
    make_the_wind_stronger()

    def answered_meanwhile(damage: Damage, cases: object = None) -> None:
        Damage.objects.filter(pk=damage.pk).update(version=9, urgency=99)
        assess_damage(damage, cases)

    monkeypatch.setattr(reassessment.assessment, "assess_damage", answered_meanwhile)
    reassess_job(job)
    assert Damage.objects.get().urgency == 99


def test_a_chunk_of_jobs_costs_the_same_statements_each(django_assert_num_queries) -> None:
    for _ in range(3):
        judged_job()
    with django_assert_num_queries(6):
        list(reassess())


def test_the_command_says_what_came_out_differently() -> None:
    job = judged_job()
    make_the_wind_stronger()
    out = StringIO()
    call_command("reassess", stdout=out)
    first, last = out.getvalue().splitlines()
    assert first.startswith(f"{job}: urgency ")
    assert last == "1 jobs judged, 1 came out differently."


def test_the_command_says_how_to_go_on_when_it_is_broken_off(monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = judged_job(), judged_job()
    judge = reassessment.reassess_job

    def lose_power(job: Job, **options: object) -> object:
        if job == second:
            raise KeyboardInterrupt
        return judge(job, **options)

    monkeypatch.setattr(reassessment, "reassess_job", lose_power)
    err = StringIO()
    with pytest.raises(KeyboardInterrupt):
        call_command("reassess", stdout=StringIO(), stderr=err)
    assert err.getvalue() == f"Broken off. Go on with: manage.py reassess --after {first.pk}\n"
