"""More was found in the work: the customer answers that by itself, and what was agreed stays in sight."""

import datetime
from decimal import Decimal

import pytest
import time_machine
from django.utils import timezone

from shoprepair.jobs import stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from tests.factories import QuoteFactory, QuoteLineFactory, accepted
from tests.portal.visits import SHOP, address, answer, bid, judged, kept, read, words

pytestmark = pytest.mark.django_db
WASH = {"text": "Wash and dry", "amount": Decimal("20.00"), "optional": True}


@pytest.fixture
def job(job: Job, owner) -> Job:
    """On the bench: a patch for 100 and a wash for 20 agreed, 132 with tax."""
    accepted(bid(job, owner, [{**WASH, "damages": [1]}]), job)
    stages.move(job, Stage.BENCH, who=owner)
    return job


@pytest.fixture
def addition(job: Job, owner) -> Quote:
    """A second damage, and 50 to patch it: 55 with tax."""
    new = judged(job, number=2)
    quote = QuoteFactory(job=job, addition_to=quotes.agreed(job))
    line = {"text": "Patch inside", "amount": Decimal(50), "damages": [new.number]}
    QuoteLineFactory(quote=quote, **line)
    QuoteLineFactory(quote=quote, text="Tape", amount=Decimal(10), optional=True, taken=False)
    return quotes.send(quote, who=owner, version=quote.version, base_url=SHOP)


def state(quote: Quote) -> str:
    quote.refresh_from_db()
    return quote.state


def say(client, job: Job, addition: Quote, **fields):
    return answer(client, job, addition, **{"total_shown": "55.00", **fields})


def test_the_addition_is_answered_first_and_what_was_agreed_stands_below(client, job, addition):
    page = read(client, job)
    order = (
        "Say yes or no to it by itself",
        "Patch inside",
        "Accept for $55.00",
        "It holds, and is",
        "Agreed: $132",
    )
    places = [page.index(said) for said in order]
    assert places == sorted(places)
    assert "Together with what you agreed $187.00" in page
    assert "What you agreed goes on; the rest waits for your answer below." in page
    assert "Read and answer: $55.00" in page


def test_only_what_was_found_since_is_marked_as_found_inside(client, job, addition):
    page = read(client, job)
    assert page.count("Found inside, after you had agreed") == 1
    html = client.get(address(job)).content.decode()
    assert html.index('id="damage-2"') < html.index("Found inside, after you had agreed")
    assert 'href="#damage-2"' in html


def test_working_out_the_total_keeps_it_together_with_what_was_agreed(client, job, addition):
    before = kept()
    tape = addition.lines.get(text="Tape").pk
    page = words(say(client, job, addition, act="total", take=[tape]))
    assert "Accept for $66.00" in page
    assert "Together with what you agreed $198.00" in page
    assert kept() == before


def test_accepting_it_shows_both_and_what_they_come_to(client, job, addition):
    assert say(client, job, addition).status_code == 302
    assert (state(addition), state(quotes.agreed(job))) == ("accepted", "accepted")
    page = read(client, job)
    assert page.index("Agreed: $132.00") < page.index("Agreed in addition: $55.00")
    assert "Agreed in all $187.00" in page
    assert "It is being repaired." in page
    assert "Accept for" not in page


def test_declining_it_says_what_stays_and_what_is_repaired(client, job, addition):
    page = read(client, job)
    assert "All that you agreed to before is repaired as agreed." in page
    assert "Nothing will be repaired" not in page
    assert say(client, job, addition, act="decline").status_code == 302
    job.refresh_from_db()
    page = read(client, job)
    assert job.stage == Stage.BENCH
    assert "Agreed: $132.00" in page
    assert "Declined: what was found inside" in page
    assert "Found inside; you declined to have it mended" in page
    assert "Nothing is repaired" not in page


def test_gear_that_is_ready_says_what_was_declined_is_not_mended(client, job, addition):
    say(client, job, addition, act="decline")
    Job.objects.filter(pk=job.pk).update(stage=Stage.READY)
    assert "It was repaired as agreed, but not what you left out." in read(client, job)


def test_gear_that_is_ready_is_not_called_sound_where_nobody_asked_about_what_was_found(client, job):
    judged(job, number=2)
    Job.objects.filter(pk=job.pk).update(stage=Stage.READY)
    assert "It was repaired as agreed, but not all that was found." in read(client, job)


def test_gear_mended_with_its_addition_is_ready_without_a_but(client, job, addition):
    say(client, job, addition)
    Job.objects.filter(pk=job.pk).update(stage=Stage.READY)
    assert "It was repaired as agreed." in read(client, job)


def test_the_same_answer_again_is_the_one_on_record_and_another_is_refused(client, job, addition):
    say(client, job, addition)
    before = kept()
    assert say(client, job, addition).status_code == 302
    again = say(client, job, addition, act="decline")
    assert again.status_code == 409
    assert "already accepted by Ilka Sandvoort" in words(again)
    assert kept() == before


def test_another_total_comes_back_with_the_right_one(client, job, addition):
    response = say(client, job, addition, total_shown="187.00")
    assert response.status_code == 409
    assert "What you chose comes to $55.00." in words(response)
    assert state(addition) == "out"


def test_an_answer_to_the_older_addition_meets_the_newer_one(client, job, addition, owner):
    newer = quotes.revise(addition, who=owner)
    quotes.send(newer, who=owner, version=newer.version, base_url=SHOP)
    response = say(client, job, addition)
    assert response.status_code == 409
    assert "The shop has sent a newer quote since you opened this page." in words(response)
    assert state(newer) == "out"


def test_an_expired_addition_asks_for_a_new_one_and_keeps_what_was_agreed(client, job, addition):
    with time_machine.travel(timezone.now() + datetime.timedelta(days=40), tick=False):
        page = read(client, job)
        assert "can no longer be answered" in page
        assert "Accept for" not in page
        assert "Agreed: $132.00" in page
        assert say(client, job, addition).status_code == 409


def test_each_has_its_paper_and_a_draft_has_none(client, job, addition, owner):
    def paper(number: object) -> int:
        return client.get(address(job, "quote.pdf"), {"number": number}).status_code

    quotes.revise(addition, who=owner)
    assert [paper(1), paper(2), paper(3), paper(9), paper("x")] == [200, 200, 404, 404, 404]
    html = client.get(address(job)).content.decode()
    assert "quote.pdf?number=1" in html
    assert "quote.pdf?number=2" in html
