import datetime
import re

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from shoprepair.gear import describe
from shoprepair.jobs import assessment, search, stages
from shoprepair.jobs.models import Hold, Job, Stage
from tests.factories import CustomerFactory, DamageFactory, InflatableFactory, JobFactory, PatternFactory
from tests.work.mending import mends

pytestmark = pytest.mark.django_db

LOG_IN_AND_SHOP = 1
"""The one statement of every page: the session with its person and shop."""
HTMX = {"HTTP_HX_REQUEST": "true"}


def job(*, urgency=0, band="Watch", stage=Stage.CHECKED_IN, **facts) -> Job:
    """A job on the rack that looks as urgent as said."""
    made = JobFactory(stage=stage, urgency=urgency, rank=100 - urgency, band=band, damage_count=1, **facts)
    judged = {"reason": {"text": "It runs from 21 mm.", "values": {}}, "model_version": "1"}
    DamageFactory(job=made, number=1, urgency=urgency, band=band, **judged)
    return made


def numbers(response) -> list[str]:
    """The job numbers of the rows, from the first to the last."""
    return re.findall(r'class="row-tag tagnumber"[^>]*>(\d+)<', response.content.decode())


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


def test_the_most_dangerous_job_hangs_in_front_then_the_one_promised_first(client):
    today = timezone.localdate()
    calm = job(urgency=20, promised_on=today)
    later = job(urgency=90, band="Grounded", promised_on=today + datetime.timedelta(days=9))
    sooner = job(urgency=90, band="Grounded", promised_on=today + datetime.timedelta(days=2))

    assert numbers(client.get("/")) == [str(sooner), str(later), str(calm)]


def test_what_was_handed_back_is_not_on_the_rack_but_can_be_called_up(client):
    gone = JobFactory(stage=Stage.HANDED_BACK, is_open=False, closed_at=timezone.now())

    assert numbers(client.get("/")) == []
    assert numbers(client.get("/", {"stage": "handed-back"})) == [str(gone)]


def test_a_row_says_what_is_wrong_how_urgent_it_is_and_what_to_do_next(client):
    shown = job(
        urgency=97,
        band="Grounded",
        customer=CustomerFactory(name="Ilka Sandvoort"),
        inflatable=InflatableFactory(pattern=PatternFactory(name="Petrel 5.0")),
    )

    page = client.get("/").content.decode()

    wrong = ("35 mm cut", "leading edge", "<b>It runs from 21 mm.</b>")
    for words in ("Petrel 5.0", "Ilka Sandvoort", *wrong, "97", "Grounded"):
        assert words in page
    assert "Assess the damage" in page
    assert f'href="{reverse("job", args=[shown.number])}"' in page
    assert '<svg class="tape"' in page


def test_only_the_first_thing_to_do_looks_like_the_first_thing_to_do(client):
    for urgency in (90, 80, 70):
        job(urgency=urgency)

    page = client.get("/").content.decode()

    assert page.count("row-action") == 3
    assert page.count("is-primary") == 1
    assert page.index("is-primary") < page.index("row-action", page.index("row-action") + 1)


def test_what_waits_on_a_hold_does_not_look_like_the_first_thing_to_do(client):
    held = job(urgency=90, hold=Hold.PARTS)
    free = job(urgency=50)

    page = client.get("/").content.decode()

    first_row, second_row = page.split('<li class="row"')[1:]
    assert str(held) in first_row
    assert "is-primary" not in first_row
    assert "Waiting for parts" in first_row
    assert str(free) in second_row
    assert "is-primary" in second_row


@time_machine.travel("2025-11-26 12:00Z", tick=False)
def test_a_late_promise_says_by_how_many_days(client):
    job(promised_on=datetime.date(2025, 11, 24))
    job(promised_on=datetime.date(2025, 11, 26))
    job(promised_on=datetime.date(2025, 11, 28))

    page = client.get("/").content.decode().replace("\N{NO-BREAK SPACE}", " ")

    assert 'data-haste="late">2 days late<' in page
    assert 'data-haste="today">promised today<' in page
    assert ">promised Fri 28 Nov<" in page


@pytest.mark.parametrize("stage", ["ready", "handed-back", "declined", "withdrawn"])
@time_machine.travel("2025-11-26 12:00Z", tick=False)
def test_what_has_no_work_before_it_is_not_late_however_long_ago_it_was_promised(client, stage):
    job(stage=stage, is_open=stage == Stage.READY, promised_on=datetime.date(2025, 11, 21))

    page = client.get("/", {"stage": stage}).content.decode().replace("\N{NO-BREAK SPACE}", " ")

    assert 'data-haste="late"' not in page
    assert ">promised Fri 21 Nov<" in page


