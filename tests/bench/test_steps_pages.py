"""The steps of a job are worked down at the bench, by whoever works there, with no script at all."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shoprepair.jobs import judging_anew, stages
from shoprepair.jobs.models import Stage
from shoprepair.work import next_up, steps, stints
from shoprepair.work.models import Step, Tick
from tests.pricing.mending import a_job, on_the_canopy, stocked
from tests.work.benching import a_cut_job, agree, named, on_the_bench

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(bench):
    return on_the_bench(bench)


@pytest.fixture
def client(as_person, bench):
    return as_person(bench)


def tick(client, step, verb, key, **more):
    return client.post(reverse("bench-tick"), {"step": step.pk, "verb": verb, "key": key, **more})


def page(client, job, step=None, query=""):
    where = ("bench-step", [job.number, step.pk]) if step else ("bench-job", [job.number])
    return client.get(reverse(where[0], args=where[1]) + query)


def test_a_stranger_is_sent_to_the_log_in(job, stranger):
    for name, args in (("bench", []), ("bench-job", [job.number]), ("bench-time", [])):
        answer = stranger.get(reverse(name, args=args))
        assert answer.status_code == 302
        assert answer.url.startswith("/log-in/")


def test_an_empty_bench_says_where_jobs_come_from(client):
    shown = client.get(reverse("bench")).content.decode()
    assert "The bench is clear" in shown
    assert reverse("rack") in shown


def test_the_bench_suggests_one_job_with_its_reasons_and_takes_it(client, bench):
    stocked()
    job = a_cut_job()
    agree(job)
    shown = client.get(reverse("bench")).content.decode()
    assert shown.count("bench-huge") == 1
    assert "It is the only job that can be worked now." in shown
    assert "All parts are there." in shown
    taken = client.post(reverse("bench-take"), {"number": job.number})
    assert taken.url == reverse("bench-job", args=[job.number])
    job.refresh_from_db()
    assert job.stage == Stage.BENCH


def test_a_job_that_cannot_be_taken_says_why(client, bench):
    stocked()
    job = a_cut_job()
    answer = client.post(reverse("bench-take"), {"number": job.number})
    assert answer.status_code == 422
    assert "cannot be taken yet" in answer.content.decode()
    assert client.post(reverse("bench-take"), {"number": "9" * 30}).status_code == 404


def test_taking_a_job_twice_leaves_it_on_the_bench(client, job):
    assert client.post(reverse("bench-take"), {"number": job.number}).status_code == 302
    job.refresh_from_db()
    assert job.stage == Stage.BENCH


def test_a_job_in_work_shows_how_far_it_is_and_who_is_at_it(client, job, as_person, counter):
    first = steps.of(job)[0]
    tick(client, first, "start", "one")
    shown = as_person(counter).get(reverse("bench")).content.decode()
    assert "In work" in shown
    assert f"0 of {job.steps.count()} steps done" in shown
    assert "Tomek Brandal" in shown
    assert first.text in shown


def test_a_job_stands_once_on_the_bench_page(client, job, bench):
    tick(client, steps.of(job)[0], "start", "one")
    shown = client.get(reverse("bench")).content.decode()
    assert shown.count(f'<span class="tagnumber">{job}</span>') == 1
    assert "You are at" in shown
    assert "bench-running" not in shown, "what is said with the job is not said above it again"
    assert reverse("bench-step", args=[job.number, steps.of(job)[0].pk]) in shown
    assert "bench-card" not in shown


def test_a_job_still_judged_by_the_figures_before_says_so_at_the_bench(client, job):
    words = "Still judged by the load figures before the change"
    assert words not in client.get(reverse("bench")).content.decode()
    judging_anew.begin()
    assert words in client.get(reverse("bench")).content.decode()


def test_a_step_shows_its_place_its_figures_and_its_patch(client, job):
    step = next(each for each in steps.of(job) if steps.figures(each) and each.repair_id)
    shown = page(client, job, step).content.decode()
    article = re.search(rf'<article[^>]*id="step-{step.pk}".*?</article>', shown, re.S)[0]
    assert 'class="diagram is-close-up"' in article
    assert 'class="patch"' in article
    for figure in steps.figures(step):
        name = figure.name.removeprefix("thread: ")
        assert f"{name[:1].upper()}{name[1:]}" in article
    assert " N\n" not in article, "what thread goes into the machine, not what it carries"
    assert "hidden" not in article.split(">")[0]


def test_doing_a_step_leads_to_the_next_which_runs_and_offers_to_undo(client, job, bench):
    first, second = steps.of(job)[:2]
    tick(client, first, "start", "one")
    answer = tick(client, first, "done", "two")
    assert answer.url == f"{reverse('bench-step', args=[job.number, second.pk])}?done={first.pk}"
    assert stints.running(bench).step == second
    shown = client.get(answer.url).content.decode()
    bar = re.search(r"data-undo\s*>.*?</form>", shown, re.S)
    assert bar
    assert first.text in bar[0]


def test_an_undo_takes_the_done_back_and_runs_the_step_again(client, job, bench):
    first, second = steps.of(job)[:2]
    tick(client, first, "start", "one")
    tick(client, first, "done", "two")
    answer = tick(client, first, "undo", "three")
    assert answer.url == reverse("bench-step", args=[job.number, first.pk])
    first.refresh_from_db()
    second.refresh_from_db()
    assert first.state == Step.State.RUNNING
    assert second.state == Step.State.WAITING
    assert stints.running(bench).step == first


def test_a_step_is_left_out_only_with_a_reason(client, job):
    first = steps.of(job)[0]
    refused = tick(client, first, "skip", "one")
    assert refused.status_code == 422
    assert "Say why it is left out" in refused.content.decode()
    assert tick(client, first, "skip", "two", reason="Open already").status_code == 302
    first.refresh_from_db()
    assert (first.state, first.reason) == (Step.State.SKIPPED, "Open already")


def test_a_step_before_its_turn_is_refused_in_words_on_its_own_page(client, job):
    last = steps.of(job)[-1]
    answer = tick(client, last, "done", "one")
    assert answer.status_code == 422
    assert "comes first" in answer.content.decode()
    assert not Tick.objects.exists()


def test_a_device_sends_a_tick_twice_and_it_counts_once(client, job):
    first = steps.of(job)[0]
    for _ in range(2):
        answer = tick(client, first, "done", "same", device="1")
        assert (answer.status_code, answer.content) == (204, b"")
    assert Tick.objects.get().verb == "done"


def test_a_device_whose_tick_is_refused_hears_the_sentence_alone(client, job):
    answer = tick(client, steps.of(job)[-1], "done", "one", device="1")
    assert answer.status_code == 422
    assert answer["Content-Type"].startswith("text/plain")
    assert "comes first" in answer.content.decode()


@pytest.mark.parametrize(
    "sent",
    [
        {"step": "", "verb": "done", "key": "a"},
        {"step": "1", "verb": "dance", "key": "a"},
        {"step": "9" * 30, "verb": "done", "key": "a"},
        {"step": "1", "verb": "done", "key": ""},
        {"step": "1", "verb": "done", "key": "é"},
        {"step": "1", "verb": "done", "key": "a" * 65},
        {},
    ],
)
def test_a_broken_tick_is_refused_in_words(client, job, sent):
    answer = client.post(reverse("bench-tick"), {**sent, "device": "1"})
    assert answer.status_code == 422
    assert answer.content
    assert client.post(reverse("bench-tick"), sent).status_code in (404, 422)
    assert not Tick.objects.exists()


def test_a_step_moves_up_and_down_within_reason(client, job):
    order = [step.pk for step in steps.of(job)]
    last = steps.of(job)[-1]
    answer = client.post(
        reverse("bench-step-move", args=[job.number, last.pk]), {"before": order[0]}, follow=True
    )
    assert "must come first" in answer.content.decode() or "can only come after it" in answer.content.decode()
    assert [step.pk for step in steps.of(job)] == order


def test_two_damages_that_do_not_wait_for_each_other_change_places(client, bench):
    stocked()
    canopy = a_job()
    on_the_canopy(canopy, 0.3, "tear", mm=60)
    on_the_canopy(canopy, 0.6, "tear", mm=80)
    job = on_the_bench(bench, canopy)
    every = steps.of(job)
    second = next(step for step in every if step.damages != every[0].damages and not step.after)
    client.post(reverse("bench-step-move", args=[job.number, second.pk]), {"before": every[0].pk})
    assert steps.of(job)[0] == second


def test_a_move_to_nowhere_is_refused_in_words(client, job):
    first = steps.of(job)[0]
    where = reverse("bench-step-move", args=[job.number, first.pk])
    for before in ("999999", "x", "9" * 40):
        assert (
            "Look at the steps again" in client.post(where, {"before": before}, follow=True).content.decode()
        )


def test_a_step_of_another_job_is_not_found(client, job):
    first = steps.of(job)[0]
    assert client.get(reverse("bench-step", args=[job.number + 1, first.pk])).status_code == 404


def test_a_job_that_is_not_on_the_bench_can_be_looked_at_and_taken(client, bench):
    stocked()
    job = a_cut_job()
    agree(job)
    shown = page(client, job).content.decode()
    assert "take it to the bench to begin" in shown
    assert "data-tick" in shown
    assert 'value="start"' not in shown


def held(job, hold, bench):
    stages.set_hold(job, hold, "a valve", who=bench)
    return job


def primary(shown):
    listed = shown.split('class="bench-step"')[0]
    return [
        words.strip() for words in re.findall(r'<button class="button is-primary[^>]*>\s*([^<]+)', listed)
    ]


@pytest.mark.parametrize(
    ("hold", "act"),
    [
        ("parts", "Parts have come"),
        ("drying", "It is bone dry"),
        ("customer", "The customer has answered"),
    ],
)
def test_what_a_job_that_waits_wants_next_is_that_it_waits_no_longer(client, job, bench, hold, act):
    assert primary(page(client, job).content.decode()) == ["Start this step"]
    held(job, hold, bench)
    assert primary(page(client, job).content.decode()) == [act]
    client.post(reverse("bench-hold-end", args=[job.number]), {"hold": hold})
    job.refresh_from_db()
    assert job.hold == ""
    assert primary(page(client, job).content.decode()) == ["Start this step"]


def test_a_job_that_waits_is_not_taken_to_the_bench_before_its_hold_is_over(client, bench):
    stocked()
    job = a_cut_job()
    agree(job)
    held(job, "parts", bench)
    assert primary(page(client, job).content.decode()) == ["Parts have come"]


def test_a_hold_that_was_seen_does_not_end_another_one(client, job, bench):
    held(job, "drying", bench)
    answer = client.post(reverse("bench-hold-end", args=[job.number]), {"hold": "parts"}, follow=True)
    job.refresh_from_db()
    assert job.hold == "drying"
    assert "waits for something else meanwhile" in answer.content.decode()


def test_when_all_is_done_the_hold_test_comes_next(client, job):
    for place, step in enumerate(steps.of(job)):
        tick(client, step, "skip", f"k{place}", reason="Shown only")
    shown = page(client, job).content.decode()
    assert "Start the hold test" in shown


def test_the_page_asks_the_database_as_often_for_forty_steps_as_for_few(client, job):
    def asked():
        with CaptureQueriesContext(
            connection,
        ) as seen:
            page(client, job)
        return len(seen)

    page(client, job)
    few = asked()
    sample = named(job, "Unpick")
    for place in range(40):
        Step.objects.create(
            job=job,
            position=100 + place,
            made_from=f"more:{place}",
            kind=Step.Kind.REPAIR,
            text=f"Sew row {place} of the long seam.",
            damages=sample.damages,
            repair=Step.objects.filter(job=job).exclude(repair=None).first().repair,
        )
    assert asked() == few


def test_the_bench_asks_the_database_as_often_for_many_jobs_as_for_one(client, bench):
    stocked()
    agree(a_cut_job())

    def asked():
        with CaptureQueriesContext(connection) as seen:
            client.get(reverse("bench"))
        return len(seen)

    asked()
    one = asked()
    for _ in range(3):
        agree(a_cut_job())
    assert asked() <= one + 1


def test_more_found_inside_is_pinned_and_leads_to_the_quote(client, job, bench):
    shown = client.get(reverse("bench-found", args=[job.number])).content.decode()
    assert reverse("job-check-in", args=[job.number]) in shown
    assert "agreed already" in shown
    on_the_canopy(job, 0.5, "tear", mm=50)
    shown = client.get(reverse("bench-found", args=[job.number])).content.decode()
    assert reverse("quote", args=[job.number]) in shown
    assert "50 mm tear" in shown


def test_names_of_any_script_and_markup_stand_as_written(client, job, bench):
    job.customer.name = "<b>ليلى</b> شركة"
    job.customer.save()
    Step.objects.filter(job=job).update(text="<script>x</script> " + "Donaudampfschiff" * 12)
    shown = page(client, job).content.decode()
    assert "<script>x" not in shown
    assert "&lt;b&gt;ليلى&lt;/b&gt; شركة</bdi>" in shown


def test_next_up_takes_what_the_page_suggested(client, bench):
    stocked()
    agree(a_cut_job())
    suggestion = next_up.suggest(bench)[0]
    assert f"{suggestion.job}" in client.get(reverse("bench")).content.decode()


def test_what_was_done_long_since_is_folded_away_and_the_last_of_it_seen(client, job, bench):
    every = steps.of(job)
    Step.objects.filter(pk__in=[step.pk for step in every[:3]]).update(state=Step.State.DONE)
    assert "bench-behind" not in client.get(reverse("bench-job", args=[job.number])).content.decode()
    Step.objects.filter(pk=every[3].pk).update(state=Step.State.SKIPPED)
    shown = client.get(reverse("bench-job", args=[job.number])).content.decode()
    [folded] = re.findall(r'<li class="bench-behind">.*?</details>', shown, re.S)
    assert "The first 3 steps are done" in folded
    rows = [f'data-row="{step.pk}"' for step in every[:5]]
    assert [row in folded for row in rows] == [True, True, True, False, False]
    Step.objects.filter(job=job).update(state=Step.State.DONE)
    assert "bench-behind" not in client.get(reverse("bench-job", args=[job.number])).content.decode()


def shown_in(html: str, state: str) -> str:
    """What the bar of a step's page offers while the step is in this state."""
    bar = html[html.index('class="bench-do"') :]
    bar = bar[: bar.index("</article>")]
    parts = re.split(r'(?=<div class="[^"]*"\s+data-when="|<div data-when=")', bar)
    return "".join(part for part in parts[1:] if state in re.search(r'data-when="([^"]*)"', part)[1].split())


@pytest.mark.parametrize(("state", "act"), [("waiting", "Start"), ("running", "Done")])
def test_a_step_has_one_thing_to_do_next_in_each_state(client, job, state, act):
    html = page(client, job, steps.of(job)[0]).content.decode()
    offered = shown_in(html, state)

    assert offered.count("is-primary") == 1
    primary = offered[offered.index("is-primary") :]
    assert primary[primary.index(">") + 1 : primary.index("<")].strip() == act


def test_a_step_tells_what_its_whole_repair_was_estimated_at_and_no_share_of_it(client, job):
    step = next(step for step in steps.of(job) if step.operation_code)
    others = [each for each in steps.of(job) if each.operation_code == step.operation_code]

    html = page(client, job, step).content.decode()
    shown = html[html.index(f'id="step-{step.pk}"') :]

    assert f"for {len(others)} steps together" in " ".join(shown[: shown.index("</header>")].split())
