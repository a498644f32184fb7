"""At the counter: what was found in work becomes an addition, under what was agreed."""

import re
from html import unescape

import pytest
from django.urls import reverse

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Quote
from tests.factories import accepted
from tests.pricing.mending import a_job, on_the_edge, stocked
from tests.pricing.quoting import answered

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(owner) -> Job:
    """On the bench for a cut that the customer agreed to have mended, and with another one found since."""
    stocked()
    job = a_job()
    on_the_edge(job, 0.1, "cut", mm=40)
    Job.objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job.refresh_from_db()
    quote = quotes.draft(job, who=owner)
    accepted(quotes.send(quote, who=owner, version=quote.version, base_url="https://loft.example"), job)
    stages.move(job, Stage.BENCH, who=owner)
    on_the_edge(job, 0.12, "cut", mm=20)
    return job


def words(client, name: str, job: Job, /, **query) -> str:
    html = client.get(reverse(name, args=[job.number]), query).content.decode()
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", "", html)))


def begun(client, job: Job) -> Quote:
    client.post(reverse("quote", args=[job.number]))
    return quotes.open_draft(job)


def sent(client, job: Job) -> Quote:
    draft = begun(client, job)
    client.post(reverse("quote-send", args=[job.number]), {"version": draft.version})
    return quotes.waiting_addition(job)


def test_job_sheet_and_quote_lead_to_the_addition_for_what_is_new(client, job):
    assert "Damage 2: in no quote yet, and the customer was not asked." in words(client, "job", job)
    assert "Write the addition for damage 2" in words(client, "job", job)
    assert "Write the addition for damage 2" in words(client, "quote", job)
    draft = begun(client, job)
    assert draft.addition_to == quotes.agreed(job)
    assert "Write the addition" not in words(client, "quote", job)


def test_its_page_says_what_it_adds_to_and_shows_that_above(client, job):
    draft = begun(client, job)
    page = words(client, "quote", job)
    total = totals.of(draft).total
    assert "Addition to quote 1" in page
    assert page.index("What was agreed, and holds") < page.index("What is to be done besides")
    assert quotes.agreed(job).agreed["lines"][0]["text"] in page
    assert f"${quotes.together(draft, total):,.2f}" in page
    assert "which was agreed" in page


def test_sending_it_says_that_the_agreement_holds(client, job):
    begun(client, job)
    page = words(client, "quote-send", job)
    assert "Give the addition to quote 1 to" in page
    assert "Quote 1 holds whatever the customer answers, and the work on it goes on." in page
    assert "Together with what was agreed" in page


def test_the_job_sheet_lists_both_and_what_they_come_to(client, job):
    addition = sent(client, job)
    page = words(client, "job", job)
    assert page.index("Quote 1") < page.index("Addition 2")
    assert "Write the addition" not in page
    answered(addition, *addition.lines.filter(taken=True))
    page = words(client, "job", job)
    every = quotes.together(addition, totals.of(addition).total)
    assert f"Agreed in all: ${every:,.2f}" in page


def test_a_no_by_phone_leaves_the_damage_in_sight_as_declined(client, job):
    addition = sent(client, job)
    page = words(client, "quote-answer", job)
    assert "Quote 1 holds either way." in page
    assert "No, leave it as it is" in page
    fields = {"version": addition.version, "answer": "no", "name": "Ilka", "total": "0"}
    client.post(reverse("quote-answer", args=[job.number]), fields)
    job.refresh_from_db()
    assert (job.stage, quotes.declined_damages(job)) == (Stage.BENCH, {2})
    assert "The customer declined to have this mended." in words(client, "job", job)
    assert "Write the addition" not in words(client, "job", job)


def test_a_new_version_of_the_page_that_is_shown_is_written(client, job, owner):
    sent(client, job)
    client.post(reverse("quote-revise", args=[job.number]), {"number": 1})
    assert quotes.open_draft(job).addition_to is None
    quotes.discard(quotes.open_draft(job), who=owner, version=1)
    client.post(reverse("quote-revise", args=[job.number]), {"number": 2})
    assert quotes.open_draft(job).addition_to == quotes.agreed(job)


def test_the_paper_is_titled_as_an_addition(client, job):
    sent(client, job)
    paper = client.get(reverse("quote-pdf", args=[job.number]), {"number": 2})
    assert (paper.status_code, paper["Content-Type"]) == (200, "application/pdf")