def test_the_rack_narrows_to_a_stage_a_band_a_hold_and_words(client):
    wanted = job(
        urgency=60,
        band="Repair first",
        stage=Stage.BENCH,
        hold=Hold.DRYING,
        customer=CustomerFactory(name="Oda Tveit"),
    )
    search.index(wanted.customer)
    job(urgency=60, band="Repair first", stage=Stage.BENCH)
    job(urgency=95, band="Grounded", stage=Stage.BENCH, hold=Hold.DRYING)
    job(urgency=60, band="Repair first", hold=Hold.DRYING)

    assert len(numbers(client.get("/"))) == 4
    assert len(numbers(client.get("/", {"stage": "bench"}))) == 3
    assert len(numbers(client.get("/", {"band": "Repair first"}))) == 3
    assert len(numbers(client.get("/", {"hold": "drying"}))) == 3
    assert numbers(client.get("/", {"text": "tvei"})) == [str(wanted)]
    narrow = {"stage": "bench", "band": "Repair first", "hold": "drying", "text": "oda"}
    assert numbers(client.get("/", narrow)) == [str(wanted)]


def test_an_address_with_nonsense_in_it_shows_the_whole_rack(client):
    job()

    response = client.get("/", {"stage": "x", "band": "<b>", "hold": "?", "after": "1.no.date", "text": "\0"})

    assert response.status_code == 200
    assert len(numbers(response)) == 1


def test_the_strip_counts_the_jobs_of_each_stage_and_marks_the_chosen_one(client):
    job(stage=Stage.BENCH)
    job(stage=Stage.BENCH)
    job(stage=Stage.READY)

    page = client.get("/", {"stage": "bench"}).content.decode()

    def cell(stage):
        return re.search(rf'id="stage-{stage}".*?</a>', page, re.DOTALL).group()

    assert ">3<" in cell("all")
    assert ">2<" in cell("bench")
    assert ">1<" in cell("ready")
    assert 'aria-current="true"' in cell("bench")
    assert "aria-current" not in cell("all")


def test_a_chosen_filter_leads_back_out_and_keeps_the_others(client):
    job(stage=Stage.BENCH, band="Grounded", urgency=90)

    page = client.get("/", {"stage": "bench", "band": "Grounded"}).content.decode()

    chosen = re.search(r'<a id="band-grounded".*?>', page, re.DOTALL).group()
    assert 'href="/?stage=bench"' in chosen
    assert '<input type="hidden" name="stage" value="bench">' in page


def test_a_tap_on_a_filter_brings_the_rack_alone_and_says_so_to_caches(client):
    job()

    response = client.get("/", {"stage": "checked-in"}, **HTMX)

    page = response.content.decode()
    assert page.strip().startswith('<div id="rack"')
    assert "<html" not in page
    assert "HX-Request" in response["Vary"]


def test_fifty_jobs_at_a_time_and_the_next_fifty_follow_without_a_gap(client):
    made = [job(urgency=99 - n) for n in range(53)]

    first = client.get("/")
    more = (
        re.search(r'data-hx-get="([^"]*after=[^"]*)"', first.content.decode()).group(1).replace("&amp;", "&")
    )
    rest = client.get(more, **HTMX)

    assert numbers(first) + numbers(rest) == [str(one) for one in made]
    assert "<html" not in rest.content.decode()
    assert "is-primary" not in rest.content.decode()
    assert "Show more" not in rest.content.decode()


def test_without_a_script_the_next_fifty_are_a_page_with_a_way_back_to_the_front(client):
    for n in range(52):
        job(urgency=99 - n)

    more = re.search(r'href="([^"]*after=[^"]*)"', client.get("/").content.decode()).group(1)
    page = client.get(more.replace("&amp;", "&")).content.decode()

    assert "<html" in page
    assert "Back to the front" in page


def test_an_empty_shop_is_told_what_to_do_first(client):
    page = client.get("/").content.decode()

    assert "The rack is empty" in page
    assert f'href="{reverse("check-in")}"' in page
    assert page.count("is-primary") == 1


def test_a_filter_that_fits_nothing_offers_the_way_out_of_it(client):
    job()

    page = client.get("/", {"stage": "ready"}).content.decode()

    assert "No open job fits" in page
    assert "Show all open jobs" in page


def test_a_job_of_today_lies_one_tap_away_wherever_it_stands_on_the_rack(client):
    today = job(urgency=1, customer=CustomerFactory(name="Oda Tveit"))
    before = job(urgency=90, received_at=timezone.now() - datetime.timedelta(days=2))

    page = client.get("/").content.decode()
    strip = page[page.index('class="today"') : page.index('id="rack"')]

    assert f'href="{today.get_absolute_url()}"' in strip
    assert "Oda Tveit" in strip
    assert before.get_absolute_url() not in strip


