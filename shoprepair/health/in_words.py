"""How the shop runs, in words for the owner: what each finding means, and what to do about it."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.db import connection
from django.utils.translation import gettext

from shoprepair.health import letters_in_words
from shoprepair.health.standing import Finding, Standing
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import gettext_lazy


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that the shop needs, as the owner reads it."""

    title: str
    words: str
    to_do: str
    """Empty while nothing is to be done."""
    tone: str
    """'good', 'warning' while the shop works all the same, 'error' where it does not."""
    way: str = ""
    """The name of the page where it is seen to; empty where there is none."""


_TITLES = {
    "database": gettext_lazy("Records"),
    "tables": gettext_lazy("The program and its tables"),
    "disk": gettext_lazy("Room on the disk"),
    "worker": gettext_lazy("The day’s duties"),
    "letters": gettext_lazy("Letters"),
    "backup": gettext_lazy("Backup"),
}
_START = gettext_lazy(
    "No letter leaves and no backup is made meanwhile. Start it: manage.py send_letters, beside the server, "
    "or by the files that running_files writes."
)
_SAYS: dict[tuple[str, str], tuple[str, str]] = {
    ("database", "ok"): (gettext_lazy("What is written is kept. They lie in {database}."), ""),
    ("database", "busy"): (
        gettext_lazy("Something else holds the records just now."),
        gettext_lazy(
            "If it stays so for minutes, stop whatever else works with them, such as a copy being made."
        ),
    ),
    ("database", "unwritable"): (
        gettext_lazy("Records can be read but not changed."),
        gettext_lazy("Look whether the disk is full or the folder of the data belongs to somebody else."),
    ),
    ("database", "empty"): (
        gettext_lazy("There are no tables yet."),
        gettext_lazy("Run: manage.py upgrade."),
    ),
    ("tables", "ok"): (gettext_lazy("They fit each other."), ""),
    ("tables", "migrate"): (
        gettext_lazy("The program is newer than the tables."),
        gettext_lazy("Run: manage.py upgrade. It backs up first."),
    ),
    ("tables", "newer"): (
        gettext_lazy("The tables are of a newer program than this one."),
        gettext_lazy("Start the newer version again; this one would not know what it reads."),
    ),
    ("disk", "ok"): (gettext_lazy("{free} are free."), ""),
    ("disk", "low"): (
        gettext_lazy("Only {free} are free."),
        gettext_lazy("Make room: old backups and archives can go, or the data moves to a larger disk."),
    ),
    ("disk", "full"): (
        gettext_lazy("Hardly anything is free: {free}."),
        gettext_lazy("Make room now. Photos, then texts, can no longer be kept."),
    ),
    ("disk", "away"): (
        gettext_lazy("The disk of the data folder cannot be seen."),
        gettext_lazy("Connect it again, then open this page again."),
    ),
    ("worker", "ok"): (gettext_lazy("They are seen to; last {age} ago."), ""),
    ("worker", "late"): (gettext_lazy("Nobody has seen to them for {age}."), _START),
    ("worker", "none"): (gettext_lazy("Nobody has ever seen to them on this machine."), _START),
    ("backup", "ok"): (gettext_lazy("The last good one is {age} old."), ""),
    ("backup", "old"): (
        gettext_lazy("The last good one is {age} old."),
        gettext_lazy("Make one now, and look why the night’s failed."),
    ),
    ("backup", "none"): (
        gettext_lazy("There is none yet."),
        gettext_lazy("Make one now; from then on there is one every night."),
    ),
}
_UNKNOWN = (
    gettext_lazy("It cannot be seen just now."),
    gettext_lazy("Open this page again. If it stays so, look into the log."),
)


def summary(found: Standing) -> str:
    """All of it in one sentence."""
    many = sum(not one.good for one in found.findings)
    if not many:
        return gettext("All is well.")
    if not found.works:
        return gettext("The shop cannot work as it should. What is marked below has to be mended first.")
    if many == 1:
        return gettext("The shop works. One thing below needs a look.")
    return gettext("The shop works. %(many)s things below need a look.") % {"many": many}


def said(found: Standing) -> list[Said]:
    """Each finding, those that need somebody first."""
    told = [_said(one) for one in found.findings]
    order = ("error", "warning", "good")
    return sorted(told, key=lambda one: order.index(one.tone))


def _said(one: Finding) -> Said:
    if one.name == "letters" and one.word in letters_in_words.TO_DO:
        return _of_letters(one)
    words, to_do = _SAYS.get((one.name, one.word), _UNKNOWN)
    tone = "good" if one.good else "error" if one.closes else "warning"
    return Said(_TITLES.get(one.name, one.name), words.format_map(_figures(one)), to_do, tone)


def _of_letters(one: Finding) -> Said:
    words = letters_in_words.told(one.figures, one.word)
    way = "settings" if one.word == "no-address" else "mail-texts"
    to_do = str(letters_in_words.TO_DO[one.word])
    return Said(str(_TITLES[one.name]), words, to_do, "good" if one.good else "warning", way)


def _figures(one: Finding) -> Mapping[str, str]:
    figures = one.figures
    hours = figures.get("age_h")
    seconds = hours * 3600 if isinstance(hours, int | float) else figures.get("age_s", 0)
    free = figures.get("free_mb", 0)
    return {
        "age": lasting(float(seconds) if isinstance(seconds, int | float) else 0.0),
        "free": room(free if isinstance(free, int) else 0),
        "database": gettext("one file in the data folder")
        if connection.vendor == "sqlite"
        else gettext("a database server"),
    }


def lasting(seconds: float) -> str:
    """A while as somebody says it: a moment, 40 seconds, 5 minutes, 3 hours, 2 days."""
    if round(seconds) < 1:
        return gettext("a moment")
    for unit, length, most in (("second", 1, 90), ("minute", 60, 90 * 60), ("hour", 3600, 48 * 3600)):
        if seconds < most:
            return counted(round(seconds / length), unit)
    return gettext("%(round)s days") % {"round": round(seconds / 86400)}


def room(megabytes: int) -> str:
    """Room on a disk: 800 MB, 12 GB."""
    return f"{megabytes} MB" if megabytes < 1000 else f"{megabytes / 1000:.0f} GB"
