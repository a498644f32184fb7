"""What people change about proposed repairs. Each change is checked against the place and journalled."""

from typing import Any

from django.db import transaction

from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.pricing.layup import Thread
from shoprepair.pricing.models import Operation, Repair
from shoprepair.pricing.proposals import layups
from shoprepair.pricing.proposals.asked import Asked, asked
from shoprepair.pricing.proposals.edits import edited, thread_named
from shoprepair.pricing.proposals.layups import AnyLayup
from shoprepair.pricing.stale import Stale
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.units import Units, say

LET_STAND_ENOUGH = 3
"""Letters that a reason has at least."""
_ENOUGH = 1e-9


class TooWeak(ValueError):
    """A lay-up that does not carry the load; `sentence` says by how much, in the reader's units."""

    def __init__(self, layup: AnyLayup, who: Staff) -> None:
        self.layup, self.shortfall = layup, layup.shortfall
        self.missing_n_per_m = layup.required_n_per_m - layup.strength_n_per_m
        self.sentence = Sentence(
            gettext(
                "This is %(max)s %% too weak here: it holds {holds} where {asked} are "
                "needed, {missing} short. %(who)s"
            )
            % {"max": max(1, round(100 * self.shortfall)), "who": _who_may(who)},
            {
                "holds": Quantity(layup.strength_n_per_m, "N/m"),
                "asked": Quantity(layup.required_n_per_m, "N/m"),
                "missing": Quantity(self.missing_n_per_m, "N/m"),
            },
        )
        super().__init__(say(self.sentence, Units()))


def change_layup(
    repair: Repair,
    *,
    who: Staff,
    version: int,
    reason: str = "",
    plies_inside: int | None = None,
    plies_outside: int | None = None,
    rows: int | None = None,
    pitch_m: float | None = None,
    thread: Thread | str | None = None,
    outline_m: tuple[float, float] | None = None,
    tapes: int | None = None,
) -> Repair:
    """Change figures of a lay-up; what is not given stays. A tape has its faces in the plies, 0 or 1 each.

    Raises ValueError with a sentence for figures that cannot be, TooWeak where the result does not carry
    the load and `who` is not the owner or gives no reason, Stale when somebody changed it since `version`.
    """
    with transaction.atomic():
        now = _locked(repair, version)
        before, demand = layups.read(now.layup), asked(now.damage)
        if before is None or demand is None:
            raise ValueError(gettext("“%(name)s” has no lay-up to change.") % {"name": now.operation.name})
        figures = {
            "plies_inside": plies_inside,
            "plies_outside": plies_outside,
            "rows": rows,
            "pitch_m": pitch_m,
            "thread": thread_named(thread),
            "outline_m": outline_m,
            "tapes": tapes,
        }
        changed = edited(
            before, demand, {name: value for name, value in figures.items() if value is not None}
        )
        return _keep(now, changed, demand, who, reason.strip())


@transaction.atomic
def back_to_proposed(repair: Repair, *, who: Staff, version: int) -> Repair:
    """Undo every change of a lay-up."""
    now = _locked(repair, version)
    if now.layup == now.proposed:
        return now
    before = now.layup
    now.layup, now.shortfall = now.proposed, layups.shortfall(now.proposed)
    now.let_stand_by, now.let_stand_reason = None, ""
    text = gettext("%(now)s has the proposed lay-up again.") % {"now": _subject(now)}
    return _write(now, "repair.proposed-again", text, who, _differences(before, now.layup))


@transaction.atomic
def choose(repair: Repair, *, who: Staff) -> None:
    """Make a repair the preferred one among the alternatives of its damage."""
    Job.objects.select_for_update().get(pk=repair.damage.job_id)
    now = _now(repair)
    if not now.choice:
        return
    others = Repair.objects.filter(damage=now.damage, choice=now.choice).exclude(pk=now.pk)
    for other in others.filter(preferred=True) | others.exclude(chosen_by=None):
        other.preferred, other.chosen_by, other.version = False, None, other.version + 1
        other.save(update_fields=("preferred", "chosen_by", "version"))
    if now.preferred and now.chosen_by_id and not now.left_out:
        return
    now.preferred, now.chosen_by, now.left_out, now.left_out_by = True, who, False, None
    _write(now, "repair.chosen", gettext("%(now)s is advised.") % {"now": _subject(now)}, who)


