"""The line under a damage that names the cover it meets: on the job sheet and while checking in."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.cover import claim_words, claims, comparing, refusals, standing
from shoprepair.cover.comparing import Met
from shoprepair.cover.models import Claim, Cover
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.languages import in_a_sentence
from shoprepair.shop.units import Units


class Line(NamedTuple):
    """What is known of a damage beside earlier repairs, and where it is compared."""

    words: str
    link: str
    """What a tap on it does."""
    url: str
    near: bool
    """Whether it meets or borders on a footprint, or is held against one."""


def claim_lines(job: Job, damages: Iterable[Damage], units: Units) -> dict[int, Line]:
    """Number of each damage to its line; none for gear that was never repaired here."""
    covers = standing.before(job)
    if not covers:
        return {}
    held = {claim.damage_id: claim for claim in claims.of(job)}
    return dict(_lines(job, damages, held, covers, units))


def _lines(
    job: Job, damages: Iterable[Damage], held: dict[int, Claim], covers: list[Cover], units: Units
) -> Iterator[tuple[int, Line]]:
    for damage in damages:
        damage.job = job
        url = reverse("claim", args=[job.number, damage.number])
        if claim := held.get(damage.pk):
            yield damage.number, Line(_held(claim), gettext("Look at it"), url, near=True)
        elif (
            damage.removed_at is None
            and refusals.described(damage)
            and (line := _beside(damage, covers, url, units))
        ):
            yield damage.number, line


def _beside(damage: Damage, covers: list[Cover], url: str, units: Units) -> Line | None:
    met = comparing.lay_beside(damage, covers)
    if not met:
        return None
    nearest = met[0]
    near = nearest.meeting.relation != "misses" and nearest.meeting.same_surface
    words = _near(nearest, units) if near else _far(len(met))
    return Line(words, gettext("Compare") if near else gettext("Look anyway"), url, near)


def _near(met: Met, units: Units) -> str:
    given = claim_words.day(timezone.localdate(met.record.given_at))
    return f"{claim_words.met_words(met, units)}: {met.record.repair.name}, {given}."


def _far(count: int) -> str:
    return (
        gettext("Misses the earlier repair.")
        if count == 1
        else gettext("Misses all %(count)s earlier repairs.") % {"count": count}
    )


def _held(claim: Claim) -> str:
    if claim.decision:
        decided = in_a_sentence(claim_words.DECIDED[Claim.Decision(claim.decision)])
        elsewhere = claim.remedy if claim.remedy != claim.job else None
        mended = (
            gettext(" Job %(elsewhere)s mends it at no charge.") % {"elsewhere": elsewhere}
            if elsewhere
            else ""
        )
        return gettext("Held against cover %(cover)s, decided: %(decided)s.%(mended)s") % {
            "cover": claim.cover,
            "decided": decided,
            "mended": mended,
        }
    return gettext("Held against cover %(cover)s; the owner decides.") % {"cover": claim.cover}
