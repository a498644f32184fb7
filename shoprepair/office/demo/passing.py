"""Gear that changed hands or was given up: what became of its covers."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from django.utils import timezone

from shoprepair import serve
from shoprepair.cover import endings, standing, transfers
from shoprepair.cover.models import Transfer
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer
from shoprepair.office.demo import clock
from shoprepair.office.demo.earlier import ANNELIESE, NGUYEN, SCHOOL_GREEN, SCHOOL_RED
from shoprepair.office.demo.people import Crew

RURIK = ("Rurik", "Lomvi 17 kite", "navy and white")
LINK, PERSON = Transfer.How.LINK, Transfer.How.PERSON


def events(now: datetime, crew: Crew) -> Iterator[tuple[datetime, Callable[[], None]]]:
    """When each of these happens, and what."""

    def ago(days: int) -> datetime:
        return clock.opening(clock.open_day(timezone.localdate(now - timedelta(days=days)))) + timedelta(
            hours=2
        )

    yield ago(400), lambda: _pass_on(ago(400), crew)
    yield ago(170), lambda: _void(ago(170), crew)
    yield ago(45), lambda: _retire(SCHOOL_GREEN, ago(45), "Written off after its second summer.", crew)
    yield ago(2), lambda: _offer(ago(2), crew)


def find(owner: str, pattern: str, colour: str) -> Inflatable:
    """Gear by its present owner, its pattern and its colour."""
    return Inflatable.objects.get(
        pattern__name=pattern, colour=colour, ownerships__customer__name=owner, ownerships__until=None
    )


def _pass_on(at: datetime, crew: Crew) -> None:
    """Sold with its covers: the buyer agreed on the page, the seller at the counter."""
    with clock.at(at):
        transfer = transfers.offer(
            find(*NGUYEN),
            Customer.objects.get(name=ANNELIESE[0]),
            who=crew.counter,
            note="Sold at the club’s autumn market.",
            base_url=serve.url(),
        )
        transfers.agree(transfer, "giver", PERSON, who=crew.counter)
    with clock.at(clock.later(at, timedelta(hours=5))):
        transfers.agree(transfer, "taker", LINK, base_url=serve.url())


def _offer(at: datetime, crew: Crew) -> None:
    """Agreed to by the giver; the taker has not answered yet."""
    with clock.at(at):
        taker = Customer.objects.get(name="Tomás Mareada")
        transfer = transfers.offer(find(*RURIK), taker, who=crew.counter, base_url=serve.url())
        transfers.agree(transfer, "giver", PERSON, who=crew.counter)


def _retire(whose: tuple[str, str, str], at: datetime, note: str, crew: Crew) -> None:
    with clock.at(at):
        endings.retire(find(*whose), note, who=crew.owner)


def _void(at: datetime, crew: Crew) -> None:
    """The patches on the school's old bladder: it put in a new one itself."""
    patches = [each for each in standing.standing(find(*SCHOOL_RED)) if each.operation == "bladder-patch"]
    with clock.at(at):
        endings.end_all(patches, "void", "The school put in a new bladder of its own.", who=crew.owner)
