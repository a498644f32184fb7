"""The lists that are open all day seek what they show in an index, however old the shop is."""

import datetime
import re
from collections.abc import Callable, Iterable

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shoprepair.cover import claims
from shoprepair.gear import serials
from shoprepair.jobs import queries, search
from shoprepair.pricing.waiting import quotes_out
from shoprepair.shop.models import Shop
from shoprepair.shop.outbox import worker
from shoprepair.work import overdue, to_do

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(connection.vendor != "sqlite", reason="Reads the plan as SQLite writes it."),
]
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
        r"shop_letter USING COVERING INDEX letters_by_state \(state=\?\)",
    ),
    (
        "not here yet, and newest",
        lambda: queries.away_and_newest(away=True, newest=12),
        r"U0 USING INDEX rack_\w+ \(stage=\?\)",
    ),
]
SORTED = {"late jobs", "claims to decide", "not here yet, and newest"}
"""No more than what is shown is sorted, since nothing that is over is in their index."""


def plan_of(listed: Callable[[], Iterable[object]]) -> list[str]:
    with CaptureQueriesContext(connection) as asked:
        list(listed())
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN QUERY PLAN {asked.captured_queries[0]['sql']}")
        return [row[-1] for row in cursor.fetchall()]


@pytest.mark.parametrize(("name", "listed", "index"), LISTS, ids=[name for name, *_ in LISTS])
def test_a_list_seeks_its_index_and_reads_no_table_to_its_end(
    name: str, listed: Callable[[], Iterable[object]], index: str
) -> None:
    plan = plan_of(listed)

    assert any(re.search(index, step) for step in plan), plan
    assert [step for step in plan if re.fullmatch(r"SCAN (?!U0)\w+", step)] == []
    assert name in SORTED or not any("TEMP B-TREE" in step for step in plan), plan
