from itertools import product

import pytest

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.jobs.stages import StageRefused, choices_from, move, next_action, refusals, set_hold
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import CustomerFactory, DamageFactory, JobFactory, accepted, agreed, handed_back, quoted

pytestmark = pytest.mark.django_db
AHEAD = [
    Stage.CHECKED_IN,
    Stage.ASSESSED,
    Stage.QUOTE_OUT,
    Stage.GO_AHEAD,
    Stage.BENCH,
    Stage.HOLD_TEST,
    Stage.READY,
    Stage.HANDED_BACK,
]


def complete_job(**facts: object) -> Job:
    """A job that lacks nothing for any step."""
    agreed = {"terms_agreed_at": "2026-05-04T09:00:00Z"}
    job = JobFactory(**(agreed | facts))
    DamageFactory(job=job)
    return job


def test_a_job_goes_the_whole_way_from_enquiry_to_handed_back(counter: Staff) -> None:
    job = complete_job()
    for stage in AHEAD:
        if stage == Stage.QUOTE_OUT:
            quote = quoted(job, counter)
        elif stage == Stage.GO_AHEAD:
            accepted(quote, job)
        elif stage == Stage.HANDED_BACK:
            handed_back(job, counter)
        else:
            if stage == Stage.HOLD_TEST:
                job.steps.update(state="done")
            move(job, stage, who=counter)
    assert job.stage == Stage.HANDED_BACK
    assert not job.is_open
    assert job.closed_at is not None


def test_every_step_is_in_the_journal_with_both_stages(counter: Staff) -> None:
    job = complete_job()
    move(job, "checked-in", who=counter)
    [entry] = journal.entries(job)
    assert (entry.verb, entry.text, entry.who) == ("stage.changed", "Check in.", counter)
    assert entry.changes == {"stage": ["Enquiry", "Checked in"]}


def test_no_job_is_checked_in_without_a_damage_and_the_terms(counter: Staff) -> None:
    job = JobFactory()
    with pytest.raises(StageRefused) as refusal:
        move(job, Stage.CHECKED_IN, who=counter)
    assert refusal.value.reasons == ["Pin at least one damage.", "The customer has not agreed the terms yet."]
    assert Job.objects.get().stage == Stage.ENQUIRY


def test_a_removed_damage_does_not_count(counter: Staff) -> None:
    job = JobFactory(terms_agreed_at="2026-05-04T09:00:00Z")
    DamageFactory(job=job, removed_at="2026-05-04T09:00:00Z")
    assert refusals(job, Stage.CHECKED_IN) == ["Pin at least one damage."]


def test_a_job_is_not_assessed_while_a_damage_is_not_described() -> None:
    job = JobFactory(stage=Stage.CHECKED_IN)
    DamageFactory(job=job, number=1)
    DamageFactory(job=job, number=2, kind="")
    assert refusals(job, Stage.ASSESSED) == ["Answer the questions of damage 2."]
    DamageFactory(job=job, number=3, length_m=None)
    DamageFactory(job=job, number=4, kind="")
    assert refusals(job, Stage.ASSESSED) == ["Answer the questions of damages 2, 3 and 4."]


def test_a_quote_goes_only_to_somebody_who_can_be_reached() -> None:
    job = complete_job(stage=Stage.ASSESSED, customer=CustomerFactory(phone=""))
    with pytest.raises(StageRefused) as refusal:
        quoted(job)
    assert refusal.value.reasons == ["The customer has neither a phone number nor an e-mail address."]


def test_a_customer_moves_a_job_by_an_answer_and_no_other_way() -> None:
    job = complete_job(stage=Stage.ASSESSED)
    agreed(job)
    assert journal.entries(job).filter(verb="stage.changed").first().who_name == "Ilka Sandvoort (customer)"
    with pytest.raises(StageRefused) as refusal:
        move(job, Stage.BENCH, who=None, who_name="Ilka Sandvoort (customer)")
    assert refusal.value.reasons == ["Only somebody of the shop may do that."]


