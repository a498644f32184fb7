"""Enquiries from outside: what a visitor told becomes a job with everything pinned."""

import io

import pytest
from django.core.exceptions import ValidationError
from django.utils.translation import override
from PIL import Image

from shoprepair.jobs import damages, links
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries import making, quotas, waiting
from shoprepair.jobs.models import Customer, Enquiry, Job, Photo, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import Letter
from tests.factories import CustomerFactory
from tests.jobs.enquiries.asking import CUT, ILKA, SHOP, TEAR, ask, photo

pytestmark = pytest.mark.django_db


def test_everything_that_was_told_is_pinned_and_answered():
    job = ask(CUT, TEAR).job
    cut, tear = damages.live(job)
    assert (cut.kind, cut.length_m, cut.length_typed, cut.element) == ("cut", 0.025, "25 mm", "leading edge")
    assert (tear.kind, tear.element, tear.number) == ("tear", "canopy", 2)
    assert (job.stage, job.band, job.damage_count) == (Stage.ENQUIRY, "Grounded", 2)
    assert job.inflatable.pattern.everyday == "wing-medium"
    assert job.customer.name == "Ilka Sandvoort"
    assert waiting().get().job == job


def test_the_words_and_the_advice_stay_beside_each_pin():
    enquiry = ask(CUT, TEAR)
    cut, tear = damages.live(enquiry.job)
    assert cut.told["words"].startswith("Cut, up to 25 mm")
    assert (cut.told["verdict"], tear.told["verdict"]) == ("bring-in", "fix")
    assert [told["number"] for told in enquiry.told] == [1, 2]
    assert enquiry.advice[0]["rule"]


def test_a_length_that_nobody_knows_is_left_for_the_shop_to_measure():
    unsure = Told(kind="wing", size="medium", at="front-centre", look="cut", length="unsure", far="home")
    damage = damages.live(ask(unsure).job)[0]
    assert (damage.kind, damage.length_m) == ("cut", None)
    assert damage.told["length"] == "unsure"


def test_a_cut_longer_than_any_is_kept_as_told_and_measured_again_by_the_shop():
    absurd = Told(kind="wing", size="small", at="front-tip", look="cut", length="4999")
    damage = damages.live(ask(absurd).job)[0]
    assert (damage.kind, damage.length_m, damage.told["length_m"]) == ("cut", None, 4.999)


def test_the_same_form_sent_twice_is_kept_once():
    assert ask(CUT) == ask(CUT)
    assert (Job.objects.count(), Customer.objects.count(), Letter.objects.count()) == (1, 1, 1)


def test_nobody_is_looked_up_so_nothing_is_told_of_who_is_known():
    known = CustomerFactory(name="Ilka Sandvoort", email="ilka@sand.example", phone="")
    assert ask(CUT).job.customer != known


def test_the_journal_names_the_customer_and_nobody_of_the_shop():
    entries = journal.entries(ask(CUT).job)
    assert {(entry.who, entry.who_name) for entry in entries} == {(None, "Ilka Sandvoort (customer)")}


def test_the_letter_has_no_word_of_the_sender_s_and_leads_to_their_page():
    enquiry = ask(CUT, name="Buy my pills", words="Look at bad.example")
    letter = Letter.objects.get()
    link = links.current(enquiry.job)
    assert links.url(link, SHOP) in letter.body
    assert not any(word in letter.subject + letter.body for word in ("pills", "bad.example"))


@pytest.mark.parametrize(("language", "word"), [("de", "Anfrage"), ("de-at", "Anfrage"), ("fr", "enquiry")])
def test_the_letter_is_in_their_language_where_the_shop_has_it(language, word):
    ask(CUT, language=language)
    assert word in Letter.objects.get().subject


@pytest.mark.parametrize("more", [{"contact": "+1 555 0134"}, {"base_url": ""}])
def test_no_letter_goes_without_an_address_or_while_the_shop_does_not_know_its_own(more):
    ask(CUT, **more)
    assert not Letter.objects.exists()


