"""From one damage as it was told to a pin with its answers, and to what was advised about it."""

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import override

from shoprepair.gear.describe import planform
from shoprepair.jobs import damages
from shoprepair.jobs.advice import advise_told
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Finding
from shoprepair.shop.units import Typed

_CODES = ("at", "look", "length", "fold", "softens", "far")
Facts = dict[str, Any]


def pin(job: Job, told: Told, kept: Facts) -> Damage:
    """The damage, pinned and answered as it was told; `kept` is what stays beside it, unchanged for good.

    What cannot be true there is left for the shop to ask again.
    """
    _, x_m, y_m = told.place(planform(job.inflatable.pattern))
    damage = damages.pin(job, x_m, y_m, who=None)
    _answer(damage, told.finding())
    damage.told = kept
    damage.save(update_fields=("told",))
    return damage


def described(told: Told) -> tuple[Facts, Facts]:
    """What was told, in the shop's words and by its codes, and what is advised about it; lengths in m."""
    advised = _advised(told)
    with override("en"):
        said = str(told.told_words())
    codes = {name: getattr(told, name) for name in _CODES}
    facts = {"words": said, "length_m": told.length_m, "code": told.code(), **codes}
    return facts | {"verdict": advised["verdict"]}, advised


def _advised(told: Told) -> Facts:
    advised = advise_told(told)
    return {
        "verdict": advised.verdict.code,
        "rule": advised.rule.code,
        "length_m": advised.length_m,
        "runs_at_m": advised.runs_at_m,
    }


def _answer(damage: Damage, finding: Finding) -> None:
    length = None if finding.length_m is None else _typed(finding.length_m)
    given = {"kind": finding.kind.value, "fold": finding.fold.value, "softens": finding.softens.value}
    for answers in ({**given, "length": length}, given):
        try:
            damages.answer(damage, who=None, **answers)
        except ValidationError:
            continue
        return


def _typed(length_m: float) -> Typed:
    return Typed(length_m, f"{length_m * 1000:.0f} mm")
