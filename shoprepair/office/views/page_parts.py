"""Every part that pages share, in each of its states, from the templates that the pages use."""

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.messages import constants
from django.contrib.messages.storage.base import Message
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from shoprepair.cover.transfer_words import FIRST_ONLY, FOR_LIFE, PASSES_ON, Line, Lines
from shoprepair.gear import diagram
from shoprepair.gear.describe import description, planform
from shoprepair.gear.geometry import Point
from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Damage, Hold
from shoprepair.mechanics.bands import LEAST_RATIO
from shoprepair.mechanics.description import Band
from shoprepair.office.forms import sample
from shoprepair.papers.cover_words import Covered
from shoprepair.pricing.models import Material, Repair
from shoprepair.shop import looks, undoing
from shoprepair.shop.access import owner_only
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Letter
from shoprepair.shop.settings import cases
from shoprepair.work.mended import Danger
from shoprepair.work.models import Lot
from shoprepair.work.stock import Taken

LEVELS = {
    constants.SUCCESS: gettext_lazy("Job 0105 is on the bench now."),
    constants.WARNING: gettext_lazy("Saved, but nobody works on that day."),
    constants.ERROR: gettext_lazy("Not saved: somebody else changed it meanwhile."),
}
URGENCIES = {
    Band.GROUNDED: (100, 86),
    Band.REPAIR_FIRST: (71,),
    Band.NEXT_SERVICE: (38,),
    Band.WATCH: (12, 0),
}
COLOURS = {
    gettext_lazy("Grounds"): (
        "cloth",
        "ripstop",
        "sheet",
        "sheet-sunk",
        "danger-ground",
        "warn-ground",
        "go-ground",
    ),
    gettext_lazy("Text and lines"): ("ink", "ink-soft", "line", "line-strong", "care", "calm"),
    gettext_lazy("Threads"): ("thread", "danger", "warn", "go", "go-deep", "focus"),
}
"""Names of `static/css/tokens.css`, which `page-parts.css` shows."""
TEMPLATES = Path(settings.BASE_DIR, "templates")
SHARES = ((0.0, 0.05), (0.45, 0.02), (-0.6, 0.5), (0.25, 0.6))
"""Where the sample's pins lie: of the half span from the centre, and of the chord back from the front."""


@owner_only
@require_safe
def page_parts(request: HttpRequest) -> HttpResponse:
    page = {
        "messages": [*(Message(level, str(text)) for level, text in LEVELS.items()), _taken_back(request)],
        "plain": sample.SampleForm(prefix="plain", label_suffix=""),
        "wrong": sample.wrong(),
        "urgencies": [(number, band) for band, numbers in URGENCIES.items() for number in numbers],
        "mended": Danger(urgency=86, band=Band.GROUNDED, left=[], repaired=True),
        "holds": [label for value, label in Hold.choices if value],
        "colours": COLOURS,
        "marks": [str(mark.relative_to(TEMPLATES)) for mark in _marks()],
        "letters": _letters(timezone.now()),
        "lots": _lots(),
        "covers": _covers(timezone.localdate()),
        "made_by": Covered(
            1, "00158", "", None, techs=("Benno Skarre", "נעמה בת־גלים"), checked_by="Runa Halvik"
        ),
        "drawings": _drawings(),
    }
    return render(request, "office/page_parts/page.html", page)


def _taken_back(request: HttpRequest) -> Message:
    """A notice with the button that takes back what it tells of; this one sends the look as it is."""
    again = undoing.tags(reverse("my-look"), look=looks.chosen(request))
    return Message(constants.SUCCESS, gettext("Job 0106 was withdrawn."), extra_tags=again)


def _marks() -> Iterator[Path]:
    """The small drawings that stand beside words, but for those that are part of a larger one."""
    return (mark for mark in sorted(TEMPLATES.rglob("*.svg")) if mark.read_text().startswith("<svg"))


def _letters(now: datetime) -> list[Letter]:
    """One in each state."""
    return [
        Letter(
            pk=place, to="ida@quist.example", subject=gettext("Your quote for the Holm 5.0 wing"),
            state=state, body=gettext("Hello Ida Quist,\n\nhere is what we found, and what it costs."),
            written_at=now, next_try_at=now, give_up_at=now,
            sent_at=now if state == Letter.State.SENT else None,
            last_error=gettext("no such mailbox") if state == Letter.State.FAILED else "",
        )
        for place, state in enumerate(Letter.State.values)
    ]  # fmt: skip


def _lots() -> list[Taken]:
    """One that went into a repair and one into the whole job."""
    cloth = Material(name=gettext("Polyester casing cloth, 170 g/m²"), unit=Material.Unit.SQUARE_METRE)
    thread = Material(name=gettext("Bonded thread, 138"), unit=Material.Unit.METRE)
    repair = Repair(damage=Damage(number=2))
    return [
        Taken(Lot(pk=0, material=cloth, code="PC-2291"), None, repair, Decimal("0.12")),  # type: ignore[arg-type]
        Taken(Lot(pk=0, material=thread, code="BT-07"), None, None, Decimal(14)),  # type: ignore[arg-type]
    ]


def _covers(today: date) -> Lines:
    """One that goes along with the gear and one that does not."""
    terms = gettext("The patch holds as long as the gear; the cloth beside it ages as all cloth does.")
    patch, place = gettext("Casing patch, two plies"), gettext("leading edge, 120 mm right")
    bladder, tube = gettext("Bladder exchanged"), gettext("leading edge")
    along = Line(1, 158, patch, place, today, FOR_LIFE, PASSES_ON, terms)
    ends = Line(2, 161, bladder, tube, today, FOR_LIFE, FIRST_ONLY, gettext("Without its valve."))
    return Lines((along,), (ends,))


def _drawings() -> list[dict[str, Any]]:
    """A wing and a kite of the library, each as on the rack and as on a job's sheet."""
    kinds = (
        Pattern.objects.filter(kind=kind, measured_here=False).order_by("pk").first()
        for kind in ("wing", "kite")
    )
    return [_drawn(pattern) for pattern in kinds if pattern]


def _drawn(pattern: Pattern) -> dict[str, Any]:
    drawn = planform(pattern)
    load = diagram.load_map(drawn, description(pattern), cases())
    spots = [
        Point(across * pattern.span_m / 2, along * pattern.chord_centre_m + 0.02) for across, along in SHARES
    ]
    pins = [
        diagram.Pin(number, spot.x_m, spot.y_m, band)
        for number, (spot, band) in enumerate(zip(spots, LEAST_RATIO, strict=True), start=1)
    ]
    return {
        "pattern": pattern,
        "glyph": diagram.draw(drawn, detail="glyph", pins=pins),
        "plain": diagram.draw(
            drawn,
            title=gettext("%(pattern)s, unmarked") % {"pattern": pattern.name},
            unique=f"plain{pattern.pk}",
        ),
        "full": diagram.draw(
            drawn,
            load=load,
            pins=pins,
            title=gettext("%(pattern)s, pinned") % {"pattern": pattern.name},
            unique=f"full{pattern.pk}",
        ),
    }
