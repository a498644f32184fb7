"""A claim in words: where a damage lies against a repair, how old that is, what is proposed and decided."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.cover.comparing import Met
from shoprepair.cover.meeting import Meeting
from shoprepair.cover.models import Claim
from shoprepair.cover.reading import Record
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say, say_length

PROPOSED = {
    "ours": gettext_lazy("Ours"),
    "owner": gettext_lazy("Owner to decide"),
    "new": gettext_lazy("New damage"),
}
DECIDED = {Claim.Decision.OURS: gettext_lazy("Ours"), Claim.Decision.NEW: gettext_lazy("New damage")}
RELATIONS = {
    "meets": gettext_lazy("Meets it"),
    "borders": gettext_lazy("Borders on it"),
    "misses": gettext_lazy("Misses it"),
}
ELSEWHERE = gettext_lazy("On another part")
_MONTH_DAYS, _YEAR_DAYS = 30.44, 365.25


def relation(meeting: Meeting) -> str:
    """How it lies against the footprint, in two or three words."""
    return RELATIONS[meeting.relation] if meeting.same_surface else ELSEWHERE


def distance(meeting: Meeting, units: Units) -> str:
    """The figure that counts: how deep inside, or how far beside."""
    if not meeting.same_surface:
        return "–"
    if meeting.relation == "meets":
        return "–" if meeting.without_edge else say_length(meeting.depth_m, units)
    return say_length(meeting.distance_m, units)


def distance_of(meeting: Meeting) -> str:
    """What that figure is of."""
    if not meeting.same_surface:
        return gettext("no distance: on another part of the gear")
    if meeting.without_edge:
        return gettext("within all that was repaired")
    if meeting.relation == "meets":
        return gettext("inside the footprint") if meeting.depth_m else gettext("at the edge of the footprint")
    return gettext("beside the footprint")


def age(since: date, until: date) -> str:
    """ "12 days", "5 months", "3 years": rounded down, as people say it."""
    days = max((until - since).days, 0)
    if days < 60:
        return counted(days, "day")
    if days < 2 * _YEAR_DAYS:
        return counted(int(days / _MONTH_DAYS), "month")
    return counted(int(days / _YEAR_DAYS), "year")


def day(date_given: date) -> str:
    """ "3 December 2026"."""
    return date_format(date_given, "j F Y")


def mended(record: Record, units: Units) -> str:
    """What the repair was about: "40 mm cut, leading edge, left of centre"; the first of several."""
    first = record.damages[0] if record.damages else None
    return f"{say(first.what, units)}, {first.where}" if first else ""


def met_words(met: Met, units: Units) -> str:
    """ "40 mm inside cover 00012", "8 mm beside cover 00012"."""
    meeting, cover = met.meeting, gettext("cover %(cover)s") % {"cover": met.cover}
    if not meeting.same_surface:
        return gettext("On another part than %(cover)s") % {"cover": cover}
    if meeting.without_edge:
        return gettext("Within %(cover)s") % {"cover": cover}
    if meeting.relation == "meets":
        return (
            gettext("%(depth_m)s inside %(cover)s")
            % {"depth_m": say_length(meeting.depth_m, units), "cover": cover}
            if meeting.depth_m
            else gettext("At the edge of %(cover)s") % {"cover": cover}
        )
    return gettext("%(distance_m)s beside %(cover)s") % {
        "distance_m": say_length(meeting.distance_m, units),
        "cover": cover,
    }
