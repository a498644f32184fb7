"""What is ours is mended at nought: by the visit itself, or by a job of its own that takes it over."""

import io
from decimal import Decimal

import pytest
from PIL import Image

from shoprepair.cover import claims, costs, ours
from shoprepair.cover.claims import ClaimRefused
from shoprepair.cover.models import Claim
from shoprepair.jobs import damages, ownership, photos, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import quotes, totals
from shoprepair.pricing.models import Operation
from shoprepair.shop import journal, outbox
from shoprepair.work import invoices
from shoprepair.work.models import Step
from tests.cover.claiming import a_claim, back_again, once_covered, the_cover
from tests.factories import CustomerFactory
from tests.pricing.mending import on_the_canopy
from tests.work.benching import agree

pytestmark = pytest.mark.django_db
WORDS = "The inner row of our patch let go."


@pytest.fixture(scope="module", autouse=True)
def _covered(django_db_setup, django_db_blocker):
    yield from once_covered(django_db_blocker)


@pytest.fixture
def cover():
    return the_cover()


@pytest.fixture
def visit(cover):
    return back_again(cover.inflatable)


def decide(claim: Claim, who, decision: str = "ours") -> Claim:
    claim.refresh_from_db()
    return claims.decide(claim, decision, WORDS, who=who, version=claim.version)


def live(job: Job) -> list[int]:
    return [damage.number for damage in damages.live(job)]


def codes_written(job: Job) -> list[str]:
    return [letter.code for letter in outbox.letters(job)]


def test_a_visit_that_is_all_ours_is_mended_itself_at_nought(cover, visit, owner):
    decided = decide(a_claim(cover, owner, visit), owner)
    visit.refresh_from_db()
    assert decided.remedy == visit
    assert visit.stage == Stage.GO_AHEAD
    agreed = quotes.agreed(visit)
    assert (agreed.warranty, totals.of(agreed).total) == (True, 0)
    assert agreed.agreed["written_down_by"] == str(owner)
    assert invoices.owed(visit).total == 0
    assert Step.objects.filter(job=visit).exists(), "the bench has its steps"
    assert codes_written(visit) == ["claim-decided"], "nobody is asked to answer a quote that the shop agreed"


