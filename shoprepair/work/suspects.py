"""Where a tube that does not hold may leak: the repairs on it, its valves, its closing seam."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from shoprepair.gear.curve import Point
from shoprepair.gear.describe import planform
from shoprepair.gear.planform import Planform
from shoprepair.gear.shape import shape
from shoprepair.gear.sites import Site, sites
from shoprepair.gear.words import place_sentence, site_words
from shoprepair.jobs.assessment import place_of
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Element, Sentence
from shoprepair.pricing.tubes import LEADING_EDGE, key_of
from shoprepair.shop.said import gettext
from shoprepair.work.hold_needs import agreed_lines
from shoprepair.work.hold_tubes import ALL
from shoprepair.work.models import Step


@dataclass(frozen=True, slots=True)
class Suspect:
    """A place to listen at, or to brush with soapy water."""

    words: Sentence
    damage: int | None = None
    """Number of the damage that was repaired there."""


def suspects(job: Job, key: str) -> tuple[Suspect, ...]:
    """Places where this tube may leak: repaired damages, nearest to its valve first, then valves, then seams.

    The valve is where the gauge sits and where one begins to listen.
    """
    drawn = planform(job.inflatable.pattern)
    valves = [site for site in sites(drawn) if site.element in _LEAKING and _on(_tube_of(site, drawn), key)]
    start = _gauge(valves, drawn, key)
    repaired = sorted(_repaired(job, key), key=lambda one: (_apart(one, start), one.number))
    return (
        *(_of_damage(damage, drawn) for damage in repaired),
        *(Suspect(Sentence(site_words(drawn, site))) for site in valves),
        *_seams(job, key),
    )


_LEAKING = (Element.VALVE, Element.HOSE)


def _on(tube: str | None, key: str) -> bool:
    return tube is not None and key in (ALL, tube)


def _tube_of(site: Site, drawn: Planform) -> str:
    if site.strut is None:
        return LEADING_EDGE
    if drawn.struts[site.strut].is_centre:
        return f"strut-centre-{site.strut}"
    return f"strut-{'left' if site.middle.x_m < 0 else 'right'}-{site.strut}"


def _gauge(valves: list[Site], drawn: Planform, key: str) -> Point:
    """Where the tube is pumped; where no valve is drawn on it, its own beginning."""
    for site in valves:
        if site.kind == "inflation":
            return site.middle
    if key in (ALL, LEADING_EDGE):
        return Point(0.0, 0.0)
    _, side, index = key.split("-")
    x = shape(drawn).strut_x(int(index))
    return Point(-x if side == "left" else x, shape(drawn).strut_ends(int(index))[0])


def _repaired(job: Job, key: str) -> Iterator[Damage]:
    seen: set[int] = set()
    for line in agreed_lines(job):
        damage = line.repair.damage if line.repair else None
        if damage is not None and damage.pk not in seen and _on(key_of(damage), key):
            seen.add(damage.pk)
            yield damage


def _apart(damage: Damage, start: Point) -> float:
    return hypot(damage.x_m - start.x_m, damage.y_m - start.y_m)


def _of_damage(damage: Damage, drawn: Planform) -> Suspect:
    place = place_sentence(drawn, place_of(damage), damage.x_m, damage.y_m)
    return Suspect(
        Sentence(
            gettext("Damage %(number)s: %(text)s") % {"number": damage.number, "text": place.text},
            place.values,
        ),
        damage.number,
    )


def _seams(job: Job, key: str) -> Iterator[Suspect]:
    """Stretches that were opened; sewing them up again can catch the bladder."""
    for step in job.steps.filter(kind=Step.Kind.CLOSE, state=Step.State.DONE):
        if _on(step.opening.get("tube"), key):
            said = gettext("Opening %(number)s in the closing seam, where the needle passed the bladder")
            yield Suspect(Sentence(said % {"number": step.opening.get("number", "")}))
