"""What every paper of a job says: whose shop, which job, and no more of the customer than the bench needs."""

import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date
from ipaddress import ip_address
from itertools import groupby
from typing import NamedTuple
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.text import Truncator
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.shop.models import Shop
from shoprepair.shop.unbroken import NO_BREAK

DAY = "D j M Y"
LONGEST_NAME = 40
FEWEST_DIGITS = 6
"""A number shorter than this would be given away by its last three digits."""
_OF_A_NETWORK = (".local", ".lan", ".home", ".internal", ".home.arpa", ".localhost")
_TITLES = frozenset({"dr", "frau", "herr", "mr", "mrs", "ms", "mx", "prof", "sr", "sra"})
_BEGINNINGS = frozenset(
    ["abd", "abdel", "abdul", "abu", "umm", "bint", "عبد", "ابو", "ام", "ابن", "بن", "بنت", "בן", "בת"]
)
"""Words that name nobody before the next one is said: 'servant of', 'father of', 'daughter of'."""


class Letterhead(NamedTuple):
    """The shop as it stands at the top of a paper."""

    name: str
    lines: tuple[str, ...]


class PrintedJob(NamedTuple):
    """The job as everyone in the shop may read it."""

    number: str
    first_name: str
    phone_end: str
    received: str
    promised: str
    came_with: tuple[str, ...]
    wet: bool


def letterhead(shop: Shop) -> Letterhead:
    """Name, address line by line, phone."""
    address = [line.strip() for line in shop.address.splitlines()]
    return Letterhead(shop.name, tuple(line for line in (*address, shop.phone.strip()) if line))


def printed_job(job: Job, shop: Shop) -> PrintedJob:
    """The job, with its dates in the shop's own days."""
    received = job.received_at.astimezone(ZoneInfo(shop.time_zone)).date()
    return PrintedJob(
        number=str(job),
        first_name=first_name(job.customer.name),
        phone_end=phone_end(job.customer.phone),
        received=_day(received),
        promised=_day(job.promised_on),
        came_with=tuple(gettext(str(thing)) for thing in job.came_with if thing),
        wet=bool(job.arrived_wet),
    )


def is_for_everybody(address: str) -> bool:
    """Whether who takes a paper home can open it: not where it is of one machine or the shop's network."""
    host = urlsplit(address).hostname or ""
    try:
        return ip_address(host).is_global
    except ValueError:
        return "." in host and not host.endswith(_OF_A_NETWORK)


def from_elsewhere(shop: Shop) -> str:
    """What stands in place of an address that only the shop's own network knows."""
    if phone := shop.phone.strip():
        return gettext("The code opens in our own network. From elsewhere, call us: %(phone)s") % {
            "phone": phone.replace(" ", NO_BREAK)
        }
    return gettext("The code opens in our own network. From elsewhere, ask us.")


def sheet_address(job: Job, base_url: str) -> str:
    """Where the job sheet is found, for the QR code."""
    return base_url.rstrip("/") + job.get_absolute_url()


def first_name(name: str) -> str:
    """The first name alone: 'Ida' of 'Ida Quist', of 'Quist, Ida' and of 'Dr. Ida Quist'.

    A name that begins with a word that names nobody has the next one as well: 'Abu Musa' of 'Abu Musa
    Karim', and 'Mr Quist', of whom no other name is known. One of a single word is printed as it is:
    nobody can tell which part it is.
    """
    family, comma, given = name.partition(",")
    words = (given if comma and given.strip() else family).split()
    if len(words) > 2 and words[0].rstrip(".").casefold() in _TITLES:
        words = words[1:]
    many = 2 if words and _plain(words[0]) in _TITLES | _BEGINNINGS else 1
    return Truncator(" ".join(words[:many])).chars(LONGEST_NAME)


def _plain(word: str) -> str:
    """A word in small letters, without a full stop, and without marks over and under its letters."""
    letters = unicodedata.normalize("NFKD", word.rstrip(".").casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def phone_end(phone: str) -> str:
    """The last three digits, enough to tell two customers apart; empty where that would tell the number."""
    digits = [mark for mark in phone if mark.isdecimal()]
    return "".join(digits[-3:]) if len(digits) >= FEWEST_DIGITS else ""


def listed(words: Sequence[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return gettext("%(some)s and %(last)s") % {"some": ", ".join(words[:-1]), "last": words[-1]}


def in_runs(numbers: Iterable[int]) -> list[str]:
    """Numbers in their order, three and more in a row as a run: '1–4', '7', '8'."""
    ordered = sorted(set(numbers))
    rows = [
        [number for _, number in row]
        for _, row in groupby(enumerate(ordered), key=lambda each: each[1] - each[0])
    ]
    return [
        said
        for row in rows
        for said in ([f"{row[0]}–{row[-1]}"] if len(row) > 2 else [str(each) for each in row])
    ]


def _day(day: date) -> str:
    return date_format(day, DAY)
