"""A claim in words: where a damage lies against a repair, how old that is, what is proposed and decided."""

from datetime import date

from babel.dates import format_date

from shoprepair.cover.comparing import Met
from shoprepair.cover.meeting import Meeting
from shoprepair.cover.models import Claim
from shoprepair.cover.reading import Record
from shoprepair.shop.units import Units, say, say_length

PROPOSED = {"ours": "Ours", "owner": "Owner to decide", "new": "New damage"}
DECIDED = {Claim.Decision.OURS: "Ours", Claim.Decision.NEW: "New damage"}
RELATIONS = {"meets": "Meets it", "borders": "Borders on it", "misses": "Misses it"}
ELSEWHERE = "On another part"
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
        return "no distance: on another part of the gear"
    if meeting.without_edge:
        return "within all that was repaired"
    if meeting.relation == "meets":
        return "inside the footprint" if meeting.depth_m else "at the edge of the footprint"
    return "beside the footprint"


def age(since: date, until: date) -> str:
    """ "12 days", "5 months", "3 years": rounded down, as people say it."""
    days = max((until - since).days, 0)
    if days < 60:
        return _counted(days, "day")
    if days < 2 * _YEAR_DAYS:
        return _counted(int(days / _MONTH_DAYS), "month")
    return _counted(int(days / _YEAR_DAYS), "year")


def day(date_given: date) -> str:
    """ "3 December 2026"."""
    return format_date(date_given, "d MMMM y", locale="en")


def mended(record: Record, units: Units) -> str:
    """What the repair was about: "40 mm cut, leading edge, left of centre"; the first of several."""
    first = record.damages[0] if record.damages else None
    return f"{say(first.what, units)}, {first.where}" if first else ""


def met_words(met: Met, units: Units) -> str:
    """ "40 mm inside cover 00012", "8 mm beside cover 00012"."""
    meeting, cover = met.meeting, f"cover {met.cover}"
    if not meeting.same_surface:
        return f"On another part than {cover}"
    if meeting.without_edge:
        return f"Within {cover}"
    if meeting.relation == "meets":
        return (
            f"{say_length(meeting.depth_m, units)} inside {cover}"
            if meeting.depth_m
            else f"At the edge of {cover}"
        )
    return f"{say_length(meeting.distance_m, units)} beside {cover}"


def _counted(number: int, what: str) -> str:
    return f"1 {what}" if number == 1 else f"{number} {what}s"
