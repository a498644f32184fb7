"""The comparison page: what a new damage meets, holding it against a cover, and the owner's decision."""

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from shoprepair.cover import claims
from shoprepair.cover.models import Claim
from shoprepair.jobs import damages, links, photos
from shoprepair.jobs.models import Damage
from tests.counter.checking_in import picture
from tests.cover.claiming import a_claim, back_again, once_covered, opened_seam, the_cover
from tests.factories import CustomerFactory, DamageFactory, JobFactory
from tests.pricing.mending import on_the_canopy, on_the_edge

pytestmark = pytest.mark.django_db
WORDS = "The inner row of our patch let go."


@pytest.fixture(scope="module", autouse=True)
def _covered(django_db_setup, django_db_blocker):
    yield from once_covered(django_db_blocker)


@pytest.fixture
def cover():
    return the_cover()


@pytest.fixture
def damage(cover) -> Damage:
    return opened_seam(back_again(cover.inflatable), cover)


@pytest.fixture
def client(as_person, counter) -> Client:
    return as_person(counter)


@pytest.fixture
def owners(as_person, owner) -> Client:
    return as_person(owner)


def said(response) -> str:
    words = unescape(re.sub(r"<(title|style)[^>]*>.*?</\1>|<[^>]+>", " ", response.content.decode()))
    return " ".join(words.split())


def where(damage: Damage) -> str:
    return reverse("claim", args=[damage.job.number, damage.number])


def hold(client: Client, damage: Damage, **more: str):
    return client.post(f"{where(damage)}hold/", {"pumped": "no", **more}, follow=True)


def decide(client: Client, claim: Claim, **more: str):
    posted = {"decision": "ours", "words": WORDS, "version": str(claim.version), **more}
    return client.post(reverse("claim-decide", args=[claim.number]), posted, follow=True)


def test_the_page_shows_the_distance_the_load_the_age_and_what_speaks_for_it(client, damage, cover):
    page = client.get(where(damage))
    words = said(page)
    assert "proposed Ours" in words
    assert re.search(r"Meets it \d+ mm inside the footprint", words)
    assert re.search(r"Load there λ \d\.\d\d Grounded", words)
    assert "Age of the repair 0 days" in words
    assert "What gave way is the repair itself." in words
    assert "Speaks against it Nothing that is known." in words
    assert page.content.count(b"<svg") >= 2
    assert f"Hold it against cover {cover}" in words
    assert page.content.decode().count("is-primary") == 1, "one thing to do"


def test_whether_it_was_pumped_too_hard_changes_the_proposal_without_scripts_too(client, damage):
    assert "proposed Owner to decide" in said(client.get(where(damage), {"pumped": "yes"}))
    part = client.get(where(damage), {"pumped": "yes"}, headers={"HX-Request": "true"})
    assert part.content.decode().strip().startswith('<div id="claim"')
    assert "proposed Ours" in said(client.get(where(damage), {"pumped": "perhaps"}))


def test_another_cover_of_the_gear_can_be_compared_with(client, damage, cover):
    other = next(met.cover for met in claims.meetings(damage) if met.cover != cover)
    words = said(client.get(where(damage), {"cover": other.number}))
    assert f"Compared with cover {other}" in words
    assert f"Compared with cover {cover}" in said(client.get(where(damage), {"cover": "x" * 30}))


def test_a_damage_is_held_and_a_second_tap_holds_it_no_second_time(client, damage, cover):
    for _ in range(2):
        words = said(hold(client, damage, cover=str(cover.number), key="abc-hold"))
        assert f"Held against cover {cover}" in words
        assert "It waits for the owner, who decides in words." in words
    assert Claim.objects.count() == 1
    assert "is already held against cover" in said(hold(client, damage, key="other"))


def test_the_new_damage_far_from_all_goes_on_as_one(client, cover):
    away = opened_seam(back_again(cover.inflatable), cover, away_m=0.8)
    words = said(client.get(where(away)))
    assert "proposed New damage" in words
    assert "Go on: it is a new damage" in words


def test_somebody_elses_gear_leads_to_its_page_where_it_is_passed_on(client, cover):
    job = back_again(cover.inflatable, CustomerFactory(name="Brann Sollvik"))
    damage = opened_seam(job, cover)
    page = client.get(where(damage))
    assert "Pass the gear on first" in said(page)
    assert f'href="{reverse("gear", args=[cover.inflatable_id])}">Pass the gear on' in page.content.decode()
    assert "Hold it against" not in said(page)
    refused = hold(client, damage)
    assert (refused.status_code, Claim.objects.count()) == (422, 0)


def test_what_is_not_described_or_was_never_repaired_is_said_with_the_way_on(client, damage, counter):
    bare = damages.pin(damage.job, 0.5, 0.03, who=counter)
    words = said(client.get(where(bare)))
    assert "Answer the questions of damage 2 first" in words
    assert "Answer its questions" in words
    elsewhere = on_the_edge(JobFactory(stage="checked-in"), 0.3, "cut", mm=30)
    assert "Nothing was repaired here before" in said(client.get(where(elsewhere)))
    assert client.get(f"/jobs/{damage.job.number}/damages/9/claim/").status_code == 404


