"""Covers as rows, without the visits that lead to them: as many as a test of papers or pages needs."""

import datetime
import hashlib
import json
from typing import Any

from django.utils import timezone

from shoprepair.cover.models import Cover
from shoprepair.gear.describe import description, planform
from shoprepair.gear.geometry import resolve
from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Job
from shoprepair.jobs.stored import plain
from shoprepair.work.models import HandBack
from tests.factories import JobFactory, StaffFactory

TERMS = "The patch and its seams hold as long as the gear."


def visit(inflatable: Inflatable, at: datetime.datetime | None = None, **facts: Any) -> HandBack:
    """A visit of the gear that ended with its hand-back."""
    at = at or timezone.now()
    job = JobFactory(inflatable=inflatable, stage="handed-back", is_open=False, received_at=at, **facts)
    who = StaffFactory()
    return HandBack.objects.create(job=job, taker_name=job.customer.name, known_by="the tag", who=who, at=at)


def cover(
    back: HandBack, x_m: float = 0.4, y_m: float = 0.05, until: datetime.date | None = None, **changes: Any
) -> Cover:
    """A patch on the casing at that point; `changes` take the place of parts of its record."""
    last = Cover.objects.order_by("number").last()
    number, previous = (last.number + 1, last.digest) if last else (1, "")
    kept = contents(back.job, back.at, number, x_m, y_m) | {"until": until and until.isoformat()} | changes
    text = json.dumps(kept, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    return Cover.objects.create(
        number=number,
        inflatable=back.job.inflatable,
        job=back.job,
        hand_back=back,
        given_at=back.at,
        until=until,
        operation=kept["repair"]["operation"],
        operation_name=kept["repair"]["name"],
        techs=kept["techs"],
        contents=text,
        previous=previous,
        digest=hashlib.sha256(f"{previous}\n{text}".encode()).hexdigest(),
    )


def contents(job: Job, at: datetime.datetime, number: int, x_m: float, y_m: float) -> dict[str, Any]:
    """The record of a cut in a casing that was patched."""
    gear = job.inflatable
    drawn = planform(gear.pattern)
    return {
        "format": 1,
        "number": number,
        "given_at": at.astimezone(datetime.UTC).isoformat(),
        "until": None,
        "shop": {"name": "Northquay Loft", "lines": ["3 Quay Road", "Harbour 4210", "555 0100"]},
        "gear": {
            "inflatable": gear.pk,
            "pattern": gear.pattern.name,
            "kind": gear.pattern.kind,
            "serial": gear.serial,
            "colour": gear.colour,
            "planform": plain(drawn),
            "description": plain(description(gear.pattern)),
        },
        "job": job.number,
        "damages": [damage(drawn, x_m, y_m)],
        "repair": {
            "operation": "casing-patch",
            "name": "Sew a patch on a casing",
            "area": "casing",
            "text": "Sew a patch on a casing, damage 1",
            "amount": "100.00",
            "currency": "USD",
            "cost": "60.00",
            "under_claim": None,
        },
        "layup": {},
        "made": {
            "text": "1 ply inside and 1 outside, {long} × {wide}, sewn in 2 rows of polyester thread.",
            "values": {"long": {"value": 0.16, "unit": "m"}, "wide": {"value": 0.12, "unit": "m"}},
        },
        "techs": ["Bo Larsgard"],
        "checked_by": "Mira Tollen",
        "lots": [{"material": "Polyester casing cloth", "code": "L-2207", "cloth": "polyester casing cloth"}],
        "hold_tests": [
            {
                "tube": "leading edge",
                "verdict": "holds",
                "said": {
                    "text": "Held {pressure} for {time}.",
                    "values": {
                        "pressure": {"value": 55000, "unit": "Pa"},
                        "time": {"value": 7200, "unit": "s"},
                    },
                },
                "on": at.date().isoformat(),
            }
        ],
        "photos": [],
        "footprints": [footprint(drawn, x_m, y_m)],
        "terms": {"words": TERMS, "months": None, "passes_on": True},
    }


def damage(drawn: Any, x_m: float, y_m: float, **changes: Any) -> dict[str, Any]:
    """A cut of 60 mm at that point."""
    spot = resolve(drawn, x_m, y_m)
    return {
        "number": 1,
        "kind": "cut",
        "what": {"text": "{size} cut along", "values": {"size": {"value": 0.06, "unit": "m"}}},
        "where": "leading edge right",
        "place": plain(spot.place),
        "cell": spot.cell,
        "x_m": x_m,
        "y_m": y_m,
        "offset_m": spot.offset_m,
        "length_m": 0.06,
        "direction": "along",
        "angle_deg": None,
        "through_bladder": "no",
        "load_ratio": 0.8,
        "demand_n_per_m": 9000.0,
        "band": "Repair first",
        **changes,
    }


def footprint(drawn: Any, x_m: float, y_m: float) -> dict[str, Any]:
    """A patch of 160 mm by 120 mm there."""
    place = resolve(drawn, x_m, y_m).place
    canopy = place.element in ("canopy", "window", "trailing edge")
    strut = place.strut is not None
    return {
        "surface": "canopy" if canopy else f"strut-{place.side}-{place.strut}" if strut else "leading-edge",
        "side": place.side,
        "layer": "canopy" if canopy else "casing",
        "shape": "patch",
        "along": place.fraction if strut and not canopy else place.station,
        "around": place.fraction if canopy else 0.4,
        "half_along_m": 0.08,
        "half_around_m": 0.06,
        "corner_m": 0.02,
        "rows_in_m": [0.01, 0.016],
        "region": "",
        "damage": 1,
        "face_said": True,
    }
