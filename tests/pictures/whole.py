"""The whole sheet: each shop is made, served, pictured and thrown away."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.measure.served import executable, served
from tests.pictures import sheet
from tests.pictures.papers import papers
from tests.pictures.table import KINDS, SHOPS, SPECIAL, THEMED
from tests.pictures.taking import Camera, Picture, Wish

ROOT = Path(__file__).resolve().parents[2]
GROWN_FROM = {"removed": "many", "empty": "nobody", "one": "nobody", "long": "many", "rtl": "many"}
"""Which shop another begins as a copy of."""


def main() -> int:
    """Take what is asked for and write the sheet; 1 where something could not be taken or looks broken."""
    began = time.monotonic()
    into = Path(os.environ.get("INTO") or Path(os.environ.get("SHOPREPAIR_DATA") or ROOT / "var", "pictures"))
    wish = Wish(_asked("ONLY"), _asked("SIZES") or KINDS, _asked("STATES"))
    taken: list[Picture] = []
    missed: list[str] = []
    with (
        tempfile.TemporaryDirectory(prefix="shoprepair-pictures-") as folder,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=executable())
        for shop in _shops(wish):
            addresses = _make(shop, Path(folder))
            with served(Path(folder) / shop) as its:
                camera = Camera(browser, its.base, shop, into, wish, taken, missed)
                camera.screens(addresses)
                _both_papers(camera, addresses, Path(folder) / shop)
            print(f"{shop}: {len(taken)} pictures after {time.monotonic() - began:.0f} s", flush=True)
        browser.close()
    print("\n".join(f"Look at this: {one}" for one in missed))
    print(f"{sheet.write(into, taken, missed)}: {len(taken)} pictures in {time.monotonic() - began:.0f} s")
    return int(bool(missed))


def _asked(name: str) -> Sequence[str]:
    asked = tuple(filter(None, os.environ.get(name, "").split(",")))
    if name == "SIZES" and not set(asked) <= set(KINDS):
        sys.exit(f"SIZES are some of {', '.join(KINDS)}.")
    return asked


def _shops(wish: Wish) -> Iterator[str]:
    """The shops that any picture is wanted of, each after the one that it grows from."""
    for shop in SHOPS:
        special = any(one.shop == shop and wish.has(one.screen, one.state) for one in SPECIAL)
        if not wish.states or shop in wish.states or special:
            yield shop


def _make(shop: str, folder: Path) -> dict[str, str]:
    """The shop in its folder, and where its pages stand."""
    if not (folder / shop).exists():
        if before := GROWN_FROM.get(shop):
            if not (folder / before).exists():
                _make(before, folder)
            shutil.copytree(folder / before, folder / shop)
        else:
            (folder / shop).mkdir()
            for command in [["demo", "--no-serve"]] if shop == THEMED else [["migrate"], ["collectstatic"]]:
                _run("manage.py", *command, *(["--no-input"] if shop != THEMED else []), data=folder / shop)
    return json.loads(_run("-m", "tests.pictures.shops", shop, folder / shop, data=folder / shop))


def _both_papers(camera: Camera, addresses: dict[str, str], data: Path) -> None:
    """Each on A4, whatever the shop that this one grew from printed on last; one shop's on Letter besides."""
    for paper in ("A4", "Letter") if camera.shop == THEMED else ("A4",):
        _run("-m", "tests.pictures.shops", f"paper-{paper}", data, data=data)
        papers(camera, addresses, paper)


def _run(*command: object, data: Path) -> str:
    """The last line of what one of our own programs says."""
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    said = subprocess.run(
        [sys.executable, *map(str, command)],
        cwd=ROOT,
        env=environment | {"SHOPREPAIR_DATA": str(data), "SHOPREPAIR_LOG": "text"},
        stdout=subprocess.PIPE,
        check=True,
        text=True,
    )
    return said.stdout.strip().rpartition("\n")[2]
