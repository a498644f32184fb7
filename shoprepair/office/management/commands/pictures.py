import io
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from PIL import Image

from shoprepair.office.demo.people import OWNER

FOLDER = Path(settings.BASE_DIR) / "static" / "img" / "pictures"
WIDTH, HEIGHT = 1180, 820
PATIENCE_S = 600
QUOTED = "Kaimana"
"""A customer whose quote is out, with lines to choose from."""
ASKED = {
    "self-check": "kind=wing&size=medium",
    "self-check-answer": "kind=kite&size=medium&at=front-tip&look=cut&length=coin&far=far",
}
"""A question of the self-check and one of its answers, by their addresses."""
STATUS_LINK_FROM = 1000
"""Pixels below the top of the page, where its drawing and its prices begin."""


class Command(BaseCommand):
    help = (
        "Take the pictures of README: the main screens of a demo shop that is built for it and thrown away."
    )
    requires_system_checks: list[str] = []

    def handle(self, **_options: Any) -> None:
        try:
            from playwright.sync_api import sync_playwright  # only those who work on the code have it
        except ImportError:
            raise CommandError("The pictures are taken with Playwright: run `make pictures`.") from None
        FOLDER.mkdir(parents=True, exist_ok=True)
        with _served() as url, sync_playwright() as playwright:
            own = shutil.which("chromium-headless-shell") or shutil.which("chromium")
            browser = playwright.chromium.launch(executable_path=own)
            page = browser.new_context(
                viewport={"width": WIDTH, "height": HEIGHT}, device_scale_factor=1.5, has_touch=True
            ).new_page()
            _log_in(page, url)
            for name in _screens(page, url):
                _keep(name, page.screenshot())
                self.stdout.write(f"{FOLDER.name}/{name}.png")
            browser.close()


def _screens(page: Any, url: str) -> Iterator[str]:
    """Open each main screen, and give its name while it is open."""
    page.goto(url)
    page.wait_for_load_state("networkidle")
    yield "rack"
    page.get_by_role("link", name="Ida Quist").or_(page.locator("a", has_text="Holm 5.0 wing")).first.click()
    page.wait_for_load_state("networkidle")
    yield "job-sheet"
    page.goto(f"{page.url}check-in/")
    page.wait_for_load_state("networkidle")
    yield "check-in"
    page.goto(f"{url}office/patterns/")
    page.wait_for_load_state("networkidle")
    yield "patterns"
    page.goto(url)
    page.get_by_role("link", name=QUOTED).first.click()
    page.wait_for_load_state("networkidle")
    status_link = page.locator("a[href*='/s/']").first.get_attribute("href")
    page.goto(f"{page.url}quote/")
    page.wait_for_load_state("networkidle")
    yield "quote"
    page.goto(status_link)
    page.wait_for_load_state("networkidle")
    page.mouse.wheel(0, STATUS_LINK_FROM)
    page.wait_for_timeout(500)
    yield "status-link"
    yield from _self_check(page, url)


def _self_check(page: Any, url: str) -> Iterator[str]:
    """Where the damage is, and the answer that a visitor reads."""
    for name, query in ASKED.items():
        page.goto(f"{url}self-check/?{query}")
        page.wait_for_load_state("networkidle")
        yield name


def _log_in(page: Any, url: str) -> None:
    page.goto(f"{url}log-in/")
    page.locator("input[name=username]").fill(OWNER.username)
    page.locator("input[name=password]").fill(OWNER.password)
    page.get_by_role("button", name="Log in").click()
    page.wait_for_load_state("networkidle")


def _keep(name: str, png: bytes) -> None:
    """In 128 colours, which flat screens do not miss: a fifth of the bytes."""
    with Image.open(io.BytesIO(png)) as picture:
        picture.convert("RGB").quantize(128, dither=Image.Dither.NONE).save(
            FOLDER / f"{name}.png", optimize=True
        )


@contextmanager
def _served() -> Iterator[str]:
    """A demo shop in a folder of its own, served while this lasts."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    url = f"http://127.0.0.1:{port}/"
    with tempfile.TemporaryDirectory(prefix="shoprepair-pictures-") as folder:
        environment = {**os.environ, "SHOPREPAIR_DATA": folder, "HOST": "127.0.0.1", "PORT": str(port)}
        demo = [sys.executable, str(Path(settings.BASE_DIR) / "manage.py"), "demo"]
        server = subprocess.Popen(demo, env=environment, stdout=subprocess.DEVNULL)  # noqa: S603
        try:
            _wait_for(f"{url}log-in/", server)
            yield url
        finally:
            server.terminate()
            server.wait()


def _wait_for(url: str, server: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + PATIENCE_S
    while server.poll() is None and time.monotonic() < until:
        try:
            urllib.request.urlopen(url, timeout=5).close()  # noqa: S310 - our own address
        except (urllib.error.URLError, OSError):
            time.sleep(0.5)
        else:
            return
    raise CommandError("The demo shop did not start; run `make demo` to see why.")
