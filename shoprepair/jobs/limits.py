"""What can be true of a damage at its place: sizes that fit the tube, answers that exist."""

import math
from collections.abc import Iterator

from django.utils.translation import gettext

from shoprepair.gear.describe import description
from shoprepair.jobs.models import Damage
from shoprepair.jobs.questions import kinds_for
from shoprepair.mechanics.description import (
    SAILCLOTH,
    Answer,
    Condition,
    Direction,
    Face,
    FindingKind,
    Fold,
    Pattern,
    Softens,
    Tube,
)
from shoprepair.shop.units import Units, say_length

LONGEST_CUT_M = 1.5
"""A longer gash in a casing is pinned as a burst: the tube is rebuilt [common practice, no source]."""
LONGEST_STITCHING_M = 1.0
LONGEST_LEAK_S = 30 * 86400.0
_ANSWERS: dict[str, frozenset[str]] = {
    "direction": frozenset(Direction),
    "face": frozenset(Face),
    "fold": frozenset(Fold),
    "condition": frozenset(Condition),
    "through_bladder": frozenset(Answer),
    "old_patch": frozenset(Answer),
    "wet": frozenset(Answer),
    "softens": frozenset(Softens),
    "under_kind": frozenset({*FindingKind, ""}),
}


def validate(damage: Damage, units: Units) -> dict[str, str]:
    """What cannot be true of this damage: a sentence per field, in the reader's units. Empty: nothing."""
    return dict(_problems(damage, units))


def _problems(damage: Damage, units: Units) -> Iterator[tuple[str, str]]:
    kinds = kinds_for(damage.element)
    if damage.kind and damage.kind not in kinds:
        yield (
            "kind",
            gettext("That cannot happen to a %(element)s; it can have: %(join)s.")
            % {"element": gettext(damage.element), "join": ", ".join(map(gettext, kinds))},
        )
        return
    for name, answers in _ANSWERS.items():
        if getattr(damage, name) not in answers:
            yield name, gettext("That is not one of the answers; choose one of those shown.")
    if damage.length_m is not None and (sentence := _length(damage, units)):
        yield "length_m", sentence
    if damage.stitched_left_m is not None and not 0 <= damage.stitched_left_m <= LONGEST_STITCHING_M:
        most = say_length(LONGEST_STITCHING_M, units)
        yield (
            "stitched_left_m",
            gettext("Stitching left lies between nothing and %(most)s. Measure what still holds.")
            % {"most": most},
        )
    if damage.angle_deg is not None and not 0 <= damage.angle_deg <= 90:
        yield "angle_deg", gettext("The angle lies between 0° (along) and 90° (around).")
    if damage.seconds_to_half is not None and not 0 < damage.seconds_to_half <= LONGEST_LEAK_S:
        yield "seconds_to_half", gettext("The time to half pressure lies between one second and 30 days.")


def _length(damage: Damage, units: Units) -> str:
    length = damage.length_m or 0.0
    what = gettext(damage.kind) if damage.kind else gettext("damage")
    if not math.isfinite(length) or length <= 0:
        none = gettext("A %(what)s of %(say_length)s is none.") % {
            "what": what,
            "say_length": say_length(0, units),
        }
        return gettext("%(none)s Measure it from end to end, such as %(units)s.") % {
            "none": none,
            "units": _example(units),
        }
    most, of_what = longest(damage)
    if length <= most:
        return ""
    return gettext(
        "A %(what)s of %(length)s is longer than %(of_what)s allows, %(most)s. Did you mean %(say_length)s?"
    ) % {
        "what": what,
        "length": say_length(length, units),
        "of_what": of_what,
        "most": say_length(most, units),
        "say_length": say_length(_slipped(length, most), units),
    }


def longest(damage: Damage) -> tuple[float, str]:
    """The longest that a damage can be here, in metres, and what sets the limit, in words."""
    pattern = description(damage.job.inflatable.pattern)
    tube = tube_under(damage, pattern)
    if tube is None:
        return max(pattern.span_m, pattern.chord_centre_m), gettext("the canopy")
    share = damage.fraction if damage.strut is not None else damage.station
    around = math.pi * (tube.diameter_root_m + share * (tube.diameter_tip_m - tube.diameter_root_m))
    if damage.direction == Direction.AROUND:
        return around, gettext("the way around this tube")
    along = tube.length_m * (1 if damage.strut is not None else 2)
    if damage.kind == FindingKind.SEAM_OPENED:
        return along, gettext("this tube")
    return min(along, LONGEST_CUT_M), gettext("this tube")


def tube_under(damage: Damage, pattern: Pattern) -> Tube | None:
    """The tube a damage lies on, or None on cloth that holds no air."""
    if damage.strut is not None and damage.strut < len(pattern.struts):
        return pattern.struts[damage.strut].tube
    return None if damage.element in SAILCLOTH else pattern.leading_edge


def _slipped(length: float, most: float) -> float:
    """The length with its decimal point where it was probably meant: centimetres, else millimetres."""
    return next((length / tens for tens in (100, 1000) if length / tens <= most / 5), length / 1000)


def _example(units: Units) -> str:
    return "1 3/8 in" if units.inches else "35 mm"
