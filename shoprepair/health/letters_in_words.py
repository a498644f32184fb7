"""Which letters wait, came back or may be lost, in words for the owner: the customer knows nothing of it."""

import datetime
from collections.abc import Mapping

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from shoprepair.shop.languages import gettext_lazy

TO_DO: dict[str, str] = {
    "ok": "",
    "off": "",
    "no-server": gettext_lazy(
        "Ask whoever looks after the shop’s computer to enter a mail server; Letters says what to tell them. "
        "Until then, ring these customers up."
    ),
    "no-address": gettext_lazy("Enter the shop’s e-mail address under Shop settings; then they leave."),
    "held": gettext_lazy("See “The day’s duties” on this page: the same program sends the letters."),
    "back": gettext_lazy(
        "Open each under Letters: put the address right and send it again, or ring the customer up and say "
        "that it is not to go."
    ),
}
"""By the finding's word."""
_WHY = {
    "off": gettext_lazy("No mail server is set. No letter waits for one."),
    "no-server": gettext_lazy("No mail server is set."),
    "no-address": gettext_lazy("The shop has no e-mail address to write from."),
    "held": gettext_lazy("Nothing is sending them."),
}


def told(figures: Mapping[str, object], word: str) -> str:
    """Why none leaves, how many wait and since when, and what did not arrive: a sentence each."""
    waiting, failed, unsure = (_number(figures, name) for name in ("waiting", "failed", "unsure"))
    said = [str(_WHY[word])] if word in _WHY else []
    if waiting:
        said.append(_waiting(waiting, figures.get("since")))
    if failed:
        said.append(
            ngettext("%(n)s came back or was refused.", "%(n)s came back or were refused.", failed)
            % {"n": failed}
        )
    if unsure:
        said.append(
            ngettext("%(n)s may not have arrived.", "%(n)s may not have arrived.", unsure) % {"n": unsure}
        )
    return " ".join(said) or gettext("None waits, and none came back.")


def _number(figures: Mapping[str, object], name: str) -> int:
    number = figures.get(name, 0)
    return number if isinstance(number, int) else 0


def _waiting(many: int, since: object) -> str:
    first = datetime.datetime.fromisoformat(since) if isinstance(since, str) else timezone.now()
    there = timezone.localtime(first)
    this_year = there.year == timezone.localdate().year
    return ngettext(
        "%(n)s letter waits, since %(day)s.", "%(n)s letters wait, the first since %(day)s.", many
    ) % {"n": many, "day": date_format(there, "j F" if this_year else "j F Y")}
