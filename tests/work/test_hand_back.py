from decimal import Decimal

import pytest
from django.db import DatabaseError, transaction
from django.utils import timezone, translation
from hypothesis import given
from hypothesis import strategies as st

from shoprepair.jobs import stages
from shoprepair.jobs.models import Hold, Job, Stage
from shoprepair.shop import erasing, journal, outbox
from shoprepair.shop.models import Staff
from shoprepair.shop.said import again as again_said
from shoprepair.work import hand_back, invoices, payments, signature
from shoprepair.work.hand_back import HandBackRefused, give, open_points, take_back
from shoprepair.work.models import HandBack, Invoice
from shoprepair.work.signature import SignatureRefused
from tests import again
from tests.factories import SIGNED, JobFactory, QuoteFactory, handed_back, ready
from tests.work.test_invoices import a_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    """Ready, with $110.00 to pay."""
    return again.once("a wing that stands ready", lambda: ready(a_job(customer__name="Ilka Sandvoort")))


@pytest.fixture
def paid(job: Job, counter: Staff) -> Job:
    payments.take(job, Decimal("110.00"), "cash", who=counter)
    return job


def test_paid_gear_goes_to_whoever_signs_for_it(paid: Job, counter: Staff) -> None:
    given_back = give(paid, "Ilka  Sandvoort", "the tag", SIGNED, who=counter)
    assert (given_back.taker_name, given_back.known_by, given_back.due) == ("Ilka Sandvoort", "the tag", 0)
    assert HandBack.objects.get().signature == SIGNED
    assert (paid.stage, paid.is_open) == (Stage.HANDED_BACK, False)
    assert invoices.standing(paid).total == Decimal("110.00")
    assert journal.entries(paid).first().text == "Handed back to Ilka Sandvoort, known by the tag."


def test_gear_that_lacks_nothing_has_no_open_points(paid: Job) -> None:
    assert open_points(paid) == []


def test_what_is_open_is_said_in_sentences(job: Job, counter: Staff) -> None:
    QuoteFactory(job=job, addition_to=job.quotes.get())
    job.quotes.filter(state="draft").update(state="out")
    stages.set_hold(job, Hold.PARTS, who=counter)
    job.steps.create(position=1, made_from="x", kind="close", text="Close the seam.")
    assert open_points(job) == [
        "It is on hold: waiting for parts.",
        "Step 2 of 3 comes next: “Close the seam”. Do every step, or leave it out with a reason.",
        "Quote 2 still awaits the customer's answer.",
        "$110.00 is still to be paid.",
    ]


def test_a_part_paid_says_what_of_all_is_left(job: Job, counter: Staff) -> None:
    payments.take(job, Decimal("60.00"), "cash", who=counter)
    assert open_points(job) == ["$50.00 of $110.00 is still to be paid."]


def test_unpaid_gear_stays_unless_the_owner_says_otherwise_and_why(
    job: Job, counter: Staff, owner: Staff
) -> None:
    with pytest.raises(HandBackRefused) as refusal:
        give(job, "Ilka Sandvoort", "the tag", SIGNED, who=counter, override_reason="She will pay.")
    assert refusal.value.reasons == [
        "$110.00 is still to be paid.",
        "Mend that first, or let the owner hand it back as it is.",
    ]
    with pytest.raises(HandBackRefused, match="Say why") as refusal:
        give(job, "Ilka Sandvoort", "the tag", SIGNED, who=owner)
    assert refusal.value.field == "override_reason"
    out = give(job, "Ilka Sandvoort", "the tag", SIGNED, who=owner, override_reason="Pays by transfer.")
    assert (out.override_by, out.override_reason, out.due) == (owner, "Pays by transfer.", Decimal("110.00"))
    assert out.open_points == ["$110.00 is still to be paid."]
    assert job.stage == Stage.HANDED_BACK


