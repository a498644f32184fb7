"""A repair's lay-up as a sentence whose lengths stay in metres, for records that outlast units."""

from django.utils.translation import gettext

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.pricing.layup import Layup
from shoprepair.pricing.proposals.layups import AnyLayup
from shoprepair.pricing.resewing import Seam
from shoprepair.shop.counted import counted
from shoprepair.shop.languages import begun_large


def layup_sentence(layup: AnyLayup | None) -> Sentence | None:
    """'1 ply inside and 1 outside, {along} × {around}, sewn in 2 rows of …'; None where there is none."""
    if layup is None:
        return None
    if isinstance(layup, Seam):
        over = (
            gettext(" over %(tapes)s of new cloth") % {"tapes": counted(layup.tapes, "strip")}
            if layup.tapes
            else ""
        )
        words = gettext("{length} sewn in %(rows)s of %(name)s%(over)s.") % {
            "rows": counted(layup.rows, "row"),
            "name": gettext(layup.thread.name),
            "over": over,
        }
        return Sentence(words, {"length": Quantity(layup.length_m, "m")})
    along, around = layup.outline_m
    sides = {"along": Quantity(along, "m"), "around": Quantity(around, "m")}
    if isinstance(layup, Layup):
        rows = gettext("%(rows)s of %(name)s") % {
            "rows": counted(layup.rows, "row"),
            "name": gettext(layup.thread.name),
        }
        return Sentence(
            gettext("%(layup)s, {along} × {around}, sewn in %(rows)s.")
            % {"layup": _plies(layup), "rows": rows},
            sides,
        )
    faces = gettext("both faces") if layup.faces > 1 else gettext("one face")
    return Sentence(
        gettext("%(capitalize)s on %(faces)s, {along} × {around}.")
        % {"capitalize": begun_large(gettext(layup.material)), "faces": faces},
        sides,
    )


def _plies(layup: Layup) -> str:
    sides = [
        (layup.plies_inside, gettext("%(plies)s inside")),
        (layup.plies_outside, gettext("%(plies)s outside")),
    ]
    return gettext(" and ").join(side % {"plies": counted(count, "ply")} for count, side in sides if count)
