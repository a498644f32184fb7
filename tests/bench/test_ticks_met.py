"""A device's tick that met somebody else's is answered with both, and what a person decides is done once."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs.models import Job
from shoprepair.work import steps, ticks
from shoprepair.work.models import Tick
from tests.factories import StaffFactory
from tests.work.benching import MINUTE, on_the_bench


@pytest.fixture
def job(client, bench) -> Job:
    """On the bench for hours, and whoever works there is logged in."""
    client.force_login(bench)
    job = on_the_bench(bench)
    Job.objects.filter(pk=job.pk).update(received_at=timezone.now() - datetime.timedelta(hours=5))
    job.refresh_from_db()
    return job


def test_a_tick_that_met_somebody_else_s_is_answered_with_both_and_a_person_decides(client, job, bench):
    step = steps.of(job)[0]
    now = timezone.now()
    ticks.take(step, "done", key="theirs", who=StaffFactory(first_name="Ansa"), at=now)
    sent = {"step": step.pk, "verb": "skip", "key": "mine", "reason": "not needed", "device": "1"}
    sent |= {"at": (now - MINUTE * 9).isoformat(), "sent": now.isoformat(), "seen": "waiting"}
    told = client.post(reverse("bench-tick"), sent).json()
    assert told == client.post(reverse("bench-tick"), sent).json()
    assert (told["stands"], told["mine"]["state"], told["theirs"]["state"]) == ("theirs", "skipped", "done")
    assert "“not needed”" in told["mine"]["said"]
    assert told["theirs"]["said"].startswith("Ansa")
    chosen = {"step": step.pk, "key": "mine-d", "state": "skipped", "reason": "not needed"}
    for _ in range(2):
        assert client.post(reverse("bench-tick-decide"), chosen).status_code == 204
    step.refresh_from_db()
    assert (step.state, step.reason) == ("skipped", "not needed")
    assert Tick.objects.filter(step=step).count() == 3


def test_a_decision_that_cannot_be_is_refused_in_words(client, job, bench):
    step = steps.of(job)[0]
    chosen = {"step": step.pk, "key": "d", "state": "skipped", "reason": ""}
    assert "Say why" in client.post(reverse("bench-tick-decide"), chosen).content.decode()
    assert client.post(reverse("bench-tick-decide"), {"step": "x"}).status_code == 422
