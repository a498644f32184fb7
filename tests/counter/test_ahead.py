"""When a job will likely be ready, as the pages of the counter say it."""

import datetime
import re

import pytest
import time_machine
from django.urls import reverse

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop import journal
from shoprepair.work import forecast
from shoprepair.work.models import BenchHours, ExpectedParts, Forecast
from tests.counter.checking_in import HTMX, enquiry, pin
from tests.factories import DamageFactory, JobFactory, QuoteFactory, QuoteLineFactory
from tests.work.benching import put_in_force

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _monday():
    with time_machine.travel("2026-11-23 09:00Z", tick=False):
        yield


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def hours(bench):
    return BenchHours.objects.create(who=bench, minutes=[360, 360, 360, 360, 360, 0, 0])


def on(day: int, month: int = 11) -> datetime.date:
    return datetime.date(2026, month, day)


def words(answer) -> str:
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def agreed_job(minutes: int = 60, *, promised_on=None, **facts) -> Job:
    job = JobFactory(stage=Stage.GO_AHEAD, promised_on=promised_on or on(4, 12), **facts)
    QuoteLineFactory(quote=(quote := QuoteFactory(job=job)), minutes=minutes)
    put_in_force(quote)
    return job


def kept(job: Job, likely_on: datetime.date, late_on: datetime.date) -> Forecast:
    reason = {"text": "6 jobs are ahead of it.", "values": {}}
    return Forecast.objects.create(
        job=job, likely_on=likely_on, late_on=late_on, reason=reason, made_at="2026-11-23T09:00Z"
    )


def check_in(client, counter) -> tuple[Job, str]:
    job = enquiry(counter)
    pin(client, job)
    return job, client.get(reverse("job-check-in", args=[job.number])).content.decode()


def test_the_check_in_says_when_it_would_be_ready_and_because_of_what(client, counter, hours):
    for _ in range(6):
        agreed_job(350, promised_on=on(25))

    _, page = check_in(client, counter)

    said = " ".join(page.split())
    assert re.search(r"If it stays for repair, it is likely ready \w{3} \d+.* Ahead of it: 6 jobs", said)


def test_the_check_in_proposes_the_later_day_of_the_plan(client, counter, hours):
    agreed_job(360 * 20)

    job, page = check_in(client, counter)

    day = forecast.preview(job).late_on
    assert f'value="{day.isoformat()}"' in page
    assert "Proposed by the plan; usually 10 days." in " ".join(page.split())
    job.refresh_from_db()
    assert job.promised_on == on(3, 12)


def test_without_bench_hours_the_check_in_proposes_the_usual_days(client, counter):
    _, page = check_in(client, counter)

    assert 'value="2026-12-03"' in page
    assert "Proposed by the plan" not in page


def test_a_day_that_somebody_chose_is_not_proposed_over(client, counter, hours):
    job, _ = check_in(client, counter)
    client.post(reverse("job-arrival", args=[job.number]), {"promised_on": "2026-12-24"}, **HTMX)

    page = client.get(reverse("job-check-in", args=[job.number])).content.decode()

    assert 'value="2026-12-24"' in page
    assert "Proposed by the plan" not in page


def test_the_job_sheet_says_the_dates_and_by_how_much_they_miss_the_promise(client):
    job = agreed_job(promised_on=on(30))
    kept(job, on(3, 12), on(7, 12))

    page = words(client.get(job.get_absolute_url()))

    assert "Likely ready Thu 3 to Mon 7 December. 6 jobs are ahead of it." in page
    assert "likely 3 days late" in page


def test_a_job_that_waits_for_its_customer_says_so_instead_of_a_date(client):
    job = agreed_job(hold=Hold.CUSTOMER)

    assert "No date is known: it waits for the customer." in words(client.get(job.get_absolute_url()))


