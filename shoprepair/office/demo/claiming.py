"""Damages held against earlier repairs, and what the owner decided."""

from datetime import datetime, timedelta

from shoprepair import serve
from shoprepair.cover import claims
from shoprepair.cover.models import Claim
from shoprepair.jobs.models import Damage, Job
from shoprepair.office.demo import clock
from shoprepair.office.demo.earlier import TODAYS, Ruling
from shoprepair.office.demo.people import Crew


def rule(damage: Damage, ruling: Ruling, held_at: datetime, decided_at: datetime, crew: Crew) -> Claim:
    """The counter holds a damage against its gear's covers; the owner decides, or has still to."""
    with clock.at(held_at):
        claim = claims.hold_against(damage, over_pressure=ruling.over_pressure, who=crew.counter)
    if ruling.decision == Claim.Decision.OPEN:
        return claim
    with clock.at(decided_at):
        return claims.decide(
            claim,
            ruling.decision,
            ruling.words,
            who=crew.owner,
            version=claim.version,
            base_url=serve.url(),
        )


def hold_todays(now: datetime, crew: Crew) -> None:
    """Hold what came back of today's gear against its covers: some decided, some not yet."""
    for (owner, pattern, colour), ruling in TODAYS.items():
        job = Job.objects.get(
            customer__name=owner,
            inflatable__pattern__name=pattern,
            inflatable__colour=colour,
            is_open=True,
        )
        held_at = clock.later(job.received_at, timedelta(minutes=15))
        rule(job.damages.earliest("number"), ruling, held_at, clock.earlier(now, timedelta(hours=7)), crew)
