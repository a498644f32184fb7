"""Two tablets write down what came along: neither loses its words, and both see them."""

import html
import re

import pytest
from django.urls import reverse

from shoprepair.jobs import checkin
from shoprepair.jobs.models import Job
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db
HTMX = {"headers": {"HX-Request": "true"}}


@pytest.fixture
def job(counter) -> Job:
    return checkin.note_arrival(JobFactory(), who=counter, came_with=["bag"], note="A cut.")


class Tablet:
    """The open page on one tablet: what it shows, and what is typed into it."""

    def __init__(self, client, job):
        self.client, self.job = client, job
        page = client.get(reverse("job-check-in", args=[job.number])).content.decode()
        self.typed = {"came_with": ["bag"], "note": "A cut.", "seen": self.seen(page)}

    def seen(self, page):
        found = re.search(r'id="arrival-seen"\s+name="seen"\s+value="([^"]*)"', page)
        return html.unescape(found[1])

    def says(self, **typed):
        self.typed |= typed
        answer = self.client.post(reverse("job-arrival", args=[self.job.number]), self.typed, **HTMX)
        page = answer.content.decode()
        if answer.status_code == 200:
            self.typed["seen"] = self.seen(page)
        self.typed.pop("instead_of", None)
        self.job.refresh_from_db()
        return answer.status_code, page


@pytest.fixture
def two(job, counter, bench, as_person):
    return Tablet(as_person(counter), job), Tablet(as_person(bench), job)


def test_what_the_other_wrote_is_not_undone_by_a_tick_elsewhere(job, two):
    first, second = two
    first.says(note="A cut, hit a rock.")
    first.says(arrived_wet="no")
    assert second.says(came_with=["bag", "pump"])[0] == 200
    assert first.says(came_with=["bag", "leash"])[0] == 200

    assert (job.note, job.arrived_wet) == ("A cut, hit a rock.", False)
    assert job.came_with == ["bag", "pump", "leash"]


def test_two_who_write_otherwise_see_both_and_the_second_decides(job, two):
    first, second = two
    first.says(note="Hit a rock.")
    status, page = second.says(note="It hit the <pier>.", came_with=["bag", "pump"])
    assert status == 422
    assert 'they say <b dir="auto">Hit a rock.</b>' in page
    assert "It hit the &lt;pier&gt;." in page
    assert (job.note, job.came_with) == ("Hit a rock.", ["bag", "pump"])

    over = html.unescape(re.search(r'name="instead_of"\s+value="([^"]*)"', page)[1])
    assert second.says(instead_of=over)[0] == 200
    assert job.note == "It hit the <pier>."


def test_who_writes_over_one_text_writes_over_no_other(job, two):
    first, second = two
    first.says(note="Hit a rock.")
    page = second.says(note="The pier.")[1]
    over = html.unescape(re.search(r'name="instead_of"\s+value="([^"]*)"', page)[1])
    first.says(note="Hit a rock, twice.")

    assert second.says(instead_of=over)[0] == 422
    assert job.note == "Hit a rock, twice."


def test_a_promise_is_not_put_back_by_a_page_of_before(job, two):
    first, second = two
    day = job.promised_on.replace(year=job.promised_on.year + 1)
    second.typed["promised_on"] = job.promised_on.isoformat()
    first.says(promised_on=day.isoformat())
    second.says(arrived_wet="no")

    assert job.promised_on == day


@pytest.mark.parametrize("seen", ["", "nothing", "[]", "[" * 4000, '{"promised_on": 5}', '{"note": {}}'])
def test_a_page_that_says_nothing_of_what_it_showed_is_taken_at_its_word(job, two, seen):
    second = two[1]
    second.typed["seen"] = seen
    assert second.says(note="Another.")[0] in (200, 422)
    assert job.note in ("Another.", "A cut.")
