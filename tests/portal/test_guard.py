"""The key in the address: who gets in, what a visit changes, what others come to know of it."""

import re

import pytest
from django.http import HttpResponse
from django.test import Client

from shoprepair.jobs import damages, links, photos
from shoprepair.jobs.models import Photo
from shoprepair.portal import guard
from shoprepair.shop.settings import current
from tests.counter.checking_in import picture
from tests.portal.visits import address, assessed, bid, given, kept, read, said_beside, words

pytestmark = pytest.mark.django_db

PARTS = ["", "answer/", "ask/", "quote.pdf", "photos/none/small.jpg"]
UNKNOWN = "A" * 43


@pytest.fixture
def media(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def photo(job, counter, media) -> Photo:
    """A photo of the cut that the customer may see."""
    photo = photos.keep(job, picture(), who=counter, damage=job.damages.get(), caption="The cut")
    return photos.share(photo, True, who=counter)


def shown(photo: Photo, size: str = "small", job=None) -> str:
    return address(job or photo.job, f"photos/{photo.key}/{size}.jpg")


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("method", ["get", "head", "post", "put", "delete", "patch", "options"])
def test_a_link_that_never_was_answers_as_one_that_was_withdrawn(client, job, owner, part, method):
    withdrawn = address(job, part)
    links.withdraw(links.current(job), who=owner)
    send = getattr(client, method)
    answers = [send(path) for path in (withdrawn, f"/s/{UNKNOWN}/{part}", f"/s/short/{part}")]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    assert len({str(said_beside(answer)) for answer in answers}) == 1


def test_a_dead_link_says_whom_to_call_and_nothing_of_the_job(client, job, owner):
    path = address(job)
    links.withdraw(links.current(job), who=owner)
    page = words(client.get(path))
    assert "This link no longer works" in page
    assert "+1 555 0123" in page
    for secret in (str(job), job.inflatable.pattern.name, job.inflatable.serial, "Sandvoort", "Selvaag"):
        assert secret not in page


@pytest.mark.parametrize(
    "path",
    [
        "/s/%00/",
        "/s/.../",
        "/s/" + "x" * 10_000 + "/",
        "/s/ＡＡＡ/",
        "/s/a/b/c/d",
        "/s/%2e%2e/%2e%2e/",
        "/s/x",
    ],
)
def test_an_address_that_only_looks_like_a_link_is_answered_alike(client, shop, path):
    response = client.get(path)
    assert response.status_code == 404
    assert "This link no longer works" in words(response)


def test_a_renewed_link_opens_and_the_old_one_is_dead(client, job, owner):
    old = address(job)
    links.renew(job, who=owner)
    assert client.get(old).status_code == 404
    assert client.get(address(job)).status_code == 200


def test_a_link_without_its_last_stroke_opens_too(client, job):
    assert client.get(address(job).rstrip("/")).status_code == 200


def test_the_job_s_number_opens_nothing(client, job):
    assert client.get(f"/s/{job.number}/").status_code == 404
    assert client.get(f"/s/{job}/").status_code == 404


@pytest.mark.parametrize("method", ["get", "head"])
def test_looking_at_everything_changes_nothing_at_all(client, job, owner, photo, method):
    bid(job, owner)
    before = kept()
    for part in ["", "quote.pdf", "answer/", "ask/", f"photos/{photo.key}/large.jpg"]:
        response = getattr(client, method)(address(job, part))
        assert response.status_code in {200, 302}
    assert kept() == before


def test_a_visit_sets_no_cookie_but_the_form_s_own(client, job, owner):
    bid(job, owner)
    client.get(address(job))
    assert set(client.cookies) == {"csrftoken"}
    other = Client()
    other.get(f"/s/{UNKNOWN}/")
    assert not other.cookies


@pytest.mark.parametrize("part", PARTS)
def test_every_answer_is_kept_by_nobody_and_told_to_nobody(client, job, owner, part):
    bid(job, owner)
    for response in (client.get(address(job, part)), client.post(address(job, part)), client.get("/s/x/")):
        assert response["Cache-Control"] in {"private, no-store", "no-store, private"}
        assert response["Referrer-Policy"] == "no-referrer"
        assert response["X-Robots-Tag"] == "noindex, nofollow, noarchive"
        assert response["X-Content-Type-Options"] == "nosniff"
        policy = response["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert "data:" not in policy


def test_the_page_asks_for_nothing_from_elsewhere_and_links_nowhere_else(client, job, owner, photo):
    bid(job, owner)
    body = client.get(address(job)).content.decode()
    for target in re.findall(r'(?:href|src|action)="([^"]*)"', body):
        assert target.startswith(("/static/", "/drawings/", "/s/", "#", "tel:")), target


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"HTTP_ORIGIN": "http://testserver"}, 302),
        ({"HTTP_ORIGIN": "null"}, 302),
        ({"HTTP_ORIGIN": "null", "HTTP_SEC_FETCH_SITE": "same-origin"}, 302),
        ({"HTTP_ORIGIN": "null", "HTTP_SEC_FETCH_SITE": "cross-site"}, 403),
        ({"HTTP_ORIGIN": "null", "HTTP_SEC_FETCH_SITE": "same-site"}, 403),
        ({"HTTP_ORIGIN": "https://elsewhere.example"}, 403),
    ],
)
def test_a_form_is_taken_from_our_own_page_alone(job, owner, headers, status):
    """A page without referrer sends its forms from "null", as every sandboxed page elsewhere does."""
    quote = bid(job, owner)
    strict = Client(enforce_csrf_checks=True)
    body = strict.get(address(job)).content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', body)[1]
    form = given(quote, csrfmiddlewaretoken=token)
    assert strict.post(address(job, "answer/"), form, **headers).status_code == status
    quote.refresh_from_db()
    assert quote.state == ("accepted" if status == 302 else "out")


