"""Settings under which no shop should be served: each with one sentence that says what to do.

Behind HTTPS they keep the server from starting. Without it the shop is tried out, or reached within one
house: then only what is wrong anywhere does.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core import checks

from shoprepair.file_url import FOLDER

LEAST_KEY = 50
OVER_THE_NETWORK = frozenset(
    ("nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "glusterfs", "lustre", "9p", "ncpfs", "beegfs")
)
"""File systems on which the locks of the embedded database do not hold [sqlite.org, How To Corrupt, 2.1]."""
_MOUNTS = Path("/proc/self/mounts")


def register() -> None:
    """Have `manage.py check --deploy` look at them too; what mends a shop must run whatever they say."""
    checks.register(unsafe, deploy=True)


def unsafe(app_configs: Any = None, **_options: Any) -> list[checks.CheckMessage]:
    """What is wrong with the settings, and with the folder of the shop's data."""
    if app_configs is not None:
        return []
    return [*_choices(), *_keys(), *_rights(), *_disk()]


def errors() -> list[str]:
    """For each of them that keeps the shop from being served, its sentence."""
    return [message.msg for message in unsafe() if message.level >= checks.ERROR]


def warnings() -> list[str]:
    """The sentences of those that do not."""
    return [message.msg for message in unsafe() if message.level < checks.ERROR]


def _choices() -> Iterator[checks.CheckMessage]:
    if settings.DEBUG and settings.HTTPS:
        yield checks.Error(
            "SHOPREPAIR_DEBUG shows the inside of the program to everybody: unset it where "
            "the shop is on the web.",
            id="shoprepair.E001",
        )
    if "*" in settings.ALLOWED_HOSTS and not settings.DEBUG:
        yield checks.Error(
            "SHOPREPAIR_HOSTS must not be *: name the hosts under which the shop is reached, commas between.",
            id="shoprepair.E002",
        )


def _keys() -> Iterator[checks.CheckMessage]:
    if len(settings.SECRET_KEY) < LEAST_KEY:
        yield checks.Error(
            f"The shop's key has fewer than {LEAST_KEY} characters: put it into SHOPREPAIR_OLD_KEYS, and "
            "a long one from chance in its place.",
            id="shoprepair.E003",
        )
    if len(set(settings.SECRET_KEY)) < 5 or settings.SECRET_KEY.startswith("django-insecure-"):
        yield checks.Error(
            "The shop's key can be guessed: take a long one from chance.", id="shoprepair.E004"
        )

    if not os.environ.get("SECRET_KEY") and _runs_on_several():
        yield checks.Error(
            "The shop's records and photos lie on servers, so that several machines may serve it; each would "
            "make a key of its own: set SECRET_KEY, the same on all of them.",
            id="shoprepair.E008",
        )


def _runs_on_several() -> bool:
    return _database() is None and settings.STORAGES["default"] != FOLDER


def _rights() -> Iterator[checks.CheckMessage]:
    found = [
        ("key", _data() / "secret_key", "shoprepair.E005"),
        ("database", _database(), "shoprepair.E006"),
    ]
    for what, path, number in found:
        if path and _open_to_all(path):
            yield _outside(
                f"Everybody on this machine can read the shop's {what}: chmod o-rwx {_data()}", number
            )


def _disk() -> Iterator[checks.CheckMessage]:
    path = _database()
    kind = _file_system(path.parent) if path else ""
    if kind in OVER_THE_NETWORK or kind.startswith("fuse.sshfs"):
        yield _outside(
            f"{_data()} lies on a network disk ({kind}), where the embedded database can be damaged: set "
            "SHOPREPAIR_DATA to a folder of this machine, or DATABASE_URL to a PostgreSQL server.",
            "shoprepair.E007",
        )


def _outside(words: str, number: str) -> checks.CheckMessage:
    """An error where the shop is on the web, else a warning."""
    if settings.HTTPS:
        return checks.Error(words, id=number)
    return checks.Warning(words, id=number.replace("E", "W"))


def _data() -> Path:
    return Path(settings.DATA_DIR)


def _database() -> Path | None:
    """The embedded database's file; None where a server keeps it."""
    chosen = settings.DATABASES["default"]
    return Path(chosen["NAME"]) if chosen["ENGINE"].endswith("sqlite3") else None


def _open_to_all(path: Path) -> bool:
    """Whether everybody may read it: the file itself, and every folder on the way to it."""
    try:
        return bool(path.stat().st_mode & 0o004) and all(map(_is_passed_by_all, path.resolve().parents))
    except OSError:
        return False


def _is_passed_by_all(folder: Path) -> bool:
    return bool(folder.stat().st_mode & 0o001)


def _file_system(folder: Path) -> str:
    """The kind of the file system on which a folder lies; empty where the system does not tell."""
    try:
        lines = [line.split() for line in _MOUNTS.read_text().splitlines()]
    except OSError:
        return ""
    around = {str(each) for each in (folder.resolve(), *folder.resolve().parents)}
    mounted = [(at.replace("\\040", " "), kind) for _, at, kind, *_ in lines]
    within = [(at, kind) for at, kind in mounted if at in around]
    return max(within, key=lambda one: len(one[0]), default=("", ""))[1]
