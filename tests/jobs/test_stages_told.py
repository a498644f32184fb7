"""What is told of the ways between stages: to whoever is refused or follows, and as the next step."""

import pytest

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.jobs.stages import StageRefused, choices_from, move, next_action, refusals, set_hold
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import CustomerFactory, DamageFactory, JobFactory, StaffFactory
from tests.jobs.test_stages import complete_job

pytestmark = pytest.mark.django_db


def test_a_refusal_says_everything_that_is_missing_in_one_breath() -> None:
    refused = StageRefused(["Pin at least one damage.", "Say why, in a few words."])
    assert str(refused) == "Pin at least one damage. Say why, in a few words."


@pytest.mark.parametrize(("phone", "email"), [("0151 2345", ""), ("", "ilka@sand.example")])
def test_a_phone_or_an_address_for_letters_is_enough(phone: str, email: str) -> None:
    job = JobFactory(customer=CustomerFactory(phone=phone, email=email))
    assert stages.customer_reachable(job) == ""


def test_whatever_is_known_of_a_question_answers_it_even_a_no() -> None:
    job = JobFactory(stage=Stage.CHECKED_IN)
    damage = DamageFactory(job=job, number=7)
    assert stages.every_damage_answered(job) == ""
    damage.delete()
    for number in (2, 5):
        DamageFactory(job=job, number=number, kind="")
    assert stages.every_damage_answered(job) == "Answer the questions of damages 2 and 5."


def test_the_customer_takes_a_way_by_answering_and_the_shop_takes_all_others() -> None:
    by_customer = {(way.start, way.to) for way in stages.TRANSITIONS if way.by_customer}
    assert by_customer == {
        (Stage.QUOTE_OUT, Stage.GO_AHEAD),
        (Stage.QUOTE_OUT, Stage.DECLINED),
        (Stage.ENQUIRY, Stage.WITHDRAWN),
    }


def test_every_way_back_asks_why_and_no_step_ahead_does() -> None:
    for way in stages.TRANSITIONS:
        assert (way.needs_reason, way.owner_only and not way.back) == (way.back, False)
    assert {(way.start, way.to) for way in stages.TRANSITIONS if way.owner_only} == {
        (Stage.BENCH, Stage.HANDED_BACK),
        (Stage.HOLD_TEST, Stage.HANDED_BACK),
        (Stage.WITHDRAWN, Stage.ENQUIRY),
        (Stage.HANDED_BACK, Stage.READY),
    }


def test_what_follows_a_move_is_told_from_where_to_where_and_by_whom(counter: Staff) -> None:
    told = []

    def listen(**news: object) -> None:
        told.append((news["sender"], news["job"], news["start"], news["to"], news["who"]))

    job = complete_job(stage=Stage.CHECKED_IN)
    stages.moved.connect(listen)
    try:
        move(job, "withdrawn", who=counter, reason=" Sold it. ")
    finally:
        stages.moved.disconnect(listen)
    assert told == [(Job, job, Stage.CHECKED_IN, Stage.WITHDRAWN, counter)]
    assert journal.entries(job).first().text == "Withdraw: Sold it."


def test_every_move_and_every_hold_makes_a_new_version_and_tells_the_one_at_hand(counter: Staff) -> None:
    job = complete_job(stage=Stage.GO_AHEAD)
    before = job.version
    move(job, Stage.BENCH, who=counter)
    assert job.version == before + 1
    set_hold(job, Hold.PARTS, "A valve.", who=counter)
    assert job.version == before + 2 == Job.objects.get().version
    assert journal.entries(job).first().who == counter


def test_a_closed_job_is_closed_by_the_clock_and_only_the_one_that_moved() -> None:
    owner = StaffFactory(role=Staff.Role.OWNER)
    others = [complete_job(stage=Stage.CHECKED_IN) for _ in range(2)]
    job = move(others.pop(), Stage.WITHDRAWN, who=owner, reason="Sold it.")
    assert (job.is_open, job.closed_at is None) == (False, False)
    others[0].refresh_from_db()
    assert (others[0].stage, others[0].is_open, others[0].closed_at) == (Stage.CHECKED_IN, True, None)


def test_no_stage_is_a_dead_end() -> None:
    ways = stages.TRANSITIONS
    for stage in Stage:
        out = [way.to for way in ways if way.start == stage]
        assert out
        [reason] = refusals(Job(stage=stage), stage)
        assert reason == f"The job is already at “{stage.label}”."
        assert [way.to for way in choices_from(Job(stage=stage))] == out


@pytest.mark.parametrize(
    ("stage", "url_name", "to"),
    [
        (Stage.ENQUIRY, "job-check-in", Stage.CHECKED_IN),
        (Stage.CHECKED_IN, "job", Stage.ASSESSED),
        (Stage.ASSESSED, "quote", Stage.QUOTE_OUT),
        (Stage.QUOTE_OUT, "job", Stage.GO_AHEAD),
        (Stage.GO_AHEAD, "job", Stage.BENCH),
        (Stage.BENCH, "job", Stage.HOLD_TEST),
        (Stage.HOLD_TEST, "hold-test", Stage.READY),
        (Stage.READY, "hand-back", Stage.HANDED_BACK),
    ],
)
def test_the_next_thing_to_do_leads_to_its_page_and_shouts_unless_the_job_waits(
    stage: Stage, url_name: str, to: Stage
) -> None:
    action = next_action(Job(stage=stage))
    assert (action.url_name, action.to, action.primary) == (url_name, to, True)
    waiting = next_action(Job(stage=stage, hold=Hold.PARTS))
    assert (waiting.url_name, waiting.primary) == (url_name, stage == Stage.ENQUIRY)


def test_where_nothing_is_left_to_do_the_job_is_only_looked_at() -> None:
    for job in (Job(stage=Stage.HANDED_BACK), Job(stage=Stage.DECLINED)):
        action = next_action(job)
        assert (action.label, action.url_name, action.primary, action.to) == (
            "Look at the job",
            "job",
            False,
            "",
        )
    dried = next_action(Job(stage=Stage.BENCH, hold=Hold.DRYING))
    assert (dried.url_name, dried.primary) == ("job", False)


def test_only_another_open_enquiry_about_the_same_gear_stands_in_the_way() -> None:
    job = complete_job(stage=Stage.WITHDRAWN, is_open=False)
    JobFactory(stage=Stage.ENQUIRY)
    JobFactory(stage=Stage.BENCH, inflatable=job.inflatable)
    assert stages.no_other_enquiry(job) == ""
    enquiry = JobFactory(stage=Stage.ENQUIRY, inflatable=job.inflatable)
    assert stages.no_other_enquiry(enquiry) == ""


def test_a_hold_needs_no_note_and_a_refused_one_says_why(bench: Staff) -> None:
    assert set_hold(complete_job(stage=Stage.BENCH), Hold.PARTS, who=bench).hold_note == ""
    with pytest.raises(ValueError) as refusal:
        set_hold(complete_job(stage=Stage.HANDED_BACK, is_open=False), Hold.PARTS, who=bench)
    assert str(refusal.value) == "This job is closed; only an open job can wait."


def test_where_a_hold_ends_no_note_is_left_and_the_journal_knows_it_as_a_hold(bench: Staff) -> None:
    job = set_hold(complete_job(stage=Stage.BENCH), Hold.PARTS, "A valve.", who=bench)
    assert set_hold(job, "", "It came.", who=bench).hold_note == ""
    assert {entry.verb for entry in journal.entries(job)} == {"hold.changed"}
