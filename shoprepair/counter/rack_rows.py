"""The rows of the rack: each is written once, and kept by all that it says."""

import datetime
from collections.abc import Mapping
from copy import copy
from typing import NamedTuple

from django.conf import settings
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString

from shoprepair.counter.drawings import glyph
from shoprepair.counter.enquiry_told import InShort, in_short
from shoprepair.counter.promise import Promise, promise
from shoprepair.gear import describe
from shoprepair.gear.planform import Planform
from shoprepair.jobs import lines, stages
from shoprepair.jobs.lines import Line, OfDamage, OfPattern
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.jobs.words import what_is_wrong
from shoprepair.shop.languages import gettext_lazy, kept_by_language
from shoprepair.shop.units import Units
from shoprepair.work import forecast, mended

MOST_KEPT = 1000
"""Rows of a few kilobytes each, of the pages that were read last."""
BESIDE = ("forecast__likely_on", "forecast__late_on")
"""What a row tells of the plan, in this order."""
CHECK_IN = stages.Action(gettext_lazy("Check in"), "job-check-in", primary=False, to=Stage.CHECKED_IN)
"""What is done with gear that was asked about, once it is here."""


_READY = (Stage.READY, *stages.CLOSED)
"""Where no work is before a job, so that it is not late, however long ago it was promised."""


class Row(NamedTuple):
    """One job as it hangs on the rack."""

    job: Job
    url: str
    glyph: SafeString
    wrong: str
    figure: str
    promise: Promise
    action: stages.Action
    action_url: str
    first: bool
    """Whether its action is the one that matters most on this page."""
    acts: bool
    """Whether the shop can take it now; while the job waits, or the customer has the word, it cannot."""
    danger: mended.Danger
    band: str
    """What its tag is marked with; empty where it is repaired, or nobody has judged it."""
    waits: bool
    """Whether its urgency is still what the load figures said before they changed."""
    unanswered: int
    """Damages that nobody has described far enough to be judged."""
    late: str
    """By how much it will likely, or perhaps, be late; empty where it is in time or not known."""
    told: InShort | None
    """What was asked from outside, while the gear is not here yet."""


class Reader(NamedTuple):
    """For whom a row is written, and when: what it says besides what is kept of its job."""

    units: Units
    today: datetime.date
    zone: str


def written(
    shown: list[Line], damages: Mapping[int, tuple[OfDamage, ...]], units: Units, *, at_front: bool
) -> list[SafeString]:
    """The rows of these jobs as a page shows them; of the page in front the first step is marked."""
    if settings.DEBUG:
        # Whoever works on the template of a row sees each change of it.
        _row.cache_clear()
    drawn = _drawn(shown)
    done = mended.numbers([line.job.id for line in shown if line.job.stage in mended.STAGES])
    # A copy of what the request holds is the units themselves: a lazy one is asked anew for each row.
    reader = Reader(copy(units), timezone.localdate(), timezone.get_current_timezone_name())
    rows, first = [], at_front
    for line in shown:
        marked = first and _acts(_action(line, lines.job(line)))
        key = line.job.id
        rows.append(_row(line, damages[key], done.get(key, frozenset()), drawn[line.pattern], reader, marked))
        first = first and not marked
    return rows


def _drawn(shown: list[Line]) -> dict[OfPattern, Planform]:
    """The drawing of each pattern among them, those that nobody drew yet read together."""
    found = {line.pattern: describe.kept(line.pattern) for line in shown}
    unknown = {of: lines.pattern(of) for of, planform in found.items() if planform is None}
    describe.warm(unknown.values())
    return {of: planform or describe.planform(unknown[of]) for of, planform in found.items()}


@kept_by_language(MOST_KEPT)
def _row(
    line: Line,
    damages: tuple[OfDamage, ...],
    done: frozenset[int],
    _planform: Planform,
    reader: Reader,
    marked: bool,
) -> SafeString:
    """All that the row shows is among what it is called with; the planform for the sake of its drawing."""
    job = lines.job(line, damages)
    row = _read(job, line, done, reader, marked)
    return render_to_string("counter/rack/row.html", {"row": row, "units": reader.units})


def _read(job: Job, line: Line, done: frozenset[int], reader: Reader, marked: bool) -> Row:
    found: list[Damage] = job.live_damages  # type: ignore[attr-defined]
    danger = mended.danger(job, found, done)
    wrong, figure = what_is_wrong(job, danger.left, reader.units)
    action = _action(line, job)
    asked = in_short(job.enquiry) if line.is_away else None
    return Row(
        job=job,
        url=job.get_absolute_url(),
        glyph=glyph(job, found, done),
        wrong=wrong,
        figure="" if danger.repaired else figure,
        promise=promise(job.promised_on, reader.today, ready=job.stage in _READY),
        action=action,
        action_url=reverse(action.url_name, args=[job.number]),
        first=marked,
        acts=line.is_away or _acts(action),
        danger=danger,
        band=danger.band if danger.judged and not danger.repaired else "",
        waits=line.waits,
        unanswered=sum(not damage.reason for damage in danger.left),
        late="" if asked else forecast.late_by(job.promised_on, *line.beside),
        told=asked,
    )


def _action(line: Line, job: Job) -> stages.Action:
    return CHECK_IN if line.is_away else stages.next_action(job)


def _acts(action: stages.Action) -> bool:
    return action.primary and action.to != Stage.GO_AHEAD
