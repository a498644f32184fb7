"""A new damage held against a cover: whether it may be, what is proposed, and how the owner decides."""

import pytest

from shoprepair.cover import claim_guards, claims, comparing, costs, endings, personal
from shoprepair.cover.claims import ClaimRefused, Stale
from shoprepair.cover.models import Claim
from shoprepair.jobs import damages, links, ownership
from shoprepair.jobs.models import Job, Stage
from shoprepair.shop import journal, outbox
from tests.cover.claiming import back_again, later, once_covered, opened_seam, the_cover
from tests.cover.covering import owned_wing
from tests.factories import CustomerFactory, StaffFactory

pytestmark = pytest.mark.django_db
WORDS = "The inner row of our patch let go."


@pytest.fixture(scope="module", autouse=True)
def _covered(django_db_setup, django_db_blocker):
    yield from once_covered(django_db_blocker)


@pytest.fixture
def cover():
    return the_cover()


@pytest.fixture
def damage(cover):
    return opened_seam(back_again(cover.inflatable), cover)


@pytest.fixture
def claim(damage, counter):
    return claims.hold_against(damage, over_pressure="no", who=counter)


def decide(claim: Claim, who, decision: str = "ours", words: str = WORDS) -> Claim:
    return claims.decide(claim, decision, words, who=who, version=claim.version)


def test_a_seam_that_opened_inside_a_patch_is_proposed_as_ours_with_reasons(cover, damage):
    found = comparing.compare(damage, "no")
    assert found.met[0].cover == cover
    assert found.met[0].meeting.relation == "meets"
    assert (found.proposal.kind, found.proposal.cover) == ("ours", cover.number)
    assert found.proposal.reasons
    assert claims.proposed(damage, "yes").kind == "owner", "pumped above its rating, only the owner can tell"


def test_what_was_seen_is_kept_with_the_claim_and_read_back_the_same(cover, damage, claim):
    found = comparing.compare(damage, "no")
    assert comparing.seen_again(claim.seen, [met.cover for met in found.met]) == found
    assert claim.proposal == found.proposal.kind
    assert claims.over_pressure_of(claim) == "no"


def test_a_new_damage_far_from_every_footprint_is_proposed_as_new(cover):
    away = opened_seam(back_again(cover.inflatable), cover, away_m=0.6)
    assert claims.proposed(away).kind == "new"
    assert claims.meetings(away)[0].meeting.distance_m > 0.4


def test_a_damage_is_held_once(damage, claim, counter):
    with pytest.raises(ClaimRefused, match="is already held against cover") as refusal:
        claims.hold_against(damage, who=counter)
    assert refusal.value.about == "claim"


def test_gear_of_somebody_else_is_passed_on_first(cover, counter):
    stranger = CustomerFactory(name="Brann Sollvik")
    damage = opened_seam(back_again(cover.inflatable, stranger), cover)
    with pytest.raises(ClaimRefused, match=r"belongs to Ilka Sandvoort.*Pass the gear on first") as refusal:
        claims.hold_against(damage, who=counter)
    assert refusal.value.about == "owner"
    ownership.pass_on(cover.inflatable, stranger, who=counter)
    assert claims.hold_against(damage, who=counter).cover == cover


def test_a_damage_may_be_held_on_a_visit_during_which_the_gear_passed_on(cover, counter):
    damage = opened_seam(back_again(cover.inflatable), cover)
    ownership.pass_on(cover.inflatable, CustomerFactory(name="Brann Sollvik"), who=counter)
    assert claims.hold_against(damage, who=counter).cover == cover


def test_only_what_is_described_and_still_there_is_held_while_the_job_is_open(cover, damage, counter):
    undescribed = damages.pin(damage.job, 0.5, 0.03, who=counter)
    with pytest.raises(ClaimRefused, match="Answer the questions of damage 2 first"):
        claims.hold_against(undescribed, who=counter)
    damages.remove(damage, counter)
    with pytest.raises(ClaimRefused, match="Damage 1 was taken off the job"):
        claims.hold_against(damage, who=counter)
    damages.restore(damage, counter)
    Job.objects.filter(pk=damage.job_id).update(stage=Stage.WITHDRAWN, is_open=False)
    with pytest.raises(ClaimRefused, match="is closed"):
        claims.hold_against(damage, who=counter)