def test_the_owner_decides_in_words_and_sees_the_job_that_mends_it(owners, cover, owner):
    claim = a_claim(cover, owner)
    assert "Your decision" in said(owners.get(where(claim.damage)))
    empty = decide(owners, claim, words=" ")
    assert empty.status_code == 422
    assert "Say why, in words that the customer reads." in said(empty)
    words = said(decide(owners, claim, key="abc-decide"))
    assert "Decided: ours to mend." in words
    assert "decided Ours" in words
    assert WORDS in words
    assert f"Job {claim.job} mends it at no charge" in words
    assert WORDS in said(decide(owners, claim, key="abc-decide")), "a second tap decides nothing anew"


def test_what_was_typed_stays_when_somebody_was_quicker(owners, cover, owner):
    claim = a_claim(cover, owner)
    claims.pumped(claim, "yes", who=owner, version=claim.version)
    late = decide(owners, claim)
    assert late.status_code == 422
    assert "said whether it was pumped above its rating" in said(late)
    assert f">{WORDS}</textarea>" in late.content.decode().replace("\n", "")


def test_the_counter_reads_that_it_waits_and_cannot_decide(client, cover, counter):
    claim = a_claim(cover, counter)
    assert "Your decision" not in said(client.get(where(claim.damage)))
    refused = decide(client, claim)
    assert (refused.status_code, "Only the owner decides a claim." in said(refused)) == (422, True)


def test_the_answer_about_pressure_is_kept_and_typed_words_stay(owners, cover, owner):
    claim = a_claim(cover, owner)
    address = reverse("claim-pumped", args=[claim.number])
    posted = {"pumped": "yes", "version": str(claim.version), "words": "So far", "decision": "new"}
    part = owners.post(address, posted, headers={"HX-Request": "true"})
    assert "proposed Owner to decide" in said(part)
    assert "So far" in said(part)
    assert owners.post(address, posted).status_code == 422, "an older page does not overwrite it"


def test_a_claim_is_taken_back_or_opened_again(owners, client, cover, owner):
    claim = a_claim(cover, owner)
    decide(owners, claim, decision="new")
    address = reverse("claim-reopen", args=[claim.number])
    assert "Say why it is decided anew" in said(owners.post(address, {"reason": ""}))
    assert "The claim is open again." in said(owners.post(address, {"reason": "Photos."}, follow=True))
    drop = reverse("claim-drop", args=[claim.number])
    assert "was taken back" in said(client.post(drop, follow=True))
    assert client.post(drop).status_code == 302, "sent twice, it was taken back once"
    assert not Claim.objects.exists()


def test_a_damage_taken_off_or_moved_meanwhile_is_said_on_its_page(client, cover, counter):
    claim = a_claim(cover, counter)
    damages.move_pin(claim.damage, 0.0, 0.9, who=counter)
    assert "proposed New damage" in said(client.get(where(claim.damage)))
    damages.remove(claim.damage, counter)
    words = said(client.get(where(claim.damage)))
    assert "was taken off the job. Bring it back, or take the claim back." in words


def test_the_panel_and_the_job_sheet_name_the_cover_that_a_damage_meets(client, damage, cover):
    far = on_the_canopy(damage.job, 0.4, "tear", mm=60)
    sheet = said(client.get(f"/jobs/{damage.job.number}/"))
    assert re.search(rf"\d+ mm inside cover {cover}: .* Compare", sheet)
    assert "earlier repairs. Look anyway" in sheet
    panel = said(client.get(f"/jobs/{damage.job.number}/check-in/?damage={damage.number}"))
    assert f"inside cover {cover}" in panel
    assert far.number == 2


def test_the_customer_reads_the_decision_and_nothing_before_it_but_that_it_is_weighed(
    owners, stranger, cover, owner
):
    claim = a_claim(cover, owner)
    page = links.path(links.make(claim.job, who=owner))
    assert "The owner of the shop decides, and you read here what and why." in said(stranger.get(page))
    on_the_canopy(claim.job, 0.4, "tear", mm=60)
    decide(owners, claim, words="Ours.\n<b>Sorry.</b>")
    claim.refresh_from_db()
    words = said(stranger.get(page))
    assert "It is ours: we mend it, and you pay nothing for it." in words
    assert "<b>Sorry.</b>" in unescape(stranger.get(page).content.decode()), "as typed, not as markup"
    assert f"Job {claim.remedy} mends it. Follow it on its page" in words
    assert f"Job {claim.remedy} mends it at no charge. Look at it" in said(
        owners.get(f"/jobs/{claim.job.number}/")
    )
    other = said(stranger.get(links.path(links.current(claim.remedy))))
    assert "It is ours to mend, and costs you nothing." in other
    assert "Ours to mend: $0.00" in other


def test_its_photos_stand_beside_it_also_once_they_went_over_to_the_job_that_mends_it(owners, cover, owner):
    visit, elsewhere = back_again(cover.inflatable), JobFactory()
    claim = a_claim(cover, owner, visit)
    on_the_canopy(visit, 0.4, "tear", mm=90)
    ours = photos.keep(visit, picture(), damage=claim.damage, who=owner)
    like_it = DamageFactory(job=elsewhere, number=claim.damage.number)
    of_another = photos.keep(elsewhere, picture(), damage=like_it, who=owner)
    assert ours.key in owners.get(where(claim.damage)).content.decode()

    decide(owners, claim)
    ours.refresh_from_db()
    assert ours.job != visit
    page = owners.get(where(claim.damage)).content.decode()
    assert ours.key in page
    assert of_another.key not in page