def test_a_form_is_taken_over_an_encrypted_line_too(job, owner):
    quote = bid(job, owner)
    strict = Client(enforce_csrf_checks=True)
    body = strict.get(address(job), secure=True).content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', body)[1]
    form = given(quote, csrfmiddlewaretoken=token)
    for headers, status in (({}, 403), ({"HTTP_ORIGIN": "null"}, 302)):
        assert strict.post(address(job, "answer/"), form, secure=True, **headers).status_code == status


@pytest.mark.parametrize("token", ["", "x", "A" * 64])
def test_a_form_with_a_spoilt_token_is_not_taken(job, owner, token):
    quote = bid(job, owner)
    strict = Client(enforce_csrf_checks=True)
    strict.get(address(job))
    response = strict.post(address(job, "answer/"), given(quote, csrfmiddlewaretoken=token))
    assert response.status_code == 403


def test_shared_photos_are_shown_in_each_of_their_sizes(client, job, photo):
    assert shown(photo) in client.get(address(job)).content.decode()
    for size in photos.SIZES:
        response = client.get(shown(photo, size))
        assert (response.status_code, response["Content-Type"]) == (200, "image/jpeg")
        assert response.content.startswith(b"\xff\xd8")
    assert "The cut" in read(client, job)


@pytest.mark.parametrize("size", ["huge", "..", "small.jpg", "large%2f..%2fsmall", "%00"])
def test_there_are_no_other_sizes(client, photo, size):
    assert client.get(shown(photo, size)).status_code == 404


def test_a_photo_that_is_not_shared_is_neither_named_nor_served(client, job, photo, counter):
    photos.share(photo, False, who=counter)
    assert photo.key not in client.get(address(job)).content.decode()
    assert client.get(shown(photo)).status_code == 404


def test_a_removed_photo_and_one_of_a_removed_damage_are_not_served(client, job, photo, counter):
    photos.remove(photo, counter)
    assert client.get(shown(photo)).status_code == 404
    photos.restore(photo, counter)
    assert client.get(shown(photo)).status_code == 200
    damages.remove(job.damages.get(), counter)
    assert client.get(shown(photo)).status_code == 404


def test_the_photos_and_papers_of_another_job_do_not_open_with_this_key(client, photo, counter, owner):
    other = assessed()
    links.make(other, who=counter)
    bid(photo.job, owner)
    assert client.get(shown(photo, job=other)).status_code == 404
    assert client.get(address(other, "quote.pdf")).status_code == 404


def test_a_photo_whose_file_is_lost_is_not_there(client, photo):
    photos.file(photo, "small").unlink()
    assert client.get(shown(photo)).status_code == 404


def test_staff_who_are_logged_in_see_the_very_same_page(client, job, owner, as_person):
    bid(job, owner)
    assert read(as_person(owner), job) == read(client, job)


def test_a_page_of_any_kind_is_opened_by_its_key_alone_and_says_no_more_of_it(job, rf):
    page = guard.by_link(lambda _, link, **rest: HttpResponse(f"{link.job} {rest}"))
    token = address(job).split("/")[2]
    asked = rf.get("/")
    asked.shop = current()
    answer = page(asked, token, part="paper")

    assert answer.content.decode() == f"{job} {{'part': 'paper'}}"
    assert answer.headers.items() >= guard.HEADERS.items()
    assert page(asked, UNKNOWN).status_code == 404
    assert (page.login_required, page.csrf_exempt) == (False, True)


def test_nobody_needs_to_log_in_for_a_link_and_a_link_logs_nobody_in(client, job):
    client.get(address(job))
    assert client.get(f"/jobs/{job.number}/").status_code == 302
