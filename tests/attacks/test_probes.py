"""Somebody feels along the walls: addresses that other programs have, wrong hosts, requests out of shape."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client

from tests.factories import DamageFactory

pytestmark = pytest.mark.django_db

DOORS = """
    /admin/ /admin/login/ /__debug__/ /silk/ /.git/HEAD /.env /secret_key /shop.sqlite3 /db.sqlite3
    /media/ /files/ /var/shop.sqlite3 /metrics /server-status /api/ /graphql /phpinfo.php /wp-login.php
    /manage.py /debug/ /static/ /static/js/line.js.map /photos/ /backups/ /static/../shop.sqlite3
    /static/..%2fshop.sqlite3 /static/%2e%2e/%2e%2e/secret_key /static//etc/passwd /static/%00
    /photos/../../secret_key/small.jpg /photos/..%2f..%2fsecret_key/small.jpg /photos/abc/..%2fsmall.jpg
""".split()  # noqa: SIM905 - thirty addresses, read as a paragraph


@pytest.fixture
def client(owner, as_person):
    """The owner: what is not there for the owner is there for nobody."""
    return as_person(owner)


@pytest.mark.parametrize("door", DOORS)
def test_there_is_no_door_where_other_programs_have_one(client, door):
    answer = client.get(door)
    assert answer.status_code in {404, 400}
    assert b"Traceback" not in answer.getvalue()


def test_a_stranger_learns_nothing_from_such_a_door_either(stranger, owner):
    for door in DOORS[:8]:
        assert stranger.get(door).status_code in {302, 404}


def test_no_map_of_the_scripts_is_served():
    found = [path for path in Path(settings.BASE_DIR, "static").rglob("*") if path.suffix == ".map"]
    assert not found
    for script in Path(settings.BASE_DIR, "static", "js").glob("*.js"):
        assert "sourceMappingURL" not in script.read_text()


@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "PROPFIND", "BREW", "OPTIONS"])
def test_a_method_that_no_page_knows_shows_no_page(client, method):
    for where in ("/", "/check-in/", "/office/settings/"):
        answer = client.generic(method, where, headers={"X-Secret": "echoed?"})
        assert answer.status_code == 405 or not answer.content
        assert b"echoed?" not in answer.content


@pytest.mark.parametrize(
    "host",
    ["elsewhere.example", "localhost.elsewhere.example", "testserver:80@elsewhere.example", "", "te st"],
)
def test_a_host_that_is_not_the_shop_s_is_refused(host, owner):
    answer = Client(raise_request_exception=False).get("/log-in/", headers={"Host": host})
    assert answer.status_code == 400
    assert "elsewhere.example" not in answer.content.decode()


def test_what_a_visitor_says_of_the_way_here_is_believed_only_behind_a_proxy(client):
    forged = {
        "X-Forwarded-Host": "elsewhere.example",
        "X-Forwarded-Proto": "https",
        "X-Forwarded-Port": "1",
        "X-Original-URL": "/office/",
        "X-Rewrite-URL": "/office/",
        "Forwarded": "host=elsewhere.example",
    }
    plain, told = client.get("/"), client.get("/", headers=forged)
    assert told.status_code == 200
    assert not told.wsgi_request.is_secure()
    assert "elsewhere.example" not in told.content.decode()
    assert re.sub(r'"[A-Za-z0-9]{64}"', "", told.content.decode()) == re.sub(
        r'"[A-Za-z0-9]{64}"', "", plain.content.decode()
    )


def test_a_form_of_a_thousand_and_one_fields_is_not_read(client):
    client.raise_request_exception = False
    sent = {f"field{number}": "x" for number in range(1001)}
    assert client.post("/my/units/", sent).status_code == 400
    assert client.get("/", {"q": ["a", "b", "c"], "stage": ["x", "assessed"]}).status_code == 200


def test_a_form_beyond_all_size_is_not_read(client):
    client.raise_request_exception = False
    limit = settings.DATA_UPLOAD_MAX_MEMORY_SIZE
    sent = b"name=" + b"x" * (limit + 1)
    answer = client.post("/check-in/customer/", sent, content_type="application/x-www-form-urlencoded")
    assert answer.status_code in {400, 413}


def test_a_hundred_and_one_files_are_not_read(client):
    job = DamageFactory().job
    client.raise_request_exception = False
    boundary = "wing"
    part = f'--{boundary}\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\nx\r\n'
    body = part * 101 + f"--{boundary}--\r\n"
    answer = client.post(
        f"/jobs/{job.number}/photos/", body, content_type=f"multipart/form-data; boundary={boundary}"
    )
    assert answer.status_code in {400, 413}


def test_ten_thousand_cookies_are_a_request_like_any_other(stranger, owner):
    cookies = "; ".join(f"c{number}=x" for number in range(10_000))
    assert stranger.get("/log-in/", headers={"Cookie": cookies}).status_code == 200


@pytest.mark.parametrize(
    "junk",
    [
        *(
            "'",
            '"',
            ";",
            "' OR 1=1 --",
            "name__startswith",
            "_connector",
            "-pk",
            "customer__email",
            "%00",
            "\x00",
        ),
        *("\r\nSet-Cookie: a=b", "{{7*7}}", "${7*7}", "%s%s%s", "\u202e", "Ａ" * 50, "9" * 400),
    ],
)
def test_what_is_sought_or_filtered_by_is_a_word_and_never_a_part_of_the_question(client, junk):
    for where, fields in (("/", ("q", "stage", "band", "hold", "after")), ("/search/", ("q", "next"))):
        answer = client.get(where, dict.fromkeys(fields, junk))
        assert answer.status_code == 200
        assert "Set-Cookie" not in str(answer.headers).replace("'Set-Cookie'", "")


def test_a_text_of_a_million_signs_is_refused_by_its_length_beside_its_field(client):
    for text in ("x" * 1_000_000, "e\u0301" * 300_000, "\ufdfa" * 300_000, "\u202e" * 300_000):
        answer = client.post("/check-in/customer/", {"name": text, "phone": "", "email": ""})
        assert answer.status_code == 422
        assert "letters and signs fit here" in answer.content.decode()
