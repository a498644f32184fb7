"""What a shop on the web tells browsers about its cookies, and which locks its programs come with."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

BASE = Path(settings.BASE_DIR)
ASKED = """
import json, shoprepair.settings as s
names = [name for name in dir(s) if "COOKIE" in name or name.startswith("SECURE")]
print(json.dumps({name: getattr(s, name) for name in names}))
"""


@pytest.fixture(scope="module")
def on_the_web(tmp_path_factory) -> dict[str, object]:
    """The settings of a shop behind a proxy that speaks TLS."""
    place = {"SHOPREPAIR_HTTPS": "1", "SHOPREPAIR_DATA": str(tmp_path_factory.mktemp("shop"))}
    told = subprocess.run(
        [sys.executable, "-c", ASKED],
        cwd=BASE,
        env=os.environ | place,
        capture_output=True,
        check=True,
        text=True,
    )
    return json.loads(told.stdout)


def test_cookies_belong_to_one_host_are_secure_and_the_log_in_is_out_of_reach_of_scripts(on_the_web):
    for cookie in ("SESSION", "CSRF"):
        assert on_the_web[f"{cookie}_COOKIE_NAME"].startswith("__Host-")
        assert on_the_web[f"{cookie}_COOKIE_SECURE"] is True
    assert on_the_web["SESSION_COOKIE_HTTPONLY"] is True
    assert on_the_web["SESSION_COOKIE_SAMESITE"] == "Lax"
    # A name that begins with __Host- is taken by browsers only with the path / and without a domain.
    assert settings.SESSION_COOKIE_DOMAIN is settings.CSRF_COOKIE_DOMAIN is None
    assert settings.SESSION_COOKIE_PATH == settings.CSRF_COOKIE_PATH == "/"


def test_browsers_are_told_to_come_encrypted_for_two_years(on_the_web):
    assert on_the_web["SECURE_HSTS_SECONDS"] >= 63_072_000
    assert on_the_web["SECURE_HSTS_INCLUDE_SUBDOMAINS"] is on_the_web["SECURE_SSL_REDIRECT"] is True


def test_a_short_key_is_refused_in_a_sentence(tmp_path):
    place = {"SECRET_KEY": "changeme", "SHOPREPAIR_DATA": str(tmp_path)}
    told = subprocess.run(
        [sys.executable, "-c", "import shoprepair.settings"],
        cwd=BASE,
        env=os.environ | place,
        capture_output=True,
    )
    assert told.returncode != 0
    assert b"SECRET_KEY must have at least 50 characters." in told.stderr


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_every_package_is_locked_to_one_version_and_to_what_its_files_hold(lock):
    entries = re.split(r"\n(?=[a-zA-Z0-9])", (BASE / lock).read_text().strip())
    assert len(entries) > 10
    for entry in entries:
        assert re.match(r"[\w.\-\[\],]+==[\w.+!]+", entry), entry[:80]
        assert "--hash=sha256:" in entry, entry[:80]


def test_pages_are_not_kept_by_a_cache_of_the_program_s_own():
    """Nothing that one person was shown is ever kept to be shown to another."""
    assert not [name for name in settings.MIDDLEWARE if "cache" in name.lower()]
    for path in (BASE / "shoprepair").rglob("*.py"):
        assert not re.search(r"cache_page|vary_on_cookie|UpdateCacheMiddleware", path.read_text()), path
    for path in (BASE / "templates").rglob("*.html"):
        assert "{% cache" not in path.read_text(), path


def test_no_rows_of_a_form_are_named_by_whoever_sends_it():
    """There is no set of forms whose hidden keys could be edited, and none takes any field."""
    for path in (BASE / "shoprepair").rglob("*.py"):
        text = path.read_text()
        assert not re.search(
            r"formset|__all__\"|objects\.(create|filter)\(\*\*request|mark_safe\(request", text
        ), path


def test_the_browser_is_told_of_no_exception_for_inline_code():
    directives = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"]
    said = json.dumps({name: [str(value) for value in values] for name, values in directives.items()})
    assert "unsafe" not in said
    assert "*" not in said
    assert "http" not in said
    for name in ("default-src", "object-src", "base-uri", "frame-ancestors"):
        assert [str(value) for value in directives[name]] == ["'none'"]