@transaction.atomic
def change_operation(damage: Damage, operation: Operation, *, who: Staff) -> Repair:
    """Add an operation of the catalogue to a damage, or take one back that was left out."""
    Job.objects.select_for_update().get(pk=damage.job_id)
    there = Repair.objects.filter(damage=damage, operation=operation).first()
    if there and not there.left_out:
        return _now(there)
    if there:
        now = _put_back(_now(there))
    else:
        demand = asked(damage)
        layup = layups.kept(layups.proposed(operation.code, demand), demand) if demand else {}
        now = Repair(damage=damage, operation=operation, by_hand=True, layup=layup, proposed=layup)
        now.shortfall, now.version = layups.shortfall(layup), 0
    return _write(now, "repair.added", gettext("%(now)s was added.") % {"now": _subject(now)}, who)


def _put_back(now: Repair) -> Repair:
    """As it was before somebody left it out; by hand where the program itself no longer calls for it."""
    now.by_hand = now.by_hand or now.left_out_by_id is None
    others = Repair.objects.filter(damage=now.damage, choice=now.choice, left_out=False, preferred=True)
    now.preferred = not now.choice or not others.exists()
    now.left_out, now.left_out_by = False, None
    return now


@transaction.atomic
def drop(repair: Repair, *, who: Staff) -> None:
    """Leave a repair out: it is not proposed again until somebody adds it."""
    Job.objects.select_for_update().get(pk=repair.damage.job_id)
    now = _now(repair)
    if now.left_out:
        return
    now.left_out, now.left_out_by, now.chosen_by = True, who, None
    _write(now, "repair.left-out", gettext("%(now)s was left out.") % {"now": _subject(now)}, who)
    _advise_another(now)


def _advise_another(gone: Repair) -> None:
    """Of the alternatives that are left one is always advised."""
    left = Repair.objects.filter(damage=gone.damage, choice=gone.choice, left_out=False).exclude(choice="")
    if left.exists() and not left.filter(preferred=True).exists():
        following = left.order_by("pk")[0]
        following.preferred, following.version = True, following.version + 1
        following.save(update_fields=("preferred", "version"))


def _keep(now: Repair, changed: AnyLayup, demand: Asked, who: Staff, reason: str) -> Repair:
    weak = changed.shortfall > _ENOUGH
    if weak and (not who.is_owner or len(reason) < LET_STAND_ENOUGH):
        raise TooWeak(changed, who)
    before = now.layup
    now.layup = layups.kept(changed, demand)
    now.shortfall = changed.shortfall if weak else 0.0
    now.let_stand_by, now.let_stand_reason = (who, reason[:300]) if weak else (None, "")
    differences = _differences(before, now.layup)
    if weak:
        differences["too weak by"] = [None, f"{100 * now.shortfall:.0f} %"]
        differences["reason"] = [None, now.let_stand_reason]
    text = gettext("The lay-up of %(now)s was changed.") % {"now": _subject(now)}
    return _write(now, "repair.changed", text, who, differences)


def _who_may(who: Staff) -> str:
    if who.is_owner:
        return gettext("Make it stronger, or give a reason to let it stand.")
    return gettext("Make it stronger; only the owner can let it stand, with a reason.")


def _locked(repair: Repair, version: int) -> Repair:
    Job.objects.select_for_update().get(pk=repair.damage.job_id)
    now = _now(repair)
    if now.version != version:
        raise Stale(_subject(now), now)
    return now


def _now(repair: Repair) -> Repair:
    return Repair.objects.select_related("operation", "damage__job__inflatable__pattern").get(pk=repair.pk)


def _write(
    now: Repair, verb: str, text: str, who: Staff, changes: dict[str, list[Any]] | None = None
) -> Repair:
    now.version += 1
    now.save()
    journal.record(now.damage.job, verb, text, who=who, changes=changes)
    return now


def _subject(repair: Repair) -> str:
    return gettext("“%(name)s” for damage %(number)s") % {
        "name": repair.operation.name,
        "number": repair.damage.number,
    }


_COUNTED = ("plies_inside", "plies_outside", "rows", "faces", "tapes")


def _differences(before: dict[str, Any], after: dict[str, Any]) -> dict[str, list[Any]]:
    return journal.differences(_readable(before), _readable(after))


def _readable(layup: dict[str, Any]) -> dict[str, Any]:
    """The figures of a lay-up as the journal tells them."""
    words: dict[str, Any] = {name.replace("_", " "): layup[name] for name in _COUNTED if name in layup}
    if "outline_m" in layup:
        words["outline"] = " × ".join(f"{1000 * side:.0f} mm" for side in layup["outline_m"])
    if "thread" in layup:
        words |= {"pitch": f"{1000 * layup['pitch_m']:g} mm", "thread": layup["thread"]["name"]}
    return words
