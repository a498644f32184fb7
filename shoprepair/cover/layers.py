"""Which layer of the gear a damage has hurt, and a repair has mended."""

from shoprepair.cover.damage_view import DamageView
from shoprepair.cover.meeting import FITTINGS
from shoprepair.mechanics.description import SAILCLOTH, Answer, FindingKind
from shoprepair.shop.languages import gettext_lazy

LAYERS = {
    "casing": gettext_lazy("the casing"),
    "bladder": gettext_lazy("the bladder"),
    "canopy": gettext_lazy("the canopy"),
    "fitting": gettext_lazy("the fitting"),
}
"""As they are called in a sentence."""


def layers(damage: DamageView) -> frozenset[str]:
    """What a damage has hurt: a leak is in the film, a burst takes casing and film."""
    if damage.place.element in SAILCLOTH:
        return frozenset({"canopy"})
    if damage.place.element in FITTINGS:
        return frozenset({"fitting"})
    if damage.kind == FindingKind.LEAK:
        return frozenset({"bladder"})
    if damage.kind == FindingKind.BURST or damage.through_bladder is Answer.YES:
        return frozenset({"casing", "bladder"})
    return frozenset({"casing"})
