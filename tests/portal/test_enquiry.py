"""The form by which somebody outside sends an enquiry, and what follows it."""

import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from shoprepair.jobs import links, photos
from shoprepair.jobs.enquiries import limits, quotas
from shoprepair.jobs.models import Customer, Enquiry, Job, Photo, Stage
from shoprepair.shop.models import Attempt, Letter
from tests.factories import CustomerFactory
from tests.jobs.enquiries.asking import CUT, ask, photo
from tests.portal.visits import kept, words

pytestmark = pytest.mark.django_db

CUT_AT = "kind=wing&size=medium&at=front-centre&look=cut&length=coin"
ALSO = "also=wing_medium_canopy-outer_torn_palm___"


def page(client, more="", lang="en"):
    return client.get(f"{reverse('enquiry')}?{CUT_AT}&lang={lang}{more}")


def key_of(response):
    return re.search(r'name="key" value="([^"]+)"', response.content.decode())[1]


def send(client, *, lang="en", more="", **fields):
    """Open the form, fill it in, send it."""
    typed = {
        "name": "Ilka Sandvoort",
        "contact": "+1 555 0134",
        "comes": "by-hand",
        "words": "",
        "homepage": "",
    }
    typed |= {"key": fields.pop("key", None) or key_of(page(client, lang=lang))}
    return client.post(f"{reverse('enquiry')}?{CUT_AT}&lang={lang}{more}", typed | fields)


def picture(name="cut.jpg"):
    return SimpleUploadedFile(name, photo().getvalue(), "image/jpeg")


def test_what_was_told_stands_above_the_form_and_the_form_asks_little(client, shop):
    text = words(page(client, f"&{ALSO}"))
    assert "Cut · Front tube, near the middle" in text
    assert "Do not inflate it; bring it in" in text
    assert "Torn cloth" in text
    assert "we delete your name, your words and your photos after 90 days" in text


def test_an_open_question_is_asked_first(client, shop):
    response = client.get(f"{reverse('enquiry')}?kind=wing&size=medium")
    assert (response.status_code, response["Location"]) == (
        302,
        f"{reverse('self-check')}?kind=wing&size=medium",
    )


def test_opening_the_form_changes_nothing(client, shop):
    page(client)
    before = kept()
    page(client)
    assert kept() == before


def test_one_tap_more_and_the_shop_has_it(client, shop):
    response = send(client, more=f"&{ALSO}", photos=picture(), words="It went at the beach.", comes="by-post")
    enquiry = Enquiry.objects.get()
    token = links.token(links.current(enquiry.job))
    assert (response.status_code, response["Location"]) == (302, f"/s/{token}/sent/?lang=en")
    assert (enquiry.comes, enquiry.words, enquiry.language) == ("by-post", "It went at the beach.", "en")
    assert (enquiry.job.stage, enquiry.job.damage_count, enquiry.job.photos.count()) == (Stage.ENQUIRY, 2, 1)
    text = words(client.get(response["Location"]))
    assert f"Number {enquiry.job}" in text
    assert "Harbour Lane 4" in text
    assert "Print the parcel slip" in text


def test_it_is_asked_and_answered_in_german(client, shop):
    response = send(client, lang="de", contact="ilka@sand.example")
    assert Enquiry.objects.get().language == "de"
    assert "Anfrage" in Letter.objects.get().subject
    sent = client.get(response["Location"])
    assert sent["Content-Language"] == "de"
    assert "Deine Anfrage ist da" in words(sent)


def test_sent_twice_it_is_kept_once(client, shop):
    key = key_of(page(client))
    assert send(client, key=key)["Location"] == send(client, key=key)["Location"]
    assert Job.objects.count() == 1


def test_a_key_that_was_not_made_here_opens_nothing(client, shop):
    ask(CUT, key="guessed")
    response = send(client, key="guessed")
    assert response.status_code == 403
    assert 'value="Ilka Sandvoort"' in response.content.decode()
    assert "guessed" not in response.content.decode()


