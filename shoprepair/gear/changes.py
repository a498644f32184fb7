"""Correcting the library: figures of a pattern, a pattern copied to a new name, a cloth's strengths.

A pattern's version grows with every change, its cloths' included: drawings and descriptions are
kept by it.
"""

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F, Q

from shoprepair.gear import describe
from shoprepair.gear.geometry import planform_area
from shoprepair.gear.models import Cloth, Pattern, Tube
from shoprepair.mechanics import assessment
from shoprepair.mechanics.description import DEFAULT_CASES
from shoprepair.mechanics.domain import Refused
from shoprepair.shop import changes, domain, journal
from shoprepair.shop.models import Staff
from shoprepair.shop.said import gettext

RANGES = {
    "area_m2": (0.5, 30.0),
    "span_m": (1.0, 14.0),
    "chord_centre_m": (0.3, 5.0),
    "chord_tip_m": (0.02, 3.0),
    "sweep_m": (0.0, 4.0),
    "seam_efficiency": (0.2, 1.0),
    "diameter_root_m": (0.03, 0.45),
    "diameter_tip_m": (0.03, 0.45),
    "strength_warp_n_per_m": (500.0, 200_000.0),
    "strength_weft_n_per_m": (500.0, 200_000.0),
    "yarns_warp_per_m": (0.0, 20_000.0),
    "yarns_weft_per_m": (0.0, 20_000.0),
    "stiffness_n_per_m": (0.0, 5_000_000.0),
    "weight_g_per_m2": (5.0, 2_000.0),
}
"""What a figure of this trade can be [common practice, no source]."""
AREA_SLACK = 0.35
"""How far the area may differ from the drawing's: some count the tube's front, some lay the canopy flat."""


class NameTaken(ValueError):
    """The library has a pattern or cloth of this name."""

    def __init__(self, name: str) -> None:
        super().__init__(gettext("The library has %(name)s already. Choose another name.") % {"name": name})


@dataclass(frozen=True, slots=True)
class TubeChange:
    """New figures of one tube, in m and as shares."""

    pk: int
    diameter_root_m: float
    diameter_tip_m: float
    doublings: list[list[float]]


def change_pattern(
    pattern: Pattern, *, who: Staff, version: int, fields: dict[str, Any], tubes: list[TubeChange]
) -> dict[str, list[Any]]:
    """Correct a pattern; answers what changed. Jobs keep their assessments until they are made anew.

    Raises ChangedMeanwhile when it is no longer at `version`, NameTaken, and ValueError with a
    sentence where the figures cannot belong to one inflatable.
    """
    with transaction.atomic():
        held = Pattern.objects.select_for_update().get(pk=pattern.pk)
        if held.version != version:
            raise changes.ChangedMeanwhile
        refuse_taken(fields.get("name", held.name), held)
        found = journal.differences({name: getattr(held, name) for name in fields}, fields)
        found |= _tube_differences(held, tubes)
        if found:
            _write(held, fields, tubes)
            journal.record(
                held,
                "pattern.changed",
                gettext("Figures of %(held)s were changed.") % {"held": held},
                who=who,
                changes=found,
            )
    return found


def _tube_differences(pattern: Pattern, tubes: list[TubeChange]) -> dict[str, list[Any]]:
    stored = {tube.pk: tube for tube in pattern.tubes.all()}
    pairs = {
        f"{tube_key(stored[new.pk])}.{name}": [getattr(stored[new.pk], name), getattr(new, name)]
        for new in tubes
        for name in ("diameter_root_m", "diameter_tip_m", "doublings")
    }
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def tube_key(tube: Tube) -> str:
    """How the journal names a tube: 'leading edge', 'struts at 46 %'."""
    return (
        tube.kind
        if tube.kind == Tube.Kind.LEADING_EDGE
        else gettext("struts at %(value)s %%") % {"value": f"{tube.station * 100:g}"}
    )


def _write(pattern: Pattern, fields: dict[str, Any], tubes: list[TubeChange]) -> None:
    for name, value in fields.items():
        setattr(pattern, name, value)
    pattern.version += 1
    pattern.save()
    for new in tubes:
        pattern.tubes.filter(pk=new.pk).update(
            diameter_root_m=new.diameter_root_m, diameter_tip_m=new.diameter_tip_m, doublings=new.doublings
        )
    try:
        check(pattern)
    except ValueError:
        # The version goes back with the transaction and is given out again.
        describe.forget()
        raise


