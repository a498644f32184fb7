"""The model of a piece of gear is known only now: what was pinned keeps its place, and is judged anew."""

from collections.abc import Callable

from django.db import transaction
from django.db.models import F

from shoprepair.gear.carrying import carried
from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import Spot
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.gear.planform import Planform
from shoprepair.gear.words import short_place
from shoprepair.jobs import assessment, photo_places
from shoprepair.jobs.damages import Stale
from shoprepair.jobs.limits import validate
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.questions import element_for, kinds_for
from shoprepair.mechanics.description import FindingKind
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.units import Units

Guard = Callable[[Inflatable], str]
_PLACE = ("x_m", "y_m", "element", "station", "side", "strut", "cell", "fraction")
_KEPT = (*_PLACE, "kind", "length_m", "length_typed", *assessment.COMPUTED)
_guards: list[Guard] = []


class RepinRefused(ValueError):
    """Nothing is changed; `reasons` says why, a sentence each."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons


def add_guard(guard: Guard) -> None:
    """Let a package above, whose records hang on the model, keep it as it is; called as it is loaded.

    A guard looks at the gear and returns why its model stays, as a sentence, or an empty string.
    """
    if guard not in _guards:
        _guards.append(guard)


def refusals(inflatable: Inflatable) -> list[str]:
    """Why the gear's model stays as it is, a sentence each; empty where it may be changed."""
    return [why for guard in _guards if (why := guard(inflatable))]


@transaction.atomic
def put_pattern(inflatable: Inflatable, pattern: Pattern, *, who: Staff) -> Inflatable:
    """Say which model the gear is. Each of its damages keeps its part, side, station and share along it.

    Raises RepinRefused where quotes or covers hang on the model it has, or it has no part that a pin is on.
    """
    held = Inflatable.objects.select_for_update().select_related("pattern").get(pk=inflatable.pk)
    if held.pattern_id == pattern.pk:
        return _shown(inflatable, held)
    if reasons := refusals(held):
        raise RepinRefused(reasons)
    before, old = str(held.pattern), planform(held.pattern)
    held.pattern, held.version = pattern, held.version + 1
    held.save(update_fields=("pattern", "version"))
    text = gettext("The model is known: %(pattern)s, taken for %(before)s before.") % {
        "pattern": pattern,
        "before": before,
    }
    changes = {"model": [before, str(pattern)]}
    journal.record(f"inflatable:{held.pk}", "inflatable.model-said", text, who=who, changes=changes)
    for job in held.jobs.select_related("inflatable__pattern"):
        carry(job, old, who=who)
    return _shown(inflatable, held)


def carry(job: Job, old: Planform, *, who: Staff) -> None:
    """Put the pins of a job, made on `old`, where they belong on its gear as it is now, and judge it anew.

    Call it within the transaction that changed the gear. Raises RepinRefused.
    """
    before = {"urgency": job.urgency, "band": job.band}
    moved: dict[str, list[object]] = {}
    for damage in job.damages.all():
        damage.job = job
        was = short_place(old, assessment.place_of(damage))
        _carry(damage, old)
        now = short_place(planform(job.inflatable.pattern), assessment.place_of(damage))
        if was != now:
            moved[f"damage {damage.number}"] = [was, now]
    photo_places.carry(job, old)
    assessment.assess_job(job)
    changes = moved | journal.differences(before, {"urgency": job.urgency, "band": job.band})
    text = gettext("The drawing is now that of %(pattern)s: every pin kept its place, judged anew.") % {
        "pattern": job.inflatable.pattern
    }
    journal.record(job, "job.pins-carried", text, who=who, changes=changes)


def _shown(inflatable: Inflatable, held: Inflatable) -> Inflatable:
    inflatable.pattern, inflatable.version = held.pattern, held.version
    return inflatable


def _carry(damage: Damage, old: Planform) -> None:
    """One damage, unless somebody has just answered it: then nothing of all this is kept."""
    version = damage.version
    try:
        spot = carried(old, planform(damage.job.inflatable.pattern), damage.x_m, damage.y_m)
    except ValueError as cannot:
        raise RepinRefused(
            [
                gettext("Damage %(number)s cannot be kept: %(cannot)s Remove it first.")
                % {"number": damage.number, "cannot": cannot}
            ]
        ) from cannot
    _put(damage, spot)
    assessment.assess_damage(damage)
    values = {name: getattr(damage, name) for name in _KEPT}
    unchanged = Damage.objects.filter(pk=damage.pk, version=version)
    if not unchanged.update(**values, version=F("version") + 1):
        raise Stale(Damage.objects.select_related("job__inflatable__pattern").get(pk=damage.pk))


def _put(damage: Damage, spot: Spot) -> None:
    """What cannot be wrong at the new place, or be so long there, is to be said again."""
    place = spot.place
    damage.x_m, damage.y_m, damage.cell = spot.x_m, spot.y_m, spot.cell
    damage.station, damage.side = place.station, place.side
    damage.strut, damage.fraction = place.strut, place.fraction
    damage.element = place.element.value
    if damage.kind and damage.kind not in kinds_for(place.element):
        damage.kind = ""
    elif damage.kind:
        kind, on_strut = FindingKind(damage.kind), place.strut is not None
        damage.element = element_for(place.element, kind, on_strut=on_strut).value
    if "length_m" in validate(damage, Units()):
        damage.length_m, damage.length_typed = None, ""
