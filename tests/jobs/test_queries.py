import datetime
import random
from typing import Any

import pytest
from django.db import connection
from django.utils import timezone

from shoprepair.jobs import lines, queries, search
from shoprepair.jobs.models import Damage, Job, Stage
from tests.factories import CustomerFactory, DamageFactory, InflatableFactory, JobFactory

pytestmark = pytest.mark.django_db
TODAY = datetime.date(2026, 5, 4)


class Shown(list[Job]):
    """The jobs of a page, each with what is wrong with it, and where the next page begins."""

    after: str


def rack(**asked: Any) -> Shown:
    """As the page asks for it: the jobs, then their damages."""
    page = queries.rack(**asked)
    damages = lines.damages_of(page)
    shown = Shown(lines.job(line, damages[line.job.id]) for line in page)
    shown.after = page.after
    return shown


def job(urgency: int = 0, days: int = 10, **facts: object) -> Job:
    promised = TODAY + datetime.timedelta(days=days)
    return JobFactory(urgency=urgency, rank=100 - urgency, promised_on=promised, **facts)


def many_jobs(count: int, seed: int = 4) -> None:
    """A shop of `count` open jobs and as many closed, of a few customers."""
    chance = random.Random(seed)
    customers = [CustomerFactory() for _ in range(5)]
    inflatable = InflatableFactory()
    Job.objects.bulk_create(
        Job(
            number=number,
            customer=chance.choice(customers),
            inflatable=inflatable,
            stage=(stage := chance.choice(list(Stage)[1:])),
            is_open=stage not in queries.CLOSED,
            hold=chance.choice(["", "", "drying", "parts"]),
            received_at=timezone.now(),
            promised_on=TODAY + datetime.timedelta(days=chance.randrange(30)),
            urgency=(urgency := chance.randrange(101)),
            rank=100 - urgency,
            band="Grounded" if urgency >= 75 else "Watch",
        )
        for number in range(1, count * 2 + 1)
    )


def test_the_rack_hangs_the_most_dangerous_first_then_the_promised_soonest() -> None:
    mild, late, soon, worst = job(30), job(75, days=9), job(75, days=2), job(100, days=30)
    assert list(rack()) == [worst, soon, late, mild]


def test_of_two_alike_the_older_hangs_first() -> None:
    older, newer = job(75), job(75)
    assert list(rack()) == [older, newer]


def test_what_is_handed_back_hangs_no_more_and_is_found_by_its_stage() -> None:
    here = job(10)
    gone = job(90, stage=Stage.HANDED_BACK, is_open=False)
    assert list(rack()) == [here]
    assert list(rack(stage="handed-back")) == [gone]


def test_the_rack_is_filtered_by_stage_band_and_hold() -> None:
    bench = job(80, stage=Stage.BENCH, band="Grounded")
    drying = job(60, stage=Stage.GO_AHEAD, band="Repair first", hold="drying")
    parts = job(50, stage=Stage.GO_AHEAD, band="Repair first", hold="parts")
    assert list(rack(stage="bench")) == [bench]
    assert list(rack(band="Repair first")) == [drying, parts]
    assert list(rack(hold="parts")) == [parts]
    assert list(rack(hold="any")) == [drying, parts]
    assert list(rack(stage="go-ahead", band="Repair first", hold="drying")) == [drying]
    assert list(rack(stage="bench", hold="parts")) == []


def test_the_rack_is_filtered_by_words_and_numbers() -> None:
    ilka = job(10, customer=CustomerFactory(name="Ilka Sandvoort"))
    runa = job(20, customer=CustomerFactory(name="Runa Selvaag", phone=""), number=412)
    for customer in (ilka.customer, runa.customer):
        search.index(customer)
    assert list(rack(text="ilka sand")) == [ilka]
    assert list(rack(text=" 412 ")) == list(rack(text="#0412")) == [runa]
    assert list(rack(text="nobody")) == []
    assert list(rack(text="   ")) == [runa, ilka]


def test_pages_follow_one_another_without_a_gap_or_a_double() -> None:
    many_jobs(60)
    whole = list(Job.objects.filter(is_open=True).order_by("rank", "promised_on", "id"))
    seen, after = [], ""
    while page := rack(after=after, size=7):
        seen += page
        if not (after := page.after):
            break
    assert seen == whole