def test_another_package_may_keep_a_way_shut(counter: Staff, monkeypatch: pytest.MonkeyPatch) -> None:
    def thread_in_the_house(job: Job) -> str:
        return f"There is no thread for job {job}."

    def needle_in_the_house(_job: Job) -> str:
        return "There is no needle."

    monkeypatch.setattr(stages, "_ADDED", {})
    for _ in range(2):
        stages.add_guard(Stage.GO_AHEAD, Stage.BENCH, thread_in_the_house)
        stages.add_guard(Stage.GO_AHEAD, Stage.BENCH, needle_in_the_house)
    job = complete_job(stage=Stage.GO_AHEAD)
    assert refusals(job, Stage.BENCH) == [f"There is no thread for job {job}.", "There is no needle."]


def test_nothing_wet_is_put_on_the_bench() -> None:
    job = complete_job(stage=Stage.GO_AHEAD, hold=Hold.DRYING)
    assert refusals(job, Stage.BENCH) == ["It is on hold: drying. Lift the hold when it is bone dry."]
    job.hold = Hold.PARTS
    assert refusals(job, Stage.BENCH) == []


@pytest.mark.parametrize(("stage", "to"), [(Stage.HOLD_TEST, Stage.READY), (Stage.READY, Stage.HANDED_BACK)])
def test_what_waits_is_neither_ready_nor_handed_back(stage: Stage, to: Stage) -> None:
    job = complete_job(stage=stage, hold=Hold.PARTS)
    assert "It is on hold: waiting for parts. Lift the hold first." in refusals(job, to)


def test_a_jump_is_refused_with_the_ways_that_there_are() -> None:
    job = complete_job(stage=Stage.CHECKED_IN)
    assert refusals(job, Stage.BENCH) == [
        "The job is at “Checked in” and cannot jump to “On the bench”; "
        "from there it goes to “Assessed” or “Enquiry” or “Withdrawn”."
    ]
    assert refusals(job, Stage.CHECKED_IN) == ["The job is already at “Checked in”."]


def test_every_pair_of_stages_is_a_way_or_refused_in_a_sentence() -> None:
    ways = {(way.start, way.to) for way in stages.TRANSITIONS}
    for start, to in product(Stage, Stage):
        job = Job(stage=start)
        if (start, to) not in ways:
            [reason] = refusals(job, to)
            assert reason.endswith(".")


def test_no_way_is_told_twice_and_every_stage_is_reached() -> None:
    ways = [(way.start, way.to) for way in stages.TRANSITIONS]
    assert len(ways) == len(set(ways))
    assert {to for _, to in ways} == set(Stage)


def test_a_stage_that_does_not_exist_is_an_error() -> None:
    with pytest.raises(ValueError, match="not a valid Stage"):
        refusals(JobFactory(), "lost")


def test_a_failed_hold_test_goes_back_to_the_bench_with_a_reason(counter: Staff) -> None:
    job = complete_job(stage=Stage.HOLD_TEST)
    with pytest.raises(StageRefused) as refusal:
        move(job, Stage.BENCH, who=counter)
    assert refusal.value.reasons == ["Say why, in a few words."]
    move(job, Stage.BENCH, who=counter, reason="Lost 20 kPa in an hour.")
    assert journal.entries(job).first().text == (
        "It does not hold: back to the bench: Lost 20 kPa in an hour."
    )


def test_only_the_owner_opens_a_withdrawn_job_again(counter: Staff, owner: Staff) -> None:
    job = complete_job(stage=Stage.WITHDRAWN, is_open=False, closed_at="2026-05-04T09:00:00Z")
    with pytest.raises(StageRefused) as refusal:
        move(job, Stage.ENQUIRY, who=counter, reason="They came back.")
    assert refusal.value.reasons == ["Only the owner may do that."]
    move(job, Stage.ENQUIRY, who=owner, reason="They came back.")
    assert (job.is_open, job.closed_at) == (True, None)


def test_an_inflatable_has_one_open_enquiry_at_a_time(owner: Staff) -> None:
    job = complete_job(stage=Stage.WITHDRAWN, is_open=False)
    other = JobFactory(inflatable=job.inflatable)
    assert refusals(job, Stage.ENQUIRY) == [f"Job {other} is already an open enquiry about it."]


