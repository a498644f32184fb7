"""Proposing the repairs of a damage or a whole job, again and again without undoing what people decided."""

from collections.abc import Iterable, Sequence
from typing import Any

from django.db import transaction
from django.db.models import Prefetch, QuerySet

from shoprepair.jobs.models import Damage, Job
from shoprepair.pricing.models import Operation, Repair
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.asked import asked
from shoprepair.pricing.proposals.bladders import Wanted, one_new_bladder_per_tube
from shoprepair.pricing.proposals.remedies import Remedies, Remedy, remedies
from shoprepair.pricing.proposals.situation import situation, washed_with

KEPT = (
    "layup",
    "proposed",
    "preferred",
    "choice",
    "optional",
    "shortfall",
    "let_stand_by",
    "let_stand_reason",
    "left_out",
    "version",
)


def propose(damage: Damage) -> list[Repair]:
    """The repairs of one damage: new ones made, those that nobody changed renewed, changed ones kept.

    What a person left out stays out, and whom a person preferred stays preferred. Answers those that
    are to be done or chosen from, the damage's lay-ups being those of its answers as they are now.
    """
    return [repair for repair in propose_job(damage.job) if repair.damage_id == damage.pk]


@transaction.atomic
def propose_job(job: Job) -> list[Repair]:
    """The repairs of all live damages of a job, as `propose`; in the same few statements however many."""
    Job.objects.select_for_update().get(pk=job.pk)
    damages = list(
        job.damages.filter(removed_at=None)
        .select_related("job__inflatable__pattern__casing", "job__inflatable__pattern__canopy")
        .select_related("job__inflatable__pattern__window")
        .prefetch_related(Prefetch("repairs", Repair.objects.select_related("operation")))
    )
    washed = washed_with(damages)
    wanted = {damage.pk: _wanted(damage, wet=damage is washed) for damage in damages}
    operations = _operations(wanted.values())
    one_new_bladder_per_tube(damages, wanted, operations)
    made, renewed = [], []
    for damage in damages:
        new, changed = _settle(damage, wanted[damage.pk], operations)
        made += new
        renewed += changed
    Repair.objects.bulk_create(made)
    Repair.objects.bulk_update(renewed, KEPT)
    return repairs_of_job(job)


def repairs_of_job(job: Job) -> list[Repair]:
    """The repairs of a job that are to be done or chosen from, by damage, the advised ones first."""
    return _read(_of_job(job))


def names_of_job(job: Job) -> list[Repair]:
    """The same, where nobody asks for their prices: without the materials, in one statement."""
    return _sorted(_with_the_damage(_of_job(job)))


def repairs_of(damage: Damage) -> list[Repair]:
    """The same of one damage."""
    return _read(Repair.objects.filter(damage=damage))


_OF_THE_PATTERN = "damage__job__inflatable__pattern"
_WITH_THE_DAMAGE = (
    f"{_OF_THE_PATTERN}__casing",
    f"{_OF_THE_PATTERN}__canopy",
    f"{_OF_THE_PATTERN}__window",
    "let_stand_by",
)


def _of_job(job: Job) -> QuerySet[Repair]:
    return Repair.objects.filter(damage__job=job, damage__removed_at=None)


def _read(repairs: QuerySet[Repair]) -> list[Repair]:
    """With all that a price and a lay-up ask of them, in the same few statements however many."""
    return _sorted(_with_the_damage(repairs).prefetch_related("operation__materials__material"))


def _with_the_damage(repairs: QuerySet[Repair]) -> QuerySet[Repair]:
    return repairs.filter(left_out=False).select_related("operation", *_WITH_THE_DAMAGE)


def _sorted(repairs: Iterable[Repair]) -> list[Repair]:
    def place(repair: Repair) -> tuple[Any, ...]:
        return (
            repair.damage.number,
            repair.optional,
            repair.by_hand,
            repair.choice != "",
            repair.choice,
            not repair.preferred,
            repair.pk,
        )

    return sorted(repairs, key=place)


def _wanted(damage: Damage, *, wet: bool) -> Wanted:
    """Code to remedy and lay-up; nothing until somebody has said what kind of damage it is."""
    if not damage.kind:
        return {}
    demand = asked(damage)
    found: Remedies = remedies(situation(damage, demand, wet=wet))
    return {
        remedy.code: (
            remedy,
            layups.kept(layups.proposed(remedy.code, demand), demand) if demand else {},
        )
        for remedy in found
    }


def _operations(wanted: Iterable[Wanted]) -> dict[str, Operation]:
    codes = {code for damage in wanted for code in damage}
    return {operation.code: operation for operation in Operation.objects.filter(code__in=codes, active=True)}


def _settle(
    damage: Damage, wanted: Wanted, operations: dict[str, Operation]
) -> tuple[list[Repair], list[Repair]]:
    """Repairs to be made and repairs to be written again, so that the damage has what it calls for."""
    there = {repair.operation.code: repair for repair in damage.repairs.all()}
    before = {repair.pk: _state(repair) for repair in there.values()}
    chosen = {repair.choice for repair in there.values() if repair.chosen_by_id and not repair.left_out}
    made = []
    for code, (remedy, layup) in wanted.items():
        if code in there:
            _take(there[code], remedy, layup, decided=remedy.choice in chosen)
        elif code in operations:
            repair = Repair(damage=damage, operation=operations[code], preferred=False)
            _take(repair, remedy, layup, decided=remedy.choice in chosen)
            made.append(repair)
    for code, repair in there.items():
        if code not in wanted and not repair.by_hand:
            repair.left_out = True
    _advise_one_of_each_choice([repair for repair in (*there.values(), *made) if not repair.left_out])
    renewed = [repair for repair in there.values() if _state(repair) != before[repair.pk]]
    for repair in renewed:
        repair.version += 1
    return made, renewed


def _take(repair: Repair, remedy: Remedy, layup: dict[str, Any], *, decided: bool) -> None:
    renew(repair, layup)
    if repair.by_hand:
        return
    if not decided:
        repair.preferred = remedy.preferred
    repair.choice, repair.optional = remedy.choice, remedy.optional
    if repair.left_out_by_id is None:
        repair.left_out = False


def _advise_one_of_each_choice(repairs: Sequence[Repair]) -> None:
    """Where the advised operation is not in the catalogue or was left out, the next one is advised."""
    for choice in {repair.choice for repair in repairs if repair.choice}:
        alternatives = [repair for repair in repairs if repair.choice == choice]
        if not any(repair.preferred for repair in alternatives):
            alternatives[0].preferred = True


def renew(repair: Repair, proposed: dict[str, Any]) -> None:
    """Take a new proposal: as the lay-up where nobody changed it, else only as what is asked of it."""
    unchanged = repair.layup == repair.proposed or repair.layup.get("kind") != proposed.get("kind")
    before, repair.proposed = repair.shortfall, proposed
    repair.layup = proposed if unchanged else layups.measured_anew(repair.layup, proposed["asked"])
    repair.shortfall = layups.shortfall(repair.layup)
    if unchanged or repair.shortfall > before:
        repair.let_stand_by, repair.let_stand_reason = None, ""


def _state(repair: Repair) -> tuple[Any, ...]:
    return tuple(getattr(repair, name) for name in KEPT)