def test_a_page_stands_firm_when_a_job_before_it_is_handed_back() -> None:
    jobs = [job(urgency) for urgency in (90, 80, 70, 60)]
    first = rack(size=2)
    Job.objects.filter(pk=jobs[0].pk).update(is_open=False)
    assert list(rack(after=first.after, size=2)) == jobs[2:]


def test_the_last_page_is_followed_by_none() -> None:
    job(10)
    assert rack(size=1).after == ""


@pytest.mark.parametrize("after", ["", None, "12", "x.y.z", "1.2026-13-45.3", "1.2026-05-04.3.4", "1'.2.3"])
def test_a_page_that_never_was_is_the_first(after: str | None) -> None:
    here = job(10)
    assert list(rack(after=after)) == [here]


def test_each_job_carries_its_live_damages_the_worst_first() -> None:
    here = job(80)
    DamageFactory(job=here, number=1, urgency=20)
    DamageFactory(job=here, number=2, urgency=80)
    DamageFactory(job=here, number=3, urgency=99, removed_at=timezone.now())
    [found] = rack()
    assert [damage.number for damage in found.live_damages] == [2, 1]


@pytest.mark.parametrize("jobs", [1, 3, 20])
@pytest.mark.parametrize(
    ("filters", "statements"),
    [({}, 2), ({"stage": "bench", "band": "Grounded", "hold": "parts"}, 2), ({"text": "inflatable"}, 3)],
)
def test_the_rack_costs_the_same_statements_with_few_jobs_and_with_many(
    jobs: int, filters: dict[str, str], statements: int, django_assert_num_queries
) -> None:
    for _ in range(jobs):
        here = job(80, stage=Stage.BENCH, band="Grounded", hold="parts")
        here.customer.name = "Inflatable Owner"
        search.index(here.customer)
        DamageFactory(job=here, number=1)
        DamageFactory(job=here, number=2)
    with django_assert_num_queries(statements):
        for found in rack(**filters):
            assert found.customer.name
            assert found.inflatable.pattern.name
            assert [damage.reason for damage in found.live_damages] == [{}, {}]