def test_what_is_paid_later_still_comes_in(job: Job, owner: Staff) -> None:
    give(job, "Ilka Sandvoort", "the tag", SIGNED, who=owner, override_reason="Pays by transfer.")
    payments.take(job, Decimal("110.00"), "transfer", who=owner)
    assert invoices.owed(job).due == 0
    assert HandBack.objects.get().due == Decimal("110.00")


def test_an_owner_with_nothing_open_overrules_nothing(paid: Job, owner: Staff) -> None:
    out = give(paid, "Ilka Sandvoort", "the tag", SIGNED, who=owner, override_reason="Just so.")
    assert (out.override_by, out.override_reason) == (None, "")


def test_gear_on_hold_that_the_owner_hands_back_waits_no_longer(paid: Job, owner: Staff) -> None:
    stages.set_hold(paid, Hold.CUSTOMER, who=owner)
    give(paid, "Ilka Sandvoort", "the tag", SIGNED, who=owner, override_reason="She is here.")
    assert (paid.stage, paid.hold) == (Stage.HANDED_BACK, "")


@pytest.mark.parametrize("stage", [Stage.BENCH, Stage.HOLD_TEST])
def test_the_owner_alone_hands_back_what_is_not_ready(
    stage: Stage, paid: Job, counter: Staff, owner: Staff
) -> None:
    Job.objects.filter(pk=paid.pk).update(stage=stage)
    paid.refresh_from_db()
    with pytest.raises(HandBackRefused, match="not yet ready"):
        give(paid, "Ilka Sandvoort", "the tag", SIGNED, who=counter)
    out = give(paid, "Ilka Sandvoort", "the tag", SIGNED, who=owner, override_reason="Her trip is today.")
    assert any("not yet ready" in point for point in out.open_points)
    assert paid.stage == Stage.HANDED_BACK


def test_nothing_is_handed_back_that_only_came_in(owner: Staff) -> None:
    with pytest.raises(HandBackRefused, match="cannot be handed back from it"):
        give(a_job(), "Ilka", "the tag", SIGNED, who=owner, override_reason="Why not.")


def test_twice_is_once(paid: Job, counter: Staff) -> None:
    handed_back(paid, counter)
    with pytest.raises(HandBackRefused, match="handed back to Ilka Sandvoort already"):
        give(paid, "Somebody Else", "the tag", SIGNED, who=counter)


@pytest.mark.parametrize(
    ("name", "known_by", "field"),
    [
        ("", "the tag", "taker_name"),
        ("\u200b ", "the tag", "taker_name"),
        ("x" * 121, "the tag", "taker_name"),
        ("Ilka", " ", "known_by"),
        ("Ilka", "x" * 201, "known_by"),
    ],
)
def test_a_taker_has_a_name_and_is_known_by_something(
    name: str, known_by: str, field: str, paid: Job, counter: Staff
) -> None:
    with pytest.raises(HandBackRefused) as refusal:
        give(paid, name, known_by, SIGNED, who=counter)
    assert refusal.value.field == field
    assert not Invoice.objects.exists()


@pytest.mark.parametrize("drawn", [[], [[]], None, "scribble", {}, [[[0.5]]], [[["a", 0.5]]], [5]])
def test_nothing_drawn_is_no_signature(drawn: object, paid: Job, counter: Staff) -> None:
    with pytest.raises(HandBackRefused) as refusal:
        give(paid, "Ilka", "the tag", drawn, who=counter)
    assert refusal.value.field == "signature"
    assert refusal.value.reasons[0].endswith((".", "box."))
    assert paid.stage == Stage.READY


@pytest.mark.parametrize(
    "dot", [[[[0.5, 0.5]]], [[[0.5, 0.5], [0.5, 0.51]]], [[[0.1, 0.1]], [[0.9, 0.9]]], [[[0.5, 0.5]] * 900]]
)
def test_one_dot_is_no_signature(dot: object) -> None:
    with pytest.raises(SignatureRefused, match="A dot is not a signature"):
        signature.checked(dot)