def test_a_cover_that_has_ended_answers_for_nothing_and_gear_without_covers_has_none(
    cover, damage, counter, owner
):
    endings.end(cover, "void", "Sold as seen.", who=owner)
    with pytest.raises(ClaimRefused, match=f"Cover {cover} no longer stands: the owner ended it"):
        claims.hold_against(damage, cover, who=counter)
    elsewhere = opened_seam(back_again(owned_wing("Jorun Tveit")), cover)
    with pytest.raises(ClaimRefused, match="There is no cover on"):
        claims.hold_against(elsewhere, who=counter)
    with pytest.raises(ClaimRefused, match="on other gear than this"):
        claims.hold_against(elsewhere, cover, who=counter)


def test_the_owner_decides_in_words_and_the_customer_is_written_to(claim, owner, damage):
    decided = decide(claim, owner, "new", "  A fresh cut beside our patch.  ")
    assert (decided.decision, decided.words, decided.decided_by) == (
        "new",
        "A fresh cut beside our patch.",
        owner,
    )
    letter = outbox.letters(decided.job)[0]
    assert letter.code == "claim-decided"
    assert "A fresh cut beside our patch." in letter.body
    assert links.path(links.current(decided.job)) in letter.body
    told = [entry.text for entry in journal.entries(decided.job)]
    assert any(text.startswith("Decided claim 0001, damage 1: a new damage.") for text in told)
    assert decided.remedy is None
    assert list(claims.waiting()) == []
    assert list(claims.decided()) == [decided]


@pytest.mark.parametrize(
    ("words", "sentence"), [(" \n ", "Say why, in words"), ("x" * 2001, "At most 2,000 characters")]
)
def test_a_decision_has_words_that_the_customer_can_read(claim, owner, words, sentence):
    with pytest.raises(ClaimRefused, match=sentence) as refusal:
        decide(claim, owner, words=words)
    assert refusal.value.about == "words"
    assert not Claim.objects.get().decision


def test_nobody_but_the_owner_decides(claim, counter, owner):
    with pytest.raises(ClaimRefused, match="Only the owner decides"):
        decide(claim, counter)
    with pytest.raises(ClaimRefused, match="Choose: ours, or a new damage"):
        decide(claim, owner, "perhaps")


def test_of_two_decisions_at_once_the_second_hears_of_the_first(claim, owner):
    other = StaffFactory(role="owner", first_name="Sindre", last_name="Ask")
    decide(claim, owner, "new", "A fresh cut.")
    with pytest.raises(Stale, match="Runa Selvaag decided claim 0001, damage 1: a new damage"):
        decide(claim, other)
    claim.refresh_from_db()
    with pytest.raises(ClaimRefused, match="is decided already"):
        decide(claim, other)


def test_while_it_is_open_the_comparison_follows_the_damage_and_afterwards_it_stays(claim, damage, owner):
    assert claims.compare(claim).proposal.kind == "ours"
    damages.move_pin(damage, 0.0, 0.9, who=owner)
    moved = Claim.objects.get(pk=claim.pk)
    assert claims.compare(moved).proposal.kind == "new"
    decided = decide(moved, owner, "new", "It lies elsewhere.")
    assert decided.proposal == "new", "what was proposed when it was decided, not when it was held"
    damage.refresh_from_db()
    damages.move_pin(damage, 0.18, 0.03, who=owner)
    assert claims.compare(Claim.objects.get(pk=claim.pk)).proposal.kind == "new"


def test_a_damage_taken_off_is_not_decided_on_and_waits_for_nobody(claim, damage, owner, counter):
    damages.remove(damage, counter)
    with pytest.raises(ClaimRefused, match="was taken off job"):
        decide(claim, owner)
    assert list(claims.waiting()) == []
    assert list(claims.lapsed()) == [claim]
    claims.drop(claim, who=counter)
    assert not Claim.objects.exists()
    assert "taken back" in journal.entries(damage.job).first().text


