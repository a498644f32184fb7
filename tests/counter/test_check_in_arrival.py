import datetime

import pytest
from django.urls import reverse

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.settings import current
from tests.counter.checking_in import HTMX, desk, enquiry, pin

pytestmark = pytest.mark.django_db

ALL = {
    "came_with": ["bag", "leash"],
    "other": "spare valve,  repair kit ,",
    "arrived_wet": "no",
    "note": "hit a rock",
    "terms": "yes",
    "key": "finish",
}


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(counter, client) -> Job:
    """A visit with one damage pinned."""
    shop = current()
    shop.terms = "We quote before we sew."
    shop.save()
    job = enquiry(counter)
    pin(client, job)
    job.refresh_from_db()
    return job


def finish(client, job, **changed):
    return client.post(desk(job), {**ALL, **changed})


def test_what_came_along_is_kept_while_the_rest_is_still_being_said(client, job):
    response = client.post(reverse("job-arrival", args=[job.number]), {**ALL, "terms": ""}, **HTMX)
    job.refresh_from_db()
    assert response.status_code == 200
    assert job.came_with == ["bag", "leash", "spare valve", "repair kit"]
    assert (job.arrived_wet, job.note, job.terms_agreed_at) == (False, "hit a rock", None)
    page = client.get(desk(job)).content.decode()
    assert 'value="spare valve, repair kit"' in page
    assert "hit a rock" in page


def test_terms_are_agreed_only_by_checking_in(client, job):
    client.post(reverse("job-arrival", args=[job.number]), ALL, **HTMX)
    job.refresh_from_db()
    assert job.terms_agreed_at is None


def test_without_a_script_keeping_comes_back_to_the_page(client, job):
    response = client.post(reverse("job-arrival", args=[job.number]), ALL)
    assert response.url == f"{desk(job)}#came-with"


def test_what_comes_in_wet_waits_until_it_is_dry(client, job):
    client.post(reverse("job-arrival", args=[job.number]), {"arrived_wet": "yes"}, **HTMX)
    job.refresh_from_db()
    assert (job.arrived_wet, job.hold) == (True, Hold.DRYING)


def test_the_promise_can_be_changed_while_checking_in(client, job):
    day = job.received_at.date() + datetime.timedelta(days=3)
    client.post(reverse("job-arrival", args=[job.number]), {"promised_on": day.isoformat()}, **HTMX)
    job.refresh_from_db()
    assert job.promised_on == day


@pytest.mark.parametrize(
    ("promised_on", "sentence"), [("1999-01-01", "before the day"), ("soon", "2026-05-31")]
)
def test_a_promise_that_cannot_be_is_said_so_and_the_rest_stays(client, job, promised_on, sentence):
    fragment = client.post(
        reverse("job-arrival", args=[job.number]), {**ALL, "promised_on": promised_on}, **HTMX
    )
    assert fragment.status_code == 422
    assert sentence in fragment.content.decode()
    page = finish(client, job, promised_on=promised_on)
    assert page.status_code == 422
    assert sentence in page.content.decode()
    assert 'value="spare valve,  repair kit ,"' in page.content.decode()
    job.refresh_from_db()
    assert job.stage == Stage.ENQUIRY


def test_checking_in_ends_with_the_number_and_what_there_is_to_print(client, job):
    response = finish(client, job)
    assert response.url == reverse("job-checked-in", args=[job.number])
    job.refresh_from_db()
    assert (job.stage, job.terms) == (Stage.CHECKED_IN, "We quote before we sew.")
    page = client.get(response.url).content.decode()
    assert f"Job {job} is checked in" in page
    assert reverse("bag-tag", args=[job.number]) in page
    assert reverse("work-order", args=[job.number]) in page


def test_with_a_script_the_page_is_left_by_a_header(client, job):
    response = client.post(desk(job), ALL, **HTMX)
    assert response["HX-Redirect"] == reverse("job-checked-in", args=[job.number])


def test_checking_in_twice_checks_in_once(client, job):
    assert finish(client, job).url == finish(client, job).url == finish(client, job, key="again").url
    assert [e.verb for e in journal.entries(job)].count("stage.changed") == 1


def test_what_is_missing_is_listed_with_a_way_to_it_and_nothing_is_lost(client, counter):
    job = enquiry(counter, "Oda Tveit")
    response = finish(client, job, terms="")
    page = response.content.decode()
    assert response.status_code == 422
    assert '<a href="#desk">Pin at least one damage.</a>' in page
    assert '<a href="#terms">The customer has not agreed the terms yet.</a>' in page
    assert 'value="spare valve, repair kit' in page.replace("valve,  repair kit ,", "valve, repair kit")
    job.refresh_from_db()
    assert (job.stage, job.note) == (Stage.ENQUIRY, "hit a rock")
    fragment = client.post(desk(job), {**ALL, "terms": ""}, **HTMX)
    assert fragment.status_code == 422
    assert "<html" not in fragment.content.decode()
    assert "Pin at least one damage." in fragment.content.decode()


def test_a_refused_check_in_can_be_sent_again_with_the_same_key(client, job):
    assert finish(client, job, terms="").status_code == 422
    assert finish(client, job).status_code == 302


def test_nothing_stands_in_the_way_before_anybody_tried(client, job):
    assert "Not yet:" not in client.get(desk(job)).content.decode()


def test_the_last_page_leads_back_while_the_job_is_not_checked_in(client, job):
    assert client.get(reverse("job-checked-in", args=[job.number])).url == desk(job)


def test_a_job_that_was_moved_by_somebody_else_is_not_moved_again(client, counter, job):
    finish(client, job)
    job.refresh_from_db()
    stages.move(job, Stage.ENQUIRY, who=counter, reason="the wrong wing")
    assert finish(client, job, key="second").status_code == 302
    job.refresh_from_db()
    assert job.stage == Stage.CHECKED_IN


def test_a_job_that_is_checked_in_can_still_be_added_to(client, job):
    finish(client, job)
    page = client.get(desk(job)).content.decode()
    assert "Print the tag again" in page
    assert f'formaction="{reverse("job-arrival", args=[job.number])}"' in page
    assert pin(client, job, key="later").number == 2


def test_words_of_the_customer_and_of_the_shop_are_shown_as_text(client, job):
    shop = current()
    shop.terms = "<i>quote</i>"
    shop.save()
    page = finish(
        client, job, note="<b>n</b>", other="<b>o</b>", terms="", promised_on="<b>"
    ).content.decode()
    assert "<i>quote" not in page
    assert "<b>n" not in page
    assert "<b>o" not in page
