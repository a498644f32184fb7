"""Whether the shop of this data folder is the demo: a file beside its database says so, and since when."""

from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings

WORDS = "This folder holds the demo shop; `make demo-fresh` throws it away.\n"


def is_set() -> bool:
    """Whether the demo was built here and is still here."""
    return _path().exists()


def put() -> None:
    """Write down that the demo was built here."""
    _path().write_text(WORDS)


def take_away() -> None:
    """What is here from now on is a shop of its own."""
    _path().unlink(missing_ok=True)


def since() -> datetime:
    """When the demo was built."""
    return datetime.fromtimestamp(_path().stat().st_mtime, UTC)


def _path() -> Path:
    return Path(settings.DATA_DIR) / "demo-shop"
