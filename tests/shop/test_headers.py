"""What the browser is told with whatever it gets from the shop."""

import pytest
from django.http import HttpResponse
from django.test import Client, RequestFactory, override_settings
from django.urls import include, path, reverse

from shoprepair import urls
from shoprepair.jobs import photos
from shoprepair.jobs.models import Job
from shoprepair.shop.headers import (
    KEPT_BY_NOBODY,
    MAY_BE_FOUND,
    SHOWN_ALONE,
    HeadersMiddleware,
    leaves_nothing,
)
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from tests.counter.checking_in import HTMX, picture
from tests.factories import JobFactory

pytestmark = pytest.mark.django_db
POWERS_OF_A_PAGE = {"camera=(self)", "geolocation=()", "microphone=()", "payment=()", "usb=()"}
ELSEWHERE = {"Sec-Fetch-Site": "cross-site"}
STATIC = "/static/css/base.css"


def breaks(_request: object) -> None:
    raise RuntimeError("the needle broke")


urlpatterns = [path("", include(urls)), path("breaks/", breaks, name="breaks")]


@pytest.fixture
def job(counter: Staff, settings, tmp_path) -> Job:
    settings.MEDIA_ROOT = tmp_path
    job = JobFactory(number=412)
    photos.keep(job, picture(), who=counter)
    return job


@pytest.fixture
def client(as_person, owner) -> Client:
    return as_person(owner)


@pytest.fixture
def answers(client, stranger, job):
    """One answer of every kind: pages, parts, errors, photos, papers, tables, files."""
    photo = reverse("photo", args=[job.photos.get().key, "small"])
    client.raise_request_exception = False
    with override_settings(ROOT_URLCONF=__name__):
        broken = client.get("/breaks/")
    made = {
        "page": client.get("/"),
        "part": client.get("/", **HTMX),
        "moved": client.get("/jobs/412"),
        "not here": client.get("/nothing/here/"),
        "no such method": client.delete("/"),
        "broken": broken,
        "bad host": client.get("/", headers={"Host": "elsewhere.example"}),
        "from elsewhere": client.post("/jobs/412/hold/", headers=ELSEWHERE),
        "photo": client.get(photo),
        "paper": client.get(reverse("bag-tag", args=[412])),
        "table": client.get(reverse("export-table", args=["jobs.Job", "csv"])),
        "watched": stranger.get("/alive/"),
        "worker": stranger.get(reverse("self-check-worker")),
        "self-check": stranger.get(reverse("self-check")),
        "log-in": stranger.get(reverse("login")),
        "stranger": stranger.get("/jobs/412/"),
        "dead link": stranger.get("/s/none/"),
        "file": stranger.get(STATIC),
    }
    yield made
    for answer in made.values():
        answer.getvalue()


def test_every_answer_says_what_a_page_may_do_who_may_hold_it_and_who_may_find_it(answers):
    for kind, answer in answers.items():
        says_what_a_page_may_do(answer, kind)
    for kind in answers.keys() - {"photo", "worker", "self-check", "file"}:
        assert "no-store" in answers[kind]["Cache-Control"], kind
        assert "private" in answers[kind]["Cache-Control"] or kind == "table", kind
    assert answers["photo"]["Cache-Control"].startswith("private, ")
    for kind in ("page", "part", "paper", "photo", "no such method"):
        assert "HX-Request" in answers[kind]["Vary"], kind
    for kind in ("photo", "paper", "table"):
        assert (answers[kind].status_code, answers[kind]["Content-Security-Policy"]) == (200, SHOWN_ALONE), (
            kind
        )
    found = {kind for kind, answer in answers.items() if "noindex" not in answer["X-Robots-Tag"]}
    assert found == {"self-check", "worker"}
    assert answers["self-check"]["X-Robots-Tag"] == MAY_BE_FOUND


def says_what_a_page_may_do(answer: HttpResponse, kind: str) -> None:
    assert answer["Cross-Origin-Opener-Policy"] == "same-origin", kind
    assert answer["Cross-Origin-Resource-Policy"] == "same-origin", kind
    assert answer["X-Content-Type-Options"] == "nosniff", kind
    assert answer["Referrer-Policy"] in {"same-origin", "no-referrer"}, kind
    assert set(answer["Permissions-Policy"].split(", ")) >= POWERS_OF_A_PAGE, kind
    assert answer["X-Frame-Options"] == "DENY", kind
    policy = answer["Content-Security-Policy"]
    assert {"default-src 'none'", "frame-ancestors 'none'"} <= set(policy.split("; ")), kind
    assert "unsafe" not in policy, kind


def test_the_one_site_that_the_shop_has_named_still_frames_the_self_check(stranger):
    shop = current()
    shop.self_check_site = "https://quay.example/shop"
    shop.save()
    framed = stranger.get("/self-check/", headers={"Sec-Fetch-Dest": "iframe", **ELSEWHERE})
    assert "frame-ancestors https://quay.example" in framed["Content-Security-Policy"]
    assert "X-Frame-Options" not in framed
    assert stranger.get("/log-in/")["X-Frame-Options"] == "DENY"


def test_a_redirect_to_the_encrypted_line_is_no_exception(client, settings):
    settings.SECURE_SSL_REDIRECT = True
    answer = client.get("/")
    assert (answer.status_code, answer["Cache-Control"]) == (301, KEPT_BY_NOBODY)
    assert "frame-ancestors 'none'" in answer["Content-Security-Policy"]


@pytest.mark.parametrize("address", ["/jobs/412/hold/", "/log-in/", "/log-out/", "/s/none/answer/"])
def test_what_another_site_sends_is_not_taken_wherever_it_is_sent(client, job, address):
    for method in ("post", "put", "patch", "delete"):
        answer = getattr(client, method)(address, headers=ELSEWHERE)
        assert answer.status_code == 403
        assert "nothing was changed" in answer.content.decode()
    assert client.get("/my/units/").status_code == 200


@pytest.mark.parametrize("site", ["same-origin", "none", ""])
def test_what_our_own_pages_send_is_taken(client, job, site):
    headers = {"Sec-Fetch-Site": site} if site else {}
    assert client.post("/jobs/412/hold/", {"hold": "drying"}, headers=headers).status_code == 302
    assert Job.objects.get().hold == "drying"


def test_another_site_may_lead_to_a_page_of_ours(client, job):
    assert client.get("/jobs/412/", headers=ELSEWHERE).status_code == 200


def test_who_logs_out_leaves_no_page_and_no_photo_but_the_self_check(client):
    assert client.get("/log-out/").status_code == 405
    assert "Clear-Site-Data" not in client.get("/")
    answer = client.post("/log-out/")
    assert (answer.status_code, answer["Location"]) == (302, "/log-in/")
    assert answer["Clear-Site-Data"] == '"cache"'


def test_what_a_view_says_itself_stands(rf: RequestFactory):
    said = {"Referrer-Policy": "no-referrer", "Cache-Control": "private, max-age=300"}
    answer = HeadersMiddleware(lambda _: HttpResponse(headers=said))(rf.get("/"))
    assert {name: answer[name] for name in said} == said


def test_a_log_out_that_was_refused_clears_nothing(rf: RequestFactory):
    assert "Clear-Site-Data" not in leaves_nothing(lambda _: HttpResponse(status=405))(rf.get("/"))