def test_the_quote_says_when_it_would_be_ready(client, hours):
    job = JobFactory(stage=Stage.ASSESSED, promised_on=on(23))
    DamageFactory(job=job, number=1)
    QuoteLineFactory(quote=QuoteFactory(job=job), minutes=500)
    forecast.refresh()

    page = words(client.get(reverse("quote", args=[job.number])))

    assert "Likely ready Tue 24 to" in page
    assert "Its work is as quoted, not agreed yet." in page
    assert "Promised for Mon 23 Nov 2026: likely 1 day late" in page


@pytest.mark.parametrize(
    ("likely", "late", "said"),
    [
        (on(27), on(30), "likely 3 days late"),
        (on(24), on(25), "perhaps 1 day late"),
        (on(23), on(24), ""),
    ],
)
def test_a_row_of_the_rack_says_days_before_that_it_will_be_late(client, likely, late, said):
    job = agreed_job(promised_on=on(24))
    kept(job, likely, late)

    page = words(client.get("/"))

    assert (said in page) if said else (" late" not in page)


def test_the_rack_narrows_to_what_will_be_late_and_leads_back_out(client):
    late, in_time, _ = agreed_job(promised_on=on(24)), agreed_job(), agreed_job()
    kept(late, on(27), on(30))
    kept(in_time, on(24), on(25))

    page = client.get("/?late=1").content.decode()

    assert re.findall(r'class="row-tag tagnumber"[^>]*>(\d+)<', page) == [str(late)]
    assert "likely or perhaps late" in page
    assert re.search(r'<a id="late"\s+href="/"', page)
    assert len(re.findall(r'class="row-tag tagnumber"', client.get("/?late=yes").content.decode())) == 3


def test_the_office_counts_what_will_be_late_and_leads_there(as_person, owner):
    for promised, likely in ((on(24), on(27)), (on(26), on(27)), (on(30), on(27))):
        kept(agreed_job(promised_on=promised), likely, likely)

    page = as_person(owner).get(reverse("office"))

    assert "2 about to be late" in words(page)
    assert 'href="/office/late/#soon"' in page.content.decode()
    assert words(as_person(owner).get(reverse("late-jobs"))).count("likely") == 2


def test_the_day_on_which_parts_come_is_kept_on_the_job_sheet(client):
    job = agreed_job(hold=Hold.PARTS)
    assert "nobody has said when its parts come" in words(client.get(job.get_absolute_url()))

    sent = {"day": "2026-12-03", "note": "valve from the maker of tubes"}
    answer = client.post(reverse("expected-parts", args=[job.number]), sent)

    assert answer.status_code == 302
    assert ExpectedParts.objects.get().day == on(3, 12)
    assert journal.entries(job)[0].text == "Parts are expected on Thu 3 Dec."
    page = client.get(job.get_absolute_url()).content.decode()
    assert 'value="2026-12-03"' in page
    assert "valve from the maker of tubes" in page


def test_an_empty_day_says_that_nobody_knows_any_more(client):
    job = agreed_job(hold=Hold.PARTS)
    ExpectedParts.objects.create(job=job, day=on(30))

    client.post(reverse("expected-parts", args=[job.number]), {"day": "", "note": ""})

    assert not ExpectedParts.objects.exists()


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        ("2026-11-20", "Fri 20 Nov is past"),
        ("soon", "Write the day as 2026-12-24"),
        ("2036-12-24", "more than three years ahead"),
    ],
)
def test_a_day_that_cannot_be_is_refused_and_kept_as_typed(client, day, sentence):
    job = agreed_job(hold=Hold.PARTS)

    answer = client.post(reverse("expected-parts", args=[job.number]), {"day": day, "note": "typed"}, **HTMX)

    assert answer.status_code == 422
    assert sentence in words(answer)
    assert 'value="typed"' in answer.content.decode()
    assert not ExpectedParts.objects.exists()


def test_a_job_that_waits_for_no_parts_has_no_day_for_them(client):
    job = agreed_job()

    assert "Parts expected on" not in words(client.get(job.get_absolute_url()))
    answer = client.post(reverse("expected-parts", args=[job.number]), {"day": "2026-12-03"})
    assert answer.status_code == 422
    assert "This job does not wait for parts." in words(answer)