def check(pattern: Pattern) -> None:
    """Draw the pattern and load it once. Raises ValueError with a sentence where it is no inflatable."""
    try:
        _check(pattern)
    except Refused as refused:
        raise ValueError(domain.said(refused)) from refused


def _check(pattern: Pattern) -> None:
    drawn = describe.planform(pattern)
    edge = drawn.leading_edge
    for tube in (edge, *(strut.tube for strut in drawn.struts)):
        if tube.diameter_tip_m > tube.diameter_root_m:
            raise ValueError(
                gettext("A tube cannot be wider at its end than at its beginning; one of the two is a slip.")
            )
    if edge.diameter_root_m > 0.5 * drawn.chord_centre_m:
        raise ValueError(gettext("That leading edge is too thick for that chord; one of the two is a slip."))
    if drawn.chord_tip_m > drawn.chord_centre_m:
        raise ValueError(gettext("The chord at the tip cannot be longer than at the centre."))
    area = planform_area(drawn)
    if abs(pattern.area_m2 - area) > AREA_SLACK * area:
        raise ValueError(
            gettext(
                "The drawing of these figures has %(area)s m², far from the area of "
                "%(area_m2)s m²; the span, a chord or the area is a slip."
            )
            % {"area": f"{area:.1f}", "area_m2": f"{pattern.area_m2:g}"}
        )
    plain = describe.description(pattern)
    assessment.sound_load_ratio(plain, 0.0, DEFAULT_CASES)


def copy_pattern(pattern: Pattern, *, name: str, who: Staff) -> Pattern:
    """A pattern of the library with the same figures under a new name. Raises NameTaken."""
    with transaction.atomic():
        refuse_taken(name)
        copy = Pattern.objects.get(pk=pattern.pk)
        copy.pk, copy._state.adding = None, True
        copy.name, copy.measured_here, copy.everyday, copy.version = name, False, "", 1
        copy.save()
        parts: list[Any] = [*pattern.tubes.all(), *pattern.panels.all(), *pattern.valves.order_by("pk")]
        for part in parts:
            part.pk, part._state.adding, part.pattern = None, True, copy
            part.save()
        journal.record(
            copy,
            "pattern.copied",
            gettext("%(name)s was copied from %(pattern)s.") % {"name": name, "pattern": pattern},
            who=who,
        )
    return copy


def refuse_taken(name: str, own: Pattern | None = None) -> None:
    """Raise NameTaken where another pattern of the library is called so."""
    same = Pattern.objects.filter(name__iexact=name, measured_here=False)
    if same.exclude(pk=own.pk if own else 0).exists() and not (own and own.measured_here):
        raise NameTaken(name)


def add_cloth(*, who: Staff, **fields: Any) -> Cloth:
    """A new cloth of the library. Raises NameTaken."""
    with transaction.atomic():
        _refuse_taken_cloth(fields["name"])
        cloth = Cloth.objects.create(**fields)
        journal.record(cloth, "cloth.added", gettext("%(cloth)s was added.") % {"cloth": cloth}, who=who)
    return cloth


def change_cloth(cloth: Cloth, *, who: Staff, seen: int, **fields: Any) -> dict[str, list[Any]]:
    """Correct a cloth, and with it every pattern cut from it. Raises ChangedMeanwhile and NameTaken."""
    with transaction.atomic():
        _refuse_taken_cloth(fields["name"], cloth)
        found = changes.change(
            cloth,
            "cloth.changed",
            gettext("%(cloth)s was changed.") % {"cloth": cloth},
            who=who,
            seen=seen,
            fields=fields,
        )
        if found:
            cut_from(cloth).update(version=F("version") + 1)
    return found


def cut_from(cloth: Cloth) -> Any:
    """The patterns that have this cloth anywhere."""
    return Pattern.objects.filter(Q(casing=cloth) | Q(canopy=cloth) | Q(window=cloth))


def _refuse_taken_cloth(name: str, own: Cloth | None = None) -> None:
    if Cloth.objects.filter(name__iexact=name).exclude(pk=own.pk if own else 0).exists():
        raise NameTaken(name)