def test_what_is_ours_leaves_a_visit_that_has_more_to_mend(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    other = on_the_canopy(visit, 0.4, "tear", mm=90)
    photo = photos.keep(visit, picture(), damage=claim.damage, who=owner)
    decided = decide(claim, owner)
    visit.refresh_from_db()
    assert decided.remedy != visit
    assert (decided.remedy.stage, visit.stage) == (Stage.GO_AHEAD, Stage.CHECKED_IN)
    assert (live(decided.remedy), live(visit)) == ([claim.damage.number], [other.number])
    taken = decided.remedy.damages.get()
    assert (taken.kind, taken.length_typed, taken.x_m) == ("seam opened", "30 mm", claim.damage.x_m)
    photo.refresh_from_db()
    assert (photo.job, photo.damage) == (decided.remedy, taken)
    assert decided.remedy.customer == visit.customer
    assert decided.remedy.terms_agreed_at == visit.terms_agreed_at
    for job in (visit, decided.remedy):
        assert journal.entries(job).filter(verb="claim.taken-up").exists()
    assert "claim-decided" in codes_written(visit)
    assert codes_written(decided.remedy) == []


def test_gear_that_passed_on_meanwhile_is_mended_for_its_new_owner(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    ownership.pass_on(visit.inflatable, CustomerFactory(name="Brann Sollvik"), who=owner)
    remedy = decide(claim, owner).remedy
    assert (str(visit.customer), str(remedy.customer)) == ("Ilka Sandvoort", "Brann Sollvik")


def picture() -> io.BytesIO:
    file = io.BytesIO()
    Image.new("RGB", (60, 40), (40, 60, 180)).save(file, "JPEG")
    file.seek(0)
    return file


def test_a_damage_that_went_over_is_priced_no_more_where_it_was(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    decided = decide(claim, owner)
    damages.restore(claim.damage, owner)
    Job.objects.filter(pk=visit.pk).update(stage=Stage.ASSESSED)
    visit.refresh_from_db()
    assert (
        f"Damage {claim.damage.number} is ours: job {decided.remedy} mends it. Take it off this job again."
        in stages.refusals(visit, Stage.QUOTE_OUT)
    )


def test_a_quote_that_was_out_is_taken_back_and_what_was_agreed_is_quoted_anew(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    agree(visit)
    decide(claim, owner)
    visit.refresh_from_db()
    assert visit.stage == Stage.ASSESSED
    assert any("still asks for damage 1" in said for said in stages.refusals(visit, Stage.QUOTE_OUT))


def test_what_the_customer_agreed_to_pay_is_not_ours_while_it_is_in_work(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    agree(visit)
    stages.move(visit, Stage.BENCH, who=owner)
    with pytest.raises(ClaimRefused, match="agreed to pay for damage 1, and it is in work"):
        decide(claim, owner)
    claim.refresh_from_db()
    assert claim.decision == ""


def test_what_is_found_in_work_is_added_at_nought(cover, visit, owner):
    on_the_canopy(visit, 0.4, "tear", mm=90)
    paid = agree(visit)
    stages.move(visit, Stage.BENCH, who=owner)
    decided = decide(a_claim(cover, owner, visit), owner)
    visit.refresh_from_db()
    assert (decided.remedy, visit.stage) == (visit, Stage.BENCH)
    assert invoices.owed(visit).total == Decimal(paid.agreed["total"])
    assert costs.of(decided) > 0


def test_nothing_is_taken_up_before_check_in_or_after_the_job_is_closed(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    for fields, sentence in (
        ({"stage": Stage.ENQUIRY}, "is not checked in yet"),
        ({"stage": Stage.WITHDRAWN, "is_open": False}, "is closed"),
    ):
        Job.objects.filter(pk=visit.pk).update(**fields)
        with pytest.raises(ClaimRefused, match=sentence):
            decide(claim, owner)
    assert decide(claim, owner, "new").decision == "new"


def test_two_claims_of_a_visit_are_mended_by_one_job(cover, visit, owner):
    on_the_canopy(visit, 0.4, "tear", mm=90)
    first = a_claim(cover, owner, visit)
    second = a_claim(cover, owner, visit, away_m=0.04)
    assert decide(first, owner).remedy is None, "another one is still to be decided"
    remedy = decide(second, owner).remedy
    first.refresh_from_db()
    assert first.remedy == remedy
    assert live(remedy) == [first.damage.number, second.damage.number]
    every = costs.of_each([first, second])
    assert sum(every.values()) == totals.of(quotes.agreed(remedy)).cost


def test_what_is_ours_can_be_taken_up_before_the_rest_is_decided(cover, visit, owner):
    first = a_claim(cover, owner, visit)
    a_claim(cover, owner, visit, away_m=0.04)
    decided = decide(first, owner)
    remedy = ours.take_up(decided, owner)
    assert live(remedy) == [first.damage.number]
    assert ours.take_up(decided, owner) == remedy, "asked again, it is the same job"


def test_decided_anew_the_job_at_nought_is_given_up_as_long_as_it_has_not_begun(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    decided = decide(claim, owner)
    remedy = decided.remedy
    again = claims.reopen(decided, "The photos show a cut.", who=owner)
    remedy.refresh_from_db()
    assert (again.remedy, remedy.stage) == (None, Stage.WITHDRAWN)
    assert claim.damage.number in live(visit)
    decided = decide(again, owner)
    stages.move(decided.remedy, Stage.BENCH, who=owner)
    with pytest.raises(ClaimRefused, match="which mends it, is at “On the bench” already"):
        claims.reopen(decided, "Once more.", who=owner)


def test_a_visit_at_nought_is_priced_anew_when_it_is_not_ours_after_all(cover, visit, owner):
    decided = decide(a_claim(cover, owner, visit), owner)
    again = claims.reopen(decided, "The photos show a cut.", who=owner)
    decide(again, owner, "new")
    visit.refresh_from_db()
    assert visit.stage == Stage.ASSESSED
    assert any("The quote is at no charge" in said for said in stages.refusals(visit, Stage.QUOTE_OUT))


def test_an_open_enquiry_about_the_same_gear_is_settled_first(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    enquiry = back_again(cover.inflatable, stage=Stage.ENQUIRY)
    with pytest.raises(ClaimRefused, match=f"Job {enquiry} is an open enquiry about the same gear"):
        decide(claim, owner)
    claim.refresh_from_db()
    assert (claim.decision, live(visit)) == ("", [1, 2]), "nothing has changed"


def test_what_the_catalogue_cannot_mend_is_said(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    Operation.objects.update(active=False)
    with pytest.raises(ClaimRefused, match="The job at no charge cannot be made yet"):
        decide(claim, owner)


def test_what_is_out_or_begun_at_a_price_gives_way_to_what_is_ours(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    visit.refresh_from_db()
    stages.move(visit, Stage.ASSESSED, who=owner)
    draft = quotes.draft(visit, who=owner)
    sent = quotes.send(draft, who=owner, version=draft.version, base_url="https://loft.example")
    decide(claim, owner)
    sent.refresh_from_db()
    visit.refresh_from_db()
    assert (sent.state, visit.stage) == ("withdrawn", Stage.GO_AHEAD)
    assert quotes.agreed(visit).warranty


def test_a_draft_that_was_begun_is_thrown_away(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    stages.move(visit, Stage.ASSESSED, who=owner)
    begun = quotes.draft(visit, who=owner)
    decide(claim, owner)
    assert not quotes.versions(visit).filter(pk=begun.pk, state="draft").exists()
    assert quotes.agreed(visit).warranty


def test_gear_that_dries_goes_on_drying_on_the_job_at_nought(cover, visit, owner):
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    stages.set_hold(visit, "drying", "On the line.", who=owner)
    remedy = decide(claim, owner).remedy
    assert (remedy.hold, remedy.hold_note) == ("drying", "On the line.")


def test_of_two_that_one_job_mends_the_other_stays_when_one_is_not_ours_after_all(cover, visit, owner):
    on_the_canopy(visit, 0.4, "tear", mm=90)
    first, second = a_claim(cover, owner, visit), a_claim(cover, owner, visit, away_m=0.04)
    decide(first, owner)
    remedy = decide(second, owner).remedy
    claims.reopen(Claim.objects.get(pk=second.pk), "The photos show a cut.", who=owner)
    remedy.refresh_from_db()
    assert (live(remedy), remedy.stage) == ([first.damage.number], Stage.GO_AHEAD)
    assert second.damage.number in live(visit)


def test_only_what_was_decided_as_ours_is_taken_up(cover, visit, owner):
    with pytest.raises(ClaimRefused, match="was not decided as ours"):
        ours.take_up(a_claim(cover, owner, visit), owner)
