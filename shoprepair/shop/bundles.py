"""What a page needs of style sheets goes to it as one file, and what it needs of programs as another.

On disk each stays by itself and has one subject. A page that asks for nine files waits for nine answers, and
on a slow line that is most of its waiting. The address holds a digest of the content, so a browser keeps the
file for good, and is made with the shop's key, so that nobody has sets put together that no page has.
"""

import gzip
import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import brotli
from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import ManifestFilesMixin, staticfiles_storage
from django.utils.crypto import constant_time_compare, salted_hmac

from shoprepair.shop import spoken

TYPES = {"css": "text/css", "js": "text/javascript", "svg": "image/svg+xml"}
"""By how the names end, which of style sheets and programs is also the folder of `static`."""
ELSEWHERE = {"js/htmx.js": "django_htmx/htmx-2.min.js"}
"""What a library brings along."""
HOUSE = "house"
ALL_PAGES = (
    "htmx",
    "asking",
    "words",
    "look",
    "scan",
    "line",
    "focus",
    "keep",
    "kept-here",
    "kept-sending",
    "pins-kept",
)
"""The programs of every page of the shop. They go by one short name, which each of the pages carries."""
_held: dict[tuple[str, tuple[str, ...]], tuple["Bundle", str]] = {}
"""As many as the pages have between them, some fifty."""
_ADDRESS = re.compile(r"(?P<kind>css|js)/(?P<names>[a-z0-9+-]{1,200})\.(?P<digest>[0-9a-f]{16})\.(?P=kind)")


@dataclass(frozen=True)
class Bundle:
    """Some files of one kind, as one."""

    kind: str
    text: bytes

    @cached_property
    def as_brotli(self) -> bytes:
        """As nearly every browser reads it."""
        # As small as at best but for a fiftieth, in half the time: somebody waits for the first.
        return bytes(brotli.compress(self.text, mode=brotli.MODE_TEXT, quality=10))

    @cached_property
    def as_gzip(self) -> bytes:
        """As every other does."""
        return gzip.compress(self.text, mtime=0)


def address(kind: str, names: tuple[str, ...]) -> str:
    """Where the browser finds these files of this kind as one.

    Raises FileNotFoundError where there is no such file.
    """
    key = (kind, names)
    if settings.DEBUG or key not in _held:
        _held[key] = _made(kind, names)
    return f"{settings.STATIC_URL}{kind}/{'+'.join(names)}.{_held[key][1]}.{kind}"


def at(path: str) -> Bundle | None:
    """What is found at this address of this site; None where it is none that `address` gave."""
    match = _ADDRESS.fullmatch(path.removeprefix(settings.STATIC_URL))
    if match is None or not path.startswith(settings.STATIC_URL):
        return None
    key = (match["kind"], tuple(match["names"].split("+")))
    try:
        made = _held.get(key) or _made(*key)
    except (FileNotFoundError, ValueError):
        return None
    if not constant_time_compare(made[1], match["digest"]):
        return None
    # Kept only now: whoever guesses fills no memory.
    _held[key] = made
    return made[0]


def _made(kind: str, names: tuple[str, ...]) -> tuple[Bundle, str]:
    every = singles(kind, names)
    text = b"\n".join(_content(kind, name, every) for name in every)
    told = f"{kind}/{'+'.join(names)}\n".encode() + text
    return Bundle(kind, text), salted_hmac("shoprepair.bundles", told, algorithm="sha256").hexdigest()[:16]


def singles(kind: str, names: tuple[str, ...]) -> tuple[str, ...]:
    """The files themselves that these names stand for, each once."""
    stands_for = {HOUSE: ALL_PAGES} if kind == "js" else {}
    return tuple(dict.fromkeys(one for name in names for one in stands_for.get(name, (name,))))


def _content(kind: str, name: str, together: tuple[str, ...]) -> bytes:
    """One of some files that go together; what the others say in another language is written for them."""
    if kind != "js" or not (language := spoken.language_of(name)):
        return content(f"{kind}/{name}.{kind}")
    programs = [one for one in together if not spoken.language_of(one)]
    return spoken.written(language, (content(f"js/{one}.js").decode() for one in programs))


def content(name: str) -> bytes:
    """A file of `static` as laid out for the browser: what it names stands under names that change with it.

    Raises FileNotFoundError where there is no such file.
    """
    name = ELSEWHERE.get(name, name)
    if isinstance(staticfiles_storage, ManifestFilesMixin):
        with staticfiles_storage.open(staticfiles_storage.stored_name(name)) as file:
            return bytes(file.read())
    found = finders.find(name)
    if found is None:
        raise FileNotFoundError(name)
    return Path(found).read_bytes()


def forget() -> None:
    """Drop what this process holds; it is put together again when asked for."""
    _held.clear()
