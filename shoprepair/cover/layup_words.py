"""A repair's lay-up as a sentence whose lengths stay in metres, for records that outlast units."""

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.pricing.layup import Layup
from shoprepair.pricing.proposals.layups import AnyLayup
from shoprepair.pricing.resewing import Seam


def layup_sentence(layup: AnyLayup | None) -> Sentence | None:
    """'1 ply inside and 1 outside, {along} × {around}, sewn in 2 rows of …'; None where there is none."""
    if layup is None:
        return None
    if isinstance(layup, Seam):
        over = f" over {_counted(layup.tapes, 'strip')} of new cloth" if layup.tapes else ""
        words = f"{{length}} sewn in {_counted(layup.rows, 'row')} of {layup.thread.name}{over}."
        return Sentence(words, {"length": Quantity(layup.length_m, "m")})
    along, around = layup.outline_m
    sides = {"along": Quantity(along, "m"), "around": Quantity(around, "m")}
    if isinstance(layup, Layup):
        rows = f"{_counted(layup.rows, 'row')} of {layup.thread.name}"
        return Sentence(f"{_plies(layup)}, {{along}} × {{around}}, sewn in {rows}.", sides)
    faces = "both faces" if layup.faces > 1 else "one face"
    return Sentence(f"{layup.material.capitalize()} on {faces}, {{along}} × {{around}}.", sides)


def _plies(layup: Layup) -> str:
    sides = [(layup.plies_inside, "inside"), (layup.plies_outside, "outside")]
    return " and ".join(f"{_counted(count, 'ply', 'plies')} {side}" for count, side in sides if count)


def _counted(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or one + 's'}"
