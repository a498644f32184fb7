"""Pinning, answering, moving and removing damages. Each change is judged anew; none is overwritten unseen."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone

from shoprepair.gear.describe import planform
from shoprepair.gear.geometry import Spot, resolve
from shoprepair.jobs import assessment
from shoprepair.jobs.limits import validate
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.jobs.questions import element_for, kinds_for, questions_for
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.shop import journal
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.units import Typed, Units

__all__ = [
    "ANSWERS",
    "Stale",
    "answer",
    "kinds_for",
    "kinds_of",
    "live",
    "move_pin",
    "pin",
    "questions_for",
    "remove",
    "restore",
    "validate",
]

ANSWERS = {
    "kind": "kind",
    "length_typed": "length",
    "direction": "direction",
    "angle_deg": "angle",
    "face": "face",
    "fold": gettext_lazy("fold test"),
    "condition": "cloth",
    "through_bladder": gettext_lazy("through the bladder"),
    "old_patch": gettext_lazy("old patch"),
    "wet": gettext_lazy("wet or sandy"),
    "softens": "softens",
    "seconds_to_half": gettext_lazy("seconds to half pressure"),
    "stitched_left_typed": gettext_lazy("stitching left"),
    "under_kind": gettext_lazy("under it"),
    "note": "note",
}
"""Every answer of a damage, with the word the journal uses for it."""
_TYPED = {"length": ("length_m", "length_typed"), "stitched_left": ("stitched_left_m", "stitched_left_typed")}
_KEPT = (*ANSWERS, "length_m", "stitched_left_m")
_PLACE = ("x_m", "y_m", "element", "station", "side", "strut", "cell", "fraction")


class Stale(ValueError):
    """Somebody else changed the damage meanwhile; `damage` is as it stands now."""

    def __init__(self, damage: Damage) -> None:
        super().__init__(
            gettext(
                "Somebody has changed damage %(number)s meanwhile. Look at it as it is now, "
                "then change it again."
            )
            % {"number": damage.number}
        )
        self.damage = damage


def live(job: Job) -> list[Damage]:
    """The damages of a job that were not removed, by number; each knows the job as it is here."""
    return list(job.damages.filter(removed_at=None))


def kinds_of(damage: Damage) -> tuple[FindingKind, ...]:
    """What can be wrong under this pin, also after it was answered as damage of the tube beside a fitting."""
    return kinds_for(_pinned_element(damage))


def pin(job: Job, x_m: float, y_m: float, *, who: Staff | None) -> Damage:
    """Pin a damage where the drawing was tapped, in metres, and number it within the job.

    `who` None is the customer, who asks from outside. Raises OffTheDrawing, a ValueError, when there is
    nothing under the point.
    """
    spot = resolve(planform(job.inflatable.pattern), x_m, y_m)
    # Within something larger all of it is done, or nothing.
    with transaction.atomic(savepoint=False):
        # Two taps at the same moment are numbered one after the other.
        Job.objects.select_for_update().get(pk=job.pk)
        highest = job.damages.aggregate(highest=Max("number"))["highest"] or 0
        damage = Damage(job=job, number=highest + 1)
        _put(damage, spot)
        damage.save()
        assessment.assess_locked(job)
        _journal(
            damage,
            "damage.pinned",
            gettext("Damage %(number)s was pinned on the %(element)s.")
            % {"number": damage.number, "element": gettext(damage.element)},
            who=who,
        )
    return damage


def answer(
    damage: Damage,
    *,
    who: Staff | None,
    version: int | None = None,
    units: Units | None = None,
    **fields: Any,
) -> Damage:
    """Give answers about a damage by the names of its fields, and judge it anew.

    `length` and `stitched_left` take a Typed, which keeps the typing beside the figure. `version`
    is the one the answers were given to. Raises ValidationError with a sentence per field, in
    `units`, and Stale when somebody changed the damage since that version.
    """
    changed = _copy(damage)
    for name, value in _by_field(fields).items():
        setattr(changed, name, value)
    if changed.kind in kinds_of(damage):
        _set_element(changed, _pinned_element(damage))
    if problems := validate(changed, units or Units()):
        raise ValidationError(problems)
    return _change(
        damage,
        changed,
        version,
        "damage.answered",
        gettext("Damage %(number)s was answered") % {"number": damage.number},
        who,
    )


def move_pin(damage: Damage, x_m: float, y_m: float, *, who: Staff, version: int | None = None) -> Damage:
    """Put the pin somewhere else. What cannot be wrong there is to be said again."""
    changed = _copy(damage)
    _put(changed, resolve(planform(damage.job.inflatable.pattern), x_m, y_m))
    if changed.kind and changed.kind not in kinds_for(changed.element):
        changed.kind = ""
    elif changed.kind:
        _set_element(changed, Element(changed.element))
    if "length_m" in validate(changed, Units()):
        changed.length_m, changed.length_typed = None, ""
    return _change(
        damage,
        changed,
        version,
        "damage.moved",
        gettext("Damage %(number)s was moved") % {"number": damage.number},
        who,
    )


def remove(damage: Damage, who: Staff) -> Damage:
    """Take a damage off the job. Its number is not used again, and it can be restored."""
    return _set_removed(
        damage,
        timezone.now(),
        "damage.removed",
        gettext("Damage %(number)s was removed.") % {"number": damage.number},
        who,
    )


def restore(damage: Damage, who: Staff) -> Damage:
    """Undo a removal."""
    return _set_removed(
        damage,
        None,
        "damage.restored",
        gettext("Damage %(number)s was restored.") % {"number": damage.number},
        who,
    )


def _set_removed(damage: Damage, at: Any, verb: str, text: str, who: Staff) -> Damage:
    with transaction.atomic():
        others = Damage.objects.filter(pk=damage.pk, removed_at__isnull=at is not None)
        if others.update(removed_at=at, version=F("version") + 1):
            _journal(damage, verb, text, who=who)
            assessment.assess_job(damage.job)
    damage.refresh_from_db(fields=("removed_at", "version"))
    return damage


def _change(
    damage: Damage, changed: Damage, version: int | None, verb: str, text: str, who: Staff | None
) -> Damage:
    """Write `changed` over `damage` if nobody else has since; judge it, and the job, anew."""
    assessment.assess_damage(changed)
    fields = (*_KEPT, *_PLACE, *assessment.COMPUTED)
    values = {name: getattr(changed, name) for name in fields}
    with transaction.atomic():
        unchanged = Damage.objects.filter(pk=damage.pk, version=version or damage.version, removed_at=None)
        if not unchanged.update(version=F("version") + 1, **values):
            raise Stale(Damage.objects.select_related("job__inflatable__pattern").get(pk=damage.pk))
        changes = journal.differences(_readable(damage), _readable(changed))
        _journal(damage, verb, f"{text}.", who=who, changes=changes)
        assessment.assess_job(damage.job)
    for name, value in values.items():
        setattr(damage, name, value)
    damage.refresh_from_db(fields=("version",))
    return damage


def _readable(damage: Damage) -> dict[str, Any]:
    place = gettext("%(element)s, %(side)s, %(x_m)s m by %(y_m)s m") % {
        "element": gettext(damage.element),
        "side": gettext(damage.side) if damage.side else "",
        "x_m": f"{damage.x_m:.3f}",
        "y_m": f"{damage.y_m:.3f}",
    }
    return {"place": place, **{word: getattr(damage, name) for name, word in ANSWERS.items()}}


def _journal(damage: Damage, verb: str, text: str, *, who: Staff | None, changes: Any = None) -> None:
    """From check-in on each change is kept; before, the enquiry is still being written."""
    if damage.job.stage != Stage.ENQUIRY and changes != {}:
        journal.record(damage.job, verb, text, who=who, changes=changes)


def _copy(damage: Damage) -> Damage:
    copy = Damage(**{field.attname: getattr(damage, field.attname) for field in Damage._meta.concrete_fields})
    copy.job = damage.job
    return copy


def _by_field(fields: dict[str, Any]) -> dict[str, Any]:
    """Answers by the names of the model's fields; a Typed gives both figure and typing."""
    given: dict[str, Any] = {}
    for name, value in fields.items():
        if name in _TYPED and (isinstance(value, Typed) or value is None):
            given |= dict(
                zip(_TYPED[name], (value.value_si, value.text) if value else (None, ""), strict=True)
            )
        elif name in _KEPT:
            given[name] = value
        else:
            raise TypeError(f"{name} is not an answer about a damage.")
    return given


def _put(damage: Damage, spot: Spot) -> None:
    place = spot.place
    damage.x_m, damage.y_m, damage.cell = spot.x_m, spot.y_m, spot.cell
    damage.element, damage.station, damage.side = place.element.value, place.station, place.side
    damage.strut, damage.fraction = place.strut, place.fraction


def _set_element(damage: Damage, pinned: Element) -> None:
    on_strut = damage.strut is not None
    damage.element = element_for(pinned, FindingKind(damage.kind), on_strut=on_strut).value


def _pinned_element(damage: Damage) -> Element:
    """What lies under the pin itself: a valve may have been answered as a cut of the tube beside it."""
    return resolve(planform(damage.job.inflatable.pattern), damage.x_m, damage.y_m).place.element