def test_a_job_that_somebody_else_moved_meanwhile_is_not_moved_again(counter: Staff, bench: Staff) -> None:
    job = complete_job(stage=Stage.GO_AHEAD)
    seen_by_bench = Job.objects.get()
    move(job, Stage.BENCH, who=counter)
    with pytest.raises(StageRefused) as refusal:
        move(seen_by_bench, Stage.ASSESSED, who=bench, reason="A second cut.")
    assert refusal.value.reasons == ["Somebody has just moved this job to “On the bench”. Look at it again."]
    assert journal.entries(job).count() == 1


def test_a_hold_says_why_the_job_waits_and_leaves_its_stage(bench: Staff) -> None:
    job = complete_job(stage=Stage.BENCH)
    set_hold(job, Hold.PARTS, " A valve. ", who=bench)
    job.refresh_from_db()
    assert (job.stage, job.hold, job.hold_note) == (Stage.BENCH, Hold.PARTS, "A valve.")
    set_hold(job, "", who=bench)
    assert [entry.text for entry in journal.entries(job)] == [
        "The hold is lifted.",
        "On hold: waiting for parts.",
    ]
    assert journal.entries(job).first().changes == {
        "hold": ["Waiting for parts", "No hold"],
        "note": ["A valve.", ""],
    }


def test_the_same_hold_again_is_no_news(bench: Staff) -> None:
    job = complete_job(stage=Stage.BENCH)
    set_hold(job, Hold.PARTS, "A valve.", who=bench)
    set_hold(job, Hold.PARTS, "A valve.", who=bench)
    assert journal.entries(job).count() == 1


def test_gear_that_is_taken_away_no_longer_waits_and_the_journal_says_so(counter: Staff) -> None:
    job = complete_job(stage=Stage.ASSESSED, hold=Hold.DRYING, hold_note="It came in wet or sandy.")
    move(job, Stage.WITHDRAWN, who=counter, reason="Not worth it.")
    assert (job.is_open, job.hold, job.hold_note) == (False, Hold.NONE, "")
    assert journal.entries(job).first().changes == {
        "stage": ["Assessed", "Withdrawn"],
        "hold": ["Drying", "No hold"],
        "note": ["It came in wet or sandy.", ""],
    }


def test_a_job_that_waits_goes_on_waiting_at_its_next_stage(counter: Staff) -> None:
    job = complete_job(stage=Stage.CHECKED_IN, hold=Hold.PARTS, hold_note="A valve.")
    move(job, Stage.ASSESSED, who=counter)
    job.refresh_from_db()
    assert (job.hold, job.hold_note) == (Hold.PARTS, "A valve.")


def test_a_closed_job_waits_for_nothing(bench: Staff) -> None:
    job = complete_job(stage=Stage.HANDED_BACK, is_open=False)
    with pytest.raises(ValueError, match="only an open job can wait"):
        set_hold(job, Hold.PARTS, who=bench)


@pytest.mark.parametrize(
    ("stage", "label"),
    [
        (Stage.ENQUIRY, "Go on with check-in"),
        (Stage.CHECKED_IN, "Assess the damage"),
        (Stage.ASSESSED, "Write the quote"),
        (Stage.QUOTE_OUT, "Await the customer's answer"),
        (Stage.GO_AHEAD, "Put on the bench"),
        (Stage.BENCH, "Repair, then hold test"),
        (Stage.HOLD_TEST, "Read the hold test"),
        (Stage.READY, "Hand back"),
        (Stage.HANDED_BACK, "Look at the job"),
        (Stage.WITHDRAWN, "Look at the job"),
    ],
)
def test_each_stage_has_one_next_thing_to_do(stage: Stage, label: str) -> None:
    assert next_action(Job(stage=stage)).label == label


def test_an_assessed_job_leads_to_its_quote() -> None:
    action = next_action(Job(stage=Stage.ASSESSED))
    assert (action.url_name, action.to, action.primary) == ("quote", Stage.QUOTE_OUT, True)
    assert next_action(Job(stage=Stage.CHECKED_IN)).url_name == "job"


def test_what_is_drying_is_first_of_all_dried() -> None:
    action = next_action(Job(stage=Stage.GO_AHEAD, hold=Hold.DRYING))
    assert (action.label, action.primary) == ("Check that it is dry", False)


def test_the_next_step_comes_before_the_ways_back() -> None:
    labels = [way.label for way in choices_from(Job(stage=Stage.HOLD_TEST))]
    assert labels == ["It holds: ready", "It does not hold: back to the bench", "Hand back as it is"]