def test_what_is_wrong_is_said_and_all_that_was_typed_stands_again(client, shop):
    response = send(
        client, name="", contact="12", words="\nThe <b>cut</b>", comes="by-post", photos=picture()
    )
    body, text = response.content.decode(), words(response)
    assert response.status_code == 422
    assert "Write your name, so that we know whom to answer." in text
    assert "This phone number cannot be right." in text
    assert 'value="12"' in body
    assert ">\n\nThe &lt;b&gt;cut&lt;/b&gt;</textarea>" in body
    assert re.search(r'value="by-post"\s+checked', body)
    assert "choose them again" in text
    assert not Job.objects.exists()


@pytest.mark.parametrize("name", ["שרה בת־אל المراكبي", "Ilka " * 24, "<script>alert(1)</script>"])
def test_names_of_any_script_and_length_are_kept_as_they_are(client, shop, name):
    response = send(client, name=name)
    assert Customer.objects.get().name == name.strip()
    assert client.get(response["Location"]).status_code == 200


def test_a_text_called_a_photo_is_named_with_the_reason(client, shop):
    response = send(client, photos=SimpleUploadedFile("cut.jpg", b"no photo", "image/jpeg"), words="Wave")
    assert response.status_code == 422
    assert "cut.jpg: This file is not a photo." in words(response)
    assert "Wave</textarea>" in response.content.decode()
    assert not Job.objects.exists()


def test_a_picture_that_would_fill_the_memory_is_refused_from_its_first_bytes(client, shop):
    bomb = io.BytesIO()
    Image.new("1", (13_000, 13_000)).save(bomb, "PNG")
    response = send(client, photos=SimpleUploadedFile("cut.png", bomb.getvalue(), "image/png"))
    assert response.status_code == 422
    assert "million pixels" in words(response)


def test_a_fifth_photo_is_thrown_away_as_it_comes_and_said(client, shop):
    response = send(client, photos=[picture(f"{n}.jpg") for n in range(5)])
    assert response.status_code == 422
    assert "4 photos at most." in words(response)


@pytest.mark.parametrize("in_memory", [2_500_000, 10])
def test_a_photo_beyond_all_size_is_thrown_away_while_the_rest_of_the_form_is_read(
    client, shop, in_memory, settings, monkeypatch
):
    settings.FILE_UPLOAD_MAX_MEMORY_SIZE = in_memory
    monkeypatch.setattr(photos, "MOST_BYTES", 100_000)
    large = SimpleUploadedFile("large.jpg", b"x" * 300_000, "image/jpeg")
    response = send(client, photos=[picture(), large], words="Wave")
    assert response.status_code == 422
    assert "This photo is larger than" in words(response)
    assert "Wave</textarea>" in response.content.decode()


def test_a_form_beyond_all_size_is_not_even_read(client, shop):
    response = client.post(
        f"{reverse('enquiry')}?{CUT_AT}", {"name": "Ilka"}, headers={"Content-Length": "300000000"}
    )
    assert response.status_code == 413
    assert "too large together" in words(response)


def test_with_no_room_for_photos_the_form_does_not_ask_for_them_and_says_so_where_they_came(
    client, shop, monkeypatch
):
    monkeypatch.setattr(quotas, "MOST_WAITING", 0)
    assert "We cannot take photos just now." in words(page(client))
    response = send(client, photos=picture())
    assert not Photo.objects.exists()
    assert "Your photos could not be kept" in words(client.get(response["Location"]))


def test_a_program_that_fills_what_nobody_sees_is_told_nothing_and_nothing_is_kept(client, shop):
    key = key_of(page(client))
    before = kept()
    response = send(client, key=key, homepage="https://pills.example")
    assert response.status_code == 302
    said = words(client.get(response["Location"]))
    assert "It may not have arrived" in said
    # A person may have come here too: nobody is left believing that it arrived.
    assert "we may not have your enquiry" in said
    assert "Call +1 555 0123" in said
    assert "Start again" in said
    assert kept() == before


