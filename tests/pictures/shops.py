"""The shops that are pictured, each in a folder of its own: `python -m tests.pictures.shops KIND FOLDER`.

Runs in a process of its own, as a process knows one shop: it makes the shop of that kind in the folder and
says on its last line, as JSON, where its pages stand. A kind that builds on another is given that one's copy.
"""

import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import django

if TYPE_CHECKING:
    from shoprepair.jobs.models import Job

LONG = (
    "Maximiliane-Theodora van der Oosterwijck-Halvorsgaard zu Brakenmoor und Lindenau",
    "Konstantin-Alexander Wetherington-Fairweather-Ballantree of Upper Marshfield",
    "Donaudampfschifffahrtsgesellschaftskapitaensanwaerterin Ysolde",
)
RTL = ("נעמה בת־גלים שׁרון", "أبو الريح بن موجان الساحلي", "יואב אבן־רוח", "ليلى بنت شراع البحرية")
GEAR = {
    "long": "Silberfischchenseeschwalbe Expedition Zweitausendfünfhundert",
    "rtl": "שחף הצפון",
}

BETWEEN_STRUTS = (0.1, 0.2, 0.4, 0.5)
"""Stations of the library's first kite at which there is canopy alone."""


def make(kind: str, folder: Path) -> None:
    """Bring the folder from what it holds to the shop of this kind."""
    if kind in ("empty", "one"):
        _found()
    if kind == "one":
        _one()
    if kind == "many":
        _forty()
        _people_at_the_door()
    if kind == "removed":
        _demo_removed()
    if kind in ("long", "rtl"):
        _rename(LONG if kind == "long" else RTL, GEAR[kind])
        _one_goes_home()
    if kind.startswith("paper-"):
        from shoprepair.shop.models import Shop

        Shop.objects.update(paper=kind.removeprefix("paper-"))


def _found() -> None:
    """As the first run leaves it, under the demo's log-in."""
    from shoprepair.gear import library
    from shoprepair.office.demo.people import OWNER, SHOP_NAME
    from shoprepair.pricing import catalogue
    from shoprepair.shop import people

    people.first_owner(shop_name=SHOP_NAME, name=OWNER.name, username=OWNER.username, password=OWNER.password)
    library.load()
    catalogue.load()


def _visit(name: str, pattern: object, finds: list, serial: str = "NQ-20417") -> "Job":
    """Somebody brings gear, and this is found on it; the job is assessed then."""
    from shoprepair.jobs import checkin, stages
    from shoprepair.jobs.models import Stage
    from shoprepair.office.demo.finds import pin
    from shoprepair.shop.models import Staff

    owner = Staff.objects.get(username="owner")
    email = "@".join(part.lower() for part in name.split(" ", 1)) + ".example"
    customer = checkin.add_customer(name, who=owner, phone="+44 1632 960 077", email=email)
    gear = checkin.add_inflatable(customer, pattern, who=owner, serial=serial, colour="sand")
    job = checkin.start(customer, gear, who=owner)
    for find in finds:
        pin(job, find, who=owner)
    checkin.note_arrival(job, came_with=["bag", "pump"], arrived_wet=False, note="", who=owner)
    checkin.agree_terms(job, who=owner)
    checkin.finish(job, who=owner)
    job.refresh_from_db()
    stages.move(job, Stage.ASSESSED, who=owner)
    return job


def _one() -> None:
    from shoprepair.gear.models import Pattern
    from shoprepair.mechanics.description import FindingKind
    from shoprepair.office.demo.finds import edge

    wing = Pattern.objects.filter(kind="wing").order_by("pk").first()
    _visit("Ida Quist", wing, [edge(FindingKind.CUT, 0.2, length="35 mm", direction="around", face="front")])


