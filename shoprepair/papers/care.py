"""What the customer is told when gear goes home: how to keep it well, and what to watch.

Common practice in the trade, no source.
"""

from collections.abc import Iterator, Sequence

from django.utils.translation import gettext

from shoprepair.gear.models import Pattern
from shoprepair.jobs.assessment import read
from shoprepair.jobs.models import Damage
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say, say_typed

CARE = (
    gettext_lazy("Rinse it with fresh water and dry it in the shade before you pack it."),
    gettext_lazy("Keep sand off the valves: it is what cuts bladders and seats."),
    gettext_lazy("Let some air out before you leave it in the sun: it warms, and its pressure rises."),
    gettext_lazy("Keep it off rough ground, rigging and fins, and pack it loosely."),
)
REPAIRS = gettext_lazy(
    "Look at every repair after the first session and now and then: a row that opens, an edge that lifts, "
    "a hiss. Bring it in before you ride it again."
)


def care(pattern: Pattern, units: Units) -> tuple[str, ...]:
    """How to treat it, the pressure it is rated for first."""
    rated = say_typed(pattern.rated_pressure_pa, pattern.rated_pressure_typed, units)
    return (gettext("Pump it by a gauge, to %(rated)s and no more.") % {"rated": rated}, *CARE)


def watch(found: Sequence[Damage], mended: Sequence[int], units: Units) -> tuple[str, ...]:
    """What to look at from now on: the repairs, the mirror place of a burst, and what was left as it is."""
    return tuple(dict.fromkeys([*_left(found, mended), *_mirrors(found, units), REPAIRS]))


def _left(found: Sequence[Damage], mended: Sequence[int]) -> Iterator[str]:
    left = [damage for damage in found if damage.number not in mended]
    for damage in left:
        yield gettext("%(number)s was found and not repaired: look at it before and after each ride.") % {
            "number": damage.number
        }


def _mirrors(found: Sequence[Damage], units: Units) -> Iterator[str]:
    for damage in found:
        result = read(damage)
        if damage.kind != FindingKind.BURST or damage.element not in _TUBES or result is None:
            continue
        yield from (say(sentence, units) for sentence in result.inspect if "mirror" in sentence.text)


_TUBES = (Element.LEADING_EDGE, Element.STRUT)