def test_whether_it_was_pumped_too_hard_is_weighed_anew(claim, counter):
    said = claims.pumped(claim, "yes", who=counter, version=claim.version)
    assert (said.proposal, said.version) == ("owner", claim.version + 1)
    with pytest.raises(Stale, match="said whether it was pumped"):
        claims.pumped(claim, "no", who=counter, version=claim.version)


def test_a_decision_is_taken_back_with_a_reason(claim, owner, counter):
    decided = decide(claim, owner, "new", "A fresh cut.")
    for reason, who, sentence in (
        ("Why", counter, "Only the owner"),
        (" ", owner, "Say why"),
        ("x" * 201, owner, "200 letters or fewer"),
    ):
        with pytest.raises(ClaimRefused, match=sentence):
            claims.reopen(decided, reason, who=who)
    again = claims.reopen(decided, "The photos show otherwise.", who=owner)
    assert (again.decision, again.words, again.decided_by) == ("", "", None)
    assert list(claims.waiting()) == [again]
    with pytest.raises(ClaimRefused, match="there is nothing to take back"):
        claims.reopen(again, "Once more.", who=owner)


def test_a_claim_years_later_counts_the_age_from_the_cover(cover, counter):
    with later(800):
        damage = opened_seam(back_again(cover.inflatable), cover)
        claim = claims.hold_against(damage, cover, who=counter)
    assert "age" in {each["key"] for met in claim.seen["met"] for each in met["evidence"]}
    assert costs.of(claim) == 0


def test_what_is_decided_is_neither_weighed_anew_nor_dropped_nor_opened_after_the_job(claim, owner, counter):
    assert claims.pumped(claim, "no", who=counter, version=claim.version).version == claim.version
    decided = decide(claim, owner, "new", "A fresh cut.")
    with pytest.raises(ClaimRefused, match="is decided; open it again to weigh it anew"):
        claims.pumped(decided, "yes", who=counter, version=decided.version)
    with pytest.raises(ClaimRefused, match="is decided and stays"):
        claims.drop(decided, who=counter)
    Job.objects.filter(pk=decided.job_id).update(stage=Stage.WITHDRAWN, is_open=False)
    with pytest.raises(ClaimRefused, match="is closed, so its claims stay as they were decided"):
        claims.reopen(decided, "The photos show otherwise.", who=owner)


def test_a_claim_that_somebody_took_back_meanwhile_is_not_decided(claim, owner, counter):
    claims.drop(Claim.objects.get(pk=claim.pk), who=counter)
    with pytest.raises(ClaimRefused, match="was taken back meanwhile"):
        decide(claim, owner)


def test_a_damage_whose_kind_is_in_doubt_again_is_described_before_it_is_decided(claim, damage, owner):
    damages.answer(damage, who=owner, kind="")
    with pytest.raises(ClaimRefused, match="Damage 1 has to be described again first"):
        decide(Claim.objects.get(pk=claim.pk), owner)


def test_whoever_has_no_address_gets_a_link_and_no_letter(cover, claim, owner):
    claim.job.customer.email = ""
    claim.job.customer.save()
    decided = decide(claim, owner, "new", "A fresh cut.")
    assert outbox.letters(decided.job) == []
    assert links.current(decided.job) is not None


def test_a_cover_knows_what_was_held_against_it_and_holds_its_gear_to_its_model(cover, claim):
    assert list(claims.against(cover)) == [claim]
    assert claim_guards.no_cover_hangs_on_it(cover.inflatable) == (
        f"Cover {cover} was given for the model it is now."
    )
    assert claim_guards.no_cover_hangs_on_it(owned_wing("Jorun Tveit")) == ""


def test_an_open_claim_is_told_to_its_customer_and_keeps_their_name(claim, owner):
    customer = claim.job.customer
    assert list(personal.PART.refuse(customer)) == [f"Claim {claim} is still to be decided."]
    decided = decide(claim, owner, "new", "A fresh cut.")
    [told] = {part.name: part.rows for part in personal.PART.tell(customer)}["claims"]
    assert (told["number"], told["decision"], told["words"]) == (
        1,
        decided.get_decision_display(),
        "A fresh cut.",
    )
    assert list(personal.PART.refuse(customer)) == []
