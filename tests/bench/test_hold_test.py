"""The page of a hold test: begun, read, decided, and what it says in the person's own units."""

import pytest
from django.urls import reverse

from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop.models import PressureUnit, TemperatureUnit
from shoprepair.work.models import HoldTest
from tests.bench.hold_pages import address, begin, begun, page, read
from tests.factories import JobFactory
from tests.work.benching import a_worked_cut

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(bench):
    """A wing whose leading edge was cut through, repaired and waiting for its hold test."""
    return a_worked_cut(bench)


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


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


def test_at_the_bench_a_job_that_did_not_hold_says_so_before_air_goes_in_again(client, job):
    test = begun(client, job)
    leaking(client, test)
    decide(client, test, "no")
    steps = client.get(reverse("bench-job", args=[job.number])).content.decode()
    assert "It did not hold." in steps
    assert "The air goes in next." not in steps
    assert address(job) in steps
    client.post(reverse("bench-all-done", args=[job.number]))
    assert "Test again: all tubes together" in page(client, job)


def test_once_something_was_mended_since_the_air_goes_in_next(client, job):
    test = begun(client, job)
    leaking(client, test)
    decide(client, test, "no")
    again = job.steps.filter(state="done").last()
    for place, verb in enumerate(("undo", "done")):
        client.post(reverse("bench-tick"), {"step": again.pk, "verb": verb, "key": f"again-{place}"})
    steps = client.get(reverse("bench-job", args=[job.number])).content.decode()
    assert "It did not hold." not in steps
    assert "The air goes in next." in steps


def test_the_verdict_is_said_once_over_its_reason(client, job):
    test = begun(client, job)
    leaking(client, test)
    assert page(client, job).count("It does not hold") == 1


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
