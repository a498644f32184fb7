"""Two people's ticks that met, as the device shows them to whoever says which one counts."""

from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.work.crossed import AFTER, Crossed
from shoprepair.work.models import Tick

Verb = Tick.Verb


def both(met: Crossed) -> dict[str, Any]:
    """What either did and when, what the step would stand at by it, and which of them stands now."""
    return {
        "mine": _told(met.mine, _yours(met.mine)),
        "theirs": _told(met.theirs, _somebodys(met.theirs)),
        "stands": "mine" if met.mine_stands else "theirs",
    }


def _told(tick: Tick, sentence: str) -> dict[str, str]:
    when = date_format(timezone.localtime(tick.at), "D j M, H:i")
    return {
        "state": AFTER[Verb(tick.verb)].value,
        "said": sentence % {"who": tick.who, "when": when, "reason": tick.reason},
        "reason": tick.reason,
    }


def _yours(tick: Tick) -> str:
    return {
        Verb.DONE: gettext("You did it: %(when)s."),
        Verb.SKIP: gettext("You left it out: %(when)s, “%(reason)s”."),
        Verb.UNDO: gettext("You took it back: %(when)s."),
    }[Verb(tick.verb)]


def _somebodys(tick: Tick) -> str:
    return {
        Verb.DONE: gettext("%(who)s did it: %(when)s."),
        Verb.SKIP: gettext("%(who)s left it out: %(when)s, “%(reason)s”."),
        Verb.UNDO: gettext("%(who)s took it back: %(when)s."),
    }[Verb(tick.verb)]
