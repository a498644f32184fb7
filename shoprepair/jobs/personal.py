"""What the shop holds about one customer: told on request, and erased when they ask for it.

Every package adds its part when it is loaded: what it tells, why it may refuse an erasure, which names it
knows the person by, and what it erases. What jobs themselves hold is in `jobs.told` and `jobs.forgetting`.
"""

import datetime
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext

from shoprepair.jobs.models import Customer, Job, Ownership
from shoprepair.jobs.naming import Naming
from shoprepair.shop.models import Staff

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Section:
    """One kind of thing held about somebody: its name for programs, its title for people, its rows."""

    name: str
    title: str
    rows: list[Row]


@dataclass(frozen=True, slots=True, kw_only=True)
class Erasure:
    """One customer being erased, within the transaction that does it."""

    customer: Customer
    who: Staff | None
    """None: the program, because a time is over."""
    at: datetime.datetime
    photos: bool
    """The photos of their gear go too."""
    jobs: tuple[int, ...]
    gear: tuple[int, ...]
    subjects: set[str] = field(default_factory=set)
    """What the journal and the letters call all that is theirs."""
    naming: Naming = field(default_factory=Naming)

    @property
    def name(self) -> str:
        """What stands in place of their name from now on."""
        return erased_name(self.customer)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one package holds."""

    tell: Callable[[Customer], Iterable[Section]]
    refuse: Callable[[Customer], Iterable[str]] = lambda _customer: ()
    """Sentences of why nothing can be erased yet."""
    know: Callable[[Erasure], None] = lambda _erasure: None
    """Adds the names and subjects by which it knows the person, before anything is erased."""
    erase: Callable[[Erasure], None]


_PARTS: list[Part] = []


def add(part: Part) -> None:
    """Add what a package holds; those below come first."""
    if part not in _PARTS:
        _PARTS.append(part)


def parts() -> tuple[Part, ...]:
    """What every package holds, from the bottom up."""
    return tuple(_PARTS)


def told(customer: Customer) -> Iterator[Section]:
    """Everything the shop holds about a customer; sections with nothing in them are left out."""
    for part in _PARTS:
        yield from (section for section in part.tell(customer) if section.rows)


def jobs_of(customer: Customer) -> list[Job]:
    """Their visits, oldest first."""
    return list(Job.objects.filter(customer=customer).select_related("inflatable__pattern").order_by("pk"))


def gear_of(customer: Customer) -> list[int]:
    """Keys of the gear that is theirs, or was."""
    owned = Ownership.objects.filter(customer=customer)
    return sorted({*owned.values_list("inflatable", flat=True)})


def erased_name(customer: Customer) -> str:
    """What stands in place of a name that was erased."""
    return gettext("Erased customer %(pk)s") % {"pk": customer.pk}