@pytest.mark.parametrize(
    "drawn", [[[[0.1, 0.1], [0.9, 0.9]] * 4000], [[]] * 9000, [[[0.1, 0.1], [0.2, 0.2]]] * 5000]
)
def test_a_flood_of_points_is_refused(drawn: object) -> None:
    with pytest.raises(SignatureRefused, match="more than a signature"):
        signature.checked(drawn)


@pytest.mark.parametrize(
    "text",
    ["[[[0,0],[2,2]]]", "[[[NaN,0],[1,1]]]", "[[[0,0],[1,Infinity]]]", "[" * 5000, "{", "true", '["ab"]'],
)
def test_what_no_page_draws_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(SignatureRefused, match="sign"):
        signature.read(text)


@given(st.text(max_size=300))
def test_no_text_at_all_breaks_the_reading(text: str) -> None:
    with pytest.raises(SignatureRefused, match=r"\.$"):
        signature.read(text)


def test_a_text_too_long_is_not_even_read() -> None:
    with pytest.raises(SignatureRefused, match="more than a signature"):
        signature.read("[" + " " * 300_000 + "]")


def test_a_signature_is_drawn_again_as_it_was() -> None:
    assert signature.path([[(0.1, 0.5), (0.25, 0.5)], [(0.5, 0.5)]], 100, 32) == (
        "M10.0 16.0L25.0 16.0 M50.0 16.0L50.0 16.0"
    )


def test_who_cannot_draw_types_their_name_and_the_journal_says_so(paid: Job, counter: Staff) -> None:
    out = give(paid, "Ilka Sandvoort", "the tag", [], who=counter, typed="  I.  Sandvoort ")
    assert (out.typed_name, out.signature, out.on_paper) == ("I. Sandvoort", [], False)
    assert journal.entries(paid).first().text == (
        "Handed back to Ilka Sandvoort, known by the tag, signed by typing “I. Sandvoort”."
    )


@pytest.mark.parametrize(("typed", "why"), [("...", "in letters"), ("x" * 121, "letters or fewer")])
def test_what_is_no_name_signs_nothing(paid: Job, counter: Staff, typed: str, why: str) -> None:
    with pytest.raises(HandBackRefused, match=why) as refusal:
        give(paid, "Ilka", "the tag", [], who=counter, typed=typed)
    assert refusal.value.field == "typed_name"


def test_a_typed_signature_stays_as_it_was_typed(paid: Job, counter: Staff) -> None:
    out = give(paid, "Ilka", "the tag", [], who=counter, typed="Ilka Sandvoort")
    for name in ("Somebody", None):
        with pytest.raises(DatabaseError, match="stays as it was signed"), transaction.atomic():
            HandBack.objects.filter(pk=out.pk).update(typed_name=name)
    drawn = HandBack.objects.filter(pk=out.pk)
    with pytest.raises(DatabaseError, match="stays as it was signed"), transaction.atomic():
        drawn.update(taker_name="Somebody")


def test_while_somebody_is_erased_a_typed_signature_may_go(paid: Job, counter: Staff) -> None:
    out = give(paid, "Ilka", "the tag", [], who=counter, typed="Ilka Sandvoort")
    with erasing.window():
        HandBack.objects.filter(pk=out.pk).update(typed_name=None)
    assert HandBack.objects.get().typed_name is None


def test_how_a_taker_was_known_is_said_in_the_readers_language(paid: Job, counter: Staff) -> None:
    out = give(paid, "Ilka", "a document: passport", SIGNED, who=counter)
    with translation.override("de"):
        assert out.known == "ein Ausweis: passport"
        assert "erkannt: ein Ausweis: passport" in again_said(journal.entries(paid).first().said)