def _forty() -> None:
    from shoprepair.gear.models import Pattern
    from shoprepair.mechanics.description import FindingKind
    from shoprepair.office.demo.finds import canopy, edge

    sides = ("left", "right")
    cuts = [
        edge(FindingKind.CUT, 0.03 + n / 17, side, length="12 mm", direction="along", face="front")
        for n in range(16)
        for side in sides
    ]
    tears = [
        canopy(FindingKind.TEAR, at, 0.5, side, length="20 mm", direction="along")
        for at in BETWEEN_STRUTS
        for side in sides
    ]
    kite = Pattern.objects.filter(kind="kite").order_by("pk").first()
    _visit("Ottokar Fjeldmark", kite, [*cuts, *tears])
    _goes_home("Walburga Fjeldmark", kite, [*cuts, *tears])


def _goes_home(name: str, pattern: object, finds: list) -> None:
    """Brought some days ago, and quoted, agreed, repaired, held and fetched since."""
    from datetime import timedelta

    from django.utils import timezone

    from shoprepair.jobs.models import Stage
    from shoprepair.office.demo import clock, visits
    from shoprepair.office.demo.people import TIME_ZONE, Crew
    from shoprepair.shop.models import Staff

    crew = Crew(*(Staff.objects.get(username=one) for one in ("counter", "bench", "owner")))
    now = timezone.now()
    with timezone.override(TIME_ZONE), clock.at(clock.open_at(now - timedelta(days=9))):
        job = _visit(name, pattern, finds, "NQ-20418")
        visits.walk(job, Stage.HANDED_BACK, now, crew)


def _people_at_the_door() -> None:
    """Everybody has a PIN, and one more owner is asked for a code."""
    from django_otp.plugins.otp_totp.models import TOTPDevice

    from shoprepair.office.demo.people import OWNER
    from shoprepair.shop import people, pins
    from shoprepair.shop.models import Staff
    from tests.pictures.acts import PIN, SECOND

    owner = Staff.objects.get(username="owner")
    for person in Staff.objects.all():
        pins.give(person, PIN, who=person)
    second = people.add(
        name="Isa Marn", username=SECOND, role=Staff.Role.OWNER, password=OWNER.password, who=owner
    )
    TOTPDevice.objects.create(user=second, name="phone", confirmed=True)


def _demo_removed() -> None:
    from shoprepair.office.demo import removing
    from shoprepair.shop.models import Staff

    owner = Staff.objects.get(username="owner")
    removing.remove(keep_people=True, keep_patterns=True, keep_catalogue=True, who=owner)


def _rename(names: tuple[str, ...], gear: str) -> None:
    """Everybody gets one of the names in turn, every pattern the gear's name and a number."""
    from shoprepair.gear.models import Pattern
    from shoprepair.jobs import search
    from shoprepair.jobs.models import Customer
    from shoprepair.shop.models import Staff

    for place, customer in enumerate(Customer.objects.filter(erased_at=None)):
        customer.name = names[place % len(names)]
        customer.save(update_fields=["name"])
        search.index(customer)
    for place, person in enumerate(Staff.objects.all()):
        Staff.objects.filter(pk=person.pk).update(first_name=names[place % len(names)], last_name="")
    for pattern in Pattern.objects.all():
        Pattern.objects.filter(pk=pattern.pk).update(name=f"{gear} {pattern.pk}"[:80])


def _one_goes_home() -> None:
    """Covers keep the names of the day on which they were given: this gear's have the names of now."""
    from shoprepair.cover import links
    from shoprepair.jobs.models import Job, Stage
    from shoprepair.office.demo.leaving import scribble
    from shoprepair.shop.models import Staff
    from shoprepair.work import hand_back, invoices, payments

    owner, job = Staff.objects.get(username="owner"), Job.objects.filter(stage=Stage.READY).first()
    if due := invoices.owed(job).due:
        payments.take(job, due, "cash", who=owner)
    hand_back.give(job, job.customer.name[:80], "the tag", scribble(job.number, 12), who=owner)
    links.make(job.inflatable)


if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "shoprepair.settings"
    os.environ["SHOPREPAIR_DATA"] = sys.argv[2]
    django.setup()
    make(sys.argv[1], Path(sys.argv[2]))
    from tests.pictures.addresses import everywhere

    print(json.dumps(everywhere()))
