"""A repair's lay-up in a sentence that its owner can read."""

from shoprepair.pricing.layup import Layup
from shoprepair.pricing.models import Repair
from shoprepair.pricing.proposals import layup_of
from shoprepair.pricing.resewing import Seam
from shoprepair.pricing.tape import Tape
from shoprepair.shop.units import Units, say_length


def layup_words(repair: Repair, units: Units) -> str:
    """'1 ply inside and 1 outside, 160 mm × 120 mm, sewn in 2 rows.'; empty where nothing is laid up."""
    layup = layup_of(repair)
    if isinstance(layup, Layup):
        return (
            f"{_plies(layup)}, {_size(layup.outline_m, units)}, sewn in {_counted(layup.rows, 'row')} "
            f"of {layup.thread.name}."
        )
    if isinstance(layup, Seam):
        over = f" over {_counted(layup.tapes, 'strip')} of new cloth" if layup.tapes else ""
        return (
            f"{say_length(layup.length_m, units)} sewn in {_counted(layup.rows, 'row')} "
            f"of {layup.thread.name}{over}."
        )
    if isinstance(layup, Tape):
        faces = "both faces" if layup.faces > 1 else "one face"
        return f"{layup.material.capitalize()} on {faces}, {_size(layup.outline_m, units)}."
    return ""


def _plies(layup: Layup) -> str:
    sides = [(layup.plies_inside, "inside"), (layup.plies_outside, "outside")]
    return " and ".join(f"{_counted(count, 'ply', 'plies')} {side}" for count, side in sides if count)


def _size(outline_m: tuple[float, float], units: Units) -> str:
    return " × ".join(say_length(side, units) for side in outline_m)


def _counted(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or one + 's'}"
