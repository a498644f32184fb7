"""What is held about a customer, laid out to be read, and packed for them to take away."""

import datetime
import json
import tempfile
from contextlib import suppress
from typing import IO, Any, NamedTuple
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from django.template.loader import render_to_string
from django.utils import timezone

from shoprepair.jobs import personal, photos, told
from shoprepair.jobs.models import Customer
from shoprepair.office.personal_words import Said, said
from shoprepair.shop.settings import current
from shoprepair.work.models import Invoice
from shoprepair.work.personal import kept_until

IN_MEMORY = 8_000_000
UNFOLDED = 3
"""Rows of a section that are read at once."""


class Shown(NamedTuple):
    """A section as people read it: each row what it is, when, and what is held of it."""

    name: str
    title: str
    rows: list[Said]

    @property
    def folds(self) -> bool:
        """Whether it is so long that on a screen it opens only when asked."""
        return len(self.rows) > UNFOLDED


def sections(customer: Customer) -> list[Shown]:
    """All that is held, with empty fields left out."""
    return [Shown(of.name, of.title, rows) for of, rows in said(personal.told(customer))]


def packed(customer: Customer) -> IO[bytes]:
    """A zip with `data.json`, `page.html` and the photos they were shown; small ones stay in memory."""
    made: Any = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - whoever sends it closes it
    shop = current()
    with ZipFile(made, "w", ZIP_DEFLATED) as archive:
        archive.writestr("data.json", json.dumps(_plainly(customer), ensure_ascii=False, indent=1))
        page = {"customer": customer, "shop": shop, "sections": sections(customer), "at": timezone.now()}
        archive.writestr("page.html", render_to_string("office/leaving/customer_page.html", page))
        archive.writestr("page.css", render_to_string("office/leaving/customer_page.css"))
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
