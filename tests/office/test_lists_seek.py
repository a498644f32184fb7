"""The lists that are open all day seek what they show in an index, however old the shop is."""

import datetime
import re
from collections.abc import Callable, Iterable

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shoprepair.cover import claims
from shoprepair.cover.models import Cover
from shoprepair.gear import serials
from shoprepair.jobs import queries, search
from shoprepair.pricing.waiting import quotes_out
from shoprepair.shop import journal
from shoprepair.shop.models import Letter, Shop
from shoprepair.shop.outbox import worker
from shoprepair.work import overdue, to_do

pytestmark = pytest.mark.django_db
TODAY = datetime.date(2026, 11, 25)
LISTS: list[tuple[str, Callable[[], Iterable[object]], str]] = [
    ("bench", to_do.in_work, r"jobs_job USING INDEX rack_\w+ \(stage=\?\)"),
    ("quotes waiting", lambda: quotes_out(TODAY), r"pricing_quote USING INDEX one_quote_out_at_a_time"),
    ("late jobs", lambda: overdue.late(TODAY), r"jobs_job USING INDEX rack_\w+ \(stage=\?\)"),
    (
        "claims to decide",
        claims.waiting,
        r"cover_claim USING INDEX claims_(to_decide|by_decision \(decision=\?\))",
    ),
    ("search", lambda: search.find("ilka sand"), r"USING COVERING INDEX search_by_beginning"),
    ("gear of a serial", lambda: serials.bearing("nq 1204"), r"gear_inflatable USING INDEX gear_by_serial"),
    (
        "letters that did not leave",
        lambda: [worker.standing(Shop())],
        r"shop_letter USING INDEX letters_by_state \(state=\?\)",
    ),
    (
        "not here yet, and newest",
        lambda: queries.away_and_newest(away=True, newest=12),
        r"U0 USING INDEX rack_\w+ \(stage=\?\)",
    ),
    (
        "letters that are due",
        worker.due,
        r"shop_letter USING INDEX letters_by_state \(state=\? AND next_try_at<\?\)",
    ),
    (
        "what happened to a job",
        lambda: journal.entries("job:412")[:20],
        r"shop_journalentry USING INDEX journal_of_a_subject \(subject=\?\)",
    ),
    (
        "covers of a piece of gear",
        lambda: Cover.objects.filter(inflatable=7).order_by("number"),
        r"cover_cover USING INDEX covers_of_an_inflatable \(inflatable_id=\?\)",
    ),
    (
        "letters about a job",
        lambda: Letter.objects.filter(about="job:412").order_by("-id")[:20],
        r"shop_letter USING INDEX letters_about_a_subject \(about=\?\)",
    ),
]
SORTED = {"late jobs", "claims to decide", "not here yet, and newest"}
"""No more than what is shown is sorted, since nothing that is over is in their index."""


def plan_of(listed: Callable[[], Iterable[object]], explain: str) -> list[str]:
    with CaptureQueriesContext(connection) as asked:
        list(listed())
    with connection.cursor() as cursor:
        cursor.execute(f"{explain} {asked.captured_queries[0]['sql']}")
        return [row[-1] for row in cursor.fetchall()]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="Reads the plan as SQLite writes it.")
@pytest.mark.parametrize(("name", "listed", "index"), LISTS, ids=[name for name, *_ in LISTS])
def test_a_list_seeks_its_index_and_reads_no_table_to_its_end(
    name: str, listed: Callable[[], Iterable[object]], index: str
) -> None:
    plan = plan_of(listed, "EXPLAIN QUERY PLAN")

    assert any(re.search(index, step) for step in plan), plan
    assert [step for step in plan if re.fullmatch(r"SCAN (?!U0)\w+", step)] == []
    assert name in SORTED or not any("TEMP B-TREE" in step for step in plan), plan


@pytest.mark.skipif(connection.vendor != "postgresql", reason="Reads the plan as PostgreSQL writes it.")
@pytest.mark.parametrize(("name", "listed", "index"), LISTS, ids=[name for name, *_ in LISTS])
def test_the_large_shops_database_seeks_it_in_the_same_index(
    name: str, listed: Callable[[], Iterable[object]], index: str
) -> None:
    """With few rows it would read them all: it is kept from that, and from sorting, where there is a way.

    What other tests wrote and took back still lies about and is counted: the tables are laid anew.
    """
    with CaptureQueriesContext(connection) as asked, connection.cursor() as cursor:
        list(listed())
        tables = set(re.findall(r'(?:FROM|JOIN) "(\w+)"', asked.captured_queries[0]["sql"]))
        cursor.execute(f"TRUNCATE {', '.join(sorted(tables))} CASCADE")
        for way in ("seqscan", "bitmapscan", "sort", "incremental_sort"):
            cursor.execute(f"SET LOCAL enable_{way} = off")
    plan = plan_of(listed, "EXPLAIN")

    named = "|".join(re.findall(r"INDEX ([a-z_]+)", index)).replace("rack_", r"rack_\w+")
    assert any(re.search(rf"Index (Only )?Scan (Backward )?using ({named})", step) for step in plan), plan
    assert [step for step in plan if "Seq Scan" in step] == []
    assert name in SORTED or not any("Sort" in step for step in plan), plan
