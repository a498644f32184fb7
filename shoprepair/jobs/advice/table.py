"""Which rule answers which damage: a table, read from the top for the part and the look.

For one part and one look the rows go from the mildest to the strictest, and the last one always holds. What a
mild row asks can only fail as a damage grows worse; so a worse damage is never answered more mildly.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext

from shoprepair.jobs.advice import conditions as when
from shoprepair.jobs.advice.looks import TUBES, Look
from shoprepair.jobs.advice.seen import Seen
from shoprepair.mechanics.description import Element

When = Callable[[Seen], bool]


@dataclass(frozen=True, slots=True)
class Row:
    """These parts with these looks, when this holds: that rule, and why."""

    parts: Sequence[Element]
    looks: Sequence[Look]
    when: When
    rule: str
    why: str


_FRONT, _STRUT, _CLOTH = (Element.LEADING_EDGE,), (Element.STRUT,), (Element.CANOPY,)
_WINDOW, _BACK_EDGE = (Element.WINDOW,), (Element.TRAILING_EDGE,)
_SEWN_ON = (Element.HANDLE, Element.BRIDLE_POINT)
_CUTS, _TEARS = (Look.CUT, Look.HOLE), (Look.TORN, Look.HOLE)

TABLE: tuple[Row, ...] = (
    Row(
        _FRONT,
        _CUTS,
        when.cut_may_be_closed,
        "cut-far-from-a-shop",
        "Toward the tips a tube is thin and hardly bent; a short cut there may be closed on both faces.",
    ),
    Row(
        _FRONT,
        _CUTS,
        when.not_near_the_tip,
        "cut-not-near-the-tip",
        "Pressure, diameter and bending grow inwards.",
    ),
    Row(_FRONT, _CUTS, when.not_measured, "cut-not-measured", "What nobody measured may be too long."),
    Row(
        _FRONT, _CUTS, when.too_long_for_a_beach, "cut-too-long", "A glued patch only keeps a short cut shut."
    ),
    Row(_FRONT, _CUTS, when.would_run, "cut-would-run", "Air alone tears it on, whatever lies over it."),
    Row(
        _FRONT, _CUTS, when.bends, "cut-where-it-bends", "Glue creeps where the tube is bent again and again."
    ),
    Row(
        _FRONT, _CUTS, when.always, "cut-near-a-shop", "A casing is sewn; where a shop can be reached, it is."
    ),
    Row(
        _STRUT,
        _CUTS,
        when.always,
        "cut-in-a-strut",
        "No hand reaches inside a strut, and a patch on one face does not hold.",
    ),
    Row(
        TUBES,
        (Look.SCRAPE,),
        when.round_and_not_pulled_hard,
        "scrape-round",
        "Round in the fold, the fibres are sound; whole cloth has strength to spare here.",
    ),
    Row(
        TUBES,
        (Look.SCRAPE,),
        when.folds_round,
        "scrape-pulled-hard",
        "Little strength to spare: no scrape is left.",
    ),
    Row(
        TUBES,
        (Look.SCRAPE,),
        when.folds_to_an_edge,
        "scrape-edge",
        "A knife edge: about half the cloth is gone.",
    ),
    Row(TUBES, (Look.SCRAPE,), when.always, "scrape-not-folded", "Not tried counts as folding to an edge."),
    Row(
        TUBES,
        (Look.SEAM,),
        when.always,
        "tube-seam-open",
        "A seam opens along its whole length once it has begun.",
    ),
    Row(TUBES, (Look.BURST,), when.always, "burst", "Nothing is left to hold."),
    Row(_SEWN_ON, (Look.SEAM,), when.always, "stitching-open", "All lift passes through this stitching."),
    Row(
        (*TUBES, *_SEWN_ON, Element.VALVE, Element.HOSE),
        (Look.SOFT,),
        when.holds_a_day,
        "soft-in-a-day",
        "A session takes two hours of that day.",
    ),
    Row(
        (*TUBES, *_SEWN_ON, Element.VALVE, Element.HOSE),
        (Look.SOFT,),
        when.known_to_soften_fast,
        "soft-too-fast",
        "It would go soft within a session.",
    ),
    Row(
        (*TUBES, *_SEWN_ON, Element.VALVE, Element.HOSE),
        (Look.SOFT,),
        when.always,
        "soft-not-timed",
        "Not timed counts as within minutes.",
    ),
    Row(
        (Element.VALVE,),
        (Look.VALVE,),
        when.holds_a_day,
        "valve-loose-holds",
        "Unseated, yet tight: it is pressed in.",
    ),
    Row(
        (Element.HOSE,),
        (Look.VALVE,),
        when.holds_a_day,
        "hose-loose-holds",
        "Loose, yet tight: it is pushed on.",
    ),
    Row(
        (Element.VALVE, Element.HOSE),
        (Look.VALVE,),
        when.always,
        "loose-and-leaking",
        "The bond to the bladder may have gone; the air goes within a session.",
    ),
    Row(
        _CLOTH,
        _TEARS,
        when.up_to_a_palm_and_tape_holds,
        "tear-tape",
        "Tape on both faces carries the cloth here.",
    ),
    Row(
        _CLOTH,
        _TEARS,
        when.up_to_a_hand_and_tape_holds,
        "tear-get-home",
        "Longer tape peels sooner: home, no further.",
    ),
    Row(_CLOTH, _TEARS, when.up_to_a_hand, "tape-would-creep", "The cloth is pulled harder than tape lasts."),
    Row(_CLOTH, _TEARS, when.not_measured, "tear-not-measured", "What nobody measured may be too long."),
    Row(
        _CLOTH, _TEARS, when.always, "tear-too-long", "Beyond a hand the cloth does not lie flat under tape."
    ),
    Row(
        _CLOTH,
        (Look.SEAM,),
        when.up_to_a_hand_and_tape_holds,
        "cloth-seam-get-home",
        "Tape spares the thread beside.",
    ),
    Row(
        _CLOTH,
        (Look.SEAM,),
        when.up_to_a_hand,
        "tape-would-creep",
        "The cloth is pulled harder than tape lasts.",
    ),
    Row(_CLOTH, (Look.SEAM,), when.always, "cloth-seam-too-long", "A long gap runs on along the stitches."),
    Row(
        _CLOTH,
        (Look.SCRAPE,),
        when.folds_round,
        "cloth-scrape-round",
        "Round in the fold, the fibres are sound.",
    ),
    Row(
        _CLOTH,
        (Look.SCRAPE,),
        when.always,
        "cloth-scrape-edge",
        "Half the cloth is left, and tape shares its load.",
    ),
    Row(
        _WINDOW, (Look.CLOUDY,), when.always, "window-cloudy", "Clouding takes the view and little strength."
    ),
    Row(
        _WINDOW,
        (Look.CRACKED,),
        when.short_crack,
        "window-crack-tape",
        "Film cracks on readily, so tape mends only what is short.",
    ),
    Row(
        _WINDOW,
        (Look.CRACKED,),
        when.up_to_a_hand_and_tape_holds,
        "window-crack-get-home",
        "Tape bridges it for one way home.",
    ),
    Row(
        _WINDOW,
        (Look.CRACKED,),
        when.up_to_a_hand,
        "tape-would-creep",
        "The film is pulled harder than tape lasts.",
    ),
    Row(
        _WINDOW,
        (Look.CRACKED,),
        when.not_measured,
        "tear-not-measured",
        "What nobody measured may be too long.",
    ),
    Row(
        _WINDOW,
        (Look.CRACKED,),
        when.always,
        "window-crack-too-long",
        "Film opens from a long crack at once.",
    ),
    Row(
        _WINDOW,
        (Look.SEAM,),
        when.up_to_a_hand_and_tape_holds,
        "cloth-seam-get-home",
        "Tape spares the thread beside.",
    ),
    Row(
        _WINDOW,
        (Look.SEAM,),
        when.up_to_a_hand,
        "tape-would-creep",
        "The film is pulled harder than tape lasts.",
    ),
    Row(_WINDOW, (Look.SEAM,), when.always, "cloth-seam-too-long", "A long gap runs on along the stitches."),
    Row(
        _BACK_EDGE,
        _TEARS,
        when.up_to_a_palm_and_tape_holds,
        "back-edge-get-home",
        "It flutters: one step stricter than the cloth before it.",
    ),
    Row(
        _BACK_EDGE,
        _TEARS,
        when.up_to_a_palm,
        "tape-would-creep",
        "The cloth is pulled harder than tape lasts.",
    ),
    Row(_BACK_EDGE, _TEARS, when.not_measured, "tear-not-measured", "What nobody measured may be too long."),
    Row(
        _BACK_EDGE,
        _TEARS,
        when.always,
        "back-edge-bring-in",
        "It flutters: one step stricter than the cloth before it.",
    ),
    Row(
        _BACK_EDGE,
        (Look.SEAM,),
        when.always,
        "back-edge-seam",
        "It flutters: one step stricter than the cloth before it.",
    ),
)


def rows(part: Element, look: Look) -> tuple[Row, ...]:
    """The rows for a part and a look, in the order in which they are tried."""
    return tuple(row for row in TABLE if part in row.parts and look in row.looks)


def decide(seen: Seen) -> Row:
    """The row that answers. Raises ValueError with a sentence where such a part cannot look so."""
    look = Look(seen.told.look)
    for row in rows(seen.place.element, look):
        if row.when(seen):
            return row
    raise ValueError(
        gettext("A %(element)s cannot have “%(look)s”: choose another look.")
        % {"element": gettext(seen.place.element), "look": gettext(look)}
    )
