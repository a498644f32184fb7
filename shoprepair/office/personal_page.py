"""What is held about a customer, laid out to be read, and packed for them to take away."""

import datetime
import json
import re
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from typing import IO, Any, NamedTuple
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from django.template.loader import render_to_string
from django.utils import timezone

from shoprepair.jobs import personal, photos, told
from shoprepair.jobs.models import Customer
from shoprepair.shop.settings import current
from shoprepair.work.models import Invoice
from shoprepair.work.personal import kept_until

IN_MEMORY = 8_000_000
FOR_PROGRAMS = frozenset(["contents", "digest", "previous"])
"""What stands in the JSON alone: the whole record of a cover, which its paper says in words."""
_ISO_MOMENT = len("2026-11-25T18:00:00")
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d.*\+00:00\Z")


class Fact(NamedTuple):
    label: str
    text: str


class Shown(NamedTuple):
    """A section as people read it: each row a list of what is said in it."""

    name: str
    title: str
    rows: list[list[Fact]]


def sections(customer: Customer) -> list[Shown]:
    """All that is held, with empty fields left out."""
    return [
        Shown(section.name, section.title, [list(_facts(row)) for row in section.rows])
        for section in personal.told(customer)
    ]


def packed(customer: Customer) -> IO[bytes]:
    """A zip with `data.json`, `page.html` and the photos they were shown; small ones stay in memory."""
    made: Any = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - whoever sends it closes it
    shop = current()
    with ZipFile(made, "w", ZIP_DEFLATED) as archive:
        archive.writestr("data.json", json.dumps(_plainly(customer), ensure_ascii=False, indent=1))
        page = {"customer": customer, "shop": shop, "sections": sections(customer), "at": timezone.now()}
        archive.writestr("page.html", render_to_string("office/leaving/customer_page.html", page))
        for photo in told.shared_photos(customer):
            with suppress(OSError):
                content = photos.file(photo, "large").read_bytes()
                archive.writestr(told.photo_name(photo), content, ZIP_STORED)
    made.seek(0)
    return made


def invoices_kept(customer: Customer) -> tuple[int, datetime.date | None]:
    """How many invoices keep the name for now, and the last day of the latest."""
    years = current().invoice_years
    last = [kept_until(each, years) for each in Invoice.objects.filter(job__customer=customer)]
    ahead = [day for day in last if day >= timezone.localdate()]
    return len(ahead), max(ahead, default=None)


def _plainly(customer: Customer) -> dict[str, Any]:
    found = {section.name: section.rows for section in personal.told(customer)}
    return {"shop": current().name, "made_at": timezone.now().isoformat(), **found}


def _facts(row: personal.Row) -> Iterator[Fact]:
    for name, value in row.items():
        if value not in (None, "", [], {}) and name not in FOR_PROGRAMS:
            yield Fact(_label(name), _said(name, value))


def _label(name: str) -> str:
    return name.replace("_", " ").capitalize()


def _said(name: str, value: Any) -> str:
    if name == "signature":
        return "a signature, drawn by hand"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name == "changes":
        return "\n".join(f"{_label(field)}: {_pair(pair)}" for field, pair in value.items())
    if isinstance(value, list | dict):
        return "\n".join(_flat(value))
    text = str(value)
    if _MOMENT.match(text):
        return text[:_ISO_MOMENT].replace("T", " ") + " UTC"
    return text


def _pair(pair: list[Any]) -> str:
    before, after = ("nothing" if each in (None, "", [], {}) else str(each) for each in pair)
    return f"{before} → {after}"


def _flat(value: Any) -> Iterator[str]:
    """Lists and objects as lines that people read, the inner ones after what names them."""
    if isinstance(value, list):
        for each in value:
            yield from _flat(each) if isinstance(each, list | dict) else (str(each),)
        return
    for name, each in value.items():
        if isinstance(each, list | dict):
            inner = list(_flat(each))
            yield from [f"{_label(name)}: {', '.join(inner)}"] if _is_short(each) else [*inner]
        elif each not in (None, ""):
            yield f"{_label(name)}: {each}"


def _is_short(value: Any) -> bool:
    return isinstance(value, list) and not any(isinstance(each, list | dict) for each in value)
