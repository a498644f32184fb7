"""A real browser before a served shop, on the counter's tablet unless a test asks for another screen.

`page` fails its test when the browser's console complains, so a script or style that the
content policy refuses is noticed; a test that cuts the line on purpose takes `complaints`
and empties it.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.contrib.staticfiles.handlers import StaticFilesHandler
from django.test import Client
from playwright.sync_api import BrowserContext, Page

from shoprepair.shop import bundles
from shoprepair.shop.models import Staff
from tests import shelves
from tests.browser.by_keyboard import Keyboard
from tests.browser.by_name import Voice

TABLET = {"width": 1180, "height": 820}
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 900}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session", autouse=True)
def _database_beside_the_browsers_loop() -> Iterator[None]:
    """The browser's driver keeps an event loop running in this thread; Django would refuse it."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    yield
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, object]) -> dict[str, object]:
    """The system's own browser where there is one."""
    own = shutil.which("chromium-headless-shell") or shutil.which("chromium")
    return {
        **browser_type_launch_args,
        **({"executable_path": own} if own else {}),
        "args": ["--disable-gpu", "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"],
    }


@pytest.fixture(scope="session", autouse=True)
def _single_files_alone() -> Iterator[None]:
    """The tests' own server answers for whatever is static; what goes as one file is answered by the shop."""
    stood = StaticFilesHandler._should_handle

    def is_single(handler: StaticFilesHandler, path: str) -> bool:
        return stood(handler, path) and bundles.at(path) is None

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(StaticFilesHandler, "_should_handle", is_single)
        yield


@pytest.fixture(scope="session")
def base_url(live_server) -> str:
    return live_server.url


@pytest.fixture
def browser_context_args(browser_context_args: dict[str, object]) -> dict[str, object]:
    # A test that cuts the line of one page would not reach what a worker asks for in its place.
    own = {"viewport": TABLET, "has_touch": True, "reduced_motion": "reduce", "service_workers": "block"}
    return {**browser_context_args, **own}


@pytest.fixture
def people(transactional_db) -> dict[str, Staff]:
    """Somebody at the counter, at the bench and in the office."""
    return {role: Staff.objects.create_user(role, password="x", role=role) for role in Staff.Role.values}


@pytest.fixture
def patterns(transactional_db) -> None:
    """The library of patterns and cloths, as a shop has it from its first day."""
    shelves.patterns()


@pytest.fixture
def log_in(context: BrowserContext, base_url: str) -> Callable[[Staff], None]:
    """Log somebody in without walking through the log-in form."""

    def logged_in(person: Staff) -> None:
        client = Client()
        client.force_login(person)
        cookie = client.cookies[settings.SESSION_COOKIE_NAME]
        context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": base_url}])

    return logged_in


@pytest.fixture
def complaints() -> list[str]:
    """What the browser's console complained of so far."""
    return []


@pytest.fixture
def page(context: BrowserContext, complaints: list[str]) -> Iterator[Page]:
    page = context.new_page()
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield page
    assert not complaints, complaints


@pytest.fixture(params=[Keyboard, Voice], ids=["by-keyboard", "by-name"])
def hands(request: pytest.FixtureRequest, page: Page) -> Keyboard | Voice:
    """Whoever does a task on this page: by keys alone, and once more by names alone."""
    made: Keyboard | Voice = request.param(page)
    return made


def axe_clean(page: Page) -> None:
    """Assert that no accessibility rule is broken on this page as it stands."""
    found = Axe().run(page)
    assert found.violations_count == 0, f"{page.url}\n{found.generate_report()}"
