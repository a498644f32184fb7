"""What the bench's first page shows: what to take, what is in work, what waits."""

import datetime
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.gear import diagram
from shoprepair.gear.describe import planform
from shoprepair.jobs import judging_anew
from shoprepair.jobs.models import Damage, Job, Stage
from shoprepair.jobs.words import damage_title, what_is_wrong
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from shoprepair.work import next_up, stints
from shoprepair.work.models import Step, Stint
from shoprepair.work.next_up import Suggestion
from shoprepair.work.recipe import SETTLED

MOST_AFTER = 5
"""So many jobs after the suggested one are named at once; the rest opens."""


class Card(NamedTuple):
    """One job on the page."""

    job: Job
    glyph: SafeString
    wrong: str
    reasons: tuple[Any, ...]
    shares: tuple[tuple[int, str], ...]
    waits: Any
    begun: bool
    minutes: int
    steps: int
    settled: int
    now: tuple[tuple[str, str], ...]
    """Who is on it, and at which step."""
    judged_before: bool = False
    """Whether its danger is still counted by the load figures before the last change."""

    @property
    def taken(self) -> bool:
        return self.job.stage == Stage.BENCH

    @property
    def under_way(self) -> bool:
        """On the bench, and somebody can go on with it or is at it now."""
        return self.taken and (self.waits is None or bool(self.now))

    @property
    def left(self) -> int:
        """Steps still to be done."""
        return self.steps - self.settled

    @property
    def through(self) -> bool:
        """Whether the bench has done all its steps, so that the air goes in next."""
        return bool(self.steps) and not self.left


class Running(NamedTuple):
    """What a person is at, and for how long."""

    stint: Stint
    minutes: Decimal
    forgotten: bool


def page(who: Staff, units: Units, now: datetime.datetime | None = None) -> dict[str, Any]:
    """All that bench/bench.html names. Each job stands in one place: suggested, in work, after or waiting."""
    now = now or timezone.now()
    found = next_up.suggest(who, now)
    damages = _damages(each.job for each in found)
    anew = judging_anew.standing()
    cards = [_card(each, damages.get(each.job.pk, []), units, anew) for each in found]
    mine = on_me(who, now)
    at = mine["running"].stint.job_id if mine["running"] else None
    # What somebody is at comes before all else, whichever of theirs is the more pressing.
    ready = sorted((card for card in cards if card.waits is None), key=lambda card: card.job.pk != at)
    first, rest = (ready[0], ready[1:]) if ready else (None, [])
    waiting = [card for card in cards if card.waits is not None]
    after = [card for card in rest if not card.taken]
    return {
        "first": first,
        "drawing": _drawing(first.job, damages.get(first.job.pk, []), units) if first else "",
        "in_work": [card for card in (*rest, *waiting) if card.under_way],
        "after": after[:MOST_AFTER],
        "later": after[MOST_AFTER:],
        "waiting": [card for card in waiting if not card.under_way],
        "at_first": bool(first and first.job.pk == at),
        **mine,
    }


def on_me(who: Staff, now: datetime.datetime | None = None) -> dict[str, Any]:
    """What this person is at, and whose time was forgotten."""
    now = now or timezone.now()
    late = stints.forgotten(now)
    mine = stints.running(who)
    running = Running(mine, stints.minutes_of([mine], now), mine.pk in {s.pk for s in late}) if mine else None
    return {"running": running, "forgotten": late}


def _damages(jobs: Iterable[Job]) -> dict[int, list[Damage]]:
    """The damages that stand, by job, in one statement."""
    found: dict[int, list[Damage]] = {}
    by_id = {job.pk: job for job in jobs}
    for damage in Damage.objects.filter(job__in=by_id, removed_at=None).order_by("number"):
        damage.job = by_id[damage.job_id]
        found.setdefault(damage.job_id, []).append(damage)
    return found


def _card(of: Suggestion, damages: Sequence[Damage], units: Units, anew: judging_anew.Run | None) -> Card:
    job = of.job
    made: list[Step] = job.to_do_steps  # type: ignore[attr-defined]
    pins = [diagram.Pin(one.number, one.x_m, one.y_m, one.band) for one in damages]
    return Card(
        job=job,
        glyph=diagram.draw(planform(job.inflatable.pattern), detail="glyph", pins=pins),
        wrong=what_is_wrong(job, damages, units)[0],
        reasons=of.reasons,
        shares=of.shares_set_up_with,
        waits=of.waits,
        begun=of.begun,
        minutes=of.minutes,
        steps=len(made),
        settled=sum(step.state in SETTLED for step in made),
        now=tuple(_at_it(job, made)),
        judged_before=anew is not None and anew.awaits(job),
    )


def _drawing(job: Job, damages: Sequence[Damage], units: Units) -> SafeString:
    """The whole drawing of the suggested job, with its damages by number."""
    pins = [
        diagram.Pin(
            one.number, one.x_m, one.y_m, one.band if one.kind else "", label=damage_title(one, units)
        )
        for one in damages
    ]
    pattern = job.inflatable.pattern
    return diagram.draw(
        planform(pattern),
        detail="paper",
        pins=pins,
        title=gettext("%(name)s with its damages") % {"name": str(pattern)},
        unique="next",
        fine=False,
    )


def _at_it(job: Job, made: Sequence[Step]) -> Iterable[tuple[str, str]]:
    texts = {step.pk: step.text for step in made}
    running: list[Stint] = job.to_do_stints  # type: ignore[attr-defined]
    for stint in running:
        if stint.ended_at is None:
            yield str(stint.who), texts.get(stint.step_id or 0, "")
