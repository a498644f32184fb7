"""What a job's page at the bench shows: its steps as a list, and each of them large.

All steps are on one page, so that a device that loses its line can go on from one to the next.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, NamedTuple

from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.bench.keys import new_key
from shoprepair.gear import diagram, kept_drawings
from shoprepair.gear.describe import planform
from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Damage, Hold, Job, Stage
from shoprepair.jobs.questions import TUBES
from shoprepair.jobs.words import damage_title
from shoprepair.mechanics.description import Element, Figure
from shoprepair.pricing import patch
from shoprepair.pricing.proposals import layup_of
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from shoprepair.work import estimated, hold_needs, photos, steps, stints, ticks
from shoprepair.work.models import Step, StepPhoto
from shoprepair.work.recipe import SETTLED

FEW = 3
"""So many done steps stand before the next one without pushing it down; of more only the last is seen."""


class Held(NamedTuple):
    """A job waits."""

    day: datetime.date | None
    """On which its parts are expected, where somebody said so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One step as the page shows it."""

    step: Step
    number: int
    refusals: list[str]
    remarks: list[str]
    minutes: Decimal
    """Spent on it so far."""
    estimate: estimated.Estimate
    """Of the whole piece of work that it belongs to."""
    figures: tuple[Figure, ...]
    patch: SafeString | str
    close_up: SafeString
    damages: list[str]
    """Each damage it is about, in a line."""
    photos: list[StepPhoto]
    moment: str
    after: list[int]
    before: Step | None
    next: Step | None
    up: int | None = None
    """Before which step it goes when it is moved up; None where it cannot."""
    down: int | str | None = None
    """The same for down; "" is the end."""
    key: str = field(default_factory=new_key)

    @property
    def settled(self) -> bool:
        return self.step.state in SETTLED


def page(
    job: Job, who: Staff, units: Units, *, present: int | None = None, done: int | None = None
) -> dict[str, Any]:
    """All that bench/job.html names. present: the step that is shown large; done: one that may be undone."""
    now = timezone.now()
    every = steps.of(job)
    for step in every:
        step.job = job
    rows = _rows(job, every, units, now)
    shown = next((row for row in rows if row.step.pk == present), None)
    running = stints.running(who)
    settled = sum(row.settled for row in rows)
    all_done, on_bench = bool(rows) and settled == len(rows), job.stage == Stage.BENCH
    behind = _behind(rows)
    return {
        "job": job,
        "held": _held(job),
        "rows": rows,
        "behind": rows[:behind],
        "ahead": rows[behind:],
        "present": shown,
        "undo": next((row for row in rows if row.step.pk == done and row.settled), None),
        "next": steps.next_step(job, who, every, now),
        "settled": settled,
        "all_done": all_done,
        "on_bench": on_bench,
        "leaks": all_done and on_bench and _leaks(job, every),
        "spent": sum((row.minutes for row in rows), Decimal(0)),
        "planned": sum((step.minutes for step in every), Decimal(0)),
        "running": running if running and running.job_id == job.pk else None,
        "why_not": next((why for row in rows for why in row.refusals if "dries" in why or "hold" in why), ""),
        "moments": StepPhoto.Moment.choices,
        "hold_test": Stage.HOLD_TEST,
    }


def _held(job: Job) -> Held | None:
    """What keeps a job from being worked, where the bench can say that it is over."""
    if not job.hold or job.stage not in (Stage.GO_AHEAD, Stage.BENCH):
        return None
    parts = getattr(job, "expected_parts", None) if job.hold == Hold.PARTS else None
    return Held(parts.day if parts else None)


def _leaks(job: Job, every: Sequence[Step]) -> bool:
    """Whether a tube of it did not hold, and nothing was done to the job since."""
    failed = [each.test.decided_at for each in hold_needs.standing(job) if each.fails and each.test]
    last = max((at for at in failed if at), default=None)
    return bool(failed) and not any(last and step.done_at and step.done_at > last for step in every)


def _behind(rows: Sequence[Row]) -> int:
    """How many steps at the beginning are folded away, where they would hide what is next."""
    done = next((place for place, row in enumerate(rows) if not row.settled), len(rows))
    return done - 1 if FEW < done < len(rows) else 0


def _rows(job: Job, every: Sequence[Step], units: Units, now: datetime.datetime) -> list[Row]:
    refusals, remarks = steps.refusals(every, now), ticks.remarks(job)
    minutes, kept = stints.minutes_by_step(every, now), photos.by_step(job)
    estimates = estimated.by_step(every)
    damages = list(job.damages.filter(removed_at=None).order_by("number"))
    for damage in damages:
        damage.job = job
    drawings = _Drawings(job.inflatable.pattern, damages, units)
    ids = {step.made_from: step.pk for step in every}
    open_ones = [step for step in every if step.state not in SETTLED]
    return [
        Row(
            step=step,
            number=place + 1,
            refusals=[] if step.state in SETTLED else refusals[step.pk],
            remarks=remarks.get(step.pk, []),
            minutes=minutes[step.pk],
            estimate=estimates[step.pk],
            figures=steps.figures(step),
            patch=drawings.patch(step),
            close_up=drawings.close_up(step),
            damages=drawings.titles(step),
            photos=kept.get(step.pk, []),
            moment=photos.usual_moment(step),
            after=[ids[name] for name in step.after if name in ids],
            before=every[place - 1] if place else None,
            next=every[place + 1] if place + 1 < len(every) else None,
            **_ways(step, open_ones),
        )
        for place, step in enumerate(every)
    ]


def _ways(step: Step, open_ones: Sequence[Step]) -> Mapping[str, int | str | None]:
    """Where a step goes when it is moved up or down among those that are still to be done."""
    if step not in open_ones:
        return {}
    at = open_ones.index(step)
    down: int | str | None = None
    if at + 1 < len(open_ones):
        down = open_ones[at + 2].pk if at + 2 < len(open_ones) else ""
    return {"up": open_ones[at - 1].pk if at else None, "down": down}


class _Drawings:
    """The drawings of a page's steps, each made once."""

    def __init__(self, pattern: Pattern, damages: Sequence[Damage], units: Units) -> None:
        self.drawn, self.units = planform(pattern), units
        (self.kept,) = kept_drawings.kept([pattern])
        self.titles_by_number = {one.number: damage_title(one, units) for one in damages}
        self.pins = [
            diagram.Pin(
                number=one.number,
                x_m=one.x_m,
                y_m=one.y_m,
                band=one.band if one.kind else "",
                label=gettext("Damage %(number)s: %(titles_by_number)s")
                % {"number": one.number, "titles_by_number": self.titles_by_number[one.number]},
                element=Element(one.element),
            )
            for one in damages
        ]
        self._patches: dict[int, SafeString | str] = {}

    def titles(self, step: Step) -> list[str]:
        return [
            f"{number} · {self.titles_by_number[number]}"
            for number in step.damages
            if number in self.titles_by_number
        ]

    def close_up(self, step: Step) -> SafeString:
        return diagram.close_up(
            self.drawn,
            self.pins,
            step.damages,
            kept=self.kept,
            title=gettext("The place on the gear, from near"),
        )

    def patch(self, step: Step) -> SafeString | str:
        if step.repair is None:
            return ""
        pk = step.repair.pk
        if pk not in self._patches:
            layup = layup_of(step.repair)
            tube = step.repair.damage.element in TUBES
            self._patches[pk] = patch.draw(layup, self.units, on_a_tube=tube) if layup else ""
        return self._patches[pk]
