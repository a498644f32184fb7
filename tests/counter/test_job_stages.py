"""Stages and the hold, as they are changed on the job sheet."""

import pytest
from django.urls import reverse

from shoprepair.jobs import damages, stages
from shoprepair.jobs.models import Damage, Hold, Job, Stage
from shoprepair.shop.models import JournalEntry
from tests.counter.sheets import a_cut, sheet, take
from tests.factories import (
    agreed,
)
from tests.work.benching import on_the_bench

pytestmark = pytest.mark.django_db


HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def cut(counter) -> Damage:
    return a_cut(counter)


def stage(job: Job) -> str:
    return Job.objects.get(pk=job.pk).stage


# Stages


def test_a_step_is_taken_and_stands_in_the_journal(client, cut):
    answer = take(client, cut.job, "assessed", seen="checked-in")

    assert answer.status_code == 302
    assert stage(cut.job) == Stage.ASSESSED
    assert "Assessment is done." in sheet(client, cut.job)


def test_a_tap_comes_back_as_the_sheet_alone_with_what_was_done(client, cut):
    answer = client.post(reverse("job-stage", args=[1]), {"to": "assessed"}, **HTMX)

    page = answer.content.decode()
    assert page.strip().startswith('<div id="job"')
    assert "The job is at “Assessed”." in page
    assert "HX-Request" in answer["Vary"]


def test_a_double_tap_takes_one_step(client, cut):
    before = JournalEntry.objects.count()

    answers = [take(client, cut.job, "assessed", seen="checked-in").status_code for _ in range(3)]

    assert answers == [302, 302, 302]
    assert stage(cut.job) == Stage.ASSESSED
    assert JournalEntry.objects.count() == before + 1


def test_a_step_that_lacks_something_says_what_and_leads_to_where_it_is_mended(client, cut, counter):
    damages.pin(cut.job, -0.4, 0.03, who=counter)

    page = sheet(client, cut.job)

    assert "Answer the questions of damage 2." in page
    assert f'href="{reverse("job-check-in", args=[1])}"' in page
    assert 'value="assessed"' not in page


def test_steps_that_are_still_to_do_lead_to_the_bench(client, bench):
    job = on_the_bench(bench)

    page = sheet(client, job)

    assert "Do every step" in page
    assert f'<a class="button is-primary" href="{reverse("bench-job", args=[job.number])}">' in page


@pytest.mark.parametrize(("headers", "whole"), [({}, True), (HTMX, False)])
def test_a_refused_step_is_answered_with_the_sheet_and_the_sentences(client, cut, counter, headers, whole):
    damages.pin(cut.job, -0.4, 0.03, who=counter)

    answer = client.post(reverse("job-stage", args=[1]), {"to": "assessed"}, **headers)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert ("<html" in page) is whole
    assert "Answer the questions of damage 2." in page[page.index('id="refused"') :]
    assert stage(cut.job) == Stage.CHECKED_IN


def test_a_jump_over_stages_says_where_the_job_can_go(client, cut):
    answer = take(client, cut.job, "ready")

    assert answer.status_code == 422
    assert "cannot jump to “Ready”" in answer.content.decode()


def test_a_page_that_shows_an_older_stage_does_not_move_the_job(client, cut, counter):
    stages.move(cut.job, Stage.ASSESSED, who=counter)

    answer = take(client, cut.job, "enquiry", seen="checked-in", reason="Wrong gear.")

    assert answer.status_code == 422
    assert "Somebody has moved this job to “Assessed” meanwhile." in answer.content.decode()
    assert stage(cut.job) == Stage.ASSESSED


def test_a_way_back_asks_why_and_keeps_what_was_typed(client, cut):
    asked = take(client, cut.job, "withdrawn", reason="   ")
    assert asked.status_code == 422
    assert "Say why, in a few words." in asked.content.decode()

    long = take(client, cut.job, "withdrawn", reason="too long " * 40)
    assert long.status_code == 422
    assert "too long too long" in long.content.decode()

    take(client, cut.job, "withdrawn", reason="Sold it.")
    assert stage(cut.job) == Stage.WITHDRAWN
    assert "Withdraw: Sold it." in sheet(client, cut.job)


def test_what_is_the_owners_alone_says_so_to_everybody_else(client, cut, as_person, owner, counter):
    stages.move(cut.job, Stage.WITHDRAWN, who=counter, reason="Sold it.")

    assert "Only the owner may do that." in sheet(client, cut.job)
    assert take(client, cut.job, "enquiry", reason="Came back.").status_code == 422
    assert take(as_person(owner), cut.job, "enquiry", reason="Came back.").status_code == 302


def test_a_stage_that_does_not_exist_is_refused(client, cut):
    assert take(client, cut.job, "heaven").status_code == 422
    assert take(client, cut.job, "").status_code == 422


def test_stages_are_changed_by_post_alone(client, cut):
    assert client.get(reverse("job-stage", args=[1])).status_code == 405
    assert client.get(reverse("job-hold", args=[1])).status_code == 405


# Hold


def test_a_hold_is_set_shown_and_lifted(client, cut):
    hold = reverse("job-hold", args=[1])

    client.post(hold, {"hold": "parts", "note": "  valve   ordered "})
    job = Job.objects.get()
    assert (job.hold, job.hold_note) == (Hold.PARTS, "valve ordered")
    assert "Waiting for parts" in sheet(client, job)

    client.post(hold, {"hold": "", "note": "valve ordered"})
    assert Job.objects.get().hold == Hold.NONE
    assert "The hold is lifted." in sheet(client, job)


def test_a_hold_kept_twice_is_written_once(client, cut):
    before = JournalEntry.objects.count()
    for _ in range(3):
        client.post(reverse("job-hold", args=[1]), {"hold": "drying", "note": ""})

    assert JournalEntry.objects.count() == before + 1


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [({"hold": "lunch"}, "There is no such hold."), ({"hold": "parts", "note": "x" * 201}, "200 letters")],
)
def test_a_hold_that_cannot_be_is_refused_with_a_sentence(client, cut, sent, sentence):
    answer = client.post(reverse("job-hold", args=[1]), sent)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Job.objects.get().hold == Hold.NONE


def test_a_closed_job_cannot_wait(client, cut, counter):
    stages.move(cut.job, Stage.WITHDRAWN, who=counter, reason="Sold it.")

    answer = client.post(reverse("job-hold", args=[1]), {"hold": "parts"})

    assert answer.status_code == 422
    assert "This job is closed" in answer.content.decode()
    assert "Does it wait?" not in sheet(client, cut.job)


def test_drying_gear_leads_to_the_hold_before_it_goes_on_the_bench(client, cut, counter):
    stages.move(cut.job, Stage.ASSESSED, who=counter)
    agreed(cut.job, counter)
    stages.set_hold(cut.job, Hold.DRYING, who=counter)

    page = sheet(client, cut.job)

    assert "Lift the hold when it is bone dry." in page
    assert 'href="/jobs/1/#hold"' in page
