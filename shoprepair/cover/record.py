"""A cover's record: everything that a claim will ask for, as canonical JSON that names no customer.

Nothing in it points anywhere: catalogue, pattern figures, staff accounts and settings may all change.
"""

import hashlib
import json
from collections.abc import Iterator
from datetime import UTC, date
from typing import Any

from shoprepair.cover import damage_view, footprints
from shoprepair.cover.covered import Covered
from shoprepair.cover.layup_words import layup_sentence
from shoprepair.cover.reading import FORMAT
from shoprepair.cover.visit import Visit, photo_digest
from shoprepair.gear.geometry import OffTheDrawing, resolve
from shoprepair.gear.planform import Planform
from shoprepair.jobs.assessment import place_of
from shoprepair.jobs.models import Damage
from shoprepair.jobs.stored import plain
from shoprepair.jobs.words import finding_sentence, short_place_words
from shoprepair.pricing.proposals.layups import layup_of
from shoprepair.pricing.tubes import key_of
from shoprepair.work.hold_tubes import ALL
from shoprepair.work.stock.lots import months_after


def until(covered: Covered, visit: Visit) -> date | None:
    """The cover's last day; None: for the life of the gear."""
    months = covered.terms.months
    return months_after(visit.day, months) if months else None


def contents(covered: Covered, visit: Visit, number: int) -> str:
    """The whole record of one cover, as it is kept and digested."""
    return canonical(_contents(covered, visit, number))


def canonical(kept: dict[str, Any]) -> str:
    """One text for one record: names in order, no blanks, letters as they are, no figure that JSON lacks."""
    return json.dumps(kept, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def digest(previous: str, contents: str) -> str:
    """SHA-256 over the digest of the cover before and this one's contents, in hex."""
    return hashlib.sha256(f"{previous}\n{contents}".encode()).hexdigest()


def _contents(covered: Covered, visit: Visit, number: int) -> dict[str, Any]:
    last = until(covered, visit)
    layup = covered.line.repair.layup if covered.line.repair else {}
    made = layup_sentence(layup_of(covered.line.repair)) if covered.line.repair else None
    damages = [mended(damage, visit.planform) for damage in covered.damages]
    return {
        "format": FORMAT,
        "number": number,
        "given_at": visit.given_at.astimezone(UTC).isoformat(),
        "until": last.isoformat() if last else None,
        "shop": visit.shop,
        "gear": visit.gear,
        "job": visit.job.number,
        "damages": damages,
        "repair": _repair(covered, visit),
        "layup": plain(layup),
        "made": plain(made) if made else None,
        "techs": _techs(covered) or visit.workers(),
        "checked_by": visit.checked_by,
        "lots": _lots(covered, visit),
        "hold_tests": list(_hold_tests(covered, visit)),
        "photos": list(_photos(covered, visit)),
        "footprints": [_footprint(each, covered, visit.planform, layup) for each in damages],
        "terms": plain(covered.terms),
    }


def mended(damage: Damage, drawn: Planform) -> dict[str, Any]:
    """A damage as a record keeps it, with its figures as they were judged."""
    judged = damage.assessment.get("result", {})
    return {
        "number": damage.number,
        "kind": damage.kind,
        "what": plain(finding_sentence(damage)),
        "where": short_place_words(damage),
        "place": plain(place_of(damage)),
        "cell": damage.cell,
        "x_m": damage.x_m,
        "y_m": damage.y_m,
        "offset_m": _offset(damage, drawn),
        "length_m": damage.length_m,
        "direction": damage.direction,
        "angle_deg": damage.angle_deg,
        "through_bladder": damage.through_bladder,
        "load_ratio": judged.get("load_ratio", damage.load_ratio),
        "demand_n_per_m": judged.get("demand_n_per_m"),
        "band": damage.band,
    }


def _offset(damage: Damage, drawn: Planform) -> float:
    try:
        return resolve(drawn, damage.x_m, damage.y_m).offset_m
    except OffTheDrawing:
        # The pattern's figures were put right after it was pinned; the place still says where it lies.
        return 0.0


def _footprint(
    damage: dict[str, Any], covered: Covered, drawn: Planform, layup: dict[str, Any]
) -> dict[str, Any]:
    seen, operation = damage_view.read(damage, drawn), covered.operation
    made: dict[str, Any] = plain(footprints.of(drawn, seen, operation.area, layup, operation=operation.code))
    return made


def _repair(covered: Covered, visit: Visit) -> dict[str, Any]:
    return {
        "operation": covered.operation.code,
        "name": covered.operation.name,
        "area": covered.operation.area,
        "text": covered.line.text,
        "amount": covered.amount,
        "currency": covered.currency,
        "cost": str(covered.line.cost),
        "under_claim": _claim(covered, visit),
    }


def _claim(covered: Covered, visit: Visit) -> int | None:
    """The claim that this repair makes good: that of its damage, or of the damage pinned at the same spot."""
    spots = {(damage.x_m, damage.y_m, damage.kind) for damage in covered.damages}
    keys = {damage.pk for damage in covered.damages}
    for claim in visit.claims:
        spot = claim.damage.x_m, claim.damage.y_m, claim.damage.kind
        if claim.damage_id in keys or spot in spots:
            return int(claim.number)
    return None


def _techs(covered: Covered) -> list[str]:
    """Who did the steps of this repair, each once, in their order."""
    return list(dict.fromkeys(str(step.done_by) for step in covered.steps if step.done_by))


def _lots(covered: Covered, visit: Visit) -> list[dict[str, Any]]:
    """Each lot once that this repair, or a step of it, took something from."""
    steps = {step.pk for step in covered.steps}
    lots = dict.fromkeys(
        taken.lot
        for taken in visit.lots
        if (taken.repair == covered.line.repair_id if taken.repair else taken.step in steps)
    )
    return [plain(lot) for lot in lots]


def _hold_tests(covered: Covered, visit: Visit) -> Iterator[dict[str, Any]]:
    """The tests of the tubes that the repair lies on."""
    tubes = {key for key in map(key_of, covered.damages) if key is not None}
    for key, kept in visit.hold_tests:
        if tubes and (key == ALL or key in tubes):
            yield kept


def _photos(covered: Covered, visit: Visit) -> Iterator[dict[str, Any]]:
    """Those of the damages it mends and of its own steps."""
    damages = {damage.pk for damage in covered.damages}
    steps = {step.pk for step in covered.steps}
    for photo in visit.photos:
        at_bench = getattr(photo, "at_bench", None)
        if photo.damage_id in damages or (at_bench and at_bench.step_id in steps):
            moment = at_bench.moment if at_bench else ""
            yield {"key": photo.key, "sha256": photo_digest(photo.key), "moment": moment}
