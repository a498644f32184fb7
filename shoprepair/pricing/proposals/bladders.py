"""One new bladder serves a whole tube: where one damage gets it, the others on that tube need none."""

from collections.abc import Sequence
from typing import Any

from shoprepair.jobs.models import Damage
from shoprepair.pricing.proposals.remedies import Remedy
from shoprepair.pricing.tubes import key_of

Wanted = dict[str, tuple[Remedy, dict[str, Any]]]
"""Code of an operation to its remedy and lay-up, for one damage."""
ONLY_IF_NOT_NEW = Remedy(code="bladder-patch", preferred=False, optional=True)


def one_new_bladder_per_tube(damages: Sequence[Damage], wanted: dict[int, Wanted]) -> None:
    """Leave a new bladder with the most urgent damage of each tube that calls for one.

    The others keep a patch that is not advised, for the case that the customer does not take the new one.
    """
    most_urgent_first = sorted(damages, key=lambda damage: (-damage.urgency, damage.number))
    new_with: dict[str, int] = {}
    for damage in most_urgent_first:
        key = key_of(damage)
        if key is not None and _gets_a_new_bladder(damage, wanted[damage.pk]):
            new_with.setdefault(key, damage.pk)
    for damage in damages:
        key, here = key_of(damage), wanted[damage.pk]
        bladders = [code for code in here if code.startswith("bladder-")]
        if key in new_with and new_with[key] != damage.pk and bladders:
            for code in bladders:
                del here[code]
            here["bladder-patch"] = (ONLY_IF_NOT_NEW, {})


def _gets_a_new_bladder(damage: Damage, wanted: Wanted) -> bool:
    """As a person chose, else as the program advises; not when a person left it out."""
    repairs = list(damage.repairs.all())
    out = {repair.operation.code for repair in repairs if repair.left_out_by_id}
    chosen = {
        repair.operation.code for repair in repairs if repair.chosen_by_id and repair.choice == "bladder"
    }
    advised = {
        code for code, (remedy, _) in wanted.items() if remedy.preferred and remedy.choice == "bladder"
    }
    return any(code.startswith("bladder-replace") for code in (chosen or advised) - out)
