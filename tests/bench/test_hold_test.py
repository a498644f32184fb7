"""The page of a hold test: begun, read, decided, and what it says in the person's own units."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from shoprepair.bench.forms.hold import moment
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop.models import PressureUnit, TemperatureUnit
from shoprepair.work import rules
from shoprepair.work.models import Check, HoldReading, HoldTest
from tests.factories import JobFactory, held
from tests.work.benching import a_worked_cut

pytestmark = pytest.mark.django_db
MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def job(bench):
    """A wing whose leading edge was cut through, repaired and waiting for its hold test."""
    return a_worked_cut(bench)


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


def address(job, *rest):
    return "/".join([f"/bench/jobs/{job.number}/hold-test", *map(str, rest), ""])


def page(client, job):
    answer = client.get(address(job))
    assert answer.status_code == 200
    return answer.content.decode()


def begin(client, job, pressure="0.50 bar", **more):
    return client.post(address(job, "begin"), {"pressure": pressure, "tube": "all", **more})


def begun(client, job):
    """A test that was begun two hours ago."""
    begin(client, job)
    HoldTest.objects.update(began_at=timezone.now() - 120 * MINUTE)
    return HoldTest.objects.get()


def ago(minutes):
    return f"{timezone.localtime() - minutes * MINUTE:%Y-%m-%dT%H:%M}"


def read(client, test, pressure, minutes, temperature="20", /, **more):
    said = {
        "pressure": pressure,
        "pressure_unit": "bar",
        "temperature": temperature,
        "temperature_unit": "°C",
        "at": ago(minutes),
        "shown": ago(0),
    }
    return client.post(address(test.job, test.pk, "readings"), said | more)


def decide(client, test, holds, reason="", **more):
    version = HoldTest.objects.get(pk=test.pk).version
    said = {"holds": holds, "version": version, "reason": reason}
    return client.post(address(test.job, test.pk, "decide"), said | more)


def sound(client, test):
    read(client, test, "0.500", 119)
    read(client, test, "0.499", 1)


def leaking(client, test):
    read(client, test, "0.50", 119)
    read(client, test, "0.30", 1)


# Beginning.


def test_the_page_proposes_the_shops_test_pressure_and_says_how_hard_it_is(client, job):
    shown = page(client, job)
    assert 'value="0.50 bar"' in shown
    assert "around the tube" in shown
    assert "of its cloth strength" in shown


def test_the_cautions_stand_beside_the_pressure(client, job):
    shown = page(client, job)
    for words in (
        "eye and ear protection",
        "Never leave it in the sun",
        "what the maker allows",
        "not a certif",
    ):
        assert words in shown


def test_the_pressure_is_judged_while_it_is_typed(client, job):
    said = {"pressure": "0.8 bar", "tube": "all"}
    answer = client.get(address(job), said, headers={"HX-Request": "true"})
    assert "only the owner may allow it" in answer.content.decode()
    assert "<html" not in answer.content.decode()


def test_a_test_begun_twice_by_a_double_tap_is_begun_once(client, job):
    for _ in range(2):
        assert begin(client, job, key="one-tap").status_code == 302
    assert HoldTest.objects.count() == 1


def test_more_than_rated_is_refused_beside_the_field_and_what_was_typed_stays(client, job):
    answer = begin(client, job, "0.8 bar", owner_ok="on")
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert "only the owner may allow it, and must say so" in shown
    assert 'value="0.8 bar"' in shown
    assert not HoldTest.objects.exists()


def test_the_owner_may_allow_more_than_rated(as_person, owner, job):
    assert begin(as_person(owner), job, "0.8 bar", owner_ok="on").status_code == 302
    assert HoldTest.objects.get().over_rated_by == owner


@pytest.mark.parametrize("typed", ["", "hard", "70 bar", "-1", "0.5 bar 7 psi", "٣", "9" * 400])
def test_a_pressure_that_is_none_is_refused_with_a_sentence(client, job, typed):
    answer = begin(client, job, typed)
    assert answer.status_code == 422
    assert "id_pressure_error" in answer.content.decode()


def test_a_tube_that_is_not_there_is_refused(client, job):
    assert begin(client, job, tube="strut-left-7").status_code == 422


# Reading.


def test_before_the_first_reading_the_page_says_what_to_do(client, job):
    test = begun(client, job)
    shown = page(client, job)
    assert "First reading" in shown
    assert "No reading yet" in shown
    assert f'action="{address(job, test.pk, "readings")}"' in shown


def test_a_time_that_nobody_touched_is_the_moment_it_arrives(client, job):
    test = begun(client, job)
    old = ago(45)
    read(client, test, "0.50", 0, at=old, shown=old)
    assert timezone.now() - HoldReading.objects.get().at < MINUTE


def test_a_reading_keeps_what_was_typed_with_the_unit_of_that_gauge(client, job):
    test = begun(client, job)
    read(client, test, "7.25", 60, pressure_unit="psi")
    kept = HoldReading.objects.get()
    assert kept.pressure_typed == "7.25 psi"
    assert kept.temperature_typed == "20 °C"
    assert "<b>7.25 psi</b>" in page(client, job)


def test_the_next_reading_proposes_the_gauge_of_the_last_one(client, job):
    read(client, begun(client, job), "7.25", 60, pressure_unit="psi")
    assert '<option value="psi" selected>' in page(client, job)


def test_a_reading_in_the_future_is_refused_beside_its_time(client, job):
    test = begun(client, job)
    answer = read(client, test, "0.50", -60)
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert "lies in the future" in shown.split('id="id_at_error"')[1][:300]
    assert 'value="0.50"' in shown
    assert not HoldReading.objects.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {"pressure": "a lot"},
        {"temperature": "500"},
        {"temperature": ""},
        {"at": "yesterday"},
        {"height": "up the hill"},
        {"height": "90000 m"},
        {"pressure_unit": "atm"},
        {"pressure": "\0"},
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_a_sentence(client, job, wrong):
    test = begun(client, job)
    answer = read(client, test, "0.50", 1, **wrong)
    assert answer.status_code == 422
    assert 'class="error"' in answer.content.decode()
    assert not HoldReading.objects.exists()


def test_a_reading_sent_twice_is_kept_once(client, job):
    test = begun(client, job)
    for _ in range(2):
        read(client, test, "0.50", 1, key="one-tap")
    assert HoldReading.objects.count() == 1


def test_a_reading_is_taken_out_and_put_back(client, job):
    test = begun(client, job)
    read(client, test, "0.50", 60)
    kept = HoldReading.objects.get()
    client.post(address(job, test.pk, "readings", kept.pk, "remove"))
    assert "Taken out: it does not count." in page(client, job)
    client.post(address(job, test.pk, "readings", kept.pk, "restore"))
    assert "Taken out" not in page(client, job)


def test_a_reading_of_another_job_cannot_be_taken_out_here(client, job):
    test = begun(client, job)
    read(client, test, "0.50", 60)
    other = JobFactory()
    kept = HoldReading.objects.get()
    assert client.post(address(other, test.pk, "readings", kept.pk, "remove")).status_code == 404


def test_a_time_that_came_twice_is_the_later_one_that_is_not_in_the_future():
    zone = ZoneInfo("Europe/Oslo")
    with timezone.override(zone):
        first = moment("2026-10-25T02:30", datetime.datetime(2026, 10, 25, 0, 45, tzinfo=datetime.UTC))
        second = moment("2026-10-25T02:30", datetime.datetime(2026, 10, 25, 6, 0, tzinfo=datetime.UTC))
    assert (second - first) == datetime.timedelta(hours=1)


def test_a_time_that_the_clocks_jumped_over_never_was():
    with timezone.override(ZoneInfo("Europe/Oslo")), pytest.raises(ValueError, match="never was"):
        moment("2026-03-29T02:30", timezone.now())


# The answer.


def test_the_verdict_is_said_large_with_the_leak_in_its_own_terms(client, job):
    test = begun(client, job)
    leaking(client, test)
    shown = page(client, job)
    assert "It does not hold" in shown
    for words in (
        "Lost an hour, at one temperature",
        "Half its pressure gone after",
        "Like one round hole of",
    ):
        assert words in shown
    assert "<svg" in shown
    assert "How this was worked out" in shown


def test_the_page_says_when_a_next_reading_would_decide(client, job):
    test = begun(client, job)
    read(client, test, "0.500", 30)
    read(client, test, "0.499", 1)
    shown = page(client, job)
    assert "Cannot tell yet" in shown
    assert "would decide" in shown


def test_figures_are_in_the_readers_own_units(as_person, bench, job):
    bench.pressure_unit, bench.temperature_unit = PressureUnit.PSI, TemperatureUnit.FAHRENHEIT
    bench.save()
    client = as_person(bench)
    test = begun(client, job)
    sound(client, test)
    shown = page(client, job)
    assert "Gauge, psi" in shown
    assert "68 °F" in shown


def test_there_is_one_primary_action_whatever_the_verdict(client, job):
    assert page(client, job).count("is-primary") == 1
    test = begun(client, job)
    assert page(client, job).count("is-primary") == 1
    sound(client, test)
    assert page(client, job).count("is-primary") == 1
    read(client, test, "0.20", 0)
    assert page(client, job).count("is-primary") == 1


# Deciding.


def test_a_tube_that_holds_leaves_one_button_on(client, job):
    test = begun(client, job)
    sound(client, test)
    assert decide(client, test, "yes").status_code == 302
    shown = page(client, job)
    assert "Everything holds" in shown
    assert "Ready for the customer" in shown
    client.post(f"/jobs/{job.number}/stage/", {"to": "ready", "seen": "hold-test"})
    assert Job.objects.get(pk=job.pk).stage == Stage.READY


def test_a_tube_that_fails_goes_back_to_the_bench_and_the_page_says_where_to_look(client, job):
    test = begun(client, job)
    leaking(client, test)
    decide(client, test, "no")
    assert Job.objects.get(pk=job.pk).stage == Stage.BENCH
    shown = page(client, job)
    assert "Where to listen, and to brush with soapy water" in shown
    assert "Damage 1: leading edge" in shown
    assert "To the bench" in shown


def test_deciding_twice_is_deciding_once(client, job):
    test = begun(client, job)
    sound(client, test)
    for _ in range(2):
        assert decide(client, test, "yes").status_code == 302
    assert HoldTest.objects.get().verdict == HoldTest.Verdict.HOLDS


def test_the_bench_cannot_let_it_pass_against_its_readings(client, job):
    test = begun(client, job)
    leaking(client, test)
    assert "Only the owner can let it pass" in page(client, job)
    answer = decide(client, test, "yes", "It is fine.")
    assert answer.status_code == 422
    assert "Only the owner may decide so" in answer.content.decode()


def test_the_owner_lets_it_pass_with_a_reason(as_person, owner, client, job):
    test = begun(client, job)
    leaking(client, test)
    answer = decide(as_person(owner), test, "yes")
    assert "say why it is decided so" in answer.content.decode()
    decide(as_person(owner), test, "yes", "The valve cap was off.")
    assert "The valve cap was off." in page(client, job)


def test_a_decision_on_a_page_that_was_overtaken_is_not_taken(client, job):
    test = begun(client, job)
    sound(client, test)
    answer = decide(client, test, "yes", version=1)
    assert answer.status_code == 422
    assert "changed the readings since you opened it" in answer.content.decode()


def test_a_test_is_given_up_and_begun_anew(client, job):
    test = begun(client, job)
    client.post(address(job, test.pk, "stop"))
    shown = page(client, job)
    assert "Begin the test" in shown
    assert "stopped" in shown


# Jobs of other kinds and stages.


def test_a_job_that_needs_none_says_so_and_has_one_button_on(client):
    job = JobFactory(stage=Stage.HOLD_TEST)
    shown = page(client, job)
    assert "No hold test needed" in shown
    assert shown.count("is-primary") == 1


def test_a_job_on_hold_says_what_is_in_the_way(client):
    job = JobFactory(stage=Stage.HOLD_TEST, hold=Hold.CUSTOMER)
    shown = page(client, job)
    assert "Ready for the customer" not in shown
    assert "Lift the hold first" in shown


@pytest.mark.parametrize("stage", [Stage.ENQUIRY, Stage.BENCH, Stage.READY, Stage.HANDED_BACK])
def test_a_job_elsewhere_says_where_it_is(client, stage):
    job = JobFactory(stage=stage)
    assert f"The job is at “{stage.label}”" in page(client, job)


def test_the_job_sheet_leads_here(client, job):
    assert address(job) in client.get(f"/jobs/{job.number}/").content.decode()


def test_a_job_that_is_not_there_is_not_found(client):
    assert client.get("/bench/jobs/9999/hold-test/").status_code == 404


def test_a_stranger_is_asked_to_log_in(stranger, job):
    assert stranger.get(address(job)).status_code == 302


# The second pair of eyes.


def check(client, job, passed, note=""):
    return client.post(f"/bench/jobs/{job.number}/second-check/", {"passed": passed, "note": note})


@pytest.fixture
def careful(job, owner, bench):
    """The same job, held, in a shop where a second person looks."""
    rules.change(rules.current(), who=owner, version=1, second_person=True)
    held(job, bench)
    return job


def test_whoever_did_the_work_is_told_that_somebody_else_looks(client, careful):
    shown = page(client, careful)
    assert "You worked on it yourself" in shown
    assert "Ready for the customer" not in shown
    assert check(client, careful, "yes").status_code == 422


def test_a_second_person_passes_it(as_person, counter, careful):
    client = as_person(counter)
    assert page(client, careful).count("is-primary") == 1
    check(client, careful, "yes")
    shown = page(client, careful)
    assert "Maja Orrevik</b> looked at it" in shown
    assert "Ready for the customer" in shown


def test_a_fault_needs_words_and_goes_back_to_the_bench(as_person, counter, careful):
    client = as_person(counter)
    answer = check(client, careful, "no")
    assert "Say what has to be done again" in answer.content.decode()
    check(client, careful, "no", "A corner lifts.")
    assert Job.objects.get(pk=careful.pk).stage == Stage.BENCH
    assert Check.objects.get().note == "A corner lifts."


def test_an_unanswered_look_is_refused(as_person, counter, careful):
    assert "Choose what you found" in check(as_person(counter), careful, "").content.decode()