PLANS = [
    ({}, "rack_most_dangerous_first"),
    ({"stage": "bench"}, "rack_of_one_stage"),
    ({"band": "Grounded"}, "rack_of_one_band"),
    ({"hold": "parts"}, "rack_of_one_hold"),
    ({"stage": "handed-back"}, "closed_jobs_of_one_stage"),
]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="Reads the plan as SQLite writes it.")
@pytest.mark.parametrize(("filters", "index"), PLANS)
@pytest.mark.parametrize("after", [None, "40.2026-05-10.7"])
def test_the_rack_walks_an_index_and_sorts_nothing(
    filters: dict[str, str], index: str, after: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []
    shows = queries._in_order
    monkeypatch.setattr(queries, "_in_order", lambda jobs: asked.append(shows(jobs)) or asked[0])
    rack(**filters, after=after)
    plan = asked[0][:51].explain()
    assert f"jobs_job USING INDEX {index}" in plan
    assert "TEMP B-TREE" not in plan
    if after:
        assert "(rank,promised_on)>(?,?)" in plan


@pytest.mark.skipif(connection.vendor != "sqlite", reason="Counts the steps of SQLite's machine.")
def test_the_deepest_page_of_a_large_shop_costs_no_more_than_the_first_of_a_small_one() -> None:
    many_jobs(150)
    small = _steps(lambda: rack())
    Job.objects.all().delete()
    many_jobs(3000)
    large = _steps(lambda: rack())
    deep = list(Job.objects.filter(is_open=True).order_by("rank", "promised_on", "id"))[-60]
    deepest = _steps(lambda: rack(after=f"{deep.rank}.{deep.promised_on}.{deep.pk}"))
    assert large <= 1.1 * small
    assert deepest <= 1.1 * small


def _steps(ask) -> int:
    """Steps of the database's machine, in hundreds."""
    count = [0]

    def step() -> int:
        count[0] += 1
        return 0

    connection.connection.set_progress_handler(step, 100)
    try:
        ask()
    finally:
        connection.connection.set_progress_handler(None, 100)
    return count[0]


def test_the_counts_beside_the_filters_name_every_open_stage_band_and_hold() -> None:
    job(80, stage=Stage.BENCH, band="Grounded", hold="parts")
    job(10, stage=Stage.BENCH)
    job(stage=Stage.ENQUIRY)
    job(10, stage=Stage.HANDED_BACK, is_open=False)
    counts = queries.counts()
    assert counts.stages == {
        "enquiry": 1,
        "checked-in": 0,
        "assessed": 0,
        "quote-out": 0,
        "go-ahead": 0,
        "bench": 2,
        "hold-test": 0,
        "ready": 0,
    }
    assert counts.bands == {"Grounded": 1, "Repair first": 0, "Next service": 0, "Watch": 1, "not-judged": 1}
    assert counts.holds == {"drying": 0, "parts": 1, "customer": 0}
    assert counts.total == 3


def test_a_count_says_what_choosing_it_beside_the_other_filters_would_show() -> None:
    job(stage=Stage.BENCH, band="Grounded", hold="drying")
    job(stage=Stage.BENCH, band="Watch")
    job(stage=Stage.READY, band="Grounded", hold="parts")

    counted = queries.counts(stage=Stage.BENCH, hold=queries.ANY_HOLD)

    assert counted.stages == {**dict.fromkeys(queries.open_stages(), 0), "bench": 1, "ready": 1}
    assert counted.bands == {"Grounded": 1, "Repair first": 0, "Next service": 0, "Watch": 0, "not-judged": 0}
    assert counted.holds == {"drying": 1, "parts": 0, "customer": 0}


def test_a_damage_without_urgency_is_watched_and_a_job_without_figures_is_not_judged() -> None:
    """One that nobody answered, one that the model refused, and one whose only figures were taken off."""
    watched = DamageFactory(job=job(), model_version="1").job
    unjudged = [
        DamageFactory(job=job(), **facts).job for facts in ({"kind": ""}, {"reason": {"text": "No."}})
    ]
    unjudged.append(DamageFactory(job=job(), model_version="1", removed_at=timezone.now()).job)

    assert list(rack(band="Watch")) == [watched]
    assert list(rack(band=queries.NOT_JUDGED)) == unjudged
    assert queries.counts().bands["Watch"] == 1
    assert queries.counts().bands[queries.NOT_JUDGED] == 3


def test_the_counts_are_one_statement_read_from_an_index(django_assert_num_queries) -> None:
    many_jobs(20)
    with django_assert_num_queries(1) as asked:
        queries.counts()
    embedded = connection.vendor == "sqlite"
    with connection.cursor() as cursor:
        if not embedded:
            for way in ("seqscan", "bitmapscan", "indexscan"):
                cursor.execute(f"SET LOCAL enable_{way} = off")
        cursor.execute(f"EXPLAIN {'QUERY PLAN ' * embedded}{asked.captured_queries[0]['sql']}")
        plan = " ".join(row[-1] for row in cursor.fetchall())
    assert ("USING COVERING INDEX" if embedded else "Index Only Scan using") + " rack_counts" in plan


def test_a_listed_damage_leaves_its_opened_figures_in_the_database() -> None:
    DamageFactory()
    [[damage]] = [job.live_damages for job in rack()]
    assert "assessment" in damage.get_deferred_fields()
    assert Damage.objects.get().get_deferred_fields() == set()


@pytest.mark.skipif(connection.vendor != "postgresql", reason="Reads the plan as PostgreSQL writes it.")
@pytest.mark.parametrize(("filters", "index"), PLANS)
@pytest.mark.parametrize("after", [None, "40.2026-05-10.7"])
def test_the_large_shops_database_seeks_a_page_in_the_same_index(
    filters: dict[str, str], index: str, after: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []
    shows = queries._in_order
    monkeypatch.setattr(queries, "_in_order", lambda jobs: asked.append(jobs) or shows(jobs))
    many_jobs(500)
    rack(**filters, after=after)
    with connection.cursor() as cursor:
        for way in ("seqscan", "bitmapscan", "sort"):
            cursor.execute(f"SET LOCAL enable_{way} = off")
    plan = asked[0].order_by(*queries.ORDER)[:51].explain()
    assert f"Index Scan using {index}" in plan
    assert "Sort" not in plan
    if after:
        assert "ROW(rank, promised_on, id) > ROW(" in plan