def test_what_nobody_sees_is_out_of_reach_of_eyes_keys_and_filling_programs(client, shop):
    body = page(client).content.decode()
    field = re.search(r'<input id="id_homepage"[^>]*>', body)[0]
    assert 'tabindex="-1"' in field
    assert 'autocomplete="off"' in field
    assert "Leave this empty" in body


def test_the_sixth_of_an_hour_is_refused_with_all_that_was_typed_and_the_phone(client, shop):
    for n in range(limits.MOST_AN_HOUR):
        assert send(client, contact=f"+1 555 010{n}").status_code == 302
    response = send(client, contact="+1 555 0199", words="Wave")
    assert response.status_code == 429
    assert "Too much was sent to us in a short time" in words(response)
    assert "+1 555 0123" in words(response)
    assert "Wave</textarea>" in response.content.decode()
    assert Job.objects.count() == limits.MOST_AN_HOUR


def test_a_fourth_for_one_number_is_refused_however_it_is_written_and_known_or_not(client, shop):
    CustomerFactory(phone="+1 555 0134")
    answers = []
    for contact in ("+1 555 0134", "+1 555 0177"):
        for typed in (contact, contact.replace(" ", "-"), contact, contact.replace(" ", "")):
            answers.append(send(Client(REMOTE_ADDR=f"203.0.113.{len(answers)}"), contact=typed))
    assert [answer.status_code for answer in answers] == [302, 302, 302, 429] * 2
    known, unknown = (re.sub(r'name="(key|csrf\w+)" value="[^"]*"', "", words(answers[n])) for n in (3, 7))
    assert known == unknown


def test_no_more_than_the_shop_can_read_are_taken_in_a_day(client, shop, monkeypatch):
    monkeypatch.setattr(limits, "MOST_IN_ALL_A_DAY", 1)
    assert send(client).status_code == 302
    assert send(Client(REMOTE_ADDR="203.0.113.7"), contact="ilka@sand.example").status_code == 429


def test_nothing_that_is_kept_for_the_limits_names_anybody(client, shop):
    send(client)
    assert all(re.fullmatch("[0-9a-f]{64}", each.whom) for each in Attempt.objects.all())


def test_without_cookies_it_says_what_is_wrong_and_keeps_what_was_typed(shop):
    strict = Client(enforce_csrf_checks=True)
    key = key_of(page(strict))
    strict.cookies.clear()
    response = send(strict, key=key, words="Wave")
    assert response.status_code == 403
    assert "your browser keeps no cookies" in words(response)
    assert "Wave</textarea>" in response.content.decode()
    assert not Job.objects.exists()


def test_another_site_cannot_send_the_form(shop):
    strict = Client(enforce_csrf_checks=True)
    response = page(strict)
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', response.content.decode())[1]
    answer = strict.post(
        f"{reverse('enquiry')}?{CUT_AT}",
        {"csrfmiddlewaretoken": token, "key": key_of(response), "name": "Ilka", "contact": "+1 555 0134"},
        headers={"Origin": "https://elsewhere.example"},
    )
    assert answer.status_code == 403
    assert not Job.objects.exists()


def test_the_form_is_never_framed_kept_or_indexed(client, shop):
    shop.self_check_site = "https://surf.example"
    shop.save()
    response = page(client)
    assert "frame-ancestors 'none'" in response["Content-Security-Policy"]
    assert (response["X-Frame-Options"], response["Cache-Control"]) == ("DENY", "private, no-store")
    assert "noindex" in response["X-Robots-Tag"]


def test_a_closed_self_check_takes_no_enquiry(client, shop):
    key = key_of(page(client))
    shop.self_check_open = False
    shop.save()
    assert page(client).status_code == 404
    assert send(client, key=key).status_code == 404
    assert not Job.objects.exists()
