"""The demo shop: what somebody who tries the program finds in it."""

import io
from collections import Counter
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.conf import settings
from django.contrib.auth import authenticate
from django.core.management import CommandError, call_command
from django.db.models import F
from django.utils import timezone

from shoprepair import serve
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs import photos
from shoprepair.jobs.models import Customer, Damage, Hold, Job, Photo, Stage
from shoprepair.mechanics.description import Band, Element, FindingKind
from shoprepair.office.demo import build, chance, clock, most_urgent
from shoprepair.office.demo.people import LOG_INS, SHOP_NAME, TIME_ZONE
from shoprepair.shop import people
from shoprepair.shop.models import JournalEntry, Staff
from shoprepair.shop.settings import current
from shoprepair.work import to_do
from tests.office.demo import NOW, job_of, open_jobs


def test_the_shop_has_its_name_and_its_terms():
    assert current().name == SHOP_NAME
    assert "life of the inflatable" in current().terms


def test_the_three_log_in_with_the_printed_passwords():
    assert [authenticate(username=one.username, password=one.password).role for one in LOG_INS] == [
        Staff.Role.COUNTER,
        Staff.Role.BENCH,
        Staff.Role.OWNER,
    ]


@pytest.mark.parametrize("one", LOG_INS, ids=lambda one: one.username)
def test_the_printed_passwords_are_as_good_as_anybody_elses(one):
    assert people.password_faults(one.password, name=one.name, username=one.username) == []


def test_about_forty_jobs_are_open_in_every_stage():
    stages = Counter(open_jobs().values_list("stage", flat=True))

    assert 40 <= sum(stages.values()) <= 50
    assert set(stages) == set(Stage) - {Stage.HANDED_BACK, Stage.DECLINED, Stage.WITHDRAWN}


def test_every_band_hangs_on_the_rack():
    assert set(open_jobs().values_list("band", flat=True)) == {band.value for band in Band}


def test_jobs_wait_for_every_reason():
    assert set(open_jobs().values_list("hold", flat=True)) == set(Hold)


def test_promises_lie_around_today():
    days = [(promised - NOW.date()).days for promised in open_jobs().values_list("promised_on", flat=True)]

    assert min(days) < 0
    assert 0 in days
    assert 7 < max(days) < 30


def test_five_years_of_closed_jobs_lie_behind():
    closed = Job.objects.filter(is_open=False)

    assert 80 < closed.count() < 400
    assert set(closed.values_list("stage", flat=True)) == {
        Stage.HANDED_BACK,
        Stage.DECLINED,
        Stage.WITHDRAWN,
    }
    assert NOW - closed.earliest("received_at").received_at > timedelta(days=4.5 * 365)


def test_nothing_happens_before_it_began_or_after_now():
    assert not JournalEntry.objects.filter(at__gt=NOW).exists()
    assert not Job.objects.filter(closed_at__gt=NOW).exists()
    assert [job for job in Job.objects.exclude(closed_at=None) if job.closed_at < job.received_at] == []


def test_the_journal_stands_in_the_order_of_its_time():
    at = list(JournalEntry.objects.order_by("pk").values_list("at", flat=True))

    assert at == sorted(at)


def test_people_work_while_the_shop_is_open():
    worked = JournalEntry.objects.exclude(who=None).values_list("at", flat=True)
    moments = [timezone.localtime(at, ZoneInfo(current().time_zone)) for at in worked]

    assert [at for at in moments if not _is_open(at)] == []


def _is_open(at: datetime) -> bool:
    opens, closes = current().working_hours.get(str(at.weekday()), ("", ""))
    return opens <= f"{at:%H:%M}" <= closes


def test_nothing_is_promised_for_a_day_on_which_the_shop_is_closed():
    days = set(open_jobs().values_list("promised_on", flat=True))

    assert {day.weekday() for day in days} <= {int(day) for day in current().working_hours}
    assert not days & to_do.closed_days()


def test_the_closed_day_was_written_down_this_year():
    entry = JournalEntry.objects.get(verb="holiday.added")

    assert NOW - timedelta(days=60) < entry.at < NOW


@pytest.mark.parametrize(
    "now",
    [
        datetime(2026, 11, 25, 12, 0, tzinfo=UTC),
        datetime(2026, 11, 26, 3, 14, tzinfo=UTC),
        datetime(2026, 11, 29, 23, 50, tzinfo=UTC),
    ],
    ids=["at noon", "at night", "on a Sunday"],
)
def test_whenever_it_is_built_it_is_the_last_hour_of_work(now):
    with timezone.override(TIME_ZONE):
        open_now = clock.open_at(now)

        assert _is_open(timezone.localtime(open_now))
        assert open_now <= now
        assert clock.worked(open_now, now) == timedelta(0)
        assert clock.later(clock.earlier(now, timedelta(hours=30)), timedelta(hours=30)) == open_now