def test_a_taker_known_in_person_was_known_by_sight(paid: Job, counter: Staff) -> None:
    out = give(paid, "Ilka", "in person", SIGNED, who=counter)
    assert (out.known_by, out.known) == ("in person", "sight")
    written = journal.entries(paid).first()
    assert written.text == "Handed back to Ilka, known by sight."
    with translation.override("de"):
        assert "erkannt: persönlich" in again_said(written.said)


def test_who_signed_on_paper_signs_no_screen(paid: Job, counter: Staff) -> None:
    out = give(paid, "Ilka", "in person", [], who=counter, on_paper=True)
    assert (out.on_paper, out.signature) == (True, [])
    assert "signed on paper" in journal.entries(paid).first().text


def test_the_owner_says_that_it_was_not_handed_back(paid: Job, counter: Staff, owner: Staff) -> None:
    handed_back(paid, counter)
    with pytest.raises(HandBackRefused, match="Only the owner"):
        take_back(paid, who=counter, reason="Wrong bag.")
    with pytest.raises(HandBackRefused, match="Say why"):
        take_back(paid, who=owner, reason="")
    take_back(paid, who=owner, reason="Wrong bag.")
    assert (paid.stage, paid.is_open) == (Stage.READY, True)
    assert hand_back.of(paid) is None
    with pytest.raises(HandBackRefused, match="it was not handed back"):
        take_back(paid, who=owner, reason="Again.")


def test_then_it_is_handed_back_anew_on_the_same_invoice(paid: Job, owner: Staff) -> None:
    handed_back(paid, owner)
    take_back(paid, who=owner, reason="Wrong bag.")
    handed_back(paid, owner)
    assert Invoice.objects.count() == 1
    assert HandBack.objects.count() == 2


def test_the_stage_alone_does_not_bring_gear_back_that_is_out(paid: Job, owner: Staff) -> None:
    handed_back(paid, owner)
    with pytest.raises(stages.StageRefused, match="on its page"):
        stages.move(paid, Stage.READY, who=owner, reason="Wrong bag.")


def test_the_database_keeps_what_was_signed(paid: Job, counter: Staff) -> None:
    handed_back(paid, counter)
    with pytest.raises(DatabaseError, match="stays as it was signed"), transaction.atomic():
        HandBack.objects.update(taker_name="Somebody Else")
    with pytest.raises(DatabaseError, match="stays as it was signed"), transaction.atomic():
        HandBack.objects.all()._raw_delete("default")
    HandBack.objects.update(taken_back_at=timezone.now())
    with pytest.raises(DatabaseError, match="stays as it was signed"), transaction.atomic():
        HandBack.objects.update(taken_back_at=None)


def test_gear_without_an_agreement_goes_back_without_an_invoice(counter: Staff) -> None:
    job = JobFactory(stage=Stage.READY)
    give(job, "Ilka", "in person", SIGNED, who=counter)
    assert job.stage == Stage.HANDED_BACK
    assert not Invoice.objects.exists()


def test_whoever_can_be_written_to_hears_that_it_is_ready(job: Job, bench: Staff, counter: Staff) -> None:
    job.customer.email = "ilka@sandvoort.example"
    job.customer.save()
    payments.take(job, Decimal("30.00"), "cash", who=counter, is_deposit=True)
    Job.objects.filter(pk=job.pk).update(stage=Stage.HOLD_TEST)
    job.refresh_from_db()
    stages.move(job, Stage.READY, who=bench)
    letter = outbox.letters(job)[0]
    assert (letter.code, letter.to) == ("ready", "ilka@sandvoort.example")
    assert "To pay: $80.00" in letter.body


def test_nobody_is_told_again_that_it_is_ready_when_it_was_not_handed_back(paid: Job, owner: Staff) -> None:
    paid.customer.email = "ilka@sandvoort.example"
    paid.customer.save()
    handed_back(paid, owner)
    take_back(paid, who=owner, reason="Wrong bag.")
    assert [letter.code for letter in outbox.letters(paid)].count("ready") == 0
