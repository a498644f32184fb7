"""How long things are kept, and what goes when their time is over; every package adds what it keeps.

What follows from a new time is counted before it holds; and nothing goes that waits for the owner's consent
until the owner has looked at it once.
"""

import datetime
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from django.utils import timezone

from shoprepair.mechanics.words import gettext_noop
from shoprepair.shop import changes, journal
from shoprepair.shop.models import Shop, Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import current

SUBJECT = "kept"
GONE = "kept.no-longer"

logger = logging.getLogger("shoprepair.shop.lasting")

Act = Callable[[int, datetime.datetime], int]
"""Given for how long something is kept, and the moment that counts as now; answers how many."""


UNITS = (gettext_noop("days"), gettext_noop("years"))
"""In which times are set, kept in English."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of thing whose time the owner sets."""

    field: str
    """The shop's setting."""
    what: str
    unit: str
    """'days' or 'years'."""
    fewest: int
    most: int
    then: str
    """What happens to it at the end, and what stays."""
    one: str
    """One that goes, as the journal counts it: 'photo'."""
    many: str
    due: Act
    """How many are past their time."""
    let_go: Act | None = None
    """Lets them go; None where a duty of its own does, which holds without the owner's consent."""


@dataclass(frozen=True, slots=True)
class Fixed:
    """One kind whose time is no setting."""

    what: str
    time: str
    then: str


_KINDS: dict[str, Kind] = {}
_FIXED: dict[str, Fixed] = {}


def add(*kinds: Kind) -> None:
    """Add kinds of things; called as a package is loaded."""
    _KINDS.update({kind.field: kind for kind in kinds})


def add_fixed(*kinds: Fixed) -> None:
    """Add kinds that are told, and not set."""
    _FIXED.update({kind.what: kind for kind in kinds})


def kinds() -> tuple[Kind, ...]:
    """Everything whose time the owner sets."""
    return tuple(_KINDS.values())


def fixed() -> tuple[Fixed, ...]:
    """Everything whose time is always the same."""
    return tuple(_FIXED.values())


def due(times: Mapping[str, int], now: datetime.datetime | None = None) -> dict[str, int]:
    """How many of each kind would be past their time, were they kept for so long: by the kind's setting."""
    at = now or timezone.now()
    return {kind.field: kind.due(times[kind.field], at) for kind in kinds()}


def times(shop: Shop) -> dict[str, int]:
    """For how long each kind is kept today."""
    return {kind.field: getattr(shop, kind.field) for kind in kinds()}


def agree(new: Mapping[str, int], *, who: Staff, seen: int) -> dict[str, list[object]]:
    """Keep things for so long from now on, which the owner has looked at; see `changes.change_shop`."""
    changed = changes.change_shop(who=who, seen=seen, times_agreed=True, **new)
    Shop.objects.exclude(past_their_time=0).update(past_their_time=0)
    return changed


def let_go(now: datetime.datetime | None = None) -> dict[str, int]:
    """Let go what is past its time; how many of each kind went. Once more, and nothing is left to go.

    A kind that fails is logged, waits for the next day and keeps no other from going. The journal gets one
    line that names nobody. While the owner has not agreed, what waits is counted and nothing goes.
    """
    shop, at = current(), now or timezone.now()
    ours = [kind for kind in kinds() if kind.let_go]
    if not shop.times_agreed:
        waits = sum(kind.due(getattr(shop, kind.field), at) for kind in ours)
        Shop.objects.exclude(past_their_time=waits).update(past_their_time=waits)
        return {}
    gone = {kind.field: _let_go(kind, getattr(shop, kind.field), at) for kind in ours}
    gone = {field: many for field, many in gone.items() if many}
    if gone:
        told = ", ".join(say(_KINDS[field], many) for field, many in gone.items())
        journal.record(
            SUBJECT,
            GONE,
            gettext("Past their time, and kept no longer: %(told)s.") % {"told": told},
            who=None,
        )
    return gone


def say(kind: Kind, many: int) -> str:
    """So many of a kind, in words."""
    return f"{many} {kind.one if many == 1 else kind.many}"


def _let_go(kind: Kind, time: int, at: datetime.datetime) -> int:
    if kind.let_go is None:
        return 0
    try:
        return kind.let_go(time, at)
    except Exception:
        logger.exception("What is past its time could not be let go: %s", kind.field)
        return 0


def years_before(at: datetime.datetime, years: int) -> datetime.datetime:
    """The same day and time so many years before; of a leap day, the day before."""
    try:
        return at.replace(year=at.year - years)
    except ValueError:
        return at.replace(year=at.year - years, day=28)