def test_no_inflatable_came_in_before_its_owner_had_it():
    jobs = Job.objects.select_related("inflatable")

    assert [job for job in jobs if job.received_at < job.inflatable.created_at] == []


def test_nobody_came_in_before_they_were_known():
    assert not Job.objects.filter(received_at__lt=F("customer__created_at")).exists()


def test_no_inflatable_is_in_the_shop_twice():
    assert max(Counter(open_jobs().values_list("inflatable", flat=True)).values()) == 1


def test_every_kind_of_damage_occurs_on_every_element_that_can_have_it():
    found = set(Damage.objects.values_list("element", "kind"))

    assert [pair for pair in chance.every_kind() if pair not in found] == []


def test_every_answered_damage_was_judged():
    unjudged = Damage.objects.exclude(kind="").filter(assessment__result=None)

    assert [(damage.kind, damage.assessment) for damage in unjudged] == []


def test_every_pattern_of_the_library_is_ridden():
    assert [pattern.name for pattern in Pattern.objects.filter(inflatables=None, everyday="")] == []
    assert Inflatable.objects.count() >= 45


def test_the_customers_write_their_names_in_many_ways():
    names = list(Customer.objects.values_list("name", flat=True))

    assert len(names) >= 30
    assert max(map(len, names)) > 50
    assert any(" " not in name for name in names)
    assert any("\u0600" <= name[0] <= "\u06ff" for name in names)
    assert any("\u0590" <= name[0] <= "\u05ff" for name in names)


def test_a_cut_along_the_middle_of_a_five_square_metre_wing_is_grounded():
    job = job_of("Ida Quist", "Holm 5.0 wing")
    cut = job.damages.get()

    assert (cut.kind, cut.length_typed, cut.direction) == (FindingKind.CUT, "35 mm", "along")
    assert job.band == Band.GROUNDED


def test_the_bench_corrected_what_the_counter_had_measured():
    entry = JournalEntry.objects.get(
        subject=f"job:{job_of('Ida Quist', 'Holm 5.0 wing').number}", verb="damage.answered"
    )

    assert entry.changes == {"length": ["30 mm", "35 mm"]}


@pytest.mark.parametrize(
    ("owner", "pattern", "element", "kind", "band"),
    [
        (
            "Þórdís Eyvindardóttir Skerjafjall",
            "Rype 7.0 wing",
            Element.LEADING_EDGE,
            FindingKind.BURST,
            Band.GROUNDED,
        ),
        (
            "Lovise Haraldsen",
            "Lunde 4.2 wing",
            Element.LEADING_EDGE,
            FindingKind.SCUFF,
            Band.REPAIR_FIRST,
        ),
        (
            "Wojciech Szczębrzeski",
            "Holm 4.0 wing",
            Element.HANDLE,
            FindingKind.STITCHING,
            Band.GROUNDED,
        ),
    ],
)
def test_the_jobs_that_show_what_the_shop_is_about(owner, pattern, element, kind, band):
    damages = job_of(owner, pattern).damages

    assert damages.get(element=element.value, kind=kind.value).band == band


def test_one_job_has_a_dozen_damages():
    assert max(open_jobs().values_list("damage_count", flat=True)) == 12


def test_a_few_dozen_photos_are_kept_in_all_sizes():
    kept = list(Photo.objects.all())

    assert len(kept) >= 24
    assert all(photos.file(photo, size).read_bytes() for photo in kept for size in photos.SIZES)


def test_the_ten_most_urgent_are_said_with_their_figures():
    head, *rows = most_urgent.table().splitlines()

    assert head.split()[:4] == ["Job", "λ", "Urgency", "Band"]
    assert len(rows) == 10
    assert all("Grounded" in row for row in rows)


def test_a_second_start_keeps_what_is_there():
    said = io.StringIO()

    call_command("demo", no_serve=True, stdout=said)

    assert "Building" not in said.getvalue()
    assert all(one.password in said.getvalue() for one in LOG_INS)
    assert f"{settings.DATA_DIR}/papers/work-order-" in said.getvalue()
    assert f"{serve.url().rstrip('/')}/self-check/" in said.getvalue()
    assert open_jobs().count() == 47


def test_a_shop_that_is_not_the_demo_is_never_thrown_away(monkeypatch):
    monkeypatch.setattr(build, "is_the_demo", lambda: False)

    with pytest.raises(CommandError, match=r"is left alone|only in its own folder"):
        call_command("demo", fresh=True, no_serve=True)
    assert open_jobs().exists()
