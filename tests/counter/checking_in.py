"""A visit at the counter for the tests of its pages: somebody known, with a wing that hurts at one place."""

import io

from django.test import Client
from django.urls import reverse
from PIL import Image

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin, search
from shoprepair.jobs.models import Customer, Damage, Job
from shoprepair.shop.models import Staff
from tests.factories import CustomerFactory, OwnershipFactory, PatternFactory

HTMX = {"HTTP_HX_REQUEST": "true"}
ON_THE_EDGE = {"x": "0.300", "y": "0.020"}
OFF = {"x": "9", "y": "9"}


def somebody(name: str = "Ida Quist", serial: str = "PT-00412", **facts: str) -> tuple[Customer, Inflatable]:
    """A customer whom the search finds, with one wing."""
    customer = CustomerFactory(name=name, **facts)
    pattern = PatternFactory(name=f"Petrel of {name}"[:80])
    inflatable = OwnershipFactory(
        customer=customer, inflatable__serial=serial, inflatable__pattern=pattern
    ).inflatable
    search.index(customer)
    return customer, inflatable


def enquiry(who: Staff, name: str = "Ida Quist") -> Job:
    """A visit just begun."""
    return checkin.start(*somebody(name), who=who)


def desk(job: Job) -> str:
    return reverse("job-check-in", args=[job.number])


def pin(client: Client, job: Job, key: str = "", **more: str) -> Damage:
    """Tap the leading edge, 0.3 m right of the centre."""
    client.post(reverse("damage-pin", args=[job.number]), {**ON_THE_EDGE, "key": key, **more}, **HTMX)
    return job.damages.order_by("-number").first()


def answer(client: Client, damage: Damage, *, htmx: bool = True, **answers: str):
    """Send answers about a damage as they stand now."""
    damage.refresh_from_db()
    address = reverse("damage", args=[damage.job.number, damage.number])
    fields = {"version": str(damage.version), **answers}
    return client.post(address, fields, **(HTMX if htmx else {}))


def picture(width: int = 640, height: int = 480, kind: str = "JPEG") -> io.BytesIO:
    """What a camera sends."""
    file = io.BytesIO()
    Image.new("RGB", (width, height), (120, 160, 140)).save(file, kind)
    file.seek(0)
    file.name = f"wing.{kind.lower()}"
    return file