@pytest.mark.parametrize("jobs", [1, 3])
def test_the_rack_asks_the_database_as_often_for_three_jobs_as_for_one(
    client, django_assert_num_queries, jobs
):
    for n in range(jobs):
        one = job(urgency=n)
        DamageFactory(job=one, number=2)
    client.get("/")

    # Rows, the counts, the newest jobs, damages.
    with django_assert_num_queries(4 + LOG_IN_AND_SHOP):
        client.get("/")
    with django_assert_num_queries(3 + LOG_IN_AND_SHOP):
        client.get("/", {"stage": "checked-in"}, **HTMX)


def test_patterns_that_nobody_drew_yet_cost_three_statements_together(client, django_assert_num_queries):
    for _ in range(5):
        job()
    client.get("/")
    describe.forget()

    with django_assert_num_queries(4 + 3 + LOG_IN_AND_SHOP):
        client.get("/")


def test_what_people_typed_is_shown_as_they_typed_it_and_never_as_markup(client):
    job(
        customer=CustomerFactory(name="<script>alert(1)</script>"),
        inflatable=InflatableFactory(pattern=PatternFactory(name='Petrel "><b>')),
    )

    page = client.get("/", {"text": '"><i>'}).content.decode() + client.get("/").content.decode()

    for markup in ("<script>alert", '"><b>', '"><i>'):
        assert markup not in page


def test_a_job_that_nobody_has_pinned_yet_says_so_instead_of_a_number(client):
    JobFactory()

    page = client.get("/").content.decode()

    assert "Not judged yet" in page
    assert "Nothing is pinned yet." in page


@pytest.mark.parametrize("role", ["counter", "bench", "owner"])
def test_everybody_in_the_shop_sees_the_rack(role, request, as_person):
    assert as_person(request.getfixturevalue(role)).get("/").status_code == 200


def test_a_stranger_is_asked_to_log_in(stranger):
    assert stranger.get("/").headers["Location"].startswith("/log-in/")


def test_the_rack_is_read_and_nothing_else(client):
    assert client.post("/").status_code == 405


def test_a_job_that_moves_on_moves_in_the_counts(client, counter):
    made = job(stage=Stage.GO_AHEAD)
    assessment.assess_job(made)
    stages.move(made, Stage.BENCH, who=counter)

    page = client.get("/").content.decode()

    assert re.search(r'id="stage-bench".*?>1<', page, re.DOTALL)


def test_a_job_that_nobody_judged_is_counted_and_found_apart_from_those_to_watch(client):
    watched, unseen = job(), JobFactory(stage=Stage.CHECKED_IN)
    refused = JobFactory(stage=Stage.CHECKED_IN)
    DamageFactory(job=refused, reason={"text": "No such place.", "values": {}})

    page = client.get("/").content.decode()

    assert re.search(r'id="band-watch".*?>1<', page, re.DOTALL)
    assert re.search(r'id="band-not-judged"[^<]*Not judged yet <b class="numeral">2<', page, re.DOTALL)
    assert numbers(client.get("/", {"band": "Watch"})) == [str(watched)]
    assert numbers(client.get("/", {"band": "not-judged"})) == [str(unseen), str(refused)]
    assert "2 jobs shown: Not judged yet" in client.get("/", {"band": "not-judged"}).content.decode()


def test_gear_that_is_ready_says_calmly_what_it_was(client):
    ready = job(urgency=97, band="Grounded", stage=Stage.READY)
    mends(ready, [1])
    job(urgency=60, band="Repair first")

    first, second = client.get("/").content.decode().split('<li class="row"')[1:]

    assert re.search(r"Repaired</b>\s*<span class=\"soft\">\s*was 97, Grounded", first)
    for alarm in ("urgency-number", "data-band", "It runs from 21 mm."):
        assert alarm not in first
        assert alarm in second


def test_gear_that_is_ready_stays_as_urgent_as_what_was_not_mended(client):
    ready = job(urgency=97, band="Grounded", stage=Stage.READY)
    left = {"urgency": 60, "band": "Repair first", "model_version": "1"}
    DamageFactory(job=ready, number=2, length_m=0.02, length_typed="20 mm", **left)
    mends(ready, [1])

    [row] = client.get("/").content.decode().split('<li class="row"')[1:]

    assert "Repaired" not in row
    assert 'data-band="Repair first"' in row
    assert "20 mm cut" in row


def test_pins_that_nobody_answered_give_no_urgency_and_are_counted_beside_one_that_does(client):
    unjudged = JobFactory(damage_count=1)
    DamageFactory(job=unjudged, number=1, kind="")
    judged = job(urgency=60, band="Repair first")
    DamageFactory(job=judged, number=2, kind="")

    first, second = client.get("/").content.decode().split('<li class="row"')[1:]

    assert "1 more not answered yet" in first
    assert "Not judged yet" in second
    assert "Say what kind of damage it is." in second
    assert "urgency-number" not in second


def test_of_a_single_job_nothing_is_said_of_what_hangs_in_front_of_what(client):
    job()
    assert client.get("/").context["said"] == "1 open"
    job()
    assert client.get("/").context["said"] == "2 open; what would fail first hangs in front"
