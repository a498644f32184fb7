"""What a new shop is set up with, in five steps: which are done, and which is next."""

from collections.abc import Sequence
from typing import NamedTuple

from django.urls import reverse

from shoprepair.jobs.models import Job
from shoprepair.shop import journal
from shoprepair.shop.countries import Usual
from shoprepair.shop.models import JournalEntry, Shop, Staff
from shoprepair.shop.said import gettext

CODES = ("shop", "prices", "pattern", "people", "tag")
_VERB = "set-up."


class Step(NamedTuple):
    """One step, in a person's words."""

    code: str
    what: str
    why: str
    url: str
    done: bool


def first_steps(shop: Shop) -> list[Step]:
    """The five steps, in the order in which they are quickest."""
    done = _done(shop)
    said = {
        "shop": (
            gettext("Where the shop is"),
            gettext("Address, money, clock, paper and units. The country fills most of it."),
        ),
        "prices": (
            gettext("What it charges"),
            gettext("A ready-made catalogue in your money. One hourly rate prices all of it."),
        ),
        "pattern": (
            gettext("What comes in most"),
            gettext("A library of wings and kites is here. Draw one of your own from six figures."),
        ),
        "people": (
            gettext("Who works here"),
            gettext("A log-in for the counter and for the bench."),
        ),
        "tag": (
            gettext("The first tag"),
            gettext("Print one for trial, so that the first customer waits for nothing."),
        ),
    }
    return [Step(code, *said[code], reverse(f"set-up-{code}"), code in done) for code in CODES]


def next_open(steps: Sequence[Step]) -> Step | None:
    """The first step that is not done yet."""
    return next((step for step in steps if not step.done), None)


def after(code: str) -> str:
    """Where somebody is led from a step: to the one behind it, from the last to the summary."""
    follows = CODES.index(code) + 1
    return reverse(f"set-up-{CODES[follows]}" if follows < len(CODES) else "set-up")


def is_new(shop: Shop) -> bool:
    """Whether nobody has said where it stands: only then does its country fill anything in by itself.

    A shop in which gear came in runs by what it has, even where that is what it came with.
    """
    as_it_came = all(
        getattr(shop, name) == Shop._meta.get_field(name).get_default() for name in Usual._fields
    )
    return as_it_came and not is_done("shop", shop) and not Job.objects.exists()


def is_done(code: str, shop: Shop) -> bool:
    """Whether somebody has been through a step."""
    return code in _done(shop)


def mark_done(code: str, shop: Shop, *, who: Staff) -> None:
    """Write down that a step was looked at, also where its defaults were good as they stood."""
    if code not in _done(shop):
        text = {
            "shop": gettext("Set-up: where the shop is."),
            "prices": gettext("Set-up: what it charges."),
            "pattern": gettext("Set-up: what comes in most."),
            "people": gettext("Set-up: who works here."),
            "tag": gettext("Set-up: the first tag."),
        }[code]
        journal.record(shop, f"{_VERB}{code}", text, who=who)


def _done(shop: Shop) -> set[str]:
    entries: Sequence[JournalEntry] = journal.entries(shop).filter(verb__startswith=_VERB)  # type: ignore[assignment]
    return {entry.verb.removeprefix(_VERB) for entry in entries}
