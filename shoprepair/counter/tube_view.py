"""The open damage on its tube rolled out flat, where a drag or a tap says its face and how it runs."""

import copy
import json
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.gear.describe import planform
from shoprepair.gear.diagram import tube_unrolled
from shoprepair.gear.unrolling import EDGE_FACES, Stretch, stretch
from shoprepair.jobs.assessment import place_of
from shoprepair.jobs.models import Damage
from shoprepair.jobs.questions import questions_for
from shoprepair.jobs.words import finding_words, place_words
from shoprepair.mechanics.description import Direction, Face, FindingKind
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units, say_length

INCH_M = 0.0254
ROUND_M = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5)
ROUND_IN = tuple(inches * INCH_M for inches in (0.5, 1, 2, 4, 8, 12))
"""Lengths of the scale bar."""
RIGHT_ANGLE = 90
_BANDS = {
    "front": gettext_lazy("front"),
    "top": gettext_lazy("top"),
    "back": gettext_lazy("back"),
    "underside": gettext_lazy("underside"),
    "inner": gettext_lazy("inner side"),
    "outer": gettext_lazy("outer side"),
}


@dataclass(frozen=True, slots=True)
class Sayings:
    """The words that a script puts together while the damage is dragged."""

    findings: dict[str, str]
    """What was found, by how it runs."""
    faces: dict[str, str]
    unsaid: str
    place: str


@dataclass(frozen=True, slots=True)
class TubeView:
    """What the panel shows of it."""

    before: str
    """The question that it stands before."""
    box: str
    cloth: SafeString
    damage: SafeString
    at: str
    """Where the damage is drawn without a script, as an SVG transform."""
    bands: list[str]
    """Their names from the top down."""
    ends: tuple[str, str]
    """Where the tube leads to at the left and the right."""
    scale: SafeString
    scale_words: str
    girth: str
    words: str
    now: dict[str, Any]
    """What a script needs to draw the damage, for every answer that there is."""
    said: "Sayings"

    @property
    def json(self) -> str:
        return json.dumps(self.now, ensure_ascii=False, separators=(",", ":"))


def tube_view(damage: Damage, units: Units) -> TubeView | None:
    """None for what lies on no tube, or has no face to be asked for."""
    asked = questions_for(damage)
    if "face" not in asked:
        return None
    drawing, place = planform(damage.job.inflatable.pattern), place_of(damage)
    seen = stretch(drawing, place, damage.x_m, damage.y_m, damage.length_m)
    if seen is None:
        return None
    scale, scale_m = tube_unrolled.scale_bar(seen, ROUND_IN if units.inches else ROUND_M)
    now = _now(damage, seen, turns="direction" in asked)
    said = _sayings(damage, units, turns="direction" in asked)
    return TubeView(
        before="direction" if "direction" in asked else "face",
        box=tube_unrolled.box(seen),
        cloth=tube_unrolled.cloth(drawing, seen),
        damage=tube_unrolled.damage(_drawn_as(damage), damage.length_m),
        at=_transform(now, seen),
        bands=[str(_BANDS[name]) for name in seen.faces],
        ends=_ends(seen),
        scale=scale,
        scale_words=_scale_words(scale_m, units),
        girth=say_length(seen.girth_m, units),
        words=_words(now, said),
        now=now,
        said=said,
    )


def _drawn_as(damage: Damage) -> str:
    """Glue over a cut is drawn as the cut, where somebody knows."""
    return damage.under_kind or damage.kind


def _now(damage: Damage, seen: Stretch, *, turns: bool) -> dict[str, Any]:
    return {
        "number": damage.number,
        "x": round((seen.at_m - seen.low_m) * tube_unrolled.MM, 1),
        "wide": round(seen.wide_m * tube_unrolled.MM, 1),
        "tall": round(seen.girth_m * tube_unrolled.MM, 1),
        "length": round((damage.length_m or tube_unrolled.UNMEASURED_M) * tube_unrolled.MM, 1),
        "face": damage.face,
        "faces": list(seen.said),
        "bands": list(seen.faces),
        "lies": {name: round(seen.lies(name), 4) for name in seen.said},
        "turns": turns,
        "fixed": _fixed(damage),
        "direction": damage.direction,
        "angle": damage.angle_deg if damage.direction == Direction.ANGLE else None,
    }


def _fixed(damage: Damage) -> dict[str, int]:
    """How a damage lies whose direction nobody is asked for, by its face: an opened seam lies in its seam.

    The closing seam runs along the back; every other seam of a leading edge goes around.
    """
    if damage.kind != FindingKind.SEAM_OPENED or damage.strut is not None:
        return {}
    return dict.fromkeys((Face.FRONT, Face.TOP, Face.UNDERSIDE), RIGHT_ANGLE)


def _findings(damage: Damage, units: Units, *, turns: bool) -> dict[str, str]:
    """What was found, in words, for each way that it may run."""
    if not turns:
        return {Direction.UNKNOWN.value: finding_words(damage, units)}
    other = copy.copy(damage)
    said = {}
    for direction in Direction:
        other.direction = direction.value
        said[direction.value] = finding_words(other, units)
    return said


def _sayings(damage: Damage, units: Units, *, turns: bool) -> Sayings:
    return Sayings(
        findings=_findings(damage, units, turns=turns),
        # A strut's flank can be called front or back beneath, though it is no such band here.
        faces={name: str(_BANDS[name]) for name in EDGE_FACES},
        unsaid=gettext("face not said"),
        place=place_words(damage, units),
    )


def _words(now: dict[str, Any], said: Sayings) -> str:
    """The same as the script says while it is dragged."""
    finding = said.findings.get(now["direction"]) or next(iter(said.findings.values()))
    steep = [f"{now['angle']:g}°"] if now["angle"] is not None else []
    return ", ".join([finding, *steep, said.faces.get(now["face"], said.unsaid), said.place])


def _transform(now: dict[str, Any], seen: Stretch) -> str:
    face = now["face"] if now["face"] in now["lies"] else "top"
    down = now["lies"][face] * seen.girth_m * tube_unrolled.MM
    return f"translate({now['x']} {down:.1f}) rotate({-_turn(now, face) or 0:g})"


def _turn(now: dict[str, Any], face: str) -> float:
    """From along the tube, in degrees."""
    if now["direction"] == Direction.AROUND:
        return RIGHT_ANGLE
    if now["direction"] == Direction.ANGLE:
        return RIGHT_ANGLE / 2 if now["angle"] is None else float(now["angle"])
    return float(now["fixed"].get(face, 0)) if not now["turns"] else 0.0


def _ends(seen: Stretch) -> tuple[str, str]:
    if seen.strut is not None:
        return gettext("leading edge"), gettext("trailing edge")
    left = gettext("left tip") if seen.at_m <= 0 or seen.low_m < 0 else gettext("centre")
    right = gettext("right tip") if seen.at_m >= 0 or seen.high_m > 0 else gettext("centre")
    return left, right


def _scale_words(length_m: float, units: Units) -> str:
    return f"{length_m / INCH_M:g} in" if units.inches else say_length(length_m, units)
