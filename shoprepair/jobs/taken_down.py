"""What was taken down at the counter while the line was gone, and becomes a visit once it is back.

Meanwhile the books went on: the customer may be known, the gear may be here already. Nothing is joined by
itself; `take` asks, and whoever is at the counter says which it is.
"""

import datetime
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.gear import everyday, serials
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin, corrections, doubles, ownership
from shoprepair.jobs.models import Customer, Job, Ownership, Stage
from shoprepair.jobs.models.words import choices
from shoprepair.mechanics.description import FindingKind, Kind
from shoprepair.shop.models import Staff

AT_ONCE = datetime.timedelta(minutes=2)
"""What comes in within this time of being written has the time at which it came in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenDown:
    """What was written on the device, in the words of whoever wrote it."""

    at: datetime.datetime
    name: str
    phone: str = ""
    email: str = ""
    kind: Kind
    size: str
    model: str = ""
    serial: str = ""
    damage_kind: str = ""
    damage: str = ""
    said: str = ""
    came_with: tuple[str, ...] = ()
    arrived_wet: bool | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """What a person has said of it: none of it where nobody was asked yet."""

    customer: Customer | None = None
    new_customer: bool = False
    inflatable: Inflatable | None = None
    new_gear: bool = False
    as_note: bool = False


NOTHING_SAID = Said()


@dataclass(frozen=True, slots=True)
class Candidate:
    """A known customer who may be the one who stood there, and in what they are alike."""

    customer: Customer
    alike: str


@dataclass(frozen=True, slots=True)
class Gear:
    """A known piece that may be the one that lies there: whose it is, and the open job that it has."""

    inflatable: Inflatable
    owner: Customer | None
    job: Job | None

    @property
    def here(self) -> bool:
        """Whether it is in the shop already, so that no second visit can begin."""
        return self.job is not None and self.job.stage != Stage.ENQUIRY


class Asks(Exception):
    """A person must say which customer or which gear it is; the lists say what is known."""

    def __init__(
        self,
        *,
        customers: list[Candidate] | None = None,
        customer: Customer | None = None,
        gear: list[Gear] | None = None,
    ) -> None:
        super().__init__()
        self.customers = customers or []
        self.customer = customer
        self.gear = gear or []


@transaction.atomic
def take(down: TakenDown, said: Said = NOTHING_SAID, *, who: Staff) -> Job:
    """Begin its visit by the rules of any check-in, and return the job.

    Raises Asks where a person must say something first, and ValidationError with a sentence per field.
    """
    customer = _customer(down, said)
    inflatable = _gear(down, said, customer)
    if inflatable is not None and (here := checkin.under_way(inflatable)):
        if not said.as_note:
            raise Asks(customer=customer, gear=[Gear(inflatable, ownership.owner(inflatable), here)])
        return _noted(here, down, who)
    customer = customer or checkin.add_customer(down.name, phone=down.phone, email=down.email, who=who)
    inflatable = inflatable or _new_gear(down, customer, who)
    return _noted(checkin.start(customer, inflatable, who=who, not_theirs=True), down, who)


def _customer(down: TakenDown, said: Said) -> Customer | None:
    """Who it is by the books; None for somebody new, who is added once all else is known."""
    if said.customer is not None:
        return said.customer
    checkin.check_customer(_written(down))
    if not said.new_customer and (known := candidates(down)):
        raise Asks(customers=known)
    return None


def candidates(down: TakenDown) -> list[Candidate]:
    """Known customers who may be the one, first of all the owner of gear with this serial."""
    found: dict[int, list[str]] = {}
    known: dict[int, Customer] = {}
    for gear in _of_serial(down):
        if owner := ownership.owner(gear):
            known[owner.pk] = owner
            found.setdefault(owner.pk, []).append(gettext("serial of their gear"))
    for customer in doubles.likely_doubles(down.name, down.phone, down.email):
        known[customer.pk] = customer
        found.setdefault(customer.pk, []).extend(
            gettext("name") if word == "name" else word
            for word in doubles.alike(customer, down.name, down.phone, down.email)
        )
    return [Candidate(known[key], ", ".join(words)) for key, words in found.items()]


def _gear(down: TakenDown, said: Said, customer: Customer | None) -> Inflatable | None:
    """Which known piece it is; None for one that is new to the shop."""
    if said.inflatable is not None or said.new_gear:
        return said.inflatable
    if maybe := _pieces(down, customer):
        raise Asks(customer=customer, gear=maybe)
    return None


def _pieces(down: TakenDown, customer: Customer | None) -> list[Gear]:
    """Gear of the same serial, whoever owns it, then what the customer owns of the same kind."""
    found = list(_of_serial(down))
    if customer is not None:
        held = Ownership.objects.filter(customer=customer, until=None, inflatable__pattern__kind=down.kind)
        owned = [one.inflatable for one in held.select_related("inflatable__pattern").order_by("pk")]
        found += [one for one in owned if one not in found]
    open_jobs = Job.objects.filter(inflatable__in=found, is_open=True).order_by("id")
    jobs = {job.inflatable_id: job for job in open_jobs}
    return [Gear(one, ownership.owner(one), jobs.get(one.pk)) for one in found]


def _of_serial(down: TakenDown) -> list[Inflatable]:
    serial = " ".join(down.serial.split())
    return list(serials.bearing(serial).select_related("pattern")) if serial else []


def _written(down: TakenDown) -> Customer:
    return Customer(name=" ".join(down.name.split()), phone=down.phone.strip(), email=down.email.strip())


def _new_gear(down: TakenDown, customer: Customer, who: Staff) -> Inflatable:
    """Drawn as the everyday gear of its size until somebody says which model it is.

    A serial that other gear bears stands in the note: whoever said that it is another piece has seen both.
    """
    pattern = everyday.pattern(everyday.code(down.kind, down.size))
    serial = "" if _of_serial(down) else down.serial
    return checkin.add_inflatable(customer, pattern, serial=serial, who=who)


def _noted(job: Job, down: TakenDown, who: Staff) -> Job:
    """Add what was written to what the job says already, which stays."""
    note = "\n".join(filter(None, [job.note, *in_words(down)]))
    came_with = [*job.came_with, *(word for word in down.came_with if word not in job.came_with)]
    wet = job.arrived_wet if down.arrived_wet is None else down.arrived_wet
    checkin.note_arrival(job, who=who, note=note, came_with=came_with, arrived_wet=wet)
    late = timezone.now() - down.at > AT_ONCE
    if late and job.stage == Stage.ENQUIRY and job.received_at > down.at:
        corrections.correct(job, who=who, received_at=down.at)
    return job


def in_words(down: TakenDown) -> list[str]:
    """What has no field of its own, as lines of a note that says when it was written."""
    when = date_format(timezone.localtime(down.at), "j F Y, H:i")
    lines = [gettext("Taken down without a line, %(when)s:") % {"when": when}]
    if down.said:
        lines.append(down.said)
    kind = str(dict(choices(FindingKind))[down.damage_kind]) if down.damage_kind else ""
    if damage := ": ".join(filter(None, [kind, down.damage])):
        lines.append(gettext("Damage: %(damage)s") % {"damage": damage})
    if down.model:
        lines.append(gettext("Written on it: %(model)s") % {"model": down.model})
    if down.serial:
        lines.append(gettext("Serial as read: %(serial)s") % {"serial": down.serial})
    return lines