def test_what_the_shop_reads_is_in_the_shop_s_language():
    with override("de"):
        enquiry = ask(CUT, language="de")
    assert enquiry.told[0]["words"].startswith("Cut")
    assert "Wing" in str(enquiry.job.inflatable)


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("name", "\u200b ", "Write your name"),
        ("name", "x" * 121, "120 letters at most"),
        ("contact", "", "Write a phone number or an e-mail address"),
        ("contact", "12 34", "This phone number cannot be right"),
        ("contact", "call me", "This phone number cannot be right"),
        ("contact", "ilka@@sand", "This e-mail address cannot be right"),
        ("contact", f"{'i' * 250}@sand.example", "This e-mail address cannot be right"),
        ("words", "x" * 2001, "At most 2,000 characters; this has 2,001"),
        ("comes", "by-kite", "Choose how it will come"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_kept(field, typed, sentence):
    with pytest.raises(ValidationError, match=sentence) as refusal:
        ask(CUT, **{field: typed})
    assert list(refusal.value.message_dict) == [field]
    assert not Job.objects.exists()


@pytest.mark.parametrize(
    "tolds",
    [
        (),
        (Told(kind="wing", size="medium"),),
        (CUT, Told(kind="kite", size="small", at="front-tip", look="burst")),
    ],
)
def test_what_was_told_must_be_whole_and_of_one_wing_or_kite(tolds):
    with pytest.raises(ValidationError) as refusal:
        ask(*tolds)
    assert list(refusal.value.message_dict) == ["damages"]


def test_photos_hang_on_the_first_damage_and_carry_nothing_along():
    job = ask(CUT, TEAR, photos=[photo(), photo()]).job
    assert [each.damage.number for each in job.photos.all()] == [1, 1]
    assert job.photos.filter(taken_by=None, shared=False).count() == 2


def test_a_file_that_is_no_photo_is_named_and_nothing_is_kept():
    text = io.BytesIO(b"I am a picture")
    text.name = "cut.jpg"
    with pytest.raises(ValidationError, match=r"cut\.jpg: This file is not a photo"):
        ask(CUT, photos=[photo(), text])
    assert not Job.objects.exists()


def test_a_fifth_photo_is_refused():
    with pytest.raises(ValidationError, match="4 photos at most"):
        ask(CUT, photos=[photo() for _ in range(5)])


@pytest.mark.parametrize("full", [{"MOST_WAITING": 3}, {"LEAST_FREE_BYTES": 10**18}])
def test_where_there_is_no_room_for_photos_the_enquiry_is_kept_without_them(full, monkeypatch):
    for name, value in full.items():
        monkeypatch.setattr(quotas, name, value)
    job = ask(CUT, photos=[photo()]).job
    assert not Photo.objects.exists()
    assert "A photo of the enquiry could not be kept" in journal.entries(job).first().text


def test_photos_of_enquiries_that_came_in_take_no_room():
    enquiry = ask(CUT, photos=[photo()])
    assert quotas.photos_waiting() == 1
    Enquiry.objects.filter(pk=enquiry.pk).update(came_at=enquiry.sent_at)
    assert quotas.photos_waiting() == 0


def test_two_at_the_same_moment_with_one_key_make_one_enquiry(monkeypatch):
    first = ask(CUT)
    answers = iter([None, first])
    monkeypatch.setattr(making, "sent_before", lambda _key: next(answers))
    assert ask(CUT) == first
    assert Job.objects.count() == 1


def test_a_picture_of_too_many_pixels_is_refused_before_it_is_decoded():
    bomb = io.BytesIO()
    Image.new("1", (13_000, 13_000)).save(bomb, "PNG")
    bomb.seek(0)
    with pytest.raises(ValidationError, match="million pixels"):
        ask(CUT, photos=[bomb])
    assert ILKA["name"] not in Customer.objects.values_list("name", flat=True)
