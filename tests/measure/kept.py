"""Where the shops to measure are kept, and the process that measures made ready. Needs no Django to begin."""

import contextlib
import functools
import hashlib
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@functools.cache
def folder() -> Path:
    """Named by what the tables look like and what the demo puts into them: a change builds anew."""
    digest = hashlib.sha256()
    sources = ROOT / "shoprepair"
    for path in sorted([*sources.glob("*/migrations/*.py"), *sources.glob("office/demo/*.py")]):
        digest.update(path.read_bytes())
    return ROOT / "var" / "measure" / digest.hexdigest()[:12]


def demo() -> Path:
    """The folder of the demo shop, built where it is not there."""
    shop = folder() / "demo"
    if not (shop / "demo-shop").exists():
        shutil.rmtree(shop, ignore_errors=True)
        _manage(shop, "demo", "--no-serve")
    _lay_out(shop)
    return shop


@functools.cache
def _lay_out(shop: Path) -> None:
    """The style sheets, programs and fonts as they are now, which the kept shop may be older than."""
    _manage(shop, "collectstatic", "--no-input")


def move(url: str) -> None:
    """Bring a copy of the demo shop, in which somebody may be at work, into the empty database there."""
    with tempfile.TemporaryDirectory(dir=folder()) as copy:
        shop = Path(copy) / "demo"
        shutil.copytree(demo(), shop, ignore=shutil.ignore_patterns("shop.sqlite3*", "static", "backups"))
        of, to = sqlite3.connect(demo() / "shop.sqlite3"), sqlite3.connect(shop / "shop.sqlite3")
        with contextlib.closing(of), contextlib.closing(to):
            of.backup(to)
        _manage(shop, "move_to", url)


def _manage(shop: Path, *command: str) -> None:
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    subprocess.run(
        [sys.executable, "manage.py", *command],
        cwd=ROOT,
        env=environment | {"SHOPREPAIR_DATA": str(shop)},
        stdout=subprocess.DEVNULL,
        check=True,
    )


def begin() -> None:
    """Django as a served shop has it, in the demo shop's folder."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "shoprepair.settings"
    os.environ["SHOPREPAIR_DATA"] = str(demo())
    os.environ.setdefault("SHOPREPAIR_LOG", "text")
    import django

    django.setup()
