"""What is held about a customer, laid out to be read, and packed for them to take away."""

import datetime
import json
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from django.template.loader import render_to_string
from django.utils import timezone

from shoprepair.jobs import personal, photos, told
from shoprepair.jobs.models import Customer
from shoprepair.shop.settings import current
from shoprepair.work.models import Invoice
from shoprepair.work.personal import kept_until

IN_MEMORY = 8_000_000
_ISO_MOMENT = len("2026-11-25T18:00:00")


@dataclass(frozen=True, slots=True)
class Fact:
    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Shown:
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
            path = photos.path(photo, "large")
            if path.exists():
                archive.write(path, told.photo_name(photo), ZIP_STORED)
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
        if value not in (None, "", [], {}):
            yield Fact(name.replace("_", " ").capitalize(), _said(name, value))


def _said(name: str, value: Any) -> str:
    if name == "signature":
        return "a signature, drawn by hand"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | dict):
        return json.dumps(value, ensure_ascii=False)
    text = str(value)
    if name.endswith(("_at", "since", "until")) and len(text) > _ISO_MOMENT:
        return text[:_ISO_MOMENT].replace("T", " ") + " UTC"
    return text
