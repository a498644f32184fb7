"""Enquiries as a visitor sends them. Every name is invented."""

import io
from typing import Any

from PIL import Image

from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries.making import send
from shoprepair.jobs.models import Enquiry

SHOP = "https://loft.example"
ILKA = {"name": "Ilka Sandvoort", "contact": "ilka@sand.example", "base_url": SHOP, "key": "of-one-form"}
CUT = Told(kind="wing", size="medium", at="front-centre", look="cut", length="coin")
TEAR = Told(kind="wing", size="medium", at="canopy-outer", look="torn", length="palm")


def ask(*tolds: Told, **more: Any) -> Enquiry:
    """Ilka's enquiry about these damages."""
    return send(tolds, **{**ILKA, **more})


def photo(name: str = "cut.jpg") -> io.BytesIO:
    """A small photo as a phone sends it."""
    file = io.BytesIO()
    Image.new("RGB", (60, 40), "teal").save(file, "JPEG")
    file.seek(0)
    file.name = name
    return file
