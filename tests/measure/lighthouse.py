"""Five pages as Lighthouse sees them on a slow phone, the middle of five runs, beside a page of one word.

It is no part of what this project installs: `npm install lighthouse@12`, and SHOPREPAIR_LIGHTHOUSE names its
program where it is not on the path.
"""

import json
import os
import statistics
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from shutil import which
from threading import Thread
from typing import Any

from playwright.sync_api import sync_playwright

from tests.measure.said import Said
from tests.measure.served import executable, log_in, served
from tests.measure.weight import pages

RUNS = int(os.environ.get("SHOPREPAIR_ROUNDS") or 5)
LOOKED_AT = {"counter": ("rack", "job sheet"), "bench": ("bench",), "": ("self-check", "status link")}
SCORES = {"performance": 95, "accessibility": 100, "best-practices": 100}
LATER, BLOCKED_MS, SHIFT = 1.6, 50, 0.02
BARE = b"""<!DOCTYPE html>
<html lang="en"><title>ok</title><meta name="viewport" content="width=device-width"><p>ok"""
TRIES = 3
"""It now and then fails to see where a page begins."""


def measured() -> Iterator[Said]:
    """Nothing where Lighthouse is not there."""
    program = os.environ.get("SHOPREPAIR_LIGHTHOUSE") or which("lighthouse")
    if not program:
        print("Lighthouse is not here, so it was not asked: npm install lighthouse@12")
        return
    looked_at = pages()
    with served() as shop:
        cookies = {role: _cookies(shop.base, role) for role in LOOKED_AT}
        with _one_word() as address:
            bare = _middle([_run(program, address, "") for _ in range(RUNS)])
        for role, names in LOOKED_AT.items():
            for name in names:
                address = shop.base + looked_at[role][name]
                middle = _middle([_run(program, address, cookies[role]) for _ in range(RUNS)])
                yield from _figures(name, middle, bare)


def _figures(name: str, page: dict[str, float], bare: dict[str, float]) -> Iterator[Said]:
    for score, least in SCORES.items():
        yield Said(f"{name}: {score}", page[score], least, "least", unit="")
    note = f"{page['lcp']:.0f} ms, {bare['lcp']:.0f} ms"
    yield Said(f"{name}: largest thing drawn, to the bare page", page["lcp"] / bare["lcp"], LATER, note=note)
    yield Said(f"{name}: time in which it does not answer", page["tbt"], BLOCKED_MS, unit="ms")
    yield Said(f"{name}: moves about while it appears", page["cls"], SHIFT, unit="")


@contextmanager
def _one_word() -> Iterator[str]:
    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.end_headers()
            self.wfile.write(BARE)

        def log_message(self, *_said: object) -> None:
            """Nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answer)
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def _cookies(base: str, role: str) -> str:
    if not role:
        return ""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable())
        context = browser.new_context(locale="en-GB")
        log_in(context, base, role)
        cookies = "; ".join(f"{each['name']}={each['value']}" for each in context.cookies())
        browser.close()
    return cookies


def _run(program: str, address: str, cookies: str) -> dict[str, float]:
    with tempfile.TemporaryDirectory() as folder:
        told = Path(folder) / "told.json"
        headers = Path(folder) / "headers.json"
        headers.write_text(json.dumps({"Cookie": cookies} if cookies else {}))
        command = [
            program,
            address,
            "--output=json",
            f"--output-path={told}",
            f"--extra-headers={headers}",
            "--only-categories=performance,accessibility,best-practices",
            "--chrome-flags=--headless=new --no-sandbox --disable-gpu",
            "--no-enable-error-reporting",
            "--quiet",
        ]
        environment = os.environ | {"CHROME_PATH": which("chromium") or ""}
        for _ in range(TRIES):
            if not subprocess.run(command, env=environment, stdout=subprocess.DEVNULL).returncode:
                break
        return _read(json.loads(told.read_text()))


def _read(told: dict[str, Any]) -> dict[str, float]:
    audits = told["audits"]
    return {
        **{name: round(100 * (told["categories"][name]["score"] or 0)) for name in SCORES},
        "lcp": audits["largest-contentful-paint"].get("numericValue") or 0.0,
        "tbt": audits["total-blocking-time"].get("numericValue") or 0.0,
        "cls": audits["cumulative-layout-shift"].get("numericValue") or 0.0,
    }


def _middle(runs: list[dict[str, float]]) -> dict[str, float]:
    return {name: statistics.median(run[name] for run in runs) for name in runs[0]}
