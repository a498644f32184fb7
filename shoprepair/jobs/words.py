"""Damages in the shop's words: what it is, how long, where, and the figure that decides."""

from collections.abc import Sequence

from django.utils.translation import gettext, ngettext

from shoprepair.gear.describe import planform
from shoprepair.gear.words import place_sentence, short_place
from shoprepair.jobs.assessment import place_of
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.questions import required
from shoprepair.mechanics.description import SAILCLOTH, Direction, FindingKind, Fold, Quantity, Sentence
from shoprepair.shop.languages import begun_large, gettext_lazy
from shoprepair.shop.units import Units, say, say_length, say_typed, sentence

_DIRECTIONS = {
    Direction.ALONG: gettext_lazy(" along"),
    Direction.AROUND: gettext_lazy(" around"),
    Direction.ANGLE: gettext_lazy(" at an angle"),
    Direction.UNKNOWN: "",
}
_ON_SAILCLOTH = {
    Direction.ALONG: gettext_lazy(" along the span"),
    Direction.AROUND: gettext_lazy(" from front to back"),
}

_OF_CLOTH = {FindingKind.CUT, FindingKind.TEAR}


def what_is_wrong(job: Job, damages: Sequence[Damage], units: Units) -> tuple[str, str]:
    """What is wrong with the job's inflatable in a sentence, and the sentence with the deciding figure.

    Speaks of the worst of `damages` and says how many more there are.
    """
    if not damages:
        return gettext("Nothing is pinned yet."), ""
    worst = max(damages, key=lambda damage: (damage.urgency, -damage.number))
    worst.job = job
    more = len(damages) - 1
    rest = (
        ""
        if not more
        else ngettext(", and %(more)s more damage", ", and %(more)s more damages", more) % {"more": more}
    )
    return f"{damage_title(worst, units)}{rest}.", _deciding(worst, units)


def damage_title(damage: Damage, units: Units) -> str:
    """The damage in one line: "35 mm cut around, leading edge, 400 mm right of centre"."""
    return f"{finding_words(damage, units)}, {place_words(damage, units)}"


def finding_words(damage: Damage, units: Units) -> str:
    """What was found and how long it is, without the place; begins with a capital letter."""
    size = "" if damage.length_m is None else say_typed(damage.length_m, damage.length_typed, units)
    return _finding(damage, size)


def finding_sentence(damage: Damage) -> Sentence:
    """What was found, as a Sentence whose length stays in metres, for records that outlast the typing."""
    if damage.length_m is None:
        return Sentence(_finding(damage, ""))
    return Sentence(_finding(damage, "{length}"), {"length": Quantity(damage.length_m, "m")})


def _finding(damage: Damage, size: str) -> str:
    if not damage.kind:
        return gettext("Not described yet")
    kind = FindingKind(damage.kind)
    way = _way(damage) if kind in _OF_CLOTH else ""
    words = f"{gettext(kind)}{way}"
    if kind is FindingKind.RESIDUE:
        words = gettext("residue of an old patch") + (
            gettext(" over a %(under_kind)s") % {"under_kind": gettext(damage.under_kind)}
            if damage.under_kind
            else ""
        )
    if kind is FindingKind.SCUFF and damage.fold != Fold.UNTRIED:
        words += gettext(" that %(fold)s") % {"fold": gettext(damage.fold)}
    if not size:
        return begun_large(words)
    if kind in {FindingKind.CUT, FindingKind.HOLE, FindingKind.TEAR, FindingKind.CRACK}:
        # The size stands by the thing itself, in whichever order; which way it runs comes after both.
        return begun_large(gettext("%(size)s %(words)s") % {"size": size, "words": gettext(kind)} + way)
    return gettext("%(upper)s%(words)s over %(size)s") % {
        "upper": words[0].upper(),
        "words": words[1:],
        "size": size,
    }


def _way(damage: Damage) -> str:
    direction = Direction(damage.direction)
    on_sailcloth = _ON_SAILCLOTH if damage.element in SAILCLOTH else {}
    return str(on_sailcloth.get(direction, _DIRECTIONS[direction]))


def place_words(damage: Damage, units: Units) -> str:
    """Where the damage is, with distances in the reader's units."""
    drawing = planform(damage.job.inflatable.pattern)
    return say(place_sentence(drawing, place_of(damage), damage.x_m, damage.y_m), units)


def short_place_words(damage: Damage) -> str:
    """Where the damage is, in two or three words."""
    return short_place(planform(damage.job.inflatable.pattern), place_of(damage))


def size_words(damage: Damage, units: Units) -> str:
    """How long the damage is, as it was typed where the reader uses that unit; empty where not measured."""
    return "" if damage.length_m is None else say_typed(damage.length_m, damage.length_typed, units)


def missing_words(damage: Damage, units: Units) -> str:
    """What has still to be answered before the damage can be judged, in a sentence; empty: nothing."""
    if not damage.kind:
        return gettext("Say what kind of damage it is.")
    asked = {
        "length_m": gettext("Measure it from end to end, such as %(say_length)s.")
        % {"say_length": say_length(0.035, units)},
        "stitched_left_m": gettext("Measure the stitching that still holds."),
    }
    return " ".join(asked[name] for name in required(damage) if getattr(damage, name) is None)


def _deciding(damage: Damage, units: Units) -> str:
    """The sentence that decides, then what is still to be measured: until then the worst was taken."""
    decides = say(sentence(damage.reason), units) if damage.reason else ""
    return f"{decides} {missing_words(damage, units)}".strip()
