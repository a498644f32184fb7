"""One new bladder serves a whole tube: where one damage gets it, the others on that tube need none.

And it is advised where the patches of a tube would together cost more than it does.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.db.models import prefetch_related_objects

from shoprepair.jobs.models import Damage
from shoprepair.pricing import costing, rules
from shoprepair.pricing.models import Operation, Repair
from shoprepair.pricing.proposals.measures import measures
from shoprepair.pricing.proposals.remedies import Remedy
from shoprepair.pricing.tubes import key_of

Wanted = dict[str, tuple[Remedy, dict[str, Any]]]
"""Code of an operation to its remedy and lay-up, for one damage."""
Catalogue = Mapping[str, Operation]
"""Operations that are offered, by their code."""
PATCH = "bladder-patch"
NEW = "bladder-replace"
"""How the codes of new bladders begin."""
ONLY_IF_NOT_NEW = Remedy(code=PATCH, preferred=False, optional=True)


def one_new_bladder_per_tube(
    damages: Sequence[Damage], wanted: dict[int, Wanted], catalogue: Catalogue
) -> None:
    """Leave a new bladder with the most urgent damage of each tube that calls for one.

    The other damages keep a patch that is not advised, for the case that the customer does not take the
    new one. Where it is only cheaper than the patches of its tube, none of them is offered, until a person
    leaves it out.
    """
    most_urgent_first = sorted(damages, key=lambda damage: (-damage.urgency, damage.number))
    new_with: dict[str, int] = {}
    for damage in most_urgent_first:
        key = key_of(damage)
        if key is not None and _gets_a_new_bladder(damage, wanted[damage.pk]):
            new_with.setdefault(key, damage.pk)
    _leave_it_there(damages, wanted, new_with)
    for key, patched in _patched(most_urgent_first, wanted).items():
        if key not in new_with and _dearer_than_new(patched, wanted, catalogue):
            _instead_of_patches(patched, wanted)


def _leave_it_there(
    damages: Iterable[Damage], wanted: dict[int, Wanted], new_with: Mapping[str, int]
) -> None:
    for damage in damages:
        key, here = key_of(damage), wanted[damage.pk]
        bladders = [code for code in here if code.startswith("bladder-")]
        if key is not None and new_with.get(key, damage.pk) != damage.pk and bladders:
            for code in bladders:
                del here[code]
            here[PATCH] = (ONLY_IF_NOT_NEW, {})


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
    return any(code.startswith(NEW) for code in (chosen or advised) - out)


def _patched(damages: Iterable[Damage], wanted: dict[int, Wanted]) -> dict[str, list[Damage]]:
    """The damages of each tube that are advised a patch of its bladder, where nobody decided otherwise."""
    found, decided = defaultdict(list), set()
    for damage in damages:
        key = key_of(damage)
        if key is None:
            continue
        repairs = list(damage.repairs.all())
        if any(_keeps_the_old(repair) for repair in repairs):
            decided.add(key)
        out = any(repair.operation.code == PATCH and repair.left_out_by_id for repair in repairs)
        if not out and PATCH in wanted[damage.pk] and wanted[damage.pk][PATCH][0].preferred:
            found[key].append(damage)
    return {key: some for key, some in found.items() if len(some) > 1 and key not in decided}


def _keeps_the_old(repair: Repair) -> bool:
    """Whether a person chose to patch the bladder, or left a new one out."""
    code = repair.operation.code
    return bool(code == PATCH and repair.chosen_by_id) or bool(code.startswith(NEW) and repair.left_out_by_id)


def _dearer_than_new(patched: Sequence[Damage], wanted: dict[int, Wanted], catalogue: Catalogue) -> bool:
    """Whether these patches of one tube cost more than its new bladder, by the shop's catalogue."""
    new = next((code for code in wanted[patched[0].pk] if code.startswith(NEW)), "")
    if PATCH not in catalogue or new not in catalogue:
        return False
    patch, whole = catalogue[PATCH], catalogue[new]
    prefetch_related_objects([patch, whole], "materials__material")
    price = rules.current()

    def costs(operation: Operation, damage: Damage) -> Decimal:
        return costing.cost(operation, measures(Repair(damage=damage, operation=operation)), price).amount

    return sum(costs(patch, damage) for damage in patched) > costs(whole, patched[0])


def _instead_of_patches(patched: Sequence[Damage], wanted: dict[int, Wanted]) -> None:
    """A new bladder for the first of these damages, and no patch for any."""
    for damage in patched:
        here = wanted[damage.pk]
        for code in [code for code in here if code.startswith("bladder-")]:
            _remedy, layup = here.pop(code)
            if damage is patched[0] and code.startswith(NEW):
                here[code] = (Remedy(code=code), layup)
