"""What happens when two devices send their ticks at the same moment."""

import pytest
from django.utils import timezone

from shoprepair.work import steps, stints, ticks
from shoprepair.work.models import Step, Stint, Tick
from tests.factories import StaffFactory
from tests.pricing.test_answers_at_once import at_once
from tests.work.benching import on_the_bench


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", range(2))
def test_the_same_tick_sent_by_two_requests_at_once_is_kept_once(turn):
    who = StaffFactory()
    job = on_the_bench(who)
    step, at = steps.of(job)[0], timezone.now()

    def send() -> None:
        ticks.take(Step.objects.get(pk=step.pk), "done", key=f"same-{turn}", who=who, at=at)

    assert at_once(send, send, send) == [None, None, None]
    step.refresh_from_db()
    assert (step.state, Tick.objects.count()) == (Step.State.DONE, 1)


@pytest.mark.django_db(transaction=True)
def test_two_devices_ticks_at_once_are_both_kept(settings):
    one, other = StaffFactory(), StaffFactory()
    job = on_the_bench(one)
    step, at = steps.of(job)[0], timezone.now()

    def sends(who, verb):
        return lambda: ticks.take(Step.objects.get(pk=step.pk), verb, key=f"{who}", who=who, at=at)

    assert at_once(sends(one, "done"), sends(other, "done")) == [None, None]
    step.refresh_from_db()
    assert (step.state, Tick.objects.count()) == (Step.State.DONE, 2)


@pytest.mark.django_db(transaction=True)
def test_two_starts_of_one_person_at_once_leave_one_running():
    who = StaffFactory()
    job = on_the_bench(who)
    one, two, *_ = steps.of(job)
    at = timezone.now()
    met = at_once(lambda: stints.start(who, job, one, at), lambda: stints.start(who, job, two, at))
    assert met == [None, None]
    assert Stint.objects.filter(who=who, ended_at=None).count() == 1
